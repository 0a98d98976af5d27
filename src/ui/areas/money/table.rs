//! The columns by room, supplier, category or phase, with what each row is made of.

use super::is_narrow;
use super::lines::{self, Line, Place};
use crate::engine::money::Columns;
use crate::model::Money;
use crate::ui::format;
use crate::ui::pictures::{self, Pictured};
use crate::ui::session::{MoneyRows, Session};
use crate::ui::theme::{Tokens, tokens::type_size};
use crate::ui::view::{Form, Outbox, View};
use crate::ui::widgets::{marks, pieces};
use egui::{Layout, RichText, Role, Sense, Ui, WidgetInfo, vec2};
use egui_extras::{Column, TableBuilder, TableRow};

/// A column: its title, its rule and how it is read.
type Titled = (&'static str, &'static str, fn(&Columns) -> Money);

const COLUMNS: [Titled; 6] = [
    ("Allowance", "What was set aside, tax and freight included", |c| c.allowance),
    ("Chosen", "Goods, freight and tax of what is chosen", |c| c.chosen),
    ("Ordered", "The part of it that is ordered or agreed", |c| c.ordered),
    ("Paid", "What has been paid", |c| c.paid),
    ("To pay", "Ordered less paid", Columns::to_pay),
    ("Forecast", format::FORECAST, |c| c.forecast),
];

/// Points the table is wide at the most.
const WIDEST: f32 = 1000.0;

/// Draws the table.
pub fn ui(ui: &mut Ui, view: &View<'_>, session: &mut Session, out: &mut Outbox) {
    let key = (view.derived.key(), session.money_by, session.money_open.clone());
    if session.money_rows.as_ref().is_none_or(|(known, _)| *known != key) {
        let rows = lines::rows(view, session.money_by, &session.money_open);
        session.money_rows = Some((key, rows.into()));
    }
    let rows: MoneyRows = match &session.money_rows {
        Some((_, rows)) => rows.clone(),
        None => return,
    };
    let narrow = is_narrow(ui);
    let mut shown: Vec<Titled> = COLUMNS.to_vec();
    let tight = ui.available_width() < 540.0;
    if tight {
        // The sums of those left out stand above the table.
        shown.retain(|(title, ..)| !matches!(*title, "Chosen" | "To pay"));
    }
    let widths = match (tight, narrow) {
        (true, _) => (56.0, 78.0),
        (_, true) => (60.0, 90.0),
        _ => (82.0, 122.0),
    };
    let mut table = Lines { view, shown: &shown, narrow, out, session };
    let least = rows.iter().any(|row| match row {
        Line::Head(_, _, columns) | Line::Item(_, columns, _) => columns.left_out > 0,
        Line::More(_) => false,
    });
    ui.push_id(("money", table.session.money_by, shown.len()), |ui| {
        ui.spacing_mut().item_spacing.x = if narrow { 4.0 } else { 8.0 };
        // Beyond that, figures stand too far from the names they are of.
        ui.set_max_width(ui.available_width().min(WIDEST));
        TableBuilder::new(ui)
            .vscroll(false)
            .striped(true)
            // Not by the keyboard, for which each row has the button of its name.
            .sense(Sense::CLICK)
            .cell_layout(Layout::left_to_right(egui::Align::Center))
            .column(Column::remainder().at_least(if narrow { 84.0 } else { 110.0 }).clip(true))
            .columns(Column::exact(widths.0), shown.len())
            .column(Column::exact(widths.1))
            .header(24.0, |mut header| {
                header.col(|_| {});
                let last = ("Over or under", "Forecast less allowance");
                let titles = shown.iter().map(|(title, rule, _)| (*title, *rule));
                for (title, rule) in titles.chain(std::iter::once(last)) {
                    header.col(|ui| {
                        ui.with_layout(Layout::right_to_left(egui::Align::Center), |ui| {
                            pieces::group_title(ui, view.tokens, title).on_hover_text(rule);
                        });
                    });
                }
            })
            .body(|body| {
                body.rows(24.0, rows.len() + 1, |mut row| match rows.get(row.index()) {
                    Some(line) => table.line(&mut row, line),
                    None => {
                        row.col(|ui| {
                            ui.label(pieces::strong("All", type_size::BODY));
                        });
                        table.amounts(&mut row, &view.figures.money.total, true);
                    }
                });
            });
    });
    if least {
        pieces::muted(ui, view.tokens, "+ at least: something in it has no price");
    }
}

/// Of how many things in a column nobody has said the price.
fn open((title, ..): &Titled, columns: &Columns) -> u32 {
    match *title {
        "Forecast" => columns.left_out,
        "Chosen" | "Ordered" => columns.unpriced,
        _ => 0,
    }
}

struct Lines<'a, 'v> {
    view: &'a View<'v>,
    shown: &'a [Titled],
    narrow: bool,
    out: &'a mut Outbox,
    session: &'a mut Session,
}

impl Lines<'_, '_> {
    fn line(&mut self, row: &mut TableRow<'_, '_>, line: &Line) {
        match line {
            Line::Head(at, name, columns) => {
                row.col(|ui| self.head(ui, *at, name, columns));
                self.amounts(row, columns, false);
                if row.response().clicked() {
                    self.turn(*at);
                }
            }
            Line::Item(name, columns, place) => {
                row.col(|ui| self.item(ui, name, columns, *place));
                self.amounts(row, columns, false);
                if row.response().clicked() {
                    self.lead(*place);
                }
            }
            Line::More(n) => {
                row.col(|ui| {
                    ui.add_space(22.0);
                    pieces::muted(ui, self.view.tokens, format!("and {n} more, all of them in House"));
                });
                for _ in 0..=self.shown.len() {
                    row.col(|_| {});
                }
            }
        }
    }

    fn head(&mut self, ui: &mut Ui, at: usize, name: &str, columns: &Columns) {
        let key = (self.session.money_by, at);
        let open = self.session.money_open.contains(&key);
        let (mark, _) = ui.allocate_exact_size(vec2(12.0, 14.0), Sense::hover());
        marks::fold(ui.painter(), mark.center(), !open, self.view.tokens.muted);
        ui.spacing_mut().item_spacing.x = 2.0;
        let text = if open { pieces::strong(name, type_size::BODY) } else { RichText::new(name) };
        let button = ui.add(egui::Button::new(text).frame(false).truncate());
        let spoken = format!("{} {name}, {}", if open { "Close" } else { "Open" }, self.spoken(columns));
        button.widget_info(|| WidgetInfo::labeled(Role::Button, true, &spoken));
        if button.on_hover_text("What it is made of").clicked() {
            self.turn(at);
        }
    }

    /// Opens a row into its lines, or closes it; the card shows what it is about.
    fn turn(&mut self, at: usize) {
        let key = (self.session.money_by, at);
        if let Some(subject) = lines::subject(self.view.project, key.0, at) {
            self.session.follow(subject);
        }
        if !self.session.money_open.remove(&key) {
            self.session.money_open.insert(key);
        }
    }

    /// Goes to what a line is about.
    fn lead(&mut self, place: Place) {
        match place {
            Place::Show(subject) => self.out.show(subject),
            Place::Edit(form) => self.out.edit(form),
        }
    }

    /// The figures of a row in one sentence.
    fn spoken(&self, columns: &Columns) -> String {
        let money = |amount| format::money(amount, self.view.currency());
        let mut words: Vec<String> = COLUMNS
            .iter()
            .map(|column @ (title, _, amount)| (title.to_lowercase(), amount(columns), open(column, columns)))
            .filter(|(_, amount, open)| !amount.is_zero() || *open > 0)
            .map(|(title, amount, open)| match (open, amount.is_zero()) {
                (0, _) => format!("{title} {}", money(amount)),
                (_, true) => format!("{title} not said"),
                (_, false) => format!("{title} at least {}", money(amount)),
            })
            .collect();
        let over = columns.over_under();
        if !over.is_zero() {
            words.push(format::over_under(over, self.view.currency()));
        }
        words.join(", ")
    }

    fn item(&mut self, ui: &mut Ui, name: &str, columns: &Columns, place: Place) {
        ui.add_space(18.0);
        if let Place::Edit(Form::Change(Some(id), _)) = place
            && let Some(change) = self.view.project.change(id)
        {
            pictures::link(ui, self.view.tokens, self.view.project, Pictured::Change(change.id), self.out);
        }
        let text = RichText::new(name).color(self.view.tokens.muted);
        let button = ui.add(egui::Button::new(text).frame(false).truncate());
        let spoken = format!("{name}, {}", self.spoken(columns));
        button.widget_info(|| WidgetInfo::labeled(Role::Button, true, spoken.trim_end_matches(", ")));
        if button.clicked() {
            self.lead(place);
        }
    }

    fn shown(&self, amount: Money) -> String {
        if self.narrow { format::money_short(amount) } else { format::money(amount, self.view.currency()) }
    }

    fn amounts(&self, row: &mut TableRow<'_, '_>, columns: &Columns, strong: bool) {
        let tokens: &Tokens = self.view.tokens;
        for column in self.shown {
            row.col(|ui| self.number(ui, column.2(columns), open(column, columns), strong));
        }
        row.col(|ui| {
            let over = columns.over_under();
            if over.is_zero() {
                return;
            }
            let (word, tone) = if over.is_negative() {
                (format!("{} under", self.shown(over.abs())), tokens.good)
            } else {
                (format!("{} over", self.shown(over)), tokens.late)
            };
            ui.with_layout(Layout::right_to_left(egui::Align::Center), |ui| {
                ui.add(egui::Label::new(RichText::new(word).color(tone)).selectable(false));
            });
        });
    }

    /// An amount, without `open` things of which nobody has said the price: it is then the least it can be.
    fn number(&self, ui: &mut Ui, amount: Money, open: u32, strong: bool) {
        let tokens = self.view.tokens;
        ui.with_layout(Layout::right_to_left(egui::Align::Center), |ui| {
            let text = format::least(self.shown(amount), amount.is_zero(), open);
            let color = if amount.is_zero() { tokens.muted } else { tokens.text };
            let text = if strong { pieces::strong(text, type_size::BODY) } else { RichText::new(text) };
            let label = ui.add(egui::Label::new(text.color(color)).selectable(false));
            if open > 0 {
                let least = format::money(amount, self.view.currency());
                let without = format::count(open as usize, "thing");
                label.on_hover_text(format!("At least {least}: {without} in it without a price"));
            } else if self.narrow {
                label.on_hover_text(format::money(amount, self.view.currency()));
            }
        });
    }
}
