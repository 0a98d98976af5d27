//! The choices above the list: sheet, what it is, whose it is, where the headings are, and how numbers and days are
//! written; and what has to be asked.

use super::ListForm;
use crate::exchange::incoming::read::Asks;
use crate::model::{DateOrder, DecimalMark, LeadUnit, MapField, MapInto, Project};
use crate::ui::theme::Tokens;
use crate::ui::widgets::drop_down::one_of;
use egui::{DragValue, RichText, Ui};

/// One of several values, named by the word before it.
pub(super) fn pick<T: PartialEq + Clone>(
    ui: &mut Ui,
    label: &str,
    width: f32,
    value: &mut T,
    options: &[(String, T)],
) -> bool {
    let before = value.clone();
    let title = ui.label(label);
    one_of(ui, label, width, value, options.iter().cloned()).labelled_by(title.id);
    *value != before
}

fn words<T: Copy>(first: &str, all: &[(&str, T)]) -> Vec<(String, Option<T>)> {
    let rest = all.iter().map(|(word, value)| ((*word).to_owned(), Some(*value)));
    std::iter::once((first.to_owned(), None)).chain(rest).collect()
}

const UNITS: [(&str, LeadUnit); 3] =
    [("days", LeadUnit::Days), ("weeks", LeadUnit::Weeks), ("working days", LeadUnit::Working)];
const ORDERS: [(&str, DateOrder); 3] = [
    ("day first", DateOrder::DayFirst),
    ("month first", DateOrder::MonthFirst),
    ("year first", DateOrder::YearFirst),
];

impl ListForm {
    pub(super) fn choices(&mut self, ui: &mut Ui, project: &Project) {
        ui.horizontal_wrapped(|ui| {
            if self.book.grids.len() > 1 {
                let sheets: Vec<(String, usize)> = self
                    .book
                    .grids
                    .iter()
                    .enumerate()
                    .map(|(at, g)| (g.sheet.clone().unwrap_or_default(), at))
                    .collect();
                if pick(ui, "Sheet", 130.0, &mut self.fields.sheet, &sheets) {
                    self.guess(project, None);
                }
            }
            let mut into = self.fields.setup.into;
            let kinds = [
                ("prices and lead times".to_owned(), MapInto::Prices),
                ("selections with options".to_owned(), MapInto::Selections),
            ];
            if pick(ui, "Read as", 170.0, &mut into, &kinds) {
                self.guess(project, Some(into));
            }
            let mut suppliers = vec![("not said".to_owned(), None)];
            suppliers.extend(project.suppliers.iter().map(|s| (s.name.clone(), Some(s.id))));
            if pick(ui, "Supplier", 200.0, &mut self.fields.supplier, &suppliers) {
                self.guess(project, Some(self.fields.setup.into));
            }
            let label = ui.label("Headings in row");
            let last = self.grid().rows.last().map_or(0, |r| r.number);
            let mut header = self.fields.setup.header.unwrap_or(0);
            let drag = DragValue::new(&mut header).range(0..=last).speed(0.1);
            let field = ui.add(drag).labelled_by(label.id).on_hover_text("0 when there are none");
            if field.changed() {
                self.fields.setup.header = (header > 0).then_some(header);
                let mut setup = self.fields.setup.clone();
                setup.guess_fields(self.grid(), project, self.fields.supplier);
                self.fields.setup = setup;
                self.forget_rows();
            }
        });
        ui.horizontal_wrapped(|ui| {
            let marks = [("comma", DecimalMark::Comma), ("point", DecimalMark::Point)];
            let marks = words("as the columns say", &marks);
            pick(ui, "Before decimals", 140.0, &mut self.fields.setup.decimal, &marks);
            let orders = words("as the columns say", &ORDERS);
            pick(ui, "Dates", 140.0, &mut self.fields.setup.dates, &orders);
            let units = words("nothing", &UNITS);
            pick(ui, "Leads without a word are", 110.0, &mut self.fields.setup.lead_unit, &units);
            let currency = project.settings.currency;
            ui.checkbox(&mut self.fields.setup.any_currency, format!("Take any currency as {currency}"))
                .on_hover_text("Amounts are taken as they stand; nothing is converted");
        });
    }

    /// What has to be said first, each with its answers.
    pub(super) fn questions(&mut self, ui: &mut Ui, tokens: &Tokens) {
        let Some(seen) = &self.seen else { return };
        let questions = seen.reading.questions.clone();
        for question in questions.iter().take(3) {
            ui.horizontal_wrapped(|ui| {
                let text = format!("? {}: {}", question.column, question.text);
                ui.label(RichText::new(text).color(tokens.soon));
                let setup = &mut self.fields.setup;
                match question.asks {
                    Asks::Decimal => {
                        for (name, mark) in [("A point", DecimalMark::Point), ("A comma", DecimalMark::Comma)]
                        {
                            if ui.button(name).clicked() {
                                setup.decimal = Some(mark);
                            }
                        }
                    }
                    Asks::Dates => {
                        for (name, order) in
                            [("The day", DateOrder::DayFirst), ("The month", DateOrder::MonthFirst)]
                        {
                            if ui.button(name).clicked() {
                                setup.dates = Some(order);
                            }
                        }
                    }
                    Asks::LeadUnit => {
                        for (name, unit) in UNITS {
                            if ui.button(name).clicked() {
                                setup.lead_unit = Some(unit);
                            }
                        }
                    }
                    Asks::Price => {
                        for (column, name) in question.among.iter().take(6) {
                            if ui.button(name).clicked() {
                                setup.set(*column, Some(MapField::UnitPrice));
                            }
                        }
                        if ui.button("None of them").clicked() {
                            setup.take_away(MapField::UnitPrice);
                        }
                    }
                    Asks::Discount => {
                        if ui.button("It is taken off").clicked() {
                            setup.take_away(MapField::Discount);
                        }
                        if ui.button("Take it off").clicked() {
                            setup.told_discount = true;
                        }
                    }
                    Asks::Currency => {
                        if ui.button("Take them as they stand").clicked() {
                            setup.any_currency = true;
                        }
                    }
                }
            });
        }
    }
}
