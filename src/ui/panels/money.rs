//! Money: the columns by room, supplier, category or phase, the contingency, and what falls due when.

use crate::engine::money::Columns;
use crate::model::Money;
use crate::ui::format;
use crate::ui::session::{MoneyBy, Session};
use crate::ui::theme::tokens::{space, type_size};
use crate::ui::view::{Outbox, View};
use crate::ui::widgets::pieces;
use egui::{Layout, RichText, Ui};
use egui_extras::{Column, TableBuilder};
use rust_decimal::prelude::ToPrimitive;

/// Draws the work area.
pub fn ui(ui: &mut Ui, view: &View<'_>, session: &mut Session, out: &mut Outbox) {
    egui::ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
        summary(ui, view);
        ui.add_space(space::M);
        ui.horizontal(|ui| {
            for (by, name) in MoneyBy::ALL {
                if ui.selectable_label(session.money_by == by, name).clicked() {
                    session.money_by = by;
                }
            }
        });
        ui.add_space(space::S);
        table(ui, view, session);
        ui.add_space(space::L);
        cash_flow(ui, view);
        ui.add_space(space::L);
        super::quotes::ui(ui, view, out);
        ui.add_space(space::L);
    });
}

fn summary(ui: &mut Ui, view: &View<'_>) {
    let money = &view.figures.money;
    let currency = view.currency();
    let total = &money.total;
    let narrow = is_narrow(ui);
    let per_row: usize = if ui.available_width() < 540.0 { 3 } else { 6 };
    ui.columns(per_row, |columns| {
        let mut next = 0;
        let mut fact = |label: &str, amount: Money, rule: &str| {
            let Some(ui) = columns.get_mut(next % per_row) else { return };
            next += 1;
            ui.vertical(|ui| {
                ui.spacing_mut().item_spacing.y = 0.0;
                pieces::muted(ui, view.tokens, label);
                let (text, size) = if narrow {
                    (format::money_short(amount), 15.0)
                } else {
                    (format::money(amount, currency), 16.0)
                };
                ui.add(egui::Label::new(pieces::strong(text, size)).truncate());
            })
            .response
            .on_hover_text(format!("{rule}: {}", format::money(amount, currency)));
        };
        fact(
            "Allowance",
            total.allowance,
            "What was set aside for all selections, accepted quotes and permits",
        );
        fact(
            "Chosen",
            total.chosen,
            "Goods, freight and tax of what is chosen, accepted quotes, permits and extras",
        );
        fact("Ordered", total.ordered, "The part of it that is ordered or agreed");
        fact("Paid", total.paid, "What has been paid");
        fact("To pay", total.to_pay(), "Ordered less paid");
        fact(
            "Forecast",
            total.forecast,
            "What is chosen, else likely, else the allowance; and what was ordered besides",
        );
    });
    ui.add_space(space::M);
    contingency(ui, view);
}

/// Whether there is no room for cents in every column; they are then shown on hover.
fn is_narrow(ui: &Ui) -> bool {
    ui.available_width() < 800.0
}

fn contingency(ui: &mut Ui, view: &View<'_>) {
    let (tokens, currency) = (view.tokens, view.currency());
    let money = &view.figures.money;
    let (reserve, left) = (money.contingency, money.contingency_left);
    let share = |a: Money, b: Money| {
        if b.is_zero() { 0.0 } else { (a.amount() / b.amount()).to_f32().unwrap_or(0.0) }
    };
    let tone = if left.is_negative() { tokens.late } else { tokens.good };
    ui.horizontal(|ui| {
        ui.label(format!("Contingency {} of {}", format::money(left, currency), format::money(reserve, currency)));
        let (rect, response) = ui.allocate_exact_size(
            egui::vec2((ui.available_width() - 130.0).clamp(40.0, 220.0), 10.0),
            egui::Sense::hover(),
        );
        let painter = ui.painter();
        painter.rect(rect, 3.0, tokens.hovered, egui::Stroke::new(1.0, tokens.line), egui::StrokeKind::Inside);
        let mut bar = rect;
        bar.set_width(rect.width() * share(left, reserve).clamp(0.0, 1.0));
        painter.rect_filled(bar, 3.0, tone);
        let word = if left.is_negative() { "used up" } else { "left" };
        ui.label(RichText::new(format!("{:.0} percent {word}", share(left, reserve).abs() * 100.0)).color(tone));
        let percent = view.project.settings.contingency_pct.normalize();
        response.on_hover_text(format!(
            "{percent} percent of the allowances, less what is over them, extras included. For a house of 30 years or \
             more, a lender may ask for 10 to 20 percent of the repair cost (HUD Handbook 4000.1 II.A.8)."
        ));
    });
}

/// Name and columns of each row that is not all zero.
fn rows(view: &View<'_>, by: MoneyBy) -> Vec<(String, Columns)> {
    let money = &view.figures.money;
    let named = |names: Vec<&str>, columns: &[Columns], rest: &str| {
        let names = names.into_iter().map(str::to_owned).chain(std::iter::once(rest.to_owned()));
        names.zip(columns.iter().copied()).filter(|(_, c)| *c != Columns::default()).collect()
    };
    let project = view.project;
    match by {
        MoneyBy::Room => named(
            project.rooms.iter().map(|r| r.name.as_str()).collect(),
            &money.by_room,
            "Trades, permits and extras",
        ),
        MoneyBy::Supplier => named(
            project.suppliers.iter().map(|s| s.name.as_str()).collect(),
            &money.by_supplier,
            "Trades, fees and what has no supplier yet",
        ),
        MoneyBy::Phase => {
            named(project.phases.iter().map(|p| p.name.as_str()).collect(), &money.by_phase, "No phase yet")
        }
        MoneyBy::Category => money
            .by_category
            .iter()
            .map(|(name, c)| (if name.is_empty() { "Other".to_owned() } else { name.clone() }, *c))
            .collect(),
    }
}

/// A column: its title and how it is read.
type Titled = (&'static str, fn(&Columns) -> Money);

fn table(ui: &mut Ui, view: &View<'_>, session: &Session) {
    let rows = rows(view, session.money_by);
    let (tokens, currency) = (view.tokens, view.currency());
    let narrow = is_narrow(ui);
    let mut shown_columns: Vec<Titled> = vec![
        ("Allowance", |c| c.allowance),
        ("Chosen", |c| c.chosen),
        ("Ordered", |c| c.ordered),
        ("Paid", |c| c.paid),
        ("To pay", Columns::to_pay),
        ("Forecast", |c| c.forecast),
    ];
    if ui.available_width() < 540.0 {
        // The sums of those left out stand above the table.
        shown_columns.retain(|(title, _)| !matches!(*title, "Chosen" | "To pay"));
    }
    let shown = |amount: Money| {
        if narrow { format::money_short(amount) } else { format::money(amount, currency) }
    };
    let number = |ui: &mut Ui, amount: Money, strong: bool| {
        ui.with_layout(Layout::right_to_left(egui::Align::Center), |ui| {
            let text = shown(amount);
            let color = if amount.is_zero() { tokens.muted } else { tokens.text };
            let text = if strong { pieces::strong(text, type_size::BODY) } else { RichText::new(text) };
            let label = ui.add(egui::Label::new(text.color(color)).selectable(true));
            if narrow {
                label.on_hover_text(format::money(amount, currency));
            }
        });
    };
    let line = |row: &mut egui_extras::TableRow<'_, '_>, name: &str, c: &Columns, strong: bool| {
        row.col(|ui| {
            let text = if strong { pieces::strong(name, type_size::BODY) } else { RichText::new(name) };
            ui.add(egui::Label::new(text).truncate());
        });
        for (_, amount) in &shown_columns {
            row.col(|ui| number(ui, amount(c), strong));
        }
        row.col(|ui| {
            let over = c.over_under();
            let (word, tone) = if over.is_zero() {
                (String::new(), tokens.muted)
            } else if over.is_negative() {
                (format!("{} under", shown(Money::ZERO.less(over))), tokens.good)
            } else {
                (format!("{} over", shown(over)), tokens.late)
            };
            ui.with_layout(Layout::right_to_left(egui::Align::Center), |ui| {
                ui.label(RichText::new(word).color(tone));
            });
        });
    };
    ui.push_id(("money", session.money_by, shown_columns.len()), |ui| {
        ui.spacing_mut().item_spacing.x = if narrow { 4.0 } else { 8.0 };
        TableBuilder::new(ui)
            .vscroll(false)
            .striped(true)
            .cell_layout(Layout::left_to_right(egui::Align::Center))
            .column(Column::remainder().at_least(if narrow { 84.0 } else { 110.0 }).clip(true))
            .columns(Column::exact(if narrow { 60.0 } else { 88.0 }), shown_columns.len())
            .column(Column::exact(if narrow { 90.0 } else { 122.0 }))
            .header(24.0, |mut header| {
                header.col(|_| {});
                let titles = shown_columns.iter().map(|(title, _)| *title);
                for title in titles.chain(std::iter::once("Over or under")) {
                    header.col(|ui| {
                        ui.with_layout(Layout::right_to_left(egui::Align::Center), |ui| {
                            pieces::group_title(ui, tokens, title);
                        });
                    });
                }
            })
            .body(|body| {
                body.rows(24.0, rows.len() + 1, |mut row| match rows.get(row.index()) {
                    Some((name, columns)) => line(&mut row, name, columns, false),
                    None => line(&mut row, "All", &view.figures.money.total, true),
                });
            });
    });
}

fn cash_flow(ui: &mut Ui, view: &View<'_>) {
    ui.label(pieces::strong("What falls due, by week", 15.0));
    let cash = &view.figures.cash;
    if cash.is_empty() {
        pieces::muted(ui, view.tokens, "Nothing is left to pay.");
        return;
    }
    pieces::muted(
        ui,
        view.tokens,
        "Deposits when ordering, balances on delivery or after the supplier's net days, quotes when their phase is done. Allowances of what is undecided are not in it.",
    );
    let currency = view.currency();
    let near = view.as_of();
    let first = cash[0].monday;
    let float = |m: Money| m.amount().to_f64().unwrap_or(0.0);
    let week = |day: crate::engine::Day| f64::from(day.since(first)) / 7.0;
    let bars: Vec<egui_plot::Bar> = cash
        .iter()
        .map(|w| {
            egui_plot::Bar::new(week(w.monday), float(w.due)).width(0.8).fill(view.tokens.bar).name(format!(
                "week of {}: {} {currency}, {} so far",
                format::day_short(w.monday, near),
                format::money(w.due, currency),
                format::money(w.cumulative, currency)
            ))
        })
        .collect();
    let chart = egui_plot::BarChart::new("due", bars)
        .color(view.tokens.bar)
        .element_formatter(Box::new(|bar, _| bar.name.clone()));
    egui_plot::Plot::new("cash_flow")
        .height(170.0)
        .allow_drag(false)
        .allow_zoom(false)
        .allow_scroll(false)
        .allow_boxed_zoom(false)
        .show_x(false)
        .show_y(false)
        .include_y(0.0)
        .show_grid([false, true])
        .x_axis_formatter(move |mark, _| {
            let days = (mark.value * 7.0).round();
            if (mark.value - mark.value.round()).abs() > 0.01 || !(-1e6..1e6).contains(&days) {
                return String::new();
            }
            format::day_short(first.plus(days as i32), near)
        })
        .y_axis_formatter(|mark, _| {
            rust_decimal::Decimal::try_from(mark.value)
                .map_or(String::new(), |d| format::money_short(Money::new(d)))
        })
        .show(ui, |plot| plot.bar_chart(chart));
}
