//! A purchase list as a workbook: real numbers and dates, and sums that the spreadsheet can add up again.
//!
//! Words are written as text cells, never as formulas; those that a spreadsheet could take for one when they are
//! edited or saved as CSV carry the quote prefix, the spreadsheet's own mark for text.

use super::columns::{COLUMNS, Holds, ListColumn};
use super::list::{ListLine, ListOrder, PurchaseList};
use crate::exchange::cell::{guard, number};
use crate::model::{Currency, Money};
use chrono::{Datelike, NaiveDate};
use rust_decimal::Decimal;
use rust_xlsxwriter::{
    Color, DocProperties, ExcelDateTime, Format, FormatAlign, FormatBorder, Formula, Workbook, Worksheet,
    XlsxError,
};
use std::borrow::Cow;

/// The most letters a cell can hold.
const MOST_IN_CELL: usize = 32_767;

/// The list as a workbook.
///
/// # Errors
/// What the writer of workbooks says, in words.
pub fn xlsx(list: &PurchaseList) -> Result<Vec<u8>, String> {
    workbook(list).map_err(|why| why.to_string())
}

fn workbook(list: &PurchaseList) -> Result<Vec<u8>, XlsxError> {
    let mut book = Workbook::new();
    // The day of the list, not of the clock: the same list is the same file.
    let made = date(list.as_of)?;
    book.set_properties(&DocProperties::new().set_title("Purchase list").set_creation_datetime(&made));
    let formats = Formats::new(list.currency);
    let sheet = book.add_worksheet();
    sheet.set_name("Purchase list")?;
    lines(sheet, list, &formats)?;
    let about = book.add_worksheet();
    about.set_name("About")?;
    about_sheet(about, list, &formats)?;
    book.save_to_buffer()
}

struct Formats {
    header: Format,
    text: Format,
    /// Text that begins as a formula does.
    quoted: Format,
    number: Format,
    price: Format,
    money: Format,
    date: Format,
    sum: Format,
    sum_label: Format,
    digits: u32,
}

impl Formats {
    fn new(currency: Currency) -> Formats {
        let digits = currency.minor_digits();
        let zeros = "0".repeat(digits as usize);
        let point = if digits > 0 { "." } else { "" };
        let money = format!("#,##0{point}{zeros}");
        let price = format!("#,##0.{zeros}####");
        let body = || Format::new().set_align(FormatAlign::Top);
        let wrapped = || body().set_text_wrap();
        let sum = || Format::new().set_bold().set_border_top(FormatBorder::Thin);
        Formats {
            header: Format::new()
                .set_bold()
                .set_text_wrap()
                .set_align(FormatAlign::VerticalCenter)
                .set_background_color(Color::RGB(0xE9_EC_EF))
                .set_border_bottom(FormatBorder::Thin),
            text: wrapped(),
            quoted: wrapped().set_quote_prefix(),
            number: body().set_num_format("#,##0.######"),
            price: body().set_num_format(price),
            money: body().set_num_format(&money),
            date: body().set_num_format("yyyy-mm-dd").set_align(FormatAlign::Right),
            sum: sum().set_num_format(&money),
            sum_label: sum(),
            digits,
        }
    }

    /// Text that could become a formula is marked as text.
    fn of_text(&self, text: &str) -> &Format {
        if matches!(guard(text), Cow::Owned(_)) { &self.quoted } else { &self.text }
    }
}

fn date(day: NaiveDate) -> Result<ExcelDateTime, XlsxError> {
    let year = u16::try_from(day.year()).unwrap_or(1900);
    ExcelDateTime::from_ymd(
        year,
        u8::try_from(day.month()).unwrap_or(1),
        u8::try_from(day.day()).unwrap_or(1),
    )
}

/// The number nearest to a decimal, as a spreadsheet keeps it.
fn float(value: Decimal) -> f64 {
    // Through its digits, which rounds once and to the nearest.
    value.to_string().parse().unwrap_or(0.0)
}

fn write_text(
    sheet: &mut Worksheet,
    row: u32,
    column: u16,
    text: &str,
    formats: &Formats,
) -> Result<(), XlsxError> {
    if text.is_empty() {
        return Ok(());
    }
    let format = formats.of_text(text);
    if text.encode_utf16().count() <= MOST_IN_CELL {
        sheet.write_string_with_format(row, column, text, format)?;
    } else {
        // A cell has no more room. Signs of two units count twice, so half as many surely fit.
        let short: String = text.chars().take(MOST_IN_CELL / 2 - 1).chain(['…']).collect();
        sheet.write_string_with_format(row, column, short, format)?;
    }
    Ok(())
}

fn lines(sheet: &mut Worksheet, list: &PurchaseList, formats: &Formats) -> Result<(), XlsxError> {
    for (at, column) in columns() {
        sheet.write_string_with_format(0, at, column.title, &formats.header)?;
        sheet.set_column_width(at, f64::from(column.width))?;
    }
    sheet.set_row_height(0, 30.0)?;
    sheet.set_freeze_panes(1, 0)?;
    let mut row = 1_u32;
    for (order, line) in list.lines() {
        write_line(sheet, row, order, line, formats)?;
        row += 1;
    }
    for (at, column) in columns() {
        if let Some(sum) = column.kind.sum_of(list) {
            let formula = sum_below(at, row, formats.digits, sum, list.currency);
            sheet.write_formula_with_format(row, at, formula, &formats.sum)?;
        } else if at == 0 {
            let label = match list.sums.left_out() {
                Some(left_out) => format!("Total at least ({left_out})"),
                None => "Total".to_owned(),
            };
            sheet.write_string_with_format(row, at, label, &formats.sum_label)?;
        } else {
            sheet.write_blank(row, at, &formats.sum_label)?;
        }
    }
    sheet.set_landscape();
    sheet.set_paper_size(if list.units == crate::model::Units::Us { 1 } else { 9 });
    sheet.set_print_fit_to_pages(1, 0);
    sheet.set_repeat_rows(0, 0)?;
    sheet.set_footer("&LPurchase list&RPage &P of &N");
    Ok(())
}

/// A sum over the lines in rows 1 to `row`, in whole minor units, with the result the program has.
fn sum_below(column: u16, row: u32, digits: u32, result: Money, currency: Currency) -> Formula {
    let letter = column_letter(column);
    let formula = format!("=ROUND(SUM({letter}2:{letter}{row}),{digits})");
    Formula::new(formula).set_result(result.to_plain(currency))
}

/// The columns of the lines, with their places.
fn columns() -> impl Iterator<Item = (u16, &'static ListColumn)> {
    (0_u16..).zip(COLUMNS.iter().filter(|column| !column.is_head()))
}

/// The letters of a column: A to Z, then AA to AZ and on.
fn column_letter(column: u16) -> String {
    let letter = |n: u16| char::from(b'A'.saturating_add(u8::try_from(n).unwrap_or(0)));
    let (round, last) = (column / 26, letter(column % 26));
    if round == 0 { last.to_string() } else { format!("{}{last}", letter(round - 1)) }
}

fn write_line(
    sheet: &mut Worksheet,
    row: u32,
    order: &ListOrder,
    line: &ListLine,
    formats: &Formats,
) -> Result<(), XlsxError> {
    for (at, column) in columns() {
        match column.kind {
            Holds::Text(of) => write_text(sheet, row, at, &of(order, line), formats)?,
            Holds::Number(of) => {
                if let Some(value) = of(line) {
                    sheet.write_number_with_format(row, at, float(value), &formats.number)?;
                }
            }
            Holds::Price(of) => {
                if let Some(price) = of(line) {
                    sheet.write_number_with_format(row, at, float(price.amount()), &formats.price)?;
                }
            }
            Holds::Order(of) => {
                if let Some(amount) = line.order_money.as_ref().and_then(of) {
                    sheet.write_number_with_format(row, at, float(amount.amount()), &formats.money)?;
                }
            }
            // These stand on the sheet about the list.
            Holds::Head(_) => {}
            // What nobody has said is blank, never zero.
            kind if kind.is_left_out(line) => {}
            Holds::Sum(of) => {
                let amount = float(of(&line.sums).amount());
                sheet.write_number_with_format(row, at, amount, &formats.money)?;
            }
            Holds::Total => {
                let formula = total_of_line(row, formats.digits, line.sums.total());
                sheet.write_formula_with_format(row, at, formula, &formats.money)?;
            }
            Holds::Date(of) => {
                if let Some(day) = of(line) {
                    sheet.write_datetime_with_format(row, at, &date(day)?, &formats.date)?;
                }
            }
        }
    }
    Ok(())
}

/// Goods, freight and tax of a line, added by the spreadsheet.
fn total_of_line(row: u32, digits: u32, result: Money) -> Formula {
    let sums = columns().filter(|(_, column)| matches!(column.kind, Holds::Sum(_)));
    let cells: Vec<String> = sums.map(|(at, _)| format!("{}{}", column_letter(at), row + 1)).collect();
    let formula = format!("=ROUND({},{digits})", cells.join("+"));
    Formula::new(formula).set_result(number(result.amount()))
}

fn about_sheet(sheet: &mut Worksheet, list: &PurchaseList, formats: &Formats) -> Result<(), XlsxError> {
    sheet.set_column_width(0, 18.0)?;
    sheet.set_column_width(1, 60.0)?;
    let currency = list.currency.to_string();
    let facts = [("Project", list.project.as_str()), ("Orders", list.what.title()), ("Currency", &currency)];
    let mut row = 0;
    let heads = list.heads.iter().map(|head| (head.title, head.text.as_str()));
    for (name, value) in facts.into_iter().chain(heads) {
        sheet.write_string_with_format(row, 0, name, &formats.header)?;
        write_text(sheet, row, 1, value, formats)?;
        row += 1;
    }
    sheet.write_string_with_format(row, 0, "As of", &formats.header)?;
    sheet.write_datetime_with_format(row, 1, &date(list.as_of)?, &formats.date)?;
    sheet.write_string_with_format(row + 1, 0, "Notes", &formats.header)?;
    Ok(())
}
