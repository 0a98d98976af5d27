//! Fields of forms: text with a name before it, choices, and reading numbers and dates with a message that says what to do.

use crate::model::dates::parse_date;
use crate::model::{Money, Units};
use crate::ui::theme::Tokens;
use crate::ui::widgets::pieces;
use chrono::NaiveDate;
use egui::{ComboBox, TextEdit, Ui};
use rust_decimal::Decimal;

const NAME_WIDTH: f32 = 150.0;

/// The name before a field, in a column of its own.
fn name(ui: &mut Ui, name: &str) -> egui::Response {
    let (rect, _) = ui.allocate_exact_size(egui::vec2(NAME_WIDTH, 26.0), egui::Sense::hover());
    let layout = egui::Layout::left_to_right(egui::Align::Center);
    let mut cell = ui.new_child(egui::UiBuilder::new().max_rect(rect).layout(layout));
    cell.add(egui::Label::new(name).truncate())
}

/// Lets the next line of text that is drawn have the cursor.
pub fn focus_first(ctx: &egui::Context) {
    ctx.data_mut(|d| d.insert_temp(egui::Id::unique("focus_first"), true));
}

/// One line of text.
pub fn text(ui: &mut Ui, label: &str, value: &mut String) {
    text_hint(ui, label, value, "");
}

/// One line of text with what to write shown while it is empty.
pub fn text_hint(ui: &mut Ui, label: &str, value: &mut String, hint: &str) {
    ui.horizontal(|ui| {
        let label = name(ui, label);
        let field = ui.add(TextEdit::singleline(value).desired_width(f32::INFINITY).hint_text(hint));
        let field = field.labelled_by(label.id);
        if ui.data_mut(|d| d.remove_temp::<bool>(egui::Id::unique("focus_first"))).is_some() {
            field.request_focus();
        }
    });
}

/// Several lines of text.
pub fn lines(ui: &mut Ui, label: &str, value: &mut String) {
    ui.horizontal_top(|ui| {
        let label = name(ui, label);
        ui.add(TextEdit::multiline(value).desired_rows(2).desired_width(f32::INFINITY)).labelled_by(label.id);
    });
}

/// A date as year-month-day, or nothing.
pub fn date(ui: &mut Ui, label: &str, value: &mut String) {
    text_hint(ui, label, value, "year-month-day");
}

/// One of several named values.
pub fn choice<T: PartialEq + Clone>(ui: &mut Ui, label: &str, value: &mut T, options: &[(String, T)]) {
    ui.horizontal(|ui| {
        let title = name(ui, label);
        let shown = options.iter().find(|(_, v)| v == value).map_or("choose one", |(n, _)| n.as_str());
        let combo = ComboBox::from_id_salt(label).selected_text(shown).width(ui.available_width()).show_ui(
            ui,
            |ui| {
                for (name, option) in options {
                    ui.selectable_value(value, option.clone(), name);
                }
            },
        );
        combo.response.labelled_by(title.id);
    });
}

/// The words of an enum as choices.
pub fn words<T: Copy>(all: &[(&'static str, T)]) -> Vec<(String, T)> {
    all.iter().map(|(word, value)| ((*word).to_owned(), *value)).collect()
}

/// Yes or no.
pub fn flag(ui: &mut Ui, label: &str, value: &mut bool) {
    ui.horizontal(|ui| {
        name(ui, "");
        ui.checkbox(value, label);
    });
}

/// A heading between fields.
pub fn section(ui: &mut Ui, tokens: &Tokens, title: &str) {
    ui.add_space(8.0);
    pieces::group_title(ui, tokens, title);
}

/// A decimal; empty is zero.
///
/// # Errors
/// What is wrong, with the name of the field.
pub fn decimal(label: &str, text: &str) -> Result<Decimal, String> {
    let text = text.trim();
    if text.is_empty() {
        return Ok(Decimal::ZERO);
    }
    text.replace(',', "")
        .parse()
        .map_err(|_| format!("{label}: `{text}` is no number; write for example 12.50"))
}

/// A length in the project's unit; empty is zero. Where that is feet, inches and fractions of them are read as well:
/// `12' 6 1/2"`, kept to a ten-thousandth of a foot.
///
/// # Errors
/// What is wrong, with the name of the field.
pub fn length(label: &str, text: &str, units: Units) -> Result<Decimal, String> {
    let plain = text.trim().replace(['\u{2032}', '\u{2019}'], "'").replace(['\u{2033}', '\u{201d}'], "\"");
    if units == Units::Metric || !plain.contains(['\'', '"']) {
        return decimal(label, &plain);
    }
    let wrong = || format!("{label}: `{}` is no length; write for example 12.5 or 12' 6\"", text.trim());
    let (feet, inches) = plain.split_once('\'').unwrap_or(("0", &plain));
    let feet = decimal(label, feet).map_err(|_| wrong())?;
    let inches = inches.trim().trim_end_matches('"');
    let mut sum = Decimal::ZERO;
    for piece in inches.split_whitespace() {
        let number = |text: &str| text.parse::<Decimal>().map_err(|_| wrong());
        let value = match piece.split_once('/') {
            Some((top, bottom)) => number(top)?.checked_div(number(bottom)?).ok_or_else(wrong)?,
            None => number(piece)?,
        };
        sum = sum.checked_add(value).ok_or_else(wrong)?;
    }
    let whole = feet.checked_add(sum / Decimal::from(12)).ok_or_else(wrong)?;
    Ok(whole.round_dp(4).normalize())
}

/// An amount; empty is zero.
///
/// # Errors
/// As [`decimal`].
pub fn amount(label: &str, text: &str) -> Result<Money, String> {
    decimal(label, text).map(Money::new)
}

/// A whole number; `None` when empty.
///
/// # Errors
/// What is wrong, with the name of the field.
pub fn whole<T: std::str::FromStr>(label: &str, text: &str) -> Result<Option<T>, String> {
    let text = text.trim();
    if text.is_empty() {
        return Ok(None);
    }
    text.parse()
        .map(Some)
        .map_err(|_| format!("{label}: `{text}` is no whole number of the kind needed here"))
}

/// A date; `None` when empty.
///
/// # Errors
/// What is wrong, with the name of the field.
pub fn day(label: &str, text: &str) -> Result<Option<NaiveDate>, String> {
    if text.trim().is_empty() {
        return Ok(None);
    }
    parse_date(text).map(Some).map_err(|why| format!("{label}: {why}"))
}

/// A name that must not be empty.
///
/// # Errors
/// When it is.
pub fn required(label: &str, text: &str) -> Result<String, String> {
    let text = text.trim();
    if text.is_empty() { Err(format!("{label}: write a name")) } else { Ok(text.to_owned()) }
}

/// Text of an optional value.
pub fn shown<T: ToString>(value: Option<T>) -> String {
    value.map_or(String::new(), |v| v.to_string())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Twelve inches are a foot.
    #[test]
    fn feet_and_inches_are_read() {
        let read = |text: &str| length("Length", text, Units::Us).map(|d| d.to_string());
        for (text, feet) in [
            ("12.5", "12.5"),
            ("12' 6\"", "12.5"),
            ("12'6", "12.5"),
            ("30\"", "2.5"),
            ("7'", "7"),
            ("0' 4 1/2\"", "0.375"),
            ("10\u{2032} 4\u{2033}", "10.3333"),
            ("", "0"),
        ] {
            assert_eq!(read(text).as_deref(), Ok(feet), "{text}");
        }
        for text in ["12' x\"", "'", "1/0\"", "six", "12' 6' 3\""] {
            let expected = text == "'";
            assert_eq!(read(text).is_ok(), expected, "{text}");
        }
        assert!(length("Length", "12' 6\"", Units::Metric).is_err());
    }
}
