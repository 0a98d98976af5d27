//! The card of the picked selection: its options side by side on one time axis, each with its need lines.

pub mod add;
pub mod board;
pub mod follow;
pub mod known;
pub mod look;
pub mod option;
pub mod price;
pub mod sentence;
pub mod swap_log;

use crate::engine::Day;
use crate::model::{Action, OptionState, Selection, SelectionOption, Subject};
use crate::ui::choosing;
use crate::ui::derived::Preview;
use crate::ui::format;
use crate::ui::session::Session;
use crate::ui::shell::command::Command;
use crate::ui::theme::tokens::{space, type_size};
use crate::ui::view::{Form, Outbox, View};
use crate::ui::why::WhyTarget;
use crate::ui::widgets::need_line::Way;
use crate::ui::widgets::{need_line_example, pieces};
use egui::{Key, Modifiers, Rect, Ui};

/// Draws the card. Gives back the figures as they would be with the candidate under the pointer.
pub fn ui(ui: &mut Ui, view: &View<'_>, session: &mut Session, out: &mut Outbox) -> Option<Preview> {
    look::dropped(ui, session);
    session.hovered_option = None;
    if let Some(subject) = session.beside {
        if follow::ui(ui, view, session, subject, out) {
            return None;
        }
        if subject == session.dates.picked.map_or(Subject::Project, Subject::Phase) {
            session.dates.picked = None;
        }
        session.beside = None;
    }
    let Some(selection) = session.selection.and_then(|id| view.selection(id)) else {
        nothing_picked(ui, view);
        egui::ScrollArea::vertical().auto_shrink(false).id_salt("swap log").show(ui, |ui| {
            swap_log::ui(ui, view, swap_log::Scope::Room(session.room), out);
        });
        return None;
    };
    read_digits(ui, selection, out);
    let mut candidate = None;
    egui::ScrollArea::vertical().auto_shrink(false).id_salt(("card", selection.id)).show(ui, |ui| {
        title(ui, view, selection, out);
        ui.add_space(space::M);
        if session.explain && !selection.options.is_empty() && need_line_example::explained(ui, view.tokens) {
            session.explain = false;
        }
        known::ui(ui, view, selection, out);
        look::ask(ui, view, session, selection, out);
        let span = span(view, selection);
        for option in &selection.options {
            let hovered = option::ui(ui, view, session, selection, option, span, out);
            candidate = candidate.or(hovered);
            ui.add_space(space::M);
        }
        if selection.options.is_empty() {
            ui.label("No options yet. Add the candidates you are looking at; each shows its price and whether it can be here in time.");
        }
        add::ui(ui, view, session, selection, out);
        ui.horizontal(|ui| {
            if selection.live_option().is_some() && pieces::link(ui, view.tokens, "reopen the decision").clicked() {
                out.act(Action::Reopen(selection.id));
            }
        });
        swap_log::rules_ui(ui, view, selection, out);
        swap_log::ui(ui, view, swap_log::Scope::Selection(selection.id), out);
        why(ui, view, session, selection);
    });
    candidate
}

/// The digits 1 to 9 make the option at that place the choice, while nothing is typed and nothing lies above.
pub fn read_digits(ui: &Ui, selection: &Selection, out: &mut Outbox) {
    const DIGITS: [Key; 9] =
        [Key::Num1, Key::Num2, Key::Num3, Key::Num4, Key::Num5, Key::Num6, Key::Num7, Key::Num8, Key::Num9];
    let ctx = ui.ctx();
    if ctx.text_edit_focused() || ctx.any_popup_open() || ctx.memory(|m| m.top_modal_layer().is_some()) {
        return;
    }
    for (key, option) in DIGITS.into_iter().zip(&selection.options) {
        let is_choice = selection.choice().is_some_and(|choice| choice.id == option.id);
        if !is_choice && ctx.input_mut(|i| i.consume_key(Modifiers::NONE, key)) {
            choosing::choose(selection, option.id, out);
        }
    }
}

/// The figures as they would be with a candidate while it is looked at: with the pointer, or with the keyboard on something
/// of it. Dates shows then what it would move.
fn looked_at(
    ui: &Ui,
    view: &View<'_>,
    session: &mut Session,
    option: &SelectionOption,
    rect: Rect,
) -> Option<Preview> {
    let has_keyboard = || pieces::focused(ui.ctx()).is_some_and(|own| rect.contains_rect(own.rect));
    if option.state == OptionState::Chosen || !(ui.rect_contains_pointer(rect) || has_keyboard()) {
        return None;
    }
    session.hovered_option = Some(option.id);
    view.derived.preview(view.project, option.id)
}

fn nothing_picked(ui: &mut Ui, view: &View<'_>) {
    ui.add_space(60.0);
    ui.vertical_centered(|ui| {
        ui.label(pieces::strong("Pick a selection", type_size::BODY));
        pieces::muted(ui, view.tokens, "Its options stand here side by side, each with its price");
        pieces::muted(ui, view.tokens, "and the day it arrives against the day it is needed.");
    });
}

fn title(ui: &mut Ui, view: &View<'_>, selection: &Selection, out: &mut Outbox) {
    ui.horizontal(|ui| {
        ui.add(egui::Label::new(pieces::strong(&selection.name, type_size::HEADING)).wrap());
        if pieces::icon_button(ui, lucide_icons::Icon::Pencil, "Edit selection").clicked() {
            out.edit(Form::Selection(Some(selection.id), None));
        }
        if pieces::icon_button(ui, lucide_icons::Icon::Maximize2, "Compare over the whole width").clicked() {
            out.command(Command::CompareOptions);
        }
    });
    let room = view.project.room(selection.room).map_or("", |r| &r.name);
    let mut phases: Vec<&str> = Vec::new();
    for part in selection.options.iter().flat_map(|o| &o.parts) {
        if let Some(phase) = part.phase.and_then(|id| view.project.phase(id))
            && !phases.contains(&phase.name.as_str())
        {
            phases.push(&phase.name);
        }
    }
    let allowance = match selection.allowance.is_zero() {
        true => "no allowance".to_owned(),
        false => format!("allowance {}", format::money(selection.allowance, view.currency())),
    };
    let mut line = format!("{room}, {}, {allowance}", selection.category.to_lowercase());
    if !phases.is_empty() {
        line.push_str(&format!(", for {}", phases.join(" and ")));
    }
    if let Some(day) = selection.decide_on {
        line.push_str(&format!(", to be decided by {}", format::day_short(Day::from(day), view.as_of())));
    }
    pieces::muted(ui, view.tokens, line);
    if !selection.notes.is_empty() {
        ui.label(&selection.notes);
    }
}

/// The days all options share.
fn span(view: &View<'_>, selection: &Selection) -> (Day, Day) {
    let own = view.figures.selection(selection.id);
    let mut from = view.as_of();
    let mut to = view.as_of().plus(28);
    let Some(own) = own else { return (from, to) };
    let parts = selection.options.iter().flat_map(|o| &o.parts);
    for (i, (part, f)) in parts.zip(view.figures.parts_of(own)).enumerate() {
        let (first, last) = Way::of(view, selection, part, own.first_part + i, f).span();
        // What was ordered long ago starts at the left edge.
        from = from.min(first.max(view.as_of().plus(-45)));
        to = to.max(last);
        if let Some(order_by) = f.order_by {
            from = from.min(order_by.max(view.as_of().plus(-14)));
        }
    }
    if let Some(known) = view.figures.spec_facts(view.project).first_open(selection) {
        from = from.min(known.max(view.as_of().plus(-45)));
        to = to.max(known);
    }
    let room = to.since(from) / 16 + 2;
    (from.plus(-room), to.plus(room))
}

/// Why the need dates are what they are, for each phase the parts are for.
fn why(ui: &mut Ui, view: &View<'_>, session: &mut Session, selection: &Selection) {
    let Some(own) = view.figures.selection(selection.id) else { return };
    let mut told = Vec::new();
    let parts = selection.options.iter().flat_map(|o| &o.parts).zip(view.figures.parts_of(own));
    for (part, f) in parts {
        let (Some(need), Some(phase)) = (f.need_date, f.phase) else { continue };
        if told.contains(&(phase, need)) {
            continue;
        }
        told.push((phase, need));
        if told.len() == 1 {
            ui.add_space(space::L);
            ui.separator();
        }
        let document = &view.project.phases[phase as usize];
        let Some(start) = view.figures.phases[phase as usize].early_start else { continue };
        ui.add_space(space::S);
        let day = format::day_short(need, view.as_of());
        let link = pieces::link(ui, view.tokens, &format!("Why {day}?"));
        link.widget_info(|| {
            let name = format!("Why {day} for {}?", document.name);
            egui::WidgetInfo::labeled(egui::Role::Button, true, name)
        });
        if link.on_hover_text("What sets the day it is needed, and the day it arrives").clicked() {
            session.why = Some(WhyTarget::Part(part.id));
        }
        let after: Vec<&str> = view
            .project
            .links
            .iter()
            .filter(|l| l.after == document.id)
            .filter_map(|l| view.project.phase(l.before).map(|p| p.name.as_str()))
            .collect();
        let follows = if after.is_empty() { String::new() } else { format!(" after {}", after.join(", ")) };
        let start = format::day(start, view.as_of());
        let text = match part.at {
            crate::model::NeededAt::Start => {
                format!(
                    "{} starts {start} in the plan{follows}; hold {}",
                    document.name,
                    format::count(f.hold, "working day")
                )
            }
            crate::model::NeededAt::Finish => format!(
                "{} starts {start} in the plan{follows} and needs it for its last day; hold {}",
                document.name,
                format::count(f.hold, "working day")
            ),
        };
        ui.add(
            egui::Label::new(egui::RichText::new(text).size(type_size::SMALL).color(view.tokens.muted))
                .wrap(),
        );
    }
}
