//! The log of swaps, of one selection, one room or the whole house, and the rules about a selection.

use crate::engine::Day;
use crate::engine::fits::{self, Fit};
use crate::model::facts::{RuleOf, RuleWith};
use crate::model::{Action, Money, OptionId, RoomId, Selection, SelectionId, Swap};
use crate::ui::choosing::{finish_words, forecast_words};
use crate::ui::format;
use crate::ui::theme::tokens::{space, type_size};
use crate::ui::view::{Form, Outbox, Request, View};
use crate::ui::widgets::pieces;
use egui::{Label, RichText, Ui};

/// Which swaps to show.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Scope {
    /// Of one selection.
    Selection(SelectionId),
    /// Of a room, or of the whole house.
    Room(Option<RoomId>),
}

/// Draws the log, the latest first; nothing when there are no swaps.
pub fn ui(ui: &mut Ui, view: &View<'_>, scope: Scope, out: &mut Outbox) {
    let inside = |swap: &&Swap| match scope {
        Scope::Selection(id) => swap.selection == id,
        Scope::Room(None) => true,
        Scope::Room(Some(room)) => view.selection(swap.selection).is_some_and(|s| s.room == room),
    };
    let swaps: Vec<&Swap> = view.project.swaps.iter().rev().filter(inside).collect();
    if swaps.is_empty() {
        return;
    }
    let room = match scope {
        Scope::Selection(id) => view.selection(id).map(|s| s.room),
        Scope::Room(room) => room,
    };
    ui.add_space(space::L);
    ui.separator();
    ui.horizontal(|ui| {
        pieces::group_title(ui, view.tokens, "Changes of mind");
        let of = room.and_then(|id| view.project.room(id)).map_or("the house", |r| r.name.as_str());
        if pieces::link(ui, view.tokens, &format!("save the log of {of}\u{2026}")).clicked() {
            out.push(Request::ExportSwaps(room));
        }
    });
    for swap in swaps {
        ui.push_id(swap.id, |ui| one(ui, view, scope, swap, out));
    }
}

fn one(ui: &mut Ui, view: &View<'_>, scope: Scope, swap: &Swap, out: &mut Outbox) {
    let name = |id: OptionId| view.project.option(id).map_or("?", |(_, o)| o.name.as_str());
    let near = view.as_of();
    let Some(selection) = view.selection(swap.selection) else { return };
    ui.add_space(space::S);
    let of = match scope {
        Scope::Selection(_) => String::new(),
        Scope::Room(_) => format!("{}: ", selection.name),
    };
    let verb = if swap.reverses.is_some() { "back to" } else { "to" };
    let day = format::day_short(Day::from(swap.on), near);
    let text = format!("{day}  {of}from {} {verb} {}", name(swap.from), name(swap.to));
    ui.add(Label::new(text).wrap());
    if !swap.why.is_empty() {
        ui.add(Label::new(RichText::new(format!("\u{201c}{}\u{201d}", swap.why)).italics()).wrap());
    }
    ui.add(
        Label::new(RichText::new(known(view, swap)).size(type_size::SMALL).color(view.tokens.muted)).wrap(),
    );
    for knock_on in &swap.known.knock_ons {
        let text = RichText::new(format!("! {knock_on}")).size(type_size::SMALL).color(view.tokens.muted);
        ui.add(Label::new(text).wrap());
    }
    ui.horizontal(|ui| {
        let can_go_back = selection.choice().is_some_and(|o| o.id == swap.to);
        if can_go_back {
            let back = pieces::link(ui, view.tokens, "swap back\u{2026}");
            back.widget_info(|| {
                egui::WidgetInfo::labeled(
                    egui::Role::Button,
                    true,
                    format!("Swap back to {}", name(swap.from)),
                )
            });
            if back.clicked() {
                out.edit(Form::Swap(swap.selection, swap.from, Some(swap.id)));
            }
        }
        if matches!(scope, Scope::Room(_)) && pieces::link(ui, view.tokens, "show it").clicked() {
            out.show(crate::model::Subject::Selection(swap.selection));
        }
        let gone = pieces::icon_button(ui, lucide_icons::Icon::Trash2, "Remove from the log");
        if gone.clicked() {
            out.act(Action::RemoveSwap(swap.id));
        }
    });
}

/// What was known that day, in a line.
fn known(view: &View<'_>, swap: &Swap) -> String {
    let k = &swap.known;
    let money = |m: Money| format::money(m, view.currency());
    let mut text = forecast_words(k.costs(), view.currency());
    if k.forecast_returned != k.forecast_after {
        let returned = k.costs_returned();
        let moved = format::moved_money(returned, money).unwrap_or_else(|| "the same".to_owned());
        text.push_str(&format!(" ({moved} with returns)"));
    }
    if let (Some(before), Some(after)) = (k.finish_before, k.finish_after) {
        text.push_str(", ");
        text.push_str(&finish_words(Day::from(before), Day::from(after), view.as_of()));
    }
    for (what, amount) in
        [("restocking", k.restocking), ("freight back", k.return_freight), ("deposit lost", k.deposit_lost)]
    {
        if !amount.is_zero() {
            text.push_str(&format!(", {what} {}", money(amount)));
        }
    }
    text
}

/// What the rules say of an option: what does not fit in full, what fits in a word.
pub fn fits_ui(ui: &mut Ui, view: &View<'_>, option: OptionId) {
    if view.project.rules.is_empty() {
        return;
    }
    let tokens = view.tokens;
    let verdicts = view.derived.fits(view.project, option);
    let name = |v: &fits::Verdict| view.project.rules[v.rule].name.clone();
    let say = |ui: &mut Ui, text: String, color| {
        ui.add(Label::new(RichText::new(text).size(type_size::SMALL).color(color)).wrap())
    };
    for v in verdicts.iter().filter(|v| v.outcome == Fit::DoesNotFit) {
        say(ui, format!("\u{00d7} does not fit: {}: {}", name(v), v.words), tokens.late);
    }
    for v in verdicts.iter().filter(|v| v.outcome == Fit::NoMeasure) {
        say(ui, format!("? cannot be compared: {}: {}", name(v), v.words), tokens.soon);
    }
    for v in verdicts.iter().filter(|v| v.outcome == Fit::NotKnown) {
        say(ui, format!("? not known: {}: {}", name(v), v.words), tokens.muted);
    }
    let fit: Vec<String> = verdicts
        .iter()
        .filter(|v| v.outcome == Fit::Fits)
        .map(|v| format!("{}: {}", name(v), v.words))
        .collect();
    if !fit.is_empty() {
        let rules = format::count(fit.len() as i32, "rule");
        say(ui, format!("\u{2713} fits by {rules}"), tokens.good).on_hover_text(fit.join("\n"));
    }
}

/// The rules about a selection, with a way to change them and to add one.
pub fn rules_ui(ui: &mut Ui, view: &View<'_>, selection: &Selection, out: &mut Outbox) {
    let about = |r: &&crate::model::Rule| {
        let own = match r.of {
            RuleOf::Selection(id) => id == selection.id,
            RuleOf::Room(room) => room == selection.room && states(selection, &r.fact),
            RuleOf::House => states(selection, &r.fact),
        };
        own || matches!(&r.with, Some(RuleWith::Fact(id, _)) if *id == selection.id)
    };
    ui.add_space(space::S);
    ui.horizontal_wrapped(|ui| {
        pieces::group_title(ui, view.tokens, "Goes with");
        for rule in view.project.rules.iter().filter(about) {
            let link = pieces::link(ui, view.tokens, &rule.name);
            let why = if rule.why.is_empty() { "Edit the rule; right click for more" } else { &rule.why };
            let link = link.on_hover_text(why);
            if link.clicked() {
                out.edit(Form::Rule(Some(rule.id), None));
            }
            link.context_menu(|ui| {
                if ui.button("Remove rule").clicked() {
                    out.act(Action::RemoveRule(rule.id));
                }
            });
        }
        if pieces::link(ui, view.tokens, "+ add a rule").clicked() {
            out.edit(Form::Rule(None, Some(selection.id)));
        }
    });
}

fn states(selection: &Selection, fact: &str) -> bool {
    use crate::model::facts::named;
    selection.options.iter().any(|o| {
        named(&o.facts, fact).next().is_some()
            || o.parts.iter().any(|p| named(&p.facts, fact).next().is_some())
    })
}
