//! Finding anything by its name: commands, rooms, selections, phases and suppliers in one field.

use super::command::Command;
use super::modals::{self, At};
use crate::model::history::Revision;
use crate::model::{Action, OptionId, PartId, SelectionId, Subject};
use crate::ui::choosing;
use crate::ui::session::Session;
use crate::ui::theme::tokens::type_size;
use crate::ui::view::{Form, Outbox, View};
use crate::ui::widgets::pieces;
use egui::{Align, Context, Key, Layout, Modifiers, RichText, Role, TextEdit, Ui, WidgetInfo};

/// What can be added from here, where no area has a place of its own for it.
const ADDED: [(&str, Form); 6] = [
    ("Add a crew…", Form::Crew(None, None)),
    ("Add a permit…", Form::Permit(None, None)),
    ("Add a change to the work…", Form::Change(None, None)),
    ("Add a room or service out of use…", Form::OutOfUse(None, None)),
    ("Add a draw of the lender…", Form::Draw(None)),
    ("Add a risk…", Form::Risk(None, None)),
];

/// Answers shown.
const MOST: usize = 12;

/// Points of an answer, and of the field with all around it.
const LINE: f32 = 26.0;
const AROUND: f32 = 78.0;

/// What an answer does.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Goes {
    /// Does what a menu entry does.
    Do(Command),
    /// Brings a thing to view.
    To(Subject),
    /// Opens a form.
    Edit(Form),
    /// Makes an option the choice of its selection, on the road of every choice.
    Choose(SelectionId, OptionId),
    /// Notes a part as ordered on the day that is looked at.
    Ordered(PartId),
}

/// An answer.
#[derive(Debug, Clone, PartialEq)]
pub struct Answer {
    /// Its name.
    pub name: String,
    /// What sort of thing it is, or its keys.
    pub note: String,
    /// What it does.
    pub goes: Goes,
}

/// State of the field.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Palette {
    /// What is typed.
    pub query: String,
    /// The answer that Enter takes.
    pub picked: usize,
    found: Option<(String, Revision, Vec<Answer>)>,
}

/// The answers to what is typed: those whose name begins with it first, and of these commands before things.
pub fn answers(ctx: &Context, view: &View<'_>, query: &str) -> Vec<Answer> {
    let query = query.trim().to_lowercase();
    let words: Vec<&str> = query.split_whitespace().collect();
    let fits = |text: &str| words.iter().all(|w| text.contains(w));
    let mut found: Vec<(u8, Answer)> = Vec::new();
    let fits = &fits;
    // By where the query is in the name: at its beginning, at that of a word, or elsewhere.
    let rank = |lower: &str| {
        let word = lower.split_whitespace().any(|w| words.first().is_some_and(|first| w.starts_with(first)));
        if lower.starts_with(&query) { 0 } else { u8::from(!word) + 1 }
    };
    for command in Command::all().filter(|c| *c != Command::GoAnywhere) {
        let keys = command.shortcut().map_or(String::new(), |s| ctx.format_shortcut(&s));
        let name = command.title().to_lowercase();
        if fits(&format!("{name} {}", command.other_words())) {
            found.push((
                rank(&name),
                Answer { name: command.title().to_owned(), note: keys, goes: Goes::Do(command) },
            ));
        }
    }
    let mut note = |name: &str, note: String, goes: Goes| {
        let lower = name.to_lowercase();
        if fits(&lower) {
            found.push((rank(&lower), Answer { name: name.to_owned(), note, goes }));
        }
    };
    for (name, form) in ADDED {
        note(name, "".to_owned(), Goes::Edit(form));
    }
    if !words.is_empty() {
        let project = view.project;
        for crew in project.crews.iter() {
            note(&crew.name, "crew".to_owned(), Goes::Edit(Form::Crew(Some(crew.id), None)));
        }
        for quote in project.quotes.iter() {
            let name = if quote.scope.is_empty() {
                quote.trade.clone()
            } else {
                format!("{}, {}", quote.trade, quote.scope)
            };
            note(&name, "bid".to_owned(), Goes::To(Subject::Quote(quote.id)));
        }
        for change in project.changes.iter() {
            note(
                &change.what,
                "change of the work".to_owned(),
                Goes::Edit(Form::Change(Some(change.id), None)),
            );
        }
        for permit in project.permits.iter() {
            note(&permit.name, "permit".to_owned(), Goes::Edit(Form::Permit(Some(permit.id), None)));
        }
        for out in project.out_of_use.iter() {
            let name = format!("{} out of use", out.what(project));
            note(&name, "days without it".to_owned(), Goes::Edit(Form::OutOfUse(Some(out.id), None)));
        }
        for room in project.rooms.iter() {
            note(&room.name, "room".to_owned(), Goes::To(Subject::Room(room.id)));
        }
        for phase in project.phases.iter() {
            note(&phase.name, "phase".to_owned(), Goes::To(Subject::Phase(phase.id)));
        }
        for supplier in project.suppliers.iter() {
            note(&supplier.name, "supplier".to_owned(), Goes::To(Subject::Supplier(supplier.id)));
        }
        for (selection, text) in project.selections.iter().zip(view.derived.search_texts(project)) {
            if fits(text) {
                let room = project.room(selection.room).map_or("", |r| r.name.as_str());
                let lower = selection.name.to_lowercase();
                let rank = if fits(&lower) { rank(&lower) } else { 3 };
                let answer = Answer {
                    name: selection.name.clone(),
                    note: room.to_owned(),
                    goes: Goes::To(Subject::Selection(selection.id)),
                };
                found.push((rank, answer));
            }
        }
    }
    if words.iter().any(|w| w.len() > 2) {
        deeds(view, fits, rank, &mut found);
    }
    found.sort_by_key(|(rank, _)| *rank);
    found.into_iter().map(|(_, answer)| answer).take(MOST).collect()
}

/// What can be chosen and marked, by words that say so.
fn deeds(
    view: &View<'_>,
    fits: impl Fn(&str) -> bool,
    rank: impl Fn(&str) -> u8,
    found: &mut Vec<(u8, Answer)>,
) {
    let mut note = |name: String, note: &str, goes: Goes| {
        let lower = name.to_lowercase();
        if fits(&lower) {
            found.push((rank(&lower), Answer { name, note: note.to_owned(), goes }));
        }
    };
    for selection in view.project.selections.iter() {
        let current = selection.choice().map(|o| o.id);
        for option in &selection.options {
            if Some(option.id) != current {
                let name = format!("Choose {} for {}", option.name, selection.name);
                note(name, "choice", Goes::Choose(selection.id, option.id));
                continue;
            }
            for part in option.parts.iter().filter(|part| !part.is_ordered()) {
                let name = format!("Mark ordered: {}, for {}", part.name, selection.name);
                note(name, "order", Goes::Ordered(part.id));
            }
        }
    }
}

/// Draws the field while it is open.
pub fn ui(ctx: &Context, view: &View<'_>, session: &mut Session, out: &mut Outbox) {
    let Some(mut palette) = session.palette.take() else { return };
    let revision = view.derived.key().0;
    if palette.found.as_ref().is_none_or(|(query, known, _)| *query != palette.query || *known != revision) {
        let found = answers(ctx, view, &palette.query);
        palette.found = Some((palette.query.clone(), revision, found));
        palette.picked = 0;
    }
    let mut list = palette.found.as_ref().map_or(Vec::new(), |(_, _, list)| list.clone());
    let high = ctx.content_rect().height();
    list.truncate(((high - AROUND - 16.0) / (LINE + 1.0)).max(3.0) as usize);
    // The field stays where it is, however many answers there are.
    let whole = AROUND + MOST as f32 * (LINE + 1.0);
    let top = ((high - whole) / 2.0).clamp(8.0, 120.0);
    let last = list.len().saturating_sub(1);
    let pressed = |key| ctx.input_mut(|i| i.consume_key(Modifiers::NONE, key));
    if pressed(Key::ArrowDown) {
        palette.picked = (palette.picked + 1).min(last);
    }
    if pressed(Key::ArrowUp) {
        palette.picked = palette.picked.saturating_sub(1);
    }
    let mut taken = pressed(Key::Enter).then(|| list.get(palette.picked)).flatten().cloned();
    let entered = taken.is_some();
    let asked = modals::show_at(ctx, "palette", At::Below(top), 480.0, false, |ui| {
        let field = TextEdit::singleline(&mut palette.query)
            .desired_width(f32::INFINITY)
            .hint_text("A command, a name, choose… or mark ordered…")
            .margin(egui::vec2(8.0, 6.0));
        let field = ui.add(field);
        field.widget_info(|| WidgetInfo::labeled(Role::TextInput, true, "By name"));
        field.request_focus();
        ui.add_space(4.0);
        ui.spacing_mut().item_spacing.y = 1.0;
        for (i, answer) in list.iter().enumerate() {
            if line(ui, view, answer, i == palette.picked) {
                taken = Some(answer.clone());
            }
        }
        if list.is_empty() {
            pieces::muted(ui, view.tokens, "Nothing is called that.");
        }
    });
    match taken.map(|a| a.goes) {
        Some(Goes::Do(command)) => out.command(command),
        Some(Goes::To(subject)) => out.show(subject),
        Some(Goes::Edit(form)) => out.edit(form),
        Some(Goes::Choose(selection, option)) => {
            if let Some(selection) = view.selection(selection) {
                choosing::choose(selection, option, out);
            }
        }
        Some(Goes::Ordered(part)) => {
            out.act(Action::MarkOrdered(vec![part], Some(view.as_of().date())));
        }
        None if !asked.closes => session.palette = Some(palette),
        None => {}
    }
    if entered {
        ctx.memory_mut(|m| m.stop_text_input());
    }
}

fn line(ui: &mut Ui, view: &View<'_>, answer: &Answer, picked: bool) -> bool {
    let name = egui::Button::selectable(picked, ());
    let rect = ui.available_rect_before_wrap();
    let row = egui::Rect::from_min_size(rect.min, egui::vec2(rect.width(), LINE));
    let response = ui.put(row, name.min_size(row.size()));
    let spoken = format!("{}, {}", answer.name, answer.note);
    response.widget_info(|| WidgetInfo::selected(Role::Button, true, picked, &spoken));
    let inner = row.shrink2(egui::vec2(8.0, 0.0));
    let mut place =
        ui.new_child(egui::UiBuilder::new().max_rect(inner).layout(Layout::right_to_left(Align::Center)));
    place.style_mut().interaction.selectable_labels = false;
    place.label(RichText::new(&answer.note).size(type_size::SMALL).color(view.tokens.muted));
    let text =
        if picked { pieces::strong(&answer.name, type_size::BODY) } else { RichText::new(&answer.name) };
    place.with_layout(Layout::left_to_right(Align::Center), |ui| {
        ui.add(egui::Label::new(text).truncate());
    });
    response.clicked()
}
