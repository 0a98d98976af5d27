//! Commands: what menus, shortcuts and the head of the window offer, from one table.

use crate::ui::areas::WorkArea;
use egui::gui_zoom::kb_shortcuts::{ZOOM_IN, ZOOM_OUT, ZOOM_RESET};
use egui::{Key, KeyboardShortcut, Modifiers};

/// A command without data.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Command {
    /// A new project.
    New,
    /// Open a project file.
    Open,
    /// Read a folder of sheets as a new project.
    OpenSheets,
    /// Save the project.
    Save,
    /// Save under another name.
    SaveAs,
    /// Close the project and show the start page.
    Close,
    /// Take back the last step.
    Undo,
    /// Do the step again.
    Redo,
    /// Keep the forecast as it stands under a name.
    KeepPlan,
    /// Go to a work area.
    Show(WorkArea),
    /// Open the list of problems.
    ShowProblems,
    /// Tell where the days and the money went since a plan was agreed on.
    ShowStory,
    /// Fold the card away, or bring it back.
    FoldCard,
    /// Compare the options of what is picked over the whole width, or go back.
    CompareOptions,
    /// Put the cursor into the search field.
    Find,
    /// Go to any room, selection, phase, supplier or command by its name.
    GoAnywhere,
    /// Ask what fixes the finish.
    WhyFinish,
    /// Read a list from elsewhere into the project.
    ImportList,
    /// Write all purchase lists.
    ExportLists,
    /// Write papers of the whole project.
    PrintPapers,
    /// Edit the settings of the project.
    EditSettings,
    /// Light or dark.
    SwitchTheme,
    /// Show what moved by movement, or not.
    SwitchMotion,
    /// Draw everything larger.
    Larger,
    /// Draw everything smaller.
    Smaller,
    /// Draw everything in its usual size again.
    UsualSize,
    /// Explain how a choice is drawn.
    ExplainNeedLine,
    /// Show how the figures are computed.
    ShowManual,
    /// Show the shortcuts.
    ShowShortcuts,
}

/// Commands that stand together on menus, in their order.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum CommandGroup {
    /// Projects and files.
    Project,
    /// Taking steps back and doing them again.
    Steps,
    /// What comes in from elsewhere and goes out, and the settings of the project.
    Lists,
    /// Places to go to.
    Places,
    /// Finding and asking.
    Find,
    /// How the window looks.
    Looks,
    /// What explains the program.
    Help,
}

impl CommandGroup {
    /// The line of the menu that opens it; none for what stands in the menu itself. What has tabs, buttons and keys besides
    /// leaves the menu to what has none, which fits a low window whole.
    pub fn behind(self) -> Option<&'static str> {
        match self {
            CommandGroup::Project | CommandGroup::Steps | CommandGroup::Lists => None,
            CommandGroup::Places | CommandGroup::Find => Some("Show or find"),
            CommandGroup::Looks => Some("Size and colors"),
            CommandGroup::Help => Some("Help"),
        }
    }
}

const CTRL: Modifiers = Modifiers::COMMAND;
const CTRL_SHIFT: Modifiers = Modifiers { shift: true, ..Modifiers::COMMAND };

impl Command {
    /// All of them, in the order of menus and the shortcut sheet.
    pub fn all() -> impl Iterator<Item = Command> {
        const BEFORE: [Command; 13] = [
            Command::New,
            Command::Open,
            Command::OpenSheets,
            Command::Save,
            Command::SaveAs,
            Command::Close,
            Command::Undo,
            Command::Redo,
            Command::KeepPlan,
            Command::ImportList,
            Command::ExportLists,
            Command::PrintPapers,
            Command::EditSettings,
        ];
        const AFTER: [Command; 15] = [
            Command::ShowProblems,
            Command::ShowStory,
            Command::FoldCard,
            Command::CompareOptions,
            Command::GoAnywhere,
            Command::Find,
            Command::WhyFinish,
            Command::Larger,
            Command::Smaller,
            Command::UsualSize,
            Command::SwitchTheme,
            Command::SwitchMotion,
            Command::ExplainNeedLine,
            Command::ShowManual,
            Command::ShowShortcuts,
        ];
        BEFORE.into_iter().chain(WorkArea::all().map(Command::Show)).chain(AFTER)
    }

    /// Its name on menus.
    pub fn title(self) -> &'static str {
        match self {
            Command::New => "New project…",
            Command::Open => "Open…",
            Command::OpenSheets => "Open a folder of sheets…",
            Command::Save => "Save",
            Command::SaveAs => "Save as…",
            Command::Close => "Close project",
            Command::Undo => "Undo",
            Command::Redo => "Redo",
            Command::KeepPlan => "Keep the plan as agreed…",
            Command::Show(area) => area.title(),
            Command::ShowProblems => "To settle",
            Command::ShowStory => "Where the days and the money went",
            Command::FoldCard => "Fold or show the options",
            Command::CompareOptions => "Compare the options over the whole width",
            Command::Find => "Search the rows",
            Command::GoAnywhere => "Find by name…",
            Command::WhyFinish => "Why this finish?",
            Command::ImportList => "Bring in a list: CSV or .xlsx…",
            Command::ExportLists => "Export purchase lists…",
            Command::PrintPapers => "Papers to print or send…",
            Command::EditSettings => "Project settings…",
            Command::SwitchTheme => "Light or dark",
            Command::SwitchMotion => "Movement on or off",
            Command::Larger => "Everything larger",
            Command::Smaller => "Everything smaller",
            Command::UsualSize => "Everything in its usual size",
            Command::ExplainNeedLine => "How to read a choice",
            Command::ShowManual => "How the figures are computed",
            Command::ShowShortcuts => "Keyboard shortcuts",
        }
    }

    /// Words besides its name by which it is found.
    pub fn other_words(self) -> &'static str {
        match self {
            Command::Larger | Command::Smaller | Command::UsualSize => "zoom",
            Command::ShowProblems => "problems",
            Command::GoAnywhere | Command::Find => "search find",
            _ => "",
        }
    }

    /// What it stands with on menus; there is a line between groups.
    pub fn group(self) -> CommandGroup {
        match self {
            Command::New
            | Command::Open
            | Command::OpenSheets
            | Command::Save
            | Command::SaveAs
            | Command::Close => CommandGroup::Project,
            Command::Undo | Command::Redo | Command::KeepPlan => CommandGroup::Steps,
            Command::Show(_)
            | Command::ShowProblems
            | Command::ShowStory
            | Command::FoldCard
            | Command::CompareOptions => CommandGroup::Places,
            Command::Find | Command::GoAnywhere | Command::WhyFinish => CommandGroup::Find,
            Command::ImportList | Command::ExportLists | Command::PrintPapers | Command::EditSettings => {
                CommandGroup::Lists
            }
            Command::Larger
            | Command::Smaller
            | Command::UsualSize
            | Command::SwitchTheme
            | Command::SwitchMotion => CommandGroup::Looks,
            Command::ExplainNeedLine | Command::ShowManual | Command::ShowShortcuts => CommandGroup::Help,
        }
    }

    /// Its keys.
    pub fn shortcut(self) -> Option<KeyboardShortcut> {
        let keys = |modifiers, key| Some(KeyboardShortcut::new(modifiers, key));
        match self {
            Command::New => keys(CTRL, Key::N),
            Command::Open => keys(CTRL, Key::O),
            Command::Save => keys(CTRL, Key::S),
            Command::SaveAs => keys(CTRL_SHIFT, Key::S),
            Command::Close => keys(CTRL, Key::W),
            Command::Undo => keys(CTRL, Key::Z),
            Command::Redo => keys(CTRL_SHIFT, Key::Z),
            Command::Show(area) => keys(CTRL, area.key()),
            Command::ShowProblems => keys(CTRL, Key::Num9),
            Command::ShowStory => keys(CTRL_SHIFT, Key::D),
            Command::KeepPlan => keys(CTRL_SHIFT, Key::K),
            Command::FoldCard => keys(CTRL, Key::D),
            Command::CompareOptions => keys(CTRL, Key::B),
            Command::Find => keys(CTRL, Key::F),
            Command::GoAnywhere => keys(CTRL, Key::K),
            Command::WhyFinish => keys(CTRL_SHIFT, Key::F),
            Command::ImportList => keys(CTRL, Key::I),
            Command::ExportLists => keys(CTRL, Key::E),
            Command::PrintPapers => keys(CTRL, Key::P),
            Command::OpenSheets | Command::SwitchMotion | Command::ExplainNeedLine | Command::ShowManual => {
                None
            }
            // The keys that zoom in other programs too. Where something is asked over the window, egui reads them itself.
            Command::Larger => Some(ZOOM_IN),
            Command::Smaller => Some(ZOOM_OUT),
            Command::UsualSize => Some(ZOOM_RESET),
            Command::EditSettings => keys(CTRL, Key::Comma),
            Command::SwitchTheme => keys(CTRL_SHIFT, Key::L),
            Command::ShowShortcuts => keys(Modifiers::NONE, Key::F1),
        }
    }

    /// The command whose keys were pressed in this frame. Keys with more modifiers are looked for first, so that
    /// redo is not taken for undo. While a text field has the keyboard, undo and redo belong to it.
    pub fn pressed(ctx: &egui::Context) -> Option<Command> {
        let typing = ctx.text_edit_focused();
        if !typing
            && ctx.input_mut(|i| {
                i.consume_key(Modifiers::SHIFT, Key::Questionmark)
                    || i.consume_key(Modifiers::NONE, Key::Questionmark)
            })
        {
            return Some(Command::ShowShortcuts);
        }
        let mut all: Vec<Command> = Command::all().collect();
        all.sort_by_key(|c| c.shortcut().is_none_or(|s| !s.modifiers.shift));
        all.into_iter()
            .filter(|c| !(typing && matches!(c, Command::Undo | Command::Redo)))
            .find(|command| command.shortcut().is_some_and(|s| ctx.input_mut(|i| i.consume_shortcut(&s))))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A group that came apart would have a line in its middle.
    #[test]
    fn groups_stand_together() {
        assert!(Command::all().is_sorted_by_key(|c| c.group()));
    }

    #[test]
    fn no_two_commands_share_their_keys() {
        let mut keys: Vec<_> = Command::all().filter_map(|c| c.shortcut()).collect();
        let all = keys.len();
        keys.sort_by_key(|k| format!("{k:?}"));
        keys.dedup();
        assert_eq!(keys.len(), all);
    }
}
