//! The one road on which an option becomes the choice: at once where nothing is chosen, else over the form of a swap.
//! And what is said afterwards.

use super::card::price::option_total;
use super::format;
use super::view::{Form, Outbox, View};
use super::widgets::pieces;
use crate::engine::{Day, Figures, swap};
use crate::model::{
    Action, Currency, Money, OptionId, Project, Quote, Selection, SelectionId, SelectionOption,
};
use egui::{RichText, Role, Ui, WidgetInfo};

/// Asks for an option to become the choice of its selection.
pub fn choose(selection: &Selection, option: OptionId, out: &mut Outbox) {
    if swap::is_swap(selection, option) {
        out.edit(Form::Swap(selection.id, option, None));
    } else {
        out.act(Action::Choose(option));
    }
}

/// What makes an option the choice, with the digit that does it too: in order, as far as there are digits.
pub fn button(
    ui: &mut Ui,
    view: &View<'_>,
    selection: &Selection,
    option: &SelectionOption,
    out: &mut Outbox,
) {
    let place = selection.options.iter().position(|o| o.id == option.id);
    let key = place.filter(|place| *place < 9).map_or(String::new(), |place| (place + 1).to_string());
    let words = RichText::new("Make it the choice").color(view.tokens.accent);
    let button = ui.add(egui::Button::new(words).shortcut_text(key));
    let name = format!("Make {} the choice", option.name);
    button.widget_info(|| WidgetInfo::labeled(Role::Button, true, &name));
    if button.clicked() {
        choose(selection, option.id, out);
    }
}

/// Says who approved of an option and when; else notes it with one click: today, by who approved last.
pub fn approval(
    ui: &mut Ui,
    view: &View<'_>,
    selection: SelectionId,
    option: &SelectionOption,
    out: &mut Outbox,
) {
    let tokens = view.tokens;
    if let Some((who, on)) = option.approval(view.as_of().date()) {
        let words = format!("\u{2713} approved by {who}, {}", format::day_short(on.into(), view.as_of()));
        let said = ui.add(egui::Button::new(RichText::new(words).color(tokens.good)).frame(false).truncate());
        said.context_menu(|ui| {
            if ui.button("Not approved after all").clicked() {
                out.act(Action::Approve(option.id, None));
            }
        });
        if said.on_hover_text("Edit; right click to take it back").clicked() {
            out.edit(Form::Option(selection, Some(option.id)));
        }
        return;
    }
    // Where nobody approves of anything, nothing is asked; nor of what is ordered.
    let who =
        view.derived.approver(view.project).filter(|_| option.parts.iter().all(|part| !part.is_ordered()));
    let Some(who) = who else { return };
    let link = pieces::link(ui, tokens, &format!("+ approved by {who}"));
    let name = format!("{} is approved by {who}, on the as-of day", option.name);
    link.widget_info(|| WidgetInfo::labeled(Role::Button, true, &name));
    if link.on_hover_text(&name).clicked() {
        out.act(Action::Approve(option.id, Some((who.to_owned(), view.as_of().date()))));
    }
}

/// Lines of a menu, one for each option that is not the choice, with the day it arrives and what it costs.
pub fn menu(ui: &mut Ui, view: &View<'_>, selection: &Selection, out: &mut Outbox) {
    let current = selection.choice().map(|o| o.id);
    for option in selection.options.iter().filter(|o| Some(o.id) != current) {
        // Three dots say that a form comes first.
        let dots = if current.is_some() { "…" } else { "" };
        let name = format!("Choose {}{dots}", option.name);
        let parts = option.parts.iter().filter_map(|p| view.figures.part(p.id));
        let last = parts.max_by_key(|f| f.expected);
        let total = option_total(view, option);
        let cost = match (view.figures.option_unpriced(option), total.is_zero()) {
            (0, _) => format::money(total, view.currency()),
            (_, true) => "price not said".to_owned(),
            _ => format!("at least {}", format::money(total, view.currency())),
        };
        let note = match last {
            Some(f) => format!("arrives {}, {cost}", format::expected(f, view.as_of())),
            None => "nothing to buy yet".to_owned(),
        };
        let line = ui.add(egui::Button::new(&name).shortcut_text(&note));
        line.widget_info(|| WidgetInfo::labeled(Role::Button, true, format!("{name}, {note}")));
        if line.clicked() {
            choose(selection, option.id, out);
        }
    }
}

/// Whether a change makes another option the choice, alone or among others.
pub fn is_choice(action: &Action) -> bool {
    match action {
        Action::Choose(_) | Action::Swap(_) | Action::AcceptQuote(_) => true,
        Action::Batch { actions, .. } => actions.iter().any(is_choice),
        _ => false,
    }
}

/// Who is to be told when a bid is accepted: the one that has it, and those for the same scope that have not.
pub fn to_tell(project: &Project, quote: &Quote) -> String {
    let rival = |q: &&Quote| q.competes_with(quote);
    let others: Vec<&str> = project.quotes.iter().filter(rival).map(|q| q.trade.as_str()).collect();
    let had = project.quotes.iter().filter(rival).find(|q| q.accepted);
    let lost = had.map_or(String::new(), |q| format!(", first {}, which had it", q.trade));
    match others.is_empty() {
        true => format!("Tell {} that it has the work.", quote.trade),
        false => format!(
            "Tell {} that it has the work, and {} that they have not{lost}.",
            quote.trade,
            others.join(", ")
        ),
    }
}

/// The finish and the total, to be compared before and after.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Standing {
    /// Forecast finish.
    pub finish: Option<Day>,
    /// Forecast total.
    pub forecast: Money,
}

impl Standing {
    /// As the figures have it.
    pub fn of(figures: &Figures) -> Standing {
        Standing { finish: figures.forecast_finish, forecast: figures.money.total.forecast }
    }

    /// What became of it in words: `forecast 350.00 more, finish Nov 19 to Dec 2`.
    pub fn moved(self, after: Standing, near: Day, currency: Currency) -> String {
        let money = forecast_words(after.forecast.less(self.forecast), currency);
        match (self.finish, after.finish) {
            (Some(before), Some(after)) => format!("{money}, {}", finish_words(before, after, near)),
            _ => money,
        }
    }
}

/// A change of the forecast in words.
pub fn forecast_words(change: Money, currency: Currency) -> String {
    let moved = format::moved_money(change, |amount| format::money(amount, currency));
    format!("forecast {}", moved.unwrap_or_else(|| "the same".to_owned()))
}

/// A change of the finish in words.
pub fn finish_words(before: Day, after: Day, near: Day) -> String {
    let day = |d| format::day_short(d, near);
    match before == after {
        true => format!("finish stays {}", day(after)),
        false => format!("finish {} to {}", day(before), day(after)),
    }
}
