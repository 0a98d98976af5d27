//! What an option comes to, in words.

use crate::engine::Figures;
use crate::model::{Money, OptionState, Selection, SelectionOption};
use crate::ui::format;
use crate::ui::view::View;
use egui::Color32;

/// What an option comes to, and how that stands to the allowance with its tone.
pub fn price_words(
    view: &View<'_>,
    selection: &Selection,
    option: &SelectionOption,
) -> (String, String, Color32) {
    let tokens = view.tokens;
    let total = option_total(view, option);
    let price = format::money(total, view.currency());
    let unpriced = view.figures.option_unpriced(option);
    let price = match (unpriced, total.is_zero()) {
        (0, _) => price,
        (_, true) => "price not said".to_owned(),
        _ => format!("at least {price}"),
    };
    let over = selection.over_under(total);
    let (text, tone) = if selection.allowance.is_zero() && unpriced == 0 {
        ("no allowance set".to_owned(), tokens.muted)
    } else if unpriced > 0 && (over.is_zero() || over.is_negative()) {
        (format!("{} without a price", format::count(unpriced, "part")), tokens.soon)
    } else if over.is_zero() {
        ("on the allowance".to_owned(), tokens.muted)
    } else if over.is_negative() {
        (format!("{} under", format::money(over.abs(), view.currency())), tokens.good)
    } else {
        (format!("{} over", format::money(over, view.currency())), tokens.late)
    };
    (price, text, tone)
}

/// Goods, freight and tax of an option's parts. A candidate's freight is taken from the figures as they would be.
pub fn option_total(view: &View<'_>, option: &SelectionOption) -> Money {
    let own = |figures: &Figures| figures.option_total(option);
    match option.state {
        OptionState::Chosen => own(view.figures),
        _ => view.derived.preview(view.project, option.id).map_or_else(|| own(view.figures), |p| p.option),
    }
}
