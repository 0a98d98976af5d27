//! The contingency: what is left of it, on a scale in percent of the allowances, beside what a lender may ask for.

use crate::model::Money;
use crate::ui::format;
use crate::ui::theme::{self, tokens::type_size};
use crate::ui::view::View;
use crate::ui::widgets::{marks, pieces};
use chrono::Datelike;
use egui::{Align2, Rangef, Rect, RichText, Sense, Stroke, StrokeKind, Ui, pos2, vec2};
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

/// The range a lender may ask for on a house of 30 years or more, in percent (HUD Handbook 4000.1 II.A.8).
const LENDER: (f32, f32) = (10.0, 20.0);

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
    let share = percent_of(left, reserve);
    ui.horizontal_wrapped(|ui| {
        ui.label(pieces::strong("Contingency", type_size::BODY));
        ui.label(format!("{} of {}", format::money(left, currency), format::money(reserve, currency)));
        let word = match (left.is_negative(), money.total.is_least()) {
            (true, true) => "beyond it at least",
            (true, false) => "beyond it",
            (false, true) => "left at most, since not all has a price",
            (false, false) => "left",
        };
        ui.label(RichText::new(format!("{:.0} percent {word}", share.abs())).color(tone));
    });
    let wanted = view.project.settings.contingency_pct.to_f32().unwrap_or(0.0);
    let most = (wanted * 1.15).max(25.0);
    let width = (ui.available_width() - 8.0).clamp(120.0, 460.0);
    let (rect, response) = ui.allocate_exact_size(vec2(width, 30.0), Sense::hover());
    let bar = Rect::from_min_size(pos2(rect.left(), rect.top() + 4.0), vec2(width, 12.0));
    let x = |percent: f32| bar.left() + bar.width() * (percent / most).clamp(0.0, 1.0);
    let painter = ui.painter();
    painter.rect(bar, 3.0, tokens.hovered, Stroke::new(1.0, tokens.line), StrokeKind::Inside);
    let left_percent = percent_of(left, money.total.allowance).max(0.0);
    let filled = Rect::from_x_y_ranges(Rangef::new(bar.left(), x(left_percent)), bar.y_range());
    painter.rect_filled(filled, 3.0, tone);
    // The reserve that was set: an upright line over the bar.
    painter.vline(x(wanted), Rangef::new(bar.top() - 3.0, bar.bottom() + 3.0), Stroke::new(2.2, tokens.need));
    let font = theme::regular(type_size::SMALL - 1.0);
    let year = view.as_of().date().year();
    let old = view.project.settings.year_built.is_none_or(|built| year - built >= 30);
    if old {
        let range = Rect::from_x_y_ranges(
            Rangef::new(x(LENDER.0), x(LENDER.1)),
            Rangef::new(bar.bottom() + 3.0, bar.bottom() + 7.0),
        );
        marks::hatch(painter, range, tokens.muted);
        let at = pos2(range.right() + 6.0, range.center().y + 2.0);
        painter.text(at, Align2::LEFT_CENTER, "lender, 10 to 20", font.clone(), tokens.muted);
    }
    let words =
        format!("set to {} percent of the allowances", view.project.settings.contingency_pct.normalize());
    if ui.max_rect().right() - bar.right() > 180.0 {
        let beside = pos2(bar.right() + 8.0, bar.center().y);
        painter.text(beside, Align2::LEFT_CENTER, &words, font, tokens.muted);
    }
    response.on_hover_text(format!(
        "Contingency: {words}, less what is over them, extras included. The upright line is what was set, the bar what is left. For a house of 30 years or more, a lender may ask for 10 to 20 percent of the repair cost (HUD Handbook 4000.1 II.A.8)."
    ));
}
