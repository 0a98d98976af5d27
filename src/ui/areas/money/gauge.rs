//! The contingency: what is left of it, in words and as the part of a bar that is all of it; and what lenders ask for.

use crate::model::Money;
use crate::ui::format;
use crate::ui::theme::tokens::type_size;
use crate::ui::view::View;
use crate::ui::widgets::pieces;
use chrono::Datelike;
use egui::{Rect, RichText, Sense, Stroke, StrokeKind, Ui, pos2, vec2};
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

/// What a lender may ask for on a house of 30 years or more (HUD Handbook 4000.1 II.A.8).
const LENDER: &str = "lenders ask for 10 to 20";

/// An amount as a percentage of another, for a length on screen.
fn percent_of(a: Money, b: Money) -> f32 {
    if b.is_zero() { 0.0 } else { (a.amount() / b.amount() * Decimal::ONE_HUNDRED).to_f32().unwrap_or(0.0) }
}

/// Draws words and gauge.
pub fn ui(ui: &mut Ui, view: &View<'_>) {
    let (tokens, currency) = (view.tokens, view.currency());
    let money = &view.figures.money;
    let (reserve, left) = (money.contingency, money.contingency_left);
    // What is left is good news only when everything has a price.
    let tone = match (left.is_negative(), money.total.is_least()) {
        (true, _) => tokens.late,
        (false, true) => tokens.soon,
        (false, false) => tokens.good,
    };
    ui.horizontal_wrapped(|ui| {
        ui.label(pieces::strong("Contingency", type_size::BODY));
        ui.label(format!(
            "{} of {}",
            format::money(left.min(reserve), currency),
            format::money(reserve, currency)
        ));
        ui.label(RichText::new(words(view, reserve, left)).color(tone));
    });
    let width = (ui.available_width() - 8.0).clamp(120.0, 460.0);
    let (rect, response) = ui.allocate_exact_size(vec2(width, 16.0), Sense::hover());
    let bar = Rect::from_min_size(pos2(rect.left(), rect.top() + 2.0), vec2(width, 12.0));
    let painter = ui.painter();
    painter.rect(bar, 3.0, tokens.hovered, Stroke::new(1.0, tokens.line), StrokeKind::Inside);
    let share = (percent_of(left, reserve) / 100.0).clamp(0.0, 1.0);
    let filled = Rect::from_min_size(bar.min, vec2(bar.width() * share, bar.height()));
    painter.rect_filled(filled, 3.0, tone);
    response.on_hover_text(
        "The whole bar is what was set aside, the filled part what is left: what is over the allowances is taken from it, extras included.",
    );
    let set = view.project.settings.contingency_pct.normalize();
    let year = view.as_of().date().year();
    let old = view.project.settings.year_built.is_none_or(|built| year - built >= 30);
    let asked = if old { format!("; {LENDER}") } else { String::new() };
    let note = RichText::new(format!("set to {set} percent of the allowances{asked}"));
    let note = egui::Label::new(note.size(type_size::SMALL).color(tokens.muted)).wrap();
    ui.add(note).on_hover_text(
        "For a house of 30 years or more, a lender may ask for 10 to 20 percent of the repair cost (HUD Handbook 4000.1 II.A.8).",
    );
}

/// How much of the contingency is left, in words. There is never more left than all of it.
fn words(view: &View<'_>, reserve: Money, left: Money) -> String {
    let money = |amount| format::money(amount, view.currency());
    let least = view.figures.money.total.is_least();
    let most = if least { " at most, since not all has a price" } else { "" };
    let under = left.less(reserve);
    match () {
        () if left.is_negative() => {
            format!("{} beyond it{}", money(left.abs()), if least { " at least" } else { "" })
        }
        () if reserve.is_zero() => "none is set".to_owned(),
        () if under.is_zero() => format!("all of it left{most}"),
        () if !under.is_negative() => {
            format!("all of it left{most}, and {} under the allowances", money(under))
        }
        () => format!("{:.0} percent left{most}", percent_of(left, reserve).min(99.0)),
    }
}
