//! Swaps, returns and rules as JSON, and the preview of a swap as JSON and as lines of text.

use crate::engine::fits::{self, Fit};
use crate::engine::returns::{self, Terms};
use crate::engine::swap::SwapPreview;
use crate::engine::{Day, Figures};
use crate::model::words;
use crate::model::{Fact, Money, PartId, Project, ReturnState, Swap};
use chrono::NaiveDate;
use serde::Serialize;

/// An entry of the swap log.
#[derive(Debug, Serialize)]
pub struct SwapJson {
    key: String,
    selection: String,
    on: String,
    from: String,
    to: String,
    why: String,
    reverses: Option<String>,
    #[serde(flatten)]
    known: KnownJson,
}

/// Money and finish, before and after.
#[derive(Debug, Serialize)]
struct KnownJson {
    forecast_before: String,
    forecast_after: String,
    forecast_returned: String,
    finish_before: Option<String>,
    finish_after: Option<String>,
    restocking: String,
    return_freight: String,
    deposit_lost: String,
    knock_ons: Vec<String>,
}

/// A part that was ordered and is no longer wanted. Without a state nothing has been noted of it.
#[derive(Debug, Serialize)]
pub struct ReturnJson {
    part: String,
    state: Option<String>,
    #[serde(flatten)]
    terms: TermsJson,
    credit: Option<String>,
    ordered: String,
    forecast: String,
    paid: String,
    expected_back: String,
}

/// What sending it back means.
#[derive(Debug, Serialize)]
struct TermsJson {
    came: bool,
    built_in: bool,
    send_by: Option<String>,
    days_left: Option<i32>,
    in_time: bool,
    full: String,
    restocking: String,
    freight_out: String,
    tax_kept: String,
    return_freight: String,
    deposit_lost: String,
    given_back: String,
    rest_costs: String,
}

/// What a rule says of what counts.
#[derive(Debug, Serialize)]
pub struct RuleJson {
    key: String,
    name: String,
    outcome: &'static str,
    selections: Vec<String>,
    words: String,
}

fn state_word(state: ReturnState) -> String {
    crate::exchange::cell::word(&ReturnState::ALL, &state)
}

fn day(date: Option<NaiveDate>) -> Option<String> {
    date.map(|d| d.to_string())
}

/// The swap log.
pub fn swaps(project: &Project) -> Vec<SwapJson> {
    let option = |id| project.option(id).map_or(String::new(), |(_, o)| o.key.clone());
    let one = |s: &Swap| SwapJson {
        key: s.key.clone(),
        selection: project.selection(s.selection).map_or(String::new(), |s| s.key.clone()),
        on: s.on.to_string(),
        from: option(s.from),
        to: option(s.to),
        why: s.why.clone(),
        reverses: s.reverses.and_then(|id| project.swaps.iter().find(|s| s.id == id)).map(|s| s.key.clone()),
        known: known(project, &s.known),
    };
    project.swaps.iter().map(one).collect()
}

fn known(project: &Project, k: &crate::model::Known) -> KnownJson {
    let money = |m: Money| m.to_plain(project.settings.currency);
    KnownJson {
        forecast_before: money(k.forecast_before),
        forecast_after: money(k.forecast_after),
        forecast_returned: money(k.forecast_returned),
        finish_before: day(k.finish_before),
        finish_after: day(k.finish_after),
        restocking: money(k.restocking),
        return_freight: money(k.return_freight),
        deposit_lost: money(k.deposit_lost),
        knock_ons: k.knock_ons.clone(),
    }
}

fn terms_json(project: &Project, t: &Terms, as_of: Day) -> TermsJson {
    let money = |m: Money| m.to_plain(project.settings.currency);
    TermsJson {
        came: t.came,
        built_in: t.built_in,
        send_by: t.send_by.map(|d| d.to_string()),
        days_left: t.days_left(as_of),
        in_time: t.in_time,
        full: money(t.full),
        restocking: money(t.restocking),
        freight_out: money(t.freight_out),
        tax_kept: money(t.tax_kept),
        return_freight: money(t.freight_back),
        deposit_lost: money(t.deposit_lost),
        given_back: money(t.given_back),
        rest_costs: money(t.rest_costs),
    }
}

/// What becomes of what is no longer wanted, and what nobody has said anything of.
pub fn returns(project: &Project, figures: &Figures) -> Vec<ReturnJson> {
    let money = |m: Money| m.to_plain(project.settings.currency);
    let key = |at: usize| {
        let f = figures.parts.get(at)?;
        returns::document_part(project, f).map(|p| p.key.clone())
    };
    let noted = figures.returns.iter().map(|r| ReturnJson {
        part: key(r.part).unwrap_or_default(),
        state: Some(state_word(r.state)),
        terms: terms_json(project, &r.terms, figures.as_of),
        credit: project.returns.get(r.at).and_then(|r| r.credit).map(money),
        ordered: money(r.ordered),
        forecast: money(r.forecast),
        paid: money(r.paid),
        expected_back: money(r.expected_back()),
    });
    let loose = returns::loose(project, &figures.parts).into_iter().filter_map(|at| {
        let f = figures.parts.get(at)?;
        let part = returns::document_part(project, f)?;
        let terms = figures.terms(project, at, None, figures.as_of);
        Some(ReturnJson {
            part: part.key.clone(),
            state: None,
            terms: terms_json(project, &terms, figures.as_of),
            credit: None,
            ordered: money(terms.full),
            forecast: money(terms.full),
            paid: money(f.paid),
            expected_back: money(Money::ZERO),
        })
    });
    noted.chain(loose).collect()
}

/// What the rules say of what counts.
pub fn rules(project: &Project) -> Vec<RuleJson> {
    let verdict = |v: fits::Verdict| RuleJson {
        key: project.rules[v.rule].key.clone(),
        name: project.rules[v.rule].name.clone(),
        outcome: outcome_word(v.outcome),
        selections: v
            .selections
            .iter()
            .filter_map(|id| project.selection(*id))
            .map(|s| s.key.clone())
            .collect(),
        words: v.words,
    };
    fits::verdicts(project).into_iter().map(verdict).collect()
}

/// A fact of an option or of a part.
#[derive(Debug, Serialize)]
pub struct FactJson {
    option: Option<String>,
    part: Option<String>,
    name: String,
    value: String,
}

/// The facts of all options and parts.
pub fn facts(project: &Project) -> Vec<FactJson> {
    let json = |option: Option<&String>, part: Option<&String>, fact: &Fact| FactJson {
        option: option.cloned(),
        part: part.cloned(),
        name: fact.name.clone(),
        value: fact.value.to_string(),
    };
    let mut facts = Vec::new();
    for option in project.selections.iter().flat_map(|s| &s.options) {
        facts.extend(option.facts.iter().map(|fact| json(Some(&option.key), None, fact)));
        for part in &option.parts {
            facts.extend(part.facts.iter().map(|fact| json(None, Some(&part.key), fact)));
        }
    }
    facts
}

fn outcome_word(fit: Fit) -> &'static str {
    match fit {
        Fit::Fits => "fits",
        Fit::DoesNotFit => "does_not_fit",
        Fit::NotKnown => "not_known",
        Fit::NoMeasure => "no_measure",
    }
}

/// The preview of a swap.
#[derive(Debug, Serialize)]
pub struct PreviewJson {
    selection: String,
    from: String,
    to: String,
    #[serde(flatten)]
    known: KnownJson,
    costs: String,
    costs_if_sent_back: String,
    finish_moves: Option<i32>,
    together: Option<String>,
    without: Vec<String>,
    returns: Vec<PreviewReturn>,
    back_in_use: Vec<String>,
    parts: Vec<PreviewPart>,
    phases_moved: Vec<PreviewPhase>,
    knock_ons_found: Vec<PreviewKnockOn>,
}

#[derive(Debug, Serialize)]
struct PreviewReturn {
    part: String,
    state: String,
    #[serde(flatten)]
    terms: TermsJson,
}

#[derive(Debug, Serialize)]
struct PreviewPart {
    key: String,
    total: String,
    ordered: bool,
    arrival: Option<String>,
    need_date: Option<String>,
    order_by: Option<String>,
    orderable_from: Option<String>,
    late: bool,
    holds: i32,
}

#[derive(Debug, Serialize)]
struct PreviewPhase {
    key: String,
    finish_before: Option<String>,
    finish_after: Option<String>,
}

#[derive(Debug, Serialize)]
struct PreviewKnockOn {
    kind: &'static str,
    key: String,
    text: String,
    priced: bool,
}

/// The preview of a swap as values ready to be written.
pub fn preview(project: &Project, as_of: Day, p: &SwapPreview) -> PreviewJson {
    let money = |m: Money| m.to_plain(project.settings.currency);
    let option = |id| project.option(id).map_or(String::new(), |(_, o)| o.key.clone());
    let part = |id: PartId| project.part(id).map_or(String::new(), |(_, _, p)| p.key.clone());
    PreviewJson {
        selection: project.option(p.to).map_or(String::new(), |(s, _)| s.key.clone()),
        from: option(p.from),
        to: option(p.to),
        known: known(project, &p.known),
        costs: money(p.costs()),
        costs_if_sent_back: money(p.costs_returned()),
        finish_moves: p.finish_moves,
        together: p.together.clone(),
        without: p.without.iter().map(|changed| changed.words.plain(project.settings.currency)).collect(),
        returns: p
            .returns
            .iter()
            .map(|r| PreviewReturn {
                part: part(r.part),
                state: state_word(r.state),
                terms: terms_json(project, &r.terms, as_of),
            })
            .collect(),
        back_in_use: p.back_in_use.iter().map(|id| part(*id)).collect(),
        parts: p
            .parts
            .iter()
            .map(|n| PreviewPart {
                key: part(n.part),
                total: money(n.total),
                ordered: n.ordered,
                arrival: n.arrival.map(|d| d.to_string()),
                need_date: n.need_date.map(|d| d.to_string()),
                order_by: n.order_by.map(|d| d.to_string()),
                orderable_from: n.waits_from.map(|d| d.to_string()),
                late: n.late,
                holds: n.holds,
            })
            .collect(),
        phases_moved: p
            .moved
            .iter()
            .map(|(at, before, after)| PreviewPhase {
                key: project.phases.get(*at).map_or(String::new(), |p| p.key.clone()),
                finish_before: before.map(|d| d.to_string()),
                finish_after: after.map(|d| d.to_string()),
            })
            .collect(),
        knock_ons_found: p
            .knock_ons
            .iter()
            .map(|k| PreviewKnockOn {
                kind: k.kind.word(),
                key: k.key.clone(),
                text: k.text.clone(),
                priced: k.priced,
            })
            .collect(),
    }
}

/// The preview of a swap as lines for people.
pub fn preview_lines(project: &Project, as_of: Day, p: &SwapPreview) -> Vec<String> {
    let currency = project.settings.currency;
    let money = |m: Money| format!("{} {currency}", m.to_plain(currency));
    let change = |m: Money| words::moved_money(m, money).unwrap_or_else(|| "the same".to_owned());
    let name = |id: PartId| project.part(id).map_or("a part", |(_, _, p)| &p.name);
    let option = |id| project.option(id).map_or("an option", |(_, o)| o.name.as_str());
    let mut lines = vec![
        format!(
            "swap {}: {} to {}",
            project.option(p.to).map_or("", |(s, _)| &s.name),
            option(p.from),
            option(p.to)
        ),
        format!(
            "forecast {} to {}, {}",
            money(p.known.forecast_before),
            money(p.known.forecast_after),
            change(p.costs())
        ),
    ];
    if p.known.forecast_returned != p.known.forecast_after {
        lines.push(format!(
            "forecast with everything sent back that can be {}, {}",
            money(p.known.forecast_returned),
            change(p.costs_returned())
        ));
    }
    for r in &p.returns {
        lines.push(format!(
            "return {} ({}): {}",
            name(r.part),
            r.state.words(r.terms.came),
            terms_words(&r.terms, as_of, &Words { money: &money, day: &|d| d.to_string() })
        ));
    }
    for id in &p.back_in_use {
        lines.push(format!("back in use {}: its return is taken back", name(*id)));
    }
    for n in &p.parts {
        let need = n.need_date.map_or(String::new(), |d| format!(", needed {d}"));
        let order = match (n.ordered, n.order_by) {
            (true, _) => ", ordered".to_owned(),
            _ if n.waits_from.is_some() => {
                n.waits_from.map_or(String::new(), |from| format!(", cannot be ordered before {from}"))
            }
            (false, Some(by)) => format!(", order by {by}"),
            (false, None) => String::new(),
        };
        let late = match (n.late, n.holds) {
            (false, _) => "",
            (true, 0) => ", late",
            (true, _) => ", late, holds its phase",
        };
        lines.push(format!(
            "new part {}: {}, arrives {}{need}{order}{late}",
            name(n.part),
            money(n.total),
            n.arrival.map_or("nobody knows when".to_owned(), |d| d.to_string())
        ));
    }
    let date = |d: Option<NaiveDate>| d.map_or("none".to_owned(), |d| d.to_string());
    let moves = p.finish_moves.and_then(|days| words::moved(days, "working day"));
    let moves = moves.unwrap_or_else(|| "it holds".to_owned());
    let together = p.together.as_ref().map_or(String::new(), |words| format!("; {words}"));
    let (before, after) = (date(p.known.finish_before), date(p.known.finish_after));
    lines.push(format!("finish {before} to {after}, {moves}{together}"));
    lines.extend(p.without.iter().map(|changed| changed.words.plain(currency)));
    for (at, before, after) in &p.moved {
        let phase = project.phases.get(*at).map_or("a phase", |p| &p.name);
        let date = |d: &Option<Day>| d.map_or("none".to_owned(), |d| d.to_string());
        lines.push(format!("phase {phase} ends {} to {}", date(before), date(after)));
    }
    for k in &p.knock_ons {
        let key = if k.priced { format!(" [price it as {}]", k.key) } else { String::new() };
        lines.push(format!("knock-on {}{key}", k.text));
    }
    lines
}

/// How amounts and days are written for people.
pub struct Words<'a> {
    /// An amount.
    pub money: &'a dyn Fn(Money) -> String,
    /// A day.
    pub day: &'a dyn Fn(Day) -> String,
}

/// The terms of a return in words.
pub fn terms_words(t: &Terms, as_of: Day, words: &Words<'_>) -> String {
    let money = words.money;
    if !t.came {
        let rest = if t.rest_costs > Money::ZERO {
            format!(", the rest of the order costs {} more", money(t.rest_costs))
        } else {
            String::new()
        };
        return format!(
            "cancelling the order loses {} of the deposit, {} is taken off the bill{rest}",
            money(t.deposit_lost),
            money(t.given_back)
        );
    }
    let built_in = if t.built_in { "built in; " } else { "" };
    let kept: String =
        [("restocking", t.restocking), ("freight kept", t.freight_out), ("tax kept", t.tax_kept)]
            .into_iter()
            .filter(|(_, amount)| !amount.is_zero())
            .map(|(what, amount)| format!("{what} {}, ", money(amount)))
            .collect();
    let back = format!("{kept}{} comes back", money(t.given_back));
    match t.send_by.zip(t.days_left(as_of)) {
        None => format!("{built_in}ask for the last day to send it back; {back}"),
        Some((send_by, _)) if !t.in_time => {
            let day = (words.day)(send_by);
            format!("{built_in}the last day to send it back was {day}; nothing is counted for it")
        }
        Some((send_by, left)) => {
            let left = if left == 1 { "1 day left".to_owned() } else { format!("{left} days left") };
            format!("{built_in}send it back by {}, {left}; {back}", (words.day)(send_by))
        }
    }
}
