//! What stands in the cells of a row.

use super::ledger::LedgerColumn;
use super::ledger_facts::part_at;
use super::table::{Ledger, way_range};
use crate::engine::specs::{self, DecideFor};
use crate::model::OptionState;
use crate::ui::format;
use crate::ui::theme::tokens::type_size;
use crate::ui::widgets::axis::TimeAxis;
use crate::ui::widgets::need_line::{self, Way};
use crate::ui::widgets::{marks, pieces};
use egui::{Rect, RichText, Role, Sense, Ui, WidgetInfo, pos2, vec2};

impl Ledger<'_, '_> {
    /// One cell that is not being edited.
    pub(super) fn cell(&mut self, ui: &mut Ui, column: LedgerColumn, at: usize) {
        let (view, tokens) = (self.view, self.view.tokens);
        let (Some(selection), Some(own), Some(fact)) =
            (view.project.selections.get(at), view.figures.selections.get(at), self.facts.rows.get(at))
        else {
            return;
        };
        let money = |amount| format::money(amount, view.currency());
        let day = |day| format::day_short(day, view.as_of());
        let tight = fact.tightest.and_then(|p| view.figures.parts.get(p as usize));
        let sole = || fact.sole.and_then(|p| part_at(view.project, view.figures, p as usize));
        match column {
            LedgerColumn::Name => self.name(ui, at),
            LedgerColumn::Room => {
                let room = view.project.rooms.get(fact.room as usize).map_or("", |r| &r.name);
                pieces::cell(ui, room, tokens.muted);
            }
            LedgerColumn::Category => {
                pieces::cell(ui, &selection.category, tokens.muted);
            }
            LedgerColumn::Choice => match selection.live_option() {
                Some(option) => {
                    let text = match option.state {
                        OptionState::Leaning => format!("{}?", option.name),
                        _ => option.name.clone(),
                    };
                    pieces::cell(ui, text, tokens.muted);
                }
                None => {
                    let n = selection.options.len() as i32;
                    pieces::cell(ui, format::count(n, "candidate"), tokens.soon);
                }
            },
            LedgerColumn::State => {
                let (mark, _) = ui.allocate_exact_size(vec2(12.0, 14.0), Sense::hover());
                marks::standing_shape(ui.painter(), mark.center(), fact.standing, tokens);
                pieces::cell(ui, fact.standing.word(), marks::standing_color(fact.standing, tokens));
            }
            LedgerColumn::Supplier => {
                let name = fact.supplier.and_then(|s| view.project.suppliers.get(s as usize));
                pieces::cell(ui, name.map_or("", |s| &s.name), tokens.muted);
            }
            LedgerColumn::Phase => {
                let name = fact.phase.and_then(|p| view.project.phases.get(p as usize));
                pieces::cell(ui, name.map_or("", |p| &p.name), tokens.muted);
            }
            LedgerColumn::Price => {
                if let Some((_, _, part)) = sole() {
                    let per = if part.unit.is_empty() { String::new() } else { format!("one {}", part.unit) };
                    pieces::cell(ui, part.unit_price.map_or(String::new(), money), tokens.text)
                        .on_hover_text(per);
                }
            }
            LedgerColumn::Lead => {
                if let Some((_, _, part)) = sole() {
                    pieces::cell(
                        ui,
                        part.lead.map_or(String::new(), |n| format::lead(n, part.lead_unit)),
                        tokens.text,
                    );
                }
            }
            LedgerColumn::Allowance => {
                pieces::cell(ui, money(selection.allowance), tokens.muted);
            }
            LedgerColumn::Chosen | LedgerColumn::Ordered => {
                let chosen = column == LedgerColumn::Chosen;
                let sum = if chosen { own.money.chosen } else { own.money.ordered };
                // What is not ordered yet leaves nothing out of what is.
                let open = if chosen || !sum.is_zero() { own.money.unpriced } else { 0 };
                let text = format::least(money(sum), sum.is_zero(), open);
                amount(ui, sum.is_zero(), text, tokens);
            }
            LedgerColumn::Paid => amount(ui, own.money.paid.is_zero(), money(own.money.paid), tokens),
            LedgerColumn::Forecast => {
                let above = own.money.is_over();
                // The arrow says what the color does.
                let (forecast, open) = (own.money.forecast, own.money.left_out);
                let text = format::least(money(forecast), forecast.is_zero(), open);
                let (text, color) = match above {
                    true => (format!("\u{2191} {text}"), tokens.late),
                    false => (text, tokens.text),
                };
                let cell = pieces::cell(ui, text, color);
                let without = match open {
                    0 => String::new(),
                    n => format!("At least: {} in it without a price; ", format::count(n as usize, "thing")),
                };
                let stands = match own.money.allowance.is_zero() {
                    true => "no allowance is set".to_owned(),
                    false => format::over_under(own.money.over_under(), view.currency()),
                };
                cell.on_hover_text(without + &stands);
            }
            LedgerColumn::OverUnder if own.money.allowance.is_zero() => {}
            LedgerColumn::OverUnder => {
                pieces::over_under(ui, tokens, own.money.over_under(), view.currency());
            }
            LedgerColumn::DecideOn => {
                if let Some(on) = selection.decide_on {
                    let on = crate::engine::Day::from(on);
                    let past = !own.chosen && on < view.as_of();
                    let text = if past { format!("{} \u{2022}", day(on)) } else { day(on) };
                    let cell = pieces::cell(ui, text, if past { tokens.soon } else { tokens.muted });
                    if past {
                        cell.on_hover_text("This day is past, and nothing is chosen");
                    }
                }
            }
            LedgerColumn::KnownBy => {
                if let Some(by) = view.figures.spec_facts(view.project).first_open(selection) {
                    let color = pieces::in_hand_color(by.since(view.as_of()), tokens, tokens.muted);
                    let open = format::count(own.decide.open as i32, "thing");
                    pieces::cell(ui, day(by), color).on_hover_text(format!("{open} to be told"));
                }
            }
            LedgerColumn::OrderBy => {
                if let Some((days, order_by)) = own.days_in_hand.zip(own.order_by) {
                    let color = pieces::in_hand_color(days, tokens, tokens.text);
                    let cell = pieces::cell(
                        ui,
                        pieces::order_by_text(order_by, days, own.waits_from, view.as_of()),
                        color,
                    );
                    let spec = matches!(own.decide.reason, Some(DecideFor::Spec(_)));
                    let why = specs::reason_words(view.project, view.figures, own).filter(|_| spec);
                    let mut words = match own.waits_from {
                        _ if own.decide.by == Some(order_by) && why.is_some() => {
                            format!("to be decided by {}: {}", day(order_by), why.unwrap_or_default())
                        }
                        Some(from) => format!(
                            "needed an order by {}, but it cannot be ordered before {}",
                            day(order_by),
                            day(from)
                        ),
                        None => format!("{}, {}", day(order_by), format::days_in_hand(days)),
                    };
                    if own.too_late > 0 && days >= 0 {
                        let late = format::count(own.too_late as i32, "candidate");
                        words += &format!("; {late} can no longer be in time");
                    }
                    cell.on_hover_text(words);
                }
            }
            LedgerColumn::OrderBySure => {
                if let Some(by) = view.order_by_sure(at) {
                    let color = pieces::in_hand_color(by.since(view.as_of()), tokens, tokens.text);
                    let percent = view.project.settings.confidence;
                    let words = format!("{}, so that it comes in time with {percent} percent", day(by));
                    pieces::cell(ui, day(by), color).on_hover_text(words);
                }
            }
            LedgerColumn::Needed => {
                if let Some(need) = tight.and_then(|f| f.need_date) {
                    pieces::cell(ui, day(need), tokens.text);
                }
            }
            LedgerColumn::Arrives => {
                if let Some(f) = tight {
                    let came = matches!(
                        fact.standing,
                        crate::ui::standing::Standing::OnSite | crate::ui::standing::Standing::BuiltIn
                    );
                    let text = match f.arrival {
                        Some(arrival) if came => format!("\u{2713} {}", day(arrival)),
                        _ => format::expected(f, view.as_of()),
                    };
                    pieces::cell(ui, text, if f.late { tokens.late } else { tokens.muted });
                }
            }
            LedgerColumn::Way => {}
        }
    }

    fn name(&mut self, ui: &mut Ui, at: usize) {
        let Some(selection) = self.view.project.selections.get(at) else { return };
        let marked = self.session.ledger.marked.contains(&selection.id);
        let text = if Some(at) == self.picked || marked {
            pieces::strong(&selection.name, type_size::BODY)
        } else {
            RichText::new(&selection.name)
        };
        // The name is the row's button, so that the ledger works from the keyboard.
        let least = vec2(0.0, 24.0);
        let name = ui.add(egui::Button::new(text).frame(false).truncate().min_size(least));
        name.widget_info(|| {
            let picked = Some(at) == self.picked;
            WidgetInfo::selected(Role::Button, true, picked, self.spoken(at))
        });
        if name.clicked() || (name.gained_focus() && self.session.selection != Some(selection.id)) {
            self.click(ui, selection.id);
        }
        if name.double_clicked() {
            super::edit::begin(self.view, self.session, LedgerColumn::Name, at);
        }
        self.menu(&name, at);
    }

    /// A row as one sentence: what it is, how it stands, its money and its days.
    fn spoken(&self, at: usize) -> String {
        let view = self.view;
        let (Some(selection), Some(own), Some(fact)) =
            (view.project.selections.get(at), view.figures.selections.get(at), self.facts.rows.get(at))
        else {
            return String::new();
        };
        let day = |day| format::day_short(day, view.as_of());
        let mut words = vec![selection.name.clone(), fact.standing.word().to_owned()];
        if let Some(option) = selection.live_option() {
            words.push(option.name.clone());
        }
        let (forecast, open) = (own.money.forecast, own.money.left_out);
        words.push(format::least(format::money(forecast, view.currency()), forecast.is_zero(), open));
        if let Some(by) = own.order_by {
            words.push(format!("order by {}", day(by)));
        }
        if let Some(f) = fact.tightest.and_then(|p| view.figures.parts.get(p as usize)) {
            words.push(format!("arrives {}", format::expected(f, view.as_of())));
            words.extend(f.need_date.map(|need| format!("needed {}", day(need))));
        } else if let Some(need) = fact.open.and_then(|open| open.need) {
            words.push(format!("needed {}", day(need)));
        }
        words.join(", ")
    }

    /// All parts that count on one line: the one that is the tightest is drawn.
    pub(super) fn way(&self, ui: &mut Ui, at: usize, rect: Rect) {
        let (view, tokens) = (self.view, self.view.tokens);
        let axis = TimeAxis::new(self.axis_days.0, self.axis_days.1, way_range(rect));
        let painter = ui.painter_at(rect);
        axis.paint_month_lines(&painter, rect.y_range(), tokens);
        need_line::paint_as_of(&painter, &axis, view.as_of(), rect.y_range(), tokens.muted);
        let Some(fact) = self.facts.rows.get(at) else { return };
        let row =
            Rect::from_min_max(pos2(rect.left(), rect.top() + 5.0), pos2(rect.right(), rect.bottom() - 5.0));
        if let Some(open) = &fact.open {
            need_line::paint_open(&painter, &axis, row, open, tokens);
        }
        let Some(part_place) = fact.tightest.map(|p| p as usize) else { return };
        let Some((selection, _, part)) = part_at(view.project, view.figures, part_place) else { return };
        let Some(f) = view.figures.parts.get(part_place) else { return };
        let way = Way { range: None, used: f.need_date, ..Way::of(view, selection, part, part_place, f) };
        way.paint(&painter, &axis, row, 7.0, tokens);
    }
}

fn amount(ui: &mut Ui, zero: bool, text: String, tokens: &crate::ui::theme::Tokens) {
    pieces::cell(ui, text, if zero { tokens.muted } else { tokens.text });
}
