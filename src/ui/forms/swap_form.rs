//! The form of a swap: what another choice would cost in money and days and what else it touches, before it is made.

use super::fields;
use crate::engine::returns::Terms;
use crate::engine::swap::{self, Fate, Price, SwapPreview, Wish};
use crate::engine::{Day, Figures};
use crate::exchange::outgoing::json::swaps::{Words, terms_words};
use crate::model::{
    Action, Currency, Drawing, Money, OptionId, PartId, Project, ReturnState, SelectionId, SwapId,
};
use crate::ui::format;
use crate::ui::pictures::Pictures;
use crate::ui::theme::{Tokens, tokens::type_size};
use crate::ui::widgets::{drawn, pieces};
use egui::{Color32, RichText, Role, Sense, Ui, Vec2, WidgetInfo};
use std::sync::Arc;

/// Points of the picture of each side.
const SEEN: f32 = 76.0;

/// A swap that is thought of, with its preview kept until something is changed.
pub struct SwapForm {
    figures: Arc<Figures>,
    wish: Wish,
    fates: Vec<FateRow>,
    prices: Vec<PriceRow>,
    shown: Option<(Wish, Result<SwapPreview, String>)>,
}

struct FateRow {
    part: PartId,
    name: String,
    state: ReturnState,
    freight: String,
}

struct PriceRow {
    key: String,
    cost: String,
    days: String,
}

impl SwapForm {
    /// Opens the form; `None` when there is nothing to swap.
    pub fn new(
        project: &Project,
        figures: &Arc<Figures>,
        selection: SelectionId,
        to: OptionId,
        reverses: Option<SwapId>,
    ) -> Option<SwapForm> {
        let wish = Wish { reverses, ..Wish::new(selection, to, figures.as_of.date()) };
        let from = project.selection(selection)?.choice()?;
        let ordered = from.parts.iter().filter(|p| p.is_ordered());
        let fates = ordered.map(|p| {
            let known = project.returns.iter().find(|r| r.part == p.id);
            FateRow {
                part: p.id,
                name: p.name.clone(),
                state: known.map_or(ReturnState::ToDecide, |r| r.state),
                freight: known.map_or(String::new(), |r| {
                    if r.freight.is_zero() { String::new() } else { r.freight.amount().to_string() }
                }),
            }
        });
        let mut form = SwapForm {
            figures: figures.clone(),
            wish,
            fates: fates.collect(),
            prices: Vec::new(),
            shown: None,
        };
        let first = swap::preview(project, figures, &form.wish).map_err(|e| e.to_string());
        if let Ok(preview) = &first {
            let row =
                |k: &swap::KnockOn| PriceRow { key: k.key.clone(), cost: String::new(), days: String::new() };
            form.prices = preview.knock_ons.iter().filter(|k| k.priced).map(row).collect();
        }
        form.shown = Some((form.wish.clone(), first));
        Some(form)
    }

    /// The wish as the fields have it.
    fn read(&self) -> Result<Wish, String> {
        let mut wish = self.wish.clone();
        wish.fates.clear();
        wish.prices.clear();
        for row in &self.fates {
            let freight = fields::amount("Return freight", &row.freight)?;
            wish.fates.push(Fate { part: row.part, state: row.state, freight });
        }
        for row in &self.prices {
            let cost = fields::amount("Cost", &row.cost)?;
            let days = fields::working_days::<u16>("Days", &row.days)?.map_or(0, i32::from);
            if !cost.is_zero() || days > 0 {
                wish.prices.push(Price { key: row.key.clone(), cost, days });
            }
        }
        Ok(wish)
    }

    /// The preview for what the fields have now.
    fn look(&mut self, project: &Project) -> Result<&SwapPreview, String> {
        let wish = self.read()?;
        if self.shown.as_ref().is_none_or(|(known, _)| *known != wish) {
            let preview = swap::preview(project, &self.figures, &wish).map_err(|e| e.to_string());
            self.shown = Some((wish, preview));
        }
        match &self.shown {
            Some((_, Ok(preview))) => Ok(preview),
            Some((_, Err(why))) => Err(why.clone()),
            None => Err("there is nothing to show".to_owned()),
        }
    }

    /// Draws the two options side by side: what was chosen, and what is to be chosen in its place.
    pub fn seen(&mut self, ui: &mut Ui, project: &Project, tokens: &Tokens, pictures: &mut Pictures) {
        let Some(selection) = project.selection(self.wish.selection) else { return };
        let to = selection.options.iter().find(|o| o.id == self.wish.to);
        let sides = [("From", selection.choice()), ("To", to)];
        ui.columns(2, |columns| {
            for (ui, (word, option)) in columns.iter_mut().zip(sides) {
                let Some(option) = option else { continue };
                ui.horizontal_top(|ui| {
                    let (rect, image) = ui.allocate_exact_size(Vec2::splat(SEEN), Sense::hover());
                    let told = match option.picture.is_empty() {
                        true => Drawing::of(project, selection, option).told(&option.finish),
                        false => format!("Picture of {}", option.name),
                    };
                    let told = format!("{told}; {}", word.to_lowercase());
                    image.widget_info(|| WidgetInfo::labeled(Role::Image, true, &told));
                    drawn::still(ui, tokens, pictures, (project, selection), option, rect);
                    ui.vertical(|ui| {
                        ui.spacing_mut().item_spacing.y = 1.0;
                        pieces::muted(ui, tokens, word);
                        ui.add(egui::Label::new(pieces::strong(&option.name, 14.0)).wrap());
                        if !option.finish.is_empty() {
                            let finish = RichText::new(&option.finish).size(type_size::SMALL);
                            ui.add(egui::Label::new(finish.color(tokens.muted)).wrap());
                        }
                    });
                });
            }
        });
        ui.add_space(6.0);
    }

    /// Draws the fields.
    pub fn ui(&mut self, ui: &mut Ui, project: &Project, tokens: &Tokens) {
        fields::text_hint(ui, "Why", &mut self.wish.why, "for the log; may stay empty");
        let as_of = self.figures.as_of;
        let preview = match self.look(project) {
            Ok(preview) => preview.clone(),
            Err(why) => {
                ui.add(egui::Label::new(RichText::new(why).color(tokens.late)).wrap());
                return;
            }
        };
        money_and_days(ui, project, tokens, as_of, &preview);
        self.returns_ui(ui, project, tokens, as_of, &preview);
        self.knock_ons_ui(ui, tokens, &preview);
    }

    fn returns_ui(
        &mut self,
        ui: &mut Ui,
        project: &Project,
        tokens: &Tokens,
        as_of: Day,
        preview: &SwapPreview,
    ) {
        if self.fates.is_empty() {
            return;
        }
        fields::section(ui, tokens, "What was ordered for the old choice");
        let currency = project.settings.currency;
        for row in &mut self.fates {
            ui.add(egui::Label::new(pieces::strong(&row.name, 14.0)).wrap());
            let terms = preview.returns.iter().find(|r| r.part == row.part).map(|r| r.terms);
            let words = terms.map_or(String::new(), |t| return_words(&t, as_of, currency));
            ui.add(
                egui::Label::new(RichText::new(words).color(terms.map_or(tokens.text, |t| tone(&t, tokens))))
                    .wrap(),
            );
            ui.push_id(row.part, |ui| {
                let states: Vec<(String, ReturnState)> = ReturnState::ALL
                    .iter()
                    .filter(|(_, state)| *state != ReturnState::WentBack)
                    .map(|(_, state)| (fate_words(*state, terms.is_some_and(|t| t.came)).to_owned(), *state))
                    .collect();
                fields::choice(ui, "What becomes of it", &mut row.state, &states);
                if row.state == ReturnState::GoingBack {
                    fields::text_hint(ui, "Freight back", &mut row.freight, "0");
                }
            });
        }
    }

    fn knock_ons_ui(&mut self, ui: &mut Ui, tokens: &Tokens, preview: &SwapPreview) {
        if preview.knock_ons.is_empty() {
            return;
        }
        fields::section(ui, tokens, "What else it touches");
        for knock_on in &preview.knock_ons {
            ui.add(egui::Label::new(RichText::new(format!("! {}", knock_on.text)).color(tokens.soon)).wrap());
            let Some(row) = self.prices.iter_mut().find(|row| row.key == knock_on.key) else { continue };
            ui.push_id(&row.key, |ui| {
                ui.horizontal(|ui| {
                    let cost = ui.label("costs");
                    ui.add(egui::TextEdit::singleline(&mut row.cost).desired_width(80.0))
                        .labelled_by(cost.id)
                        .on_hover_text(format!("Cost: {}", knock_on.name));
                    let days = ui.label("and takes");
                    ui.add(egui::TextEdit::singleline(&mut row.days).desired_width(40.0))
                        .labelled_by(days.id)
                        .on_hover_text(format!("Days: {}", knock_on.name));
                    ui.label("working days");
                });
            });
        }
        if !self.prices.is_empty() {
            pieces::muted(
                ui,
                tokens,
                "What is priced here stands among the extras and the phases once the swap is made.",
            );
        }
    }

    /// The swap as the fields have it.
    ///
    /// # Errors
    /// What is wrong with which field, or why it cannot be made.
    pub fn action(&self, project: &Project) -> Result<Action, String> {
        let wish = self.read()?;
        swap::preview(project, &self.figures, &wish).map(|p| p.action).map_err(|e| e.to_string())
    }
}

/// What can become of a part, in words; one that has not come is cancelled, not sent.
pub fn fate_words(state: ReturnState, came: bool) -> &'static str {
    match state {
        ReturnState::ToDecide => "decide later",
        ReturnState::GoingBack if came => "send it back",
        ReturnState::GoingBack => "cancel the order",
        ReturnState::WentBack if came => "it went back",
        ReturnState::WentBack => "the order is cancelled",
        ReturnState::Kept => "keep it",
        ReturnState::WrittenOff => "write it off",
    }
}

/// The terms of a return as the window writes amounts and days.
pub fn return_words(terms: &Terms, as_of: Day, currency: Currency) -> String {
    let words =
        Words { money: &|amount| format::money(amount, currency), day: &|day| format::day_short(day, as_of) };
    terms_words(terms, as_of, &words)
}

/// The color of the terms of a return.
pub fn tone(terms: &Terms, tokens: &Tokens) -> Color32 {
    if !terms.in_time { tokens.late } else { tokens.text }
}

fn line(ui: &mut Ui, label: &str, value: &str, more: &str, tone: Color32) {
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 6.0;
        ui.label(format!("{label}:"));
        ui.label(pieces::strong(value, 14.0));
        if !more.is_empty() {
            ui.label(RichText::new(more).color(tone));
        }
    });
}

fn money_and_days(ui: &mut Ui, project: &Project, tokens: &Tokens, as_of: Day, p: &SwapPreview) {
    let money = |m: Money| format::money(m, project.settings.currency);
    let change = |m: Money| match m {
        m if m.is_zero() => ("the same".to_owned(), tokens.muted),
        m if m.is_negative() => (format!("{} less", money(m.abs())), tokens.good),
        m => (format!("{} more", money(m)), tokens.late),
    };
    fields::section(ui, tokens, "Money");
    let (words, color) = change(p.costs());
    line(ui, "Forecast would be", &money(p.known.forecast_after), &words, color);
    if p.known.forecast_returned != p.known.forecast_after {
        let (words, color) = change(p.costs_returned());
        line(ui, "With what can go back sent back", &money(p.known.forecast_returned), &words, color);
    }
    for id in &p.back_in_use {
        let name = project.part(*id).map_or("", |(_, _, part)| part.name.as_str());
        line(ui, "Back in use", name, "its return is taken back", tokens.muted);
    }
    fields::section(ui, tokens, "Days");
    let finish = p.known.finish_after.map_or("none".to_owned(), |d| format::day(Day::from(d), as_of));
    let (words, color) = match p.finish_moves {
        None | Some(0) => ("it holds".to_owned(), tokens.muted),
        Some(n) => {
            let tone = if n > 0 { tokens.late } else { tokens.good };
            (format::moved(n, "working day").unwrap_or_default(), tone)
        }
    };
    line(ui, "Finish would be", &finish, &words, color);
    for changed in &p.without {
        let tone = if changed.more > 0 { tokens.soon } else { tokens.muted };
        let text = RichText::new(format::days_in(&changed.words, as_of)).color(tone);
        ui.add(egui::Label::new(text).wrap());
    }
    if let Some(together) = &p.together {
        ui.add(egui::Label::new(RichText::new(together).color(tokens.soon)).wrap());
    }
    for n in &p.parts {
        let name = project.part(n.part).map_or("", |(_, _, part)| part.name.as_str());
        let mut words = String::new();
        if let Some(need) = n.need_date {
            words = format!("needed {}", format::day_short(need, as_of));
        }
        if let Some(from) = n.waits_from {
            words.push_str(&format!(", cannot be ordered before {}", format::day_short(from, as_of)));
        } else if let Some(by) = n.order_by.filter(|_| !n.ordered) {
            let was = if by < as_of { "order by was" } else { "order by" };
            words.push_str(&format!(", {was} {}", format::day_short(by, as_of)));
        }
        if n.late {
            words.push_str(if n.holds > 0 { ", late, holds its phase" } else { ", late" });
        }
        let color = if n.late { tokens.late } else { tokens.muted };
        line(
            ui,
            name,
            &match n.arrival {
                Some(day) => format!("arrives {}", format::day_short(day, as_of)),
                None => "nobody knows when".to_owned(),
            },
            &words,
            color,
        );
    }
    let moved: Vec<&str> = p
        .moved
        .iter()
        .filter_map(|(at, _, _)| project.phases.get(*at))
        .map(|phase| phase.name.as_str())
        .collect();
    if !moved.is_empty() {
        let text = format!("{} move: {}", format::count(moved.len() as i32, "phase"), moved.join(", "));
        ui.add(egui::Label::new(RichText::new(text).color(tokens.muted)).wrap());
    }
}
