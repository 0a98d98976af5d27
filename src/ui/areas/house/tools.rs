//! Above the ledger: which rows, how grouped, which columns, what can be added. Below it: what can be done with the
//! rows marked.

use super::ledger::{GroupBy, LedgerColumn, LedgerDialog, ManyForm, PasteForm};
use super::{keys, starter};
use crate::exchange::outgoing::pages::PageFor;
use crate::model::Action;
use crate::ui::format;
use crate::ui::session::{RowFilter, Session};
use crate::ui::shell::modals;
use crate::ui::theme::{self, tokens::type_size};
use crate::ui::view::{Form, Outbox, Request, View};
use crate::ui::widgets::drop_down::{drop_down, one_of};
use crate::ui::widgets::{marks, pieces};
use egui::{Button, Layout, RichText, Role, Ui, WidgetInfo};
use lucide_icons::Icon;

/// The field that narrows the ledger to rows with all the words typed.
pub fn search_field(ui: &mut Ui, session: &mut Session, width: f32) {
    let field = egui::TextEdit::singleline(&mut session.search).desired_width(width);
    let field = ui.add(field.hint_text("Search rooms, parts, suppliers"));
    field.widget_info(|| egui::WidgetInfo::labeled(egui::Role::TextInput, true, "Search"));
    if std::mem::take(&mut session.focus_search) {
        field.request_focus();
    }
    if modals::escaped_field(&field) {
        session.search.clear();
    }
}

/// Draws the lines above the ledger.
pub fn ui(ui: &mut Ui, view: &View<'_>, session: &mut Session, out: &mut Outbox) {
    ui.spacing_mut().item_spacing.y = 3.0;
    if ui.available_width() < 640.0 {
        ui.horizontal(|ui| {
            ui.spacing_mut().item_spacing.x = 4.0;
            shown_as(ui, session, true);
            filter_menu(ui, session);
            group_menu(ui, view, session);
            right(ui, view, session, out, true);
        });
        if !session.search_in_bar {
            let width = ui.available_width() - 8.0;
            search_field(ui, session, width);
        }
        return;
    }
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 3.0;
        ui.spacing_mut().button_padding.x = 7.0;
        chips(ui, view, session);
    });
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 4.0;
        shown_as(ui, session, false);
        group_menu(ui, view, session);
        let n = session.rows.selections as i32;
        pieces::muted(ui, view.tokens, format::count(n, "row"));
        if let Some(room) = session.room {
            let plan = pieces::link(ui, view.tokens, "plan and sizes…");
            if plan.on_hover_text("The floor of the room, its openings and what it measures").clicked() {
                out.edit(Form::Room(Some(room)));
            }
        }
        if !session.search_in_bar {
            search_field(ui, session, 170.0);
        }
        right(ui, view, session, out, false);
    });
}

/// What there is of a filter, as the chip says it: nothing is said where there is none.
fn counted(name: &str, n: usize) -> String {
    if n == 0 { name.to_owned() } else { format!("{name} {n}") }
}

/// A filter above the ledger.
struct Chip {
    /// The filter; none for what is over its allowance, which narrows any of them.
    filter: Option<RowFilter>,
    name: &'static str,
    rows: usize,
    on: bool,
}

impl Chip {
    fn all(session: &Session) -> Vec<Chip> {
        let mut chips: Vec<Chip> = RowFilter::ALL
            .into_iter()
            .zip(session.rows.counts)
            .filter(|((filter, _), rows)| is_offered(*filter, *rows, session))
            .map(|((filter, name), rows)| Chip {
                filter: Some(filter),
                name,
                rows,
                on: session.filter == filter,
            })
            .collect();
        let rows = session.rows.counts[RowFilter::ALL.len()];
        chips.push(Chip { filter: None, name: "Over allowance", rows, on: session.ledger.over_only });
        chips
    }

    fn rule(&self) -> &'static str {
        self.filter
            .map_or("Only rows whose forecast is above their allowance, within the filter picked", rule)
    }

    fn text(&self, tokens: &theme::Tokens) -> egui::text::LayoutJob {
        let strong = if self.on { theme::strong(type_size::BODY) } else { theme::regular(type_size::BODY) };
        let color = if self.rows == 0 && !self.on { tokens.muted } else { tokens.text };
        let mut job = egui::text::LayoutJob::default();
        let format = |font, color| egui::TextFormat { font_id: font, color, ..Default::default() };
        job.append(self.name, 0.0, format(strong, color));
        if self.rows > 0 {
            job.append(&self.rows.to_string(), 5.0, format(theme::regular(type_size::SMALL), tokens.muted));
        }
        job
    }

    fn ui(&self, ui: &mut Ui, tokens: &theme::Tokens, session: &mut Session) -> bool {
        let response = ui.add(Button::selectable(self.on, self.text(tokens))).on_hover_text(self.rule());
        response.widget_info(|| WidgetInfo::selected(Role::Button, true, self.on, self.name));
        if response.clicked() {
            match self.filter {
                Some(filter) => session.filter = filter,
                None => session.ledger.over_only = !session.ledger.over_only,
            }
        }
        response.clicked()
    }
}

/// The chips side by side. Those there is no room for fold into a menu, which is named after what is on in it.
fn chips(ui: &mut Ui, view: &View<'_>, session: &mut Session) {
    const MENU: f32 = 132.0;
    let chips = Chip::all(session);
    let spacing = ui.spacing().item_spacing.x + 2.0 * ui.spacing().button_padding.x;
    let widths: Vec<f32> =
        chips.iter().map(|c| ui.painter().layout_job(c.text(view.tokens)).size().x + spacing).collect();
    let room = ui.available_width();
    let mut fit = chips.len();
    if widths.iter().sum::<f32>() > room {
        let mut taken = MENU;
        fit = widths
            .iter()
            .take_while(|width| {
                taken += **width;
                taken <= room
            })
            .count();
    }
    let (shown, folded) = chips.split_at(fit);
    for chip in shown {
        chip.ui(ui, view.tokens, session);
    }
    if folded.is_empty() {
        return;
    }
    let name = folded.iter().find(|c| c.on).map_or("More filters", |c| c.name);
    let menu = ui.menu_button(format!("{name} \u{2026}"), |ui| {
        for chip in folded {
            if chip.ui(ui, view.tokens, session) {
                ui.close();
            }
        }
    });
    let response = menu.response.on_hover_text("Filters there is no room for");
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, "More filters"));
}

/// Nobody has to lean to anything, so the filter for it is there only where somebody does.
fn is_offered(filter: RowFilter, rows: usize, session: &Session) -> bool {
    filter != RowFilter::Leaning || rows > 0 || session.filter == filter
}

fn rule(filter: RowFilter) -> &'static str {
    match filter {
        RowFilter::All => "Every selection of the rooms picked",
        RowFilter::ToDecide => "No option is chosen or leaned to yet",
        RowFilter::Leaning => "An option is leaned to, and not chosen yet",
        RowFilter::OrderSoon => "The last day to order is within two weeks, or past",
        RowFilter::Late => "A part arrives after the day it is needed",
        RowFilter::ToOrder => "Chosen or leaned to, and not all of it ordered",
        RowFilter::Ordered => "Ordered, and not all of it has come",
        RowFilter::OnSite => "All of it has come or is built in",
    }
}

/// Rows, or what they look like.
fn shown_as(ui: &mut Ui, session: &mut Session, narrow: bool) {
    let ways = [
        (false, Icon::List, "Rows", "Each selection as a row with its figures"),
        (
            true,
            Icon::LayoutGrid,
            "Pictures",
            "Each selection as it looks: its picture, or a drawing in its finish",
        ),
    ];
    for (pictures, icon, name, hint) in ways {
        let text = match narrow {
            true => RichText::new(char::from(icon).to_string()).font(theme::icon_font(16.0)),
            false => RichText::new(name),
        };
        let on = session.ledger.pictures == pictures;
        let button = Button::selectable(on, text).min_size(egui::vec2(28.0, 26.0));
        let response = ui.add(button).on_hover_text(format!("{name}: {hint}"));
        response.widget_info(|| WidgetInfo::selected(Role::Button, true, on, name));
        if response.clicked() && !on {
            session.ledger.pictures = pictures;
            session.scroll_to_picked = true;
        }
    }
}

fn filter_menu(ui: &mut Ui, session: &mut Session) {
    let place = RowFilter::ALL.iter().position(|(f, _)| *f == session.filter).unwrap_or(0);
    let (_, name) = RowFilter::ALL[place];
    let shown = if session.ledger.over_only { format!("{name}, over") } else { name.to_owned() };
    let shown = counted(&shown, session.rows.selections);
    drop_down(ui, "Rows shown", shown, 128.0, |ui| {
        for (i, (filter, name)) in RowFilter::ALL.into_iter().enumerate() {
            if !is_offered(filter, session.rows.counts[i], session) {
                continue;
            }
            let text = counted(name, session.rows.counts[i]);
            ui.selectable_value(&mut session.filter, filter, text).on_hover_text(rule(filter));
        }
        ui.separator();
        ui.checkbox(&mut session.ledger.over_only, "Over allowance");
    });
}

fn group_menu(ui: &mut Ui, view: &View<'_>, session: &mut Session) {
    let by = session.ledger.group;
    let options = GroupBy::ALL.map(|(by, name)| match by {
        GroupBy::Nothing => ("Not grouped".to_owned(), by),
        _ => (format!("By {name}"), by),
    });
    one_of(ui, "Group rows", 104.0, &mut session.ledger.group, options);
    if by == GroupBy::Nothing || session.rows.groups.is_empty() || ui.available_width() < 420.0 {
        return;
    }
    let all_folded = session.rows.groups.iter().all(|g| g.folded);
    let name = if all_folded { "open all" } else { "fold all" };
    if pieces::link(ui, view.tokens, name).clicked() {
        for group in &session.rows.groups {
            if all_folded {
                session.ledger.folded.remove(&(by, group.key));
            } else {
                session.ledger.folded.insert((by, group.key));
            }
        }
        session.ledger.folds += 1;
    }
}

/// Room that the buttons on the right take with their words.
const IN_WORDS: f32 = 252.0;

/// The menus and the button on the right.
fn right(ui: &mut Ui, view: &View<'_>, session: &mut Session, out: &mut Outbox, narrow: bool) {
    ui.with_layout(Layout::right_to_left(egui::Align::Center), |ui| {
        ui.spacing_mut().item_spacing.x = 4.0;
        more(ui, view, session, out);
        columns(ui, session);
        // What stands on the left comes first; what has no room in words is a sign, and in the menu.
        let in_words = !narrow && ui.available_width() > IN_WORDS;
        let add = if !in_words {
            pieces::icon_button(ui, Icon::Plus, "Add a selection…")
        } else {
            let needs = ui.button("Add from the usual…");
            if needs.on_hover_text("Tick what this kind of room usually needs").clicked() {
                starter::open(view, session);
            }
            ui.button("Add a selection…")
        };
        if add.clicked() {
            out.edit(Form::Selection(None, session.room));
        }
    });
}

fn icon_menu(ui: &mut Ui, icon: Icon, name: &str, content: impl FnOnce(&mut Ui)) {
    let text = RichText::new(char::from(icon).to_string()).font(theme::icon_font(16.0));
    let button = ui.menu_button(text, content).response.on_hover_text(name);
    button.widget_info(|| WidgetInfo::labeled(Role::Button, true, name));
}

fn columns(ui: &mut Ui, session: &mut Session) {
    icon_menu(ui, Icon::Columns3, "Columns to show", |ui| {
        let fitting = session.ledger.columns.is_none();
        if ui.selectable_label(fitting, "As many as fit").clicked() {
            session.ledger.columns = None;
        }
        ui.separator();
        let shown = session.ledger.drawn.clone();
        for column in LedgerColumn::ALL.into_iter().filter(|c| *c != LedgerColumn::Name) {
            let mut on = shown.contains(&column);
            if ui.checkbox(&mut on, column.title()).on_hover_text(column.rule()).changed() {
                let set = session.ledger.columns.get_or_insert_with(|| shown.iter().copied().collect());
                if on {
                    set.insert(column);
                } else {
                    set.remove(&column);
                }
            }
        }
    });
}

fn more(ui: &mut Ui, view: &View<'_>, session: &mut Session, out: &mut Outbox) {
    icon_menu(ui, Icon::Ellipsis, "More for these rows", |ui| {
        if ui.button("Add what a room usually needs…").clicked() {
            starter::open(view, session);
            ui.close();
        }
        if ui.add(Button::new("Paste rows from a spreadsheet…").shortcut_text("Ctrl+V")).clicked() {
            session.ledger.dialog = Some(LedgerDialog::Paste(PasteForm::default()));
            ui.close();
        }
        if ui.button("Copy all rows shown").clicked() {
            let shown: Vec<usize> = session.rows.items().collect();
            ui.ctx().copy_text(crate::exchange::incoming::row_text::write(view.project, &shown));
            ui.close();
        }
        let page = ui.button("Page of open choices for a phone…");
        if page
            .on_hover_text(
                "For whoever approves: candidates side by side, with what each would make of the house",
            )
            .clicked()
        {
            out.push(Request::SharePage(PageFor::Choices(session.room)));
            ui.close();
        }
        ui.separator();
        let room = session.room.and_then(|id| view.project.room(id));
        let text =
            room.map_or("Copy a room: pick one first".to_owned(), |r| format!("Copy {} whole", r.name));
        if let Some(room) = room
            && ui.button(format!("Plan and sizes of {}\u{2026}", room.name)).clicked()
        {
            out.edit(Form::Room(Some(room.id)));
            ui.close();
        }
        let copy = ui.add_enabled(room.is_some(), Button::new(text));
        if copy
            .on_hover_text("A room like it, with the same selections and options; nothing in it is ordered")
            .clicked()
            && let Some(room) = room
            && let Some(action) = crate::model::copy_room::copy_room(view.project, room.id)
        {
            out.act(action);
            ui.close();
        }
    });
}

/// The line below the ledger while several rows are ticked.
pub fn marked(ui: &mut Ui, view: &View<'_>, session: &mut Session, out: &mut Outbox) {
    session.ledger.marked.retain(|id| view.figures.selection(*id).is_some());
    let n = session.ledger.marked.len();
    if n < 2 {
        return;
    }
    let frame = egui::Frame::NONE.fill(view.tokens.picked).inner_margin(egui::Margin::symmetric(8, 4));
    egui::Panel::bottom("marked").frame(frame).show(ui, |ui| {
        ui.horizontal(|ui| {
            ui.spacing_mut().item_spacing.x = 6.0;
            let (mark, _) = ui.allocate_exact_size(egui::vec2(14.0, 14.0), egui::Sense::hover());
            marks::check(ui.painter(), mark.center(), view.tokens.accent);
            let total = view.figures.columns_of(session.ledger.marked.iter().copied()).forecast;
            let words = match ui.available_width() < 520.0 {
                true => format!("{n} ticked"),
                false => format!("{n} ticked, {}", format::money(total, view.currency())),
            };
            ui.label(pieces::strong(words, type_size::BODY));
            if ui.button(format!("Change {n} at once…")).clicked() {
                session.ledger.dialog = Some(LedgerDialog::Many(ManyForm::default()));
            }
            if ui.button("Copy").on_hover_text("As rows for a spreadsheet (Ctrl+C)").clicked() {
                keys::copy(ui.ctx(), view, session);
            }
            if ui.button("Remove").on_hover_text("One step, which undo takes back").clicked() {
                let ids: Vec<_> = session.ledger.marked.iter().copied().collect();
                out.act(Action::Batch {
                    label: format!("remove {} selections", ids.len()),
                    actions: ids.into_iter().map(Action::RemoveSelection).collect(),
                });
                session.ledger.marked.clear();
            }
            if pieces::link(ui, view.tokens, "untick").clicked() {
                session.ledger.marked.clear();
            }
        });
    });
}
