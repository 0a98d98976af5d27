//! Fields of forms: text with a name before it, choices, and reading numbers and dates with a message that says what to do.

use crate::exchange::typed::{Kind, Lead, Typed, TypedError};
use crate::model::dates::FIRST_DAY;
use crate::model::{HolidayRule, Holidays, Money, Settings, Units};
use crate::ui::shell::modals;
use crate::ui::theme::Tokens;
use crate::ui::widgets::{date_picker, drop_down, pieces};
use chrono::NaiveDate;
use egui::{Role, TextEdit, Ui, WidgetInfo};
use rust_decimal::Decimal;
use std::cell::Cell;

/// Points of the column of names.
pub const NAME_WIDTH: f32 = 150.0;
/// Room for the button beside a date.
const PICKER_WIDTH: f32 = 46.0;

/// The name before a field, in a column of its own; a long one takes two lines.
fn name(ui: &mut Ui, name: &str) -> egui::Response {
    let wrap = Some(egui::TextWrapMode::Wrap);
    let words = egui::WidgetText::from(name).into_galley(ui, wrap, NAME_WIDTH, egui::TextStyle::Body);
    let size = egui::vec2(NAME_WIDTH, words.size().y.max(26.0));
    let (rect, _) = ui.allocate_exact_size(size, egui::Sense::hover());
    let layout = egui::Layout::left_to_right(egui::Align::Center);
    let mut cell = ui.new_child(egui::UiBuilder::new().max_rect(rect).layout(layout));
    cell.add(egui::Label::new(words))
}

/// Draws fields of a row of which a form has several alike: they are read aloud with its number, from one on.
pub fn numbered<R>(number: usize, draw: impl FnOnce() -> R) -> R {
    let before = NUMBERED.replace(Some(number));
    let drawn = draw();
    NUMBERED.set(before);
    drawn
}

/// What is read aloud of a field: its name, with the number of its row.
pub fn spoken(name: &str) -> String {
    NUMBERED.get().map_or(name.to_owned(), |number| format!("{name}, {number}"))
}

/// Lets a field be read aloud by the name before it, or by that and the number of its row.
fn named(field: egui::Response, role: Role, label: &str, title: &egui::Response) -> egui::Response {
    if NUMBERED.get().is_none() {
        return field.labelled_by(title.id);
    }
    field.widget_info(|| WidgetInfo::labeled(role, true, spoken(label)));
    field
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
    one_line(ui, label, value, hint, None);
}

/// One line of text that is read as something, with what it was understood as once the field is left.
pub fn typed(ui: &mut Ui, label: &str, value: &mut String, hint: &str, kind: Option<Kind>) -> egui::Response {
    one_line(ui, label, value, hint, kind)
}

fn one_line(ui: &mut Ui, label: &str, value: &mut String, hint: &str, kind: Option<Kind>) -> egui::Response {
    let is_date = kind == Some(Kind::Date);
    let field = ui.horizontal(|ui| {
        let title = name(ui, label);
        let width = ui.available_width() - if is_date { PICKER_WIDTH } else { 0.0 };
        let field = ui.add(TextEdit::singleline(value).desired_width(width).hint_text(hint));
        let field = named(field, Role::TextInput, label, &title);
        if ui.data_mut(|d| d.remove_temp::<bool>(egui::Id::unique("focus_first"))).is_some() {
            field.request_focus();
        }
        if is_date {
            pick_day(ui, label, value);
        }
        field
    });
    let field = field.inner;
    let read = kind.filter(|_| !field.has_focus()).map(|kind| reader().understood(kind, value));
    let own = match read {
        Some(Ok(Some(words))) => {
            say_understood(ui, &field, words);
            None
        }
        Some(Err(why)) => Some(why.to_string()),
        _ => None,
    };
    say_fault(ui, label, &field, own);
    field
}

/// Lets the field that a fault names be marked, with the fault beneath it.
pub fn set_fault(ctx: &egui::Context, fault: Option<&String>) {
    let id = egui::Id::unique("form_fault");
    ctx.data_mut(|d| d.insert_temp(id, fault.cloned()));
}

/// Marks a field that cannot be read, or that the form says is at fault, and says why beneath it.
fn say_fault(ui: &mut Ui, label: &str, field: &egui::Response, own_fault: Option<String>) {
    let fault: Option<String> = ui.data(|d| d.get_temp(egui::Id::unique("form_fault"))).flatten();
    // `Hold, working days` is called `Hold` in what is said of it.
    let own = |(of, why): (&str, &str)| {
        let rest = label.strip_prefix(of).filter(|rest| rest.is_empty() || rest.starts_with(','));
        rest.map(|_| why.to_owned())
    };
    let of_form = fault.as_deref().and_then(|fault| fault.split_once(": ")).and_then(own);
    let Some(why) = own_fault.or(of_form) else { return };
    let tone = ui.visuals().error_fg_color;
    ui.painter().rect_stroke(field.rect, 2.0, egui::Stroke::new(1.5, tone), egui::StrokeKind::Inside);
    ui.horizontal(|ui| {
        ui.add_space(NAME_WIDTH + ui.spacing().item_spacing.x);
        ui.add(egui::Label::new(egui::RichText::new(why).color(tone)).wrap());
    });
}

/// Several lines of text.
pub fn lines(ui: &mut Ui, label: &str, value: &mut String) {
    lines_hint(ui, label, value, "");
}

/// Several lines of text with what to write shown while there are none.
pub fn lines_hint(ui: &mut Ui, label: &str, value: &mut String, hint: &str) {
    let field = ui.horizontal_top(|ui| {
        let label = name(ui, label);
        let edit = TextEdit::multiline(value).desired_rows(2).desired_width(f32::INFINITY).hint_text(hint);
        ui.add(edit).labelled_by(label.id)
    });
    say_fault(ui, label, &field.inner, None);
}

/// A date, or nothing, with a month to pick it from.
pub fn date(ui: &mut Ui, label: &str, value: &mut String) {
    date_hint(ui, label, value, "2026-12-17 or Dec 17");
}

/// The same with what to write shown while it is empty.
pub fn date_hint(ui: &mut Ui, label: &str, value: &mut String, hint: &str) {
    one_line(ui, label, value, hint, Some(Kind::Date));
}

/// The button beside a typed date that opens a month; what is picked takes its place.
pub fn pick_day(ui: &mut Ui, label: &str, value: &mut String) {
    if let Some(day) = date_picker::button(ui, &spoken(label), day(label, value).ok().flatten()).picked {
        *value = day.to_string();
        modals::touch(ui.ctx());
    }
}

/// Says at the end of a field what its text is understood as.
fn say_understood(ui: &mut Ui, field: &egui::Response, words: String) {
    let place = field.rect.shrink2(egui::vec2(6.0, 0.0));
    let layout = egui::Layout::right_to_left(egui::Align::Center);
    let mut over = ui.new_child(egui::UiBuilder::new().max_rect(place).layout(layout));
    over.add(egui::Label::new(egui::RichText::new(words).weak()).truncate().selectable(false));
}

/// One of several named values.
pub fn choice<T: PartialEq + Clone>(ui: &mut Ui, label: &str, value: &mut T, options: &[(String, T)]) {
    ui.horizontal(|ui| {
        let title = name(ui, label);
        let width = ui.available_width();
        let field = drop_down::one_of(ui, &spoken(label), width, value, options.iter().cloned());
        if NUMBERED.get().is_none() {
            field.labelled_by(title.id);
        }
    });
}

/// The same, where `new` is what one that is not there yet is called. Gives back its name when one is to be made.
pub fn choice_or_new<T: PartialEq + Clone>(
    ui: &mut Ui,
    label: &str,
    value: &mut T,
    options: &[(String, T)],
    new: Option<&str>,
) -> Option<String> {
    let made = ui.horizontal(|ui| {
        let title = name(ui, label);
        let width = ui.available_width();
        let (field, made) = drop_down::one_of_or_new(ui, label, width, value, options.iter().cloned(), new);
        field.labelled_by(title.id);
        made
    });
    made.inner
}

/// The words of an enum as choices.
pub fn words<T: Copy>(all: &[(&'static str, T)]) -> Vec<(String, T)> {
    all.iter().map(|(word, value)| ((*word).to_owned(), *value)).collect()
}

/// Yes or no.
pub fn flag(ui: &mut Ui, label: &str, value: &mut bool) {
    ui.horizontal(|ui| {
        name(ui, "");
        if ui.checkbox(value, label).changed() {
            modals::touch(ui.ctx());
        }
    });
}

/// A heading between fields.
pub fn section(ui: &mut Ui, tokens: &Tokens, title: &str) {
    ui.add_space(8.0);
    pieces::group_title(ui, tokens, title);
}

thread_local! {
    /// The number of the row that fields stand in, where a form has several alike.
    static NUMBERED: Cell<Option<usize>> = const { Cell::new(None) };
    /// The window shows one project at a time, and draws on one thread.
    static READER: Cell<Option<Typed>> = const { Cell::new(None) };
}

/// Lets fields be read by the project that is shown; set before each frame.
pub fn read_by(typed: Typed) {
    READER.set(Some(typed));
}

/// How typed texts are read.
pub fn reader() -> Typed {
    READER.get().unwrap_or_else(|| Typed::of(&Settings::new("", FIRST_DAY), FIRST_DAY))
}

/// Reads a text, with the name of the field before what is wrong; `None` when it is empty.
fn filled<T>(
    label: &str,
    text: &str,
    read: impl FnOnce(&Typed, &str) -> Result<T, TypedError>,
) -> Result<Option<T>, String> {
    match text.trim() {
        "" => Ok(None),
        text => read(&reader(), text).map(Some).map_err(|why| format!("{label}: {why}")),
    }
}

/// A decimal; empty is zero.
///
/// # Errors
/// What is wrong, with the name of the field.
pub fn decimal(label: &str, text: &str) -> Result<Decimal, String> {
    filled(label, text, Typed::number).map(Option::unwrap_or_default)
}

/// Percent up to 100; empty is zero.
///
/// # Errors
/// What is wrong, with the name of the field.
pub fn percent(label: &str, text: &str) -> Result<Decimal, String> {
    filled(label, text, Typed::percent).map(Option::unwrap_or_default)
}

/// A length in the unit given; empty is zero.
///
/// # Errors
/// What is wrong, with the name of the field.
pub fn length(label: &str, text: &str, units: Units) -> Result<Decimal, String> {
    filled(label, text, |typed, text| Typed { units, ..*typed }.length(text)).map(Option::unwrap_or_default)
}

/// An amount; empty is zero.
///
/// # Errors
/// What is wrong, with the name of the field.
pub fn amount(label: &str, text: &str) -> Result<Money, String> {
    filled(label, text, Typed::money).map(Option::unwrap_or_default)
}

/// A whole number; `None` when empty.
///
/// # Errors
/// What is wrong, with the name of the field.
pub fn whole<T: TryFrom<i64>>(label: &str, text: &str) -> Result<Option<T>, String> {
    filled(label, text, Typed::whole)
}

/// Calendar days, also as weeks; `None` when empty.
///
/// # Errors
/// What is wrong, with the name of the field.
pub fn days(label: &str, text: &str) -> Result<Option<u32>, String> {
    filled(label, text, Typed::days)
}

/// Working days; `None` when empty.
///
/// # Errors
/// What is wrong, with the name of the field.
pub fn working_days<T: TryFrom<i64>>(label: &str, text: &str) -> Result<Option<T>, String> {
    filled(label, text, Typed::working_days)
}

/// A date; `None` when empty.
///
/// # Errors
/// What is wrong, with the name of the field.
pub fn day(label: &str, text: &str) -> Result<Option<NaiveDate>, String> {
    filled(label, text, Typed::date)
}

/// A date that must be there.
///
/// # Errors
/// What is wrong, with the name of the field.
pub fn needed_day(label: &str, text: &str) -> Result<NaiveDate, String> {
    day(label, text)?.ok_or_else(|| format!("{label}: write a date"))
}

/// Public holidays and own days, one a line or as sheets write them.
///
/// # Errors
/// What is wrong, with the name of the field.
pub fn holidays(label: &str, text: &str) -> Result<Holidays, String> {
    let mut all = Holidays { rule: HolidayRule::None, own: Vec::new() };
    for line in text.lines() {
        let read = line.parse::<Holidays>().or_else(|why| {
            let day = reader().date(line).map_err(|_| format!("{label}: {why}"))?;
            Ok::<_, String>(Holidays { rule: HolidayRule::None, own: vec![day] })
        })?;
        if read.rule != HolidayRule::None {
            all.rule = read.rule;
        }
        all.own.extend(read.own);
    }
    all.own.sort_unstable();
    all.own.dedup();
    Ok(all)
}

/// A lead time; `None` when empty.
///
/// # Errors
/// What is wrong, with the name of the field.
pub fn lead(label: &str, text: &str) -> Result<Option<Lead>, String> {
    filled(label, text, Typed::lead)
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
