//! What came and what was paid, as it was noted, in the list of Buying.

use super::in_row;
use super::orders::{INDENT, icon, labeled};
use crate::engine::payments::Due;
use crate::engine::{Day, returns};
use crate::model::{Action, PaidFor, PaymentKind};
use crate::ui::format;
use crate::ui::theme::tokens::type_size;
use crate::ui::view::{Form, Outbox, View};
use crate::ui::widgets::pieces;
use egui::{RichText, Ui};
use lucide_icons::Icon;

/// What came of a part on a day.
pub fn delivery(ui: &mut Ui, view: &View<'_>, at: usize, out: &mut Outbox) {
    let Some(d) = view.project.deliveries.get(at) else { return };
    let (tokens, near) = (view.tokens, view.as_of());
    let day = |day: chrono::NaiveDate| format::day_short(Day::from(day), near);
    let mut words = format!("{} came {}", d.quantity.normalize(), day(d.on));
    if !d.damaged.is_zero() {
        words += &format!(", {} damaged", d.damaged.normalize());
        let part = view.figures.index.of(d.part.0);
        let state = part.and_then(|at| view.figures.deliveries.of(at));
        match (d.replacement_on, state.and_then(|s| s.replacement_on)) {
            (Some(on), _) => words += &format!(", replacement promised for {}", day(on)),
            (None, Some(on)) => words += &format!(", replacement expected {}", format::day_short(on, near)),
            _ => {}
        }
    }
    if let Some(rest) = d.rest_on {
        words += &format!("; rest promised for {}", day(rest));
    }
    later(&mut words, Day::from(d.on), near);
    if !d.note.is_empty() {
        words += &format!("; {}", d.note);
    }
    let (mut edit, mut remove) = (false, false);
    in_row(
        ui,
        INDENT + 14.0,
        |ui| {
            (remove, edit) = remove_and_edit(ui, &words);
        },
        |ui| {
            let tone = if d.damaged.is_zero() { tokens.muted } else { tokens.soon };
            ui.label(icon(if d.damaged.is_zero() { Icon::PackageCheck } else { Icon::PackageX }).color(tone));
            ui.add(egui::Label::new(RichText::new(&words).size(type_size::SMALL).color(tone)).truncate());
        },
    );
    if edit {
        out.edit(Form::Delivery(d.part, Some(d.id)));
    }
    if remove {
        out.act(Action::RemoveDelivery(d.id));
    }
}

/// Buttons that say what they are about.
fn remove_and_edit(ui: &mut Ui, words: &str) -> (bool, bool) {
    let mut button = |icon: Icon, verb: &str| {
        let button = pieces::icon_button(ui, icon, verb);
        button.widget_info(|| labeled(format!("{verb}: {words}")));
        button.clicked()
    };
    (button(Icon::Trash2, "Remove"), button(Icon::Pencil, "Edit"))
}

fn later(words: &mut String, day: Day, near: Day) {
    if day > near {
        *words += ", not counted yet";
    }
}

/// What was paid for an order.
pub fn payment(ui: &mut Ui, view: &View<'_>, at: usize, out: &mut Outbox) {
    let Some(p) = view.project.payments.get(at) else { return };
    let (tokens, near) = (view.tokens, view.as_of());
    let kind = match p.kind {
        PaymentKind::Deposit => "deposit",
        PaymentKind::Balance => "balance",
        PaymentKind::Other => "payment",
    };
    let day = Day::from(p.on);
    let mut words =
        format!("{} {kind}, paid {}", format::money(p.amount, view.currency()), format::day_short(day, near));
    if let PaidFor::Part(id) = p.of
        && let Some(part) = view.figures.part(id).and_then(|f| returns::document_part(view.project, f))
    {
        words += &format!(" for {}", part.name);
    }
    later(&mut words, day, near);
    if !p.note.is_empty() {
        words += &format!("; {}", p.note);
    }
    let (mut edit, mut remove) = (false, false);
    in_row(
        ui,
        INDENT,
        |ui| {
            (remove, edit) = remove_and_edit(ui, &words);
        },
        |ui| {
            ui.label(icon(Icon::Check).color(tokens.good));
            ui.add(egui::Label::new(RichText::new(&words).size(type_size::SMALL)).truncate());
        },
    );
    if edit {
        out.edit(Form::Payment(p.of, Some(p.id)));
    }
    if remove {
        out.act(Action::RemovePayment(p.id));
    }
}

/// What falls due, and whether its day is past.
pub(super) fn due_words(view: &View<'_>, due: &Due) -> (String, bool) {
    let near = view.as_of();
    let kind = if due.deposit { "deposit" } else { "balance" };
    let amount = format::money(due.amount, view.currency());
    let past = due.day <= near;
    let since = if past { "since " } else { "" };
    (format!("{amount} {kind}, due {since}{}", format::day_short(due.day, near)), past)
}

/// What falls due.
pub fn due(ui: &mut Ui, view: &View<'_>, due: &Due) {
    let (words, past) = due_words(view, due);
    let (tone, shape) =
        if past { (view.tokens.late, Icon::CircleAlert) } else { (view.tokens.muted, Icon::Clock) };
    in_row(
        ui,
        INDENT,
        |_| {},
        |ui| {
            ui.label(icon(shape).color(tone));
            ui.add(egui::Label::new(RichText::new(words).size(type_size::SMALL).color(tone)).truncate());
        },
    );
}
