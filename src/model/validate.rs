//! Rules of the document, each with a message that says what to do. Used on every edit, import and load.

use super::budget::{Extra, Quote};
use super::dates::{ClosedRange, FIRST_DAY, LAST_DAY};
use super::ids::PhaseId;
use super::money::Money;
use super::phase::{Link, Phase, PhaseKind};
use super::project::{Project, Settings};
use super::room::{Room, Shape};
use super::selection::{OptionState, Part, Selection, SelectionOption};
use super::supplier::Supplier;
use chrono::NaiveDate;
use rust_decimal::Decimal;
use std::collections::{HashMap, HashSet};

/// Most working days a phase may take, and the widest lag either way.
pub const MAX_DAYS: i32 = 5_000;
/// Longest lead time in its unit.
pub const MAX_LEAD: u32 = 5_000;
/// Amounts, prices and quantities stay below this, so that no product overflows.
pub const MAX_AMOUNT: Decimal = Decimal::from_parts(1_000_000_000, 0, 0, false, 0);

/// Numbers of things stay below this. Lists are kept by number, so a damaged counter must not make them huge.
pub const MAX_ID: u32 = 20_000_000;

type Checked = Result<(), String>;

/// Checks a key by itself.
pub fn key(key: &str) -> Checked {
    if key.is_empty() || key.trim() != key {
        return Err("the key is missing or has spaces around it; write a short word".to_owned());
    }
    if key.chars().any(char::is_control) {
        return Err(format!("the key {key:?} has a control character in it"));
    }
    Ok(())
}

pub(super) fn not_negative(what: &str, value: Decimal) -> Checked {
    if value.is_sign_negative() && !value.is_zero() {
        return Err(format!("{what} {value} is negative; write zero or more"));
    }
    if value > MAX_AMOUNT {
        return Err(format!("{what} {value} is above a thousand million; check the number"));
    }
    Ok(())
}

pub(super) fn amount(what: &str, value: Money) -> Checked {
    not_negative(what, value.amount())
}

pub(super) fn percent(what: &str, value: Decimal) -> Checked {
    not_negative(what, value)?;
    if value > Decimal::ONE_HUNDRED {
        return Err(format!("{what} {value} is above 100 percent"));
    }
    Ok(())
}

pub(super) fn day(what: &str, value: Option<NaiveDate>) -> Checked {
    match value {
        Some(date) if date < FIRST_DAY || date > LAST_DAY => {
            Err(format!("{what} {date} is outside the years 1900 to 2200"))
        }
        _ => Ok(()),
    }
}

fn closed(ranges: &[ClosedRange]) -> Checked {
    for range in ranges {
        day("the closed range", Some(range.from))?;
        day("the closed range", Some(range.to))?;
        if range.to < range.from {
            return Err(format!(
                "the closed range from {} ends before it begins, on {}",
                range.from, range.to
            ));
        }
    }
    Ok(())
}

/// Checks settings.
pub fn settings(s: &Settings) -> Checked {
    day("the start", Some(s.start))?;
    day("the target finish", s.target_finish)?;
    day("the as-of day", s.as_of)?;
    closed(&s.closed)?;
    s.holidays.own.iter().try_for_each(|own| day("the own holiday", Some(*own)))?;
    percent("the contingency", s.contingency_pct)?;
    if s.hold > 365 || s.reinspect_wait > 365 {
        return Err("hold and wait are at most 365 working days".to_owned());
    }
    if s.weekdays.is_empty() {
        return Err("at least one weekday must be worked".to_owned());
    }
    Ok(())
}

/// Checks a room by itself.
pub fn room(r: &Room) -> Checked {
    key(&r.key)?;
    let length = |what: &str, value: Decimal| {
        not_negative(what, value)?;
        if value > Decimal::from(100_000) {
            return Err(format!("{what} {value} is above 100,000; check the number"));
        }
        Ok(())
    };
    match &r.shape {
        Shape::Rectangle { length: l, width: w } => {
            length("length", *l)?;
            length("width", *w)?;
        }
        Shape::Polygon(corners) => {
            for (x, y) in corners {
                length("corner", x.abs())?;
                length("corner", y.abs())?;
            }
            outline(corners)?;
        }
    }
    length("height", r.height)?;
    for opening in &r.openings {
        length("opening width", opening.width)?;
        length("opening height", opening.height)?;
        if opening.count > 1_000 {
            return Err(format!("{} openings of one kind are too many; check the count", opening.count));
        }
    }
    Ok(())
}

/// Checks that corners make a floor.
pub fn outline(corners: &[(Decimal, Decimal)]) -> Checked {
    if corners.len() < 3 {
        return Err("a floor outline needs at least three corners".to_owned());
    }
    if crosses_itself(corners) {
        let why = "the floor outline crosses itself; list its corners in order around the room";
        return Err(why.to_owned());
    }
    Ok(())
}

/// Whether two sides of an outline that do not meet at a corner cross.
fn crosses_itself(corners: &[(Decimal, Decimal)]) -> bool {
    let n = corners.len();
    let side = |i: usize| (corners[i], corners[(i + 1) % n]);
    // Which side of the line from a to b the point c lies on.
    let turn = |a: (Decimal, Decimal), b: (Decimal, Decimal), c: (Decimal, Decimal)| {
        ((b.0 - a.0) * (c.1 - a.1)).cmp(&((b.1 - a.1) * (c.0 - a.0)))
    };
    let apart = |a, b, c, d| turn(a, b, c) != turn(a, b, d);
    (0..n).any(|i| {
        (i + 2..n).filter(|j| (j + 1) % n != i).any(|j| {
            let ((a, b), (c, d)) = (side(i), side(j));
            apart(a, b, c, d) && apart(c, d, a, b)
        })
    })
}

/// Checks a phase by itself.
pub fn phase(p: &Phase) -> Checked {
    key(&p.key)?;
    let days = |what: &str, value: Option<i32>| match value {
        Some(n) if n < 0 => Err(format!("{what} {n} is negative; write zero or more working days")),
        Some(n) if n > MAX_DAYS => Err(format!("{what} {n} is above {MAX_DAYS} working days")),
        _ => Ok(()),
    };
    days("days", Some(p.days))?;
    days("shortest days", p.days_min)?;
    days("longest days", p.days_max)?;
    days("days left", p.days_left)?;
    if p.kind == PhaseKind::Milestone && p.days != 0 {
        return Err("a milestone takes no days; write 0 days or make it work".to_owned());
    }
    let (min, max) = (p.days_min.unwrap_or(p.days), p.days_max.unwrap_or(p.days));
    if min > p.days || max < p.days {
        return Err(format!("days {} are not between the shortest {min} and the longest {max}", p.days));
    }
    day("not before", p.not_before)?;
    day("the actual start", p.actual_start)?;
    day("the actual finish", p.actual_finish)?;
    if let (Some(start), Some(finish)) = (p.actual_start, p.actual_finish)
        && finish < start
    {
        return Err(format!("it finished on {finish}, before it started on {start}"));
    }
    for attempt in &p.attempts {
        day("the attempt", Some(attempt.date))?;
        day("the correction", attempt.correct_by)?;
    }
    if !p.attempts.is_empty() && p.kind != PhaseKind::Inspection {
        return Err("only an inspection has attempts".to_owned());
    }
    Ok(())
}

/// Checks a link against the phases of a project; circles are looked for by [`cycle_names`].
pub fn link(project: &Project, l: &Link) -> Checked {
    if project.phase(l.before).is_none() || project.phase(l.after).is_none() {
        return Err("the link names a phase that is not in the project".to_owned());
    }
    link_alone(l)
}

/// Checks a link by itself.
pub fn link_alone(l: &Link) -> Checked {
    if l.before == l.after {
        return Err("a phase cannot wait for itself".to_owned());
    }
    if l.lag.unsigned_abs() > MAX_DAYS.unsigned_abs() {
        return Err(format!("a lag of {} is beyond {MAX_DAYS} days", l.lag));
    }
    if l.unit == super::LagUnit::Elapsed && !l.kind.bounds_start() {
        return Err(
            "an elapsed lag goes with FS or SS links only; use working days or another link".to_owned()
        );
    }
    Ok(())
}

/// The phases of a circle in the links, joined by arrows, where there is one.
pub fn cycle_names(project: &Project) -> Option<String> {
    let index: HashMap<PhaseId, usize> = project.phases.iter().enumerate().map(|(i, p)| (p.id, i)).collect();
    let edges = project.links.iter().filter_map(|l| Some((*index.get(&l.before)?, *index.get(&l.after)?)));
    let circle = find_cycle(project.phases.len(), edges)?;
    let names: Vec<&str> = circle.iter().map(|i| project.phases[*i].key.as_str()).collect();
    Some(format!("{} > {}", names.join(" > "), names[0]))
}

/// Nodes of one circle of a directed graph in order, where there is one.
pub fn find_cycle(nodes: usize, edges: impl Iterator<Item = (usize, usize)>) -> Option<Vec<usize>> {
    let mut before: Vec<Vec<usize>> = vec![Vec::new(); nodes];
    let mut after: Vec<Vec<usize>> = vec![Vec::new(); nodes];
    for (a, b) in edges {
        before[b].push(a);
        after[a].push(b);
    }
    let mut waits: Vec<usize> = before.iter().map(Vec::len).collect();
    let mut ready: Vec<usize> = (0..nodes).filter(|i| waits[*i] == 0).collect();
    let mut done = vec![false; nodes];
    while let Some(i) = ready.pop() {
        done[i] = true;
        for &j in &after[i] {
            waits[j] -= 1;
            if waits[j] == 0 {
                ready.push(j);
            }
        }
    }
    // Every node left waits for another one left: walking backwards must come round.
    let mut at = done.iter().position(|d| !d)?;
    let mut seen = vec![usize::MAX; nodes];
    let mut path = Vec::new();
    while seen[at] == usize::MAX {
        seen[at] = path.len();
        path.push(at);
        at = *before[at].iter().find(|b| !done[**b])?;
    }
    let mut circle = path.split_off(seen[at]);
    circle.reverse();
    Some(circle)
}

/// Checks a supplier by itself.
pub fn supplier(s: &Supplier) -> Checked {
    key(&s.key)?;
    if s.weekdays.is_empty() || s.delivery_weekdays.is_some_and(super::Weekdays::is_empty) {
        return Err("a supplier needs at least one open weekday and one delivery weekday".to_owned());
    }
    if s.ship_days > MAX_LEAD || s.net_days > MAX_LEAD || s.return_days.is_some_and(|d| d > MAX_LEAD) {
        return Err(format!("ship, net and return days are at most {MAX_LEAD}"));
    }
    percent("tax", s.tax_pct)?;
    percent("the deposit", s.deposit_pct)?;
    percent("restocking", s.restock_pct)?;
    percent("freight", s.freight.pct)?;
    amount("freight", s.freight.flat)?;
    amount("freight an item", s.freight.per_item)?;
    amount("free freight from", s.freight.free_over.unwrap_or_default())?;
    amount("the smallest order", s.min_order.unwrap_or_default())?;
    closed(&s.closed)
}

/// Checks a selection's own fields against the project.
pub fn selection(project: &Project, s: &Selection) -> Checked {
    key(&s.key)?;
    if project.room(s.room).is_none() {
        return Err("the selection names a room that is not in the project".to_owned());
    }
    amount("the allowance", s.allowance)?;
    day("the deciding day", s.decide_on)?;
    states(s)
}

fn states(s: &Selection) -> Checked {
    for (word, state) in OptionState::ALL {
        if state != OptionState::Candidate && s.options.iter().filter(|o| o.state == state).count() > 1 {
            return Err(format!("more than one option of `{}` is {word}; keep one", s.key));
        }
    }
    Ok(())
}

/// Checks an option's own fields.
pub fn option(o: &SelectionOption) -> Checked {
    key(&o.key)?;
    super::look::check_option(o)?;
    super::facts::check_facts(&o.facts)
}

/// Checks a part against the project.
pub fn part(project: &Project, p: &Part) -> Checked {
    if p.supplier.is_some_and(|id| project.supplier(id).is_none()) {
        return Err("the part names a supplier that is not in the project".to_owned());
    }
    if p.phase.is_some_and(|id| project.phase(id).is_none()) {
        return Err("the part names a phase that is not in the project".to_owned());
    }
    part_alone(p)
}

/// Checks a part by itself.
pub fn part_alone(p: &Part) -> Checked {
    key(&p.key)?;
    if let super::Quantity::Fixed(n) = &p.quantity {
        not_negative("quantity", *n)?;
    }
    if let Some(pack) = p.pack {
        not_negative("pack", pack)?;
        if pack.is_zero() {
            return Err("a pack of 0 holds nothing; leave it empty when it is not packed".to_owned());
        }
    }
    not_negative("waste", p.waste_pct)?;
    if p.waste_pct > Decimal::ONE_THOUSAND {
        return Err(format!("waste of {} percent is above 1000", p.waste_pct));
    }
    amount("the unit price", p.unit_price)?;
    percent("the discount", p.discount_pct)?;
    amount("paid", p.paid)?;
    let lead = |what: &str, value: Option<u32>| match value {
        Some(n) if n > MAX_LEAD => Err(format!("{what} {n} is above {MAX_LEAD}")),
        _ => Ok(()),
    };
    lead("lead", Some(p.lead))?;
    lead("shortest lead", p.lead_min)?;
    lead("longest lead", p.lead_max)?;
    let (min, max) = (p.lead_min.unwrap_or(p.lead), p.lead_max.unwrap_or(p.lead));
    if min > p.lead || max < p.lead {
        return Err(format!("lead {} is not between the shortest {min} and the longest {max}", p.lead));
    }
    if p.hold.is_some_and(|h| h > 365) {
        return Err("a hold is at most 365 working days".to_owned());
    }
    super::facts::check_facts(&p.facts)?;
    day("ordered", p.ordered_on)?;
    day("promised", p.promised_on)?;
    day("received", p.received_on)?;
    day("installed", p.installed_on)?;
    if let (Some(ordered), Some(received)) = (p.ordered_on, p.received_on)
        && received < ordered
    {
        return Err(format!("it was received on {received}, before it was ordered on {ordered}"));
    }
    Ok(())
}

/// Checks a quote against the project.
pub fn quote(project: &Project, q: &Quote) -> Checked {
    key(&q.key)?;
    if q.phase.is_some_and(|id| project.phase(id).is_none()) {
        return Err("the quote names a phase that is not in the project".to_owned());
    }
    amount("the amount", q.amount)?;
    amount("paid", q.paid)?;
    amount("the allowance", q.allowance.unwrap_or_default())
}

/// Checks a fee or an extra against the project.
pub fn extra(project: &Project, e: &Extra) -> Checked {
    key(&e.key)?;
    if e.phase.is_some_and(|id| project.phase(id).is_none()) {
        return Err("the extra names a phase that is not in the project".to_owned());
    }
    amount("the amount", e.amount)?;
    amount("paid", e.paid)
}

/// Checks a mapping against the project.
pub fn mapping(project: &Project, m: &super::Mapping) -> Checked {
    if m.supplier.is_some_and(|id| project.supplier(id).is_none()) {
        return Err("the mapping names a supplier that is not in the project".to_owned());
    }
    super::mapping::check(m)
}

/// Checks a whole document, as read from a file: numbers and keys used once, references that lead somewhere,
/// values in range. Circles in the links are left to the engine, which computes what it can around them.
pub fn document(project: &Project) -> Vec<String> {
    let mut project = project.clone();
    project.reindex();
    let project = &project;
    let mut faults = Vec::new();
    let mut ids = HashSet::new();
    let mut keys = HashSet::new();
    let mut check = |word: &'static str, id: u32, key: &str, fault: Checked| {
        if !ids.insert(id) {
            faults.push(format!("{word} `{key}`: the id {id} is used twice"));
        }
        if word != "link" && !keys.insert((word, key.to_owned())) {
            faults.push(format!("{word} `{key}`: the key is used twice; rename one"));
        }
        if let Err(why) = fault {
            faults.push(format!("{word} `{key}`: {why}"));
        }
    };
    check("settings", 0, "settings", settings(&project.settings));
    if let Err(why) = super::look::check_finishes(&project.finishes) {
        check("finish", u32::MAX, "finishes", Err(why));
    }
    project.rooms.iter().for_each(|r| check("room", r.id.0, &r.key, room(r)));
    project.phases.iter().for_each(|p| check("phase", p.id.0, &p.key, loaded_phase(p)));
    for l in project.links.iter() {
        let name = |id| project.phase(id).map_or("?", |p| p.key.as_str());
        let ends = format!("{} > {}", name(l.before), name(l.after));
        check("link", l.id.0, &ends, link_alone(l));
    }
    project.suppliers.iter().for_each(|s| check("supplier", s.id.0, &s.key, supplier(s)));
    for s in project.selections.iter() {
        let own = if project.room(s.room).is_some() {
            key(&s.key)
                .and_then(|()| amount("the allowance", s.allowance))
                .and_then(|()| day("the deciding day", s.decide_on))
                .and_then(|()| states(s))
        } else {
            Err("it names a room that is not in the project".to_owned())
        };
        check("selection", s.id.0, &s.key, own);
        for o in &s.options {
            check("option", o.id.0, &o.key, option(o));
            for p in &o.parts {
                let lost = p.phase.is_some_and(|id| project.phase(id).is_none())
                    || p.supplier.is_some_and(|id| project.supplier(id).is_none());
                let fault = if lost {
                    Err("it names a phase or supplier that is not in the project".to_owned())
                } else {
                    part_alone(p)
                };
                check("part", p.id.0, &p.key, fault);
            }
        }
    }
    project.quotes.iter().for_each(|q| check("quote", q.id.0, &q.key, quote(project, q)));
    project.extras.iter().for_each(|e| check("extra", e.id.0, &e.key, extra(project, e)));
    project.mappings.iter().for_each(|m| check("mapping", m.id.0, &m.key, mapping(project, m)));
    super::validate_swap::document(project, &mut check);
    super::validate_orders::document(project, &mut check);
    super::validate_gates::document(project, &mut check);
    if project.next_id > MAX_ID + 1 {
        faults.push(format!("next_id {} is above {}; the file is damaged", project.next_id, MAX_ID + 1));
    }
    if ids.iter().any(|id| *id >= project.next_id) {
        faults.push(format!("next_id {} is not above every id in use", project.next_id));
    }
    faults
}

/// As [`phase`], but a negative duration is left for the engine to report.
fn loaded_phase(p: &Phase) -> Checked {
    if p.days < 0 { key(&p.key) } else { phase(p) }
}
