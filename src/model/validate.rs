//! Rules of the document, each with a message that says what to do. Used on every edit, import and load.

use super::dates::{ClosedRange, FIRST_DAY, LAST_DAY};
use super::money::Money;
use super::part::Part;
use super::project::{Project, Settings};
use super::selection::{OptionState, Selection, SelectionOption};
use super::supplier::Supplier;
use chrono::NaiveDate;
use rust_decimal::Decimal;
use std::collections::HashSet;

/// Most working days a phase may take, and the widest lag either way.
pub const MAX_DAYS: i32 = 5_000;
/// Longest lead time in its unit.
pub const MAX_LEAD: u32 = 5_000;
/// Amounts, prices and quantities stay below this, so that no product overflows.
pub const MAX_AMOUNT: Decimal = Decimal::from_parts(1_000_000_000, 0, 0, false, 0);

/// Numbers of things stay below this. Lists are kept by number, so a damaged counter must not make them huge.
pub const MAX_ID: u32 = 20_000_000;

/// Longest key, in characters.
pub const MAX_KEY: usize = 200;
/// Longest name, in characters: lists, papers and messages show it whole.
pub const MAX_NAME: usize = 1_000;

/// Faults of a document that are told.
const MOST_FAULTS: usize = 1_000;

/// What is wrong, and what to do.
pub type Checked = Result<(), String>;

/// Checks a key by itself.
pub fn key(key: &str) -> Checked {
    if key.is_empty() || key.trim() != key {
        return Err("the key is missing or has spaces around it; write a short word".to_owned());
    }
    if key.chars().any(char::is_control) {
        return Err(format!("the key {:?} has a control character in it", begin_of(key)));
    }
    if key.chars().nth(MAX_KEY).is_some() {
        let begin = begin_of(key);
        return Err(format!("the key `{begin}` has more than {MAX_KEY} characters; write a short word"));
    }
    Ok(())
}

/// Checks a name by itself.
pub fn name(name: &str) -> Checked {
    if name.chars().nth(MAX_NAME).is_some() {
        let begin = begin_of(name);
        return Err(format!(
            "the name `{begin}` has more than {MAX_NAME} characters; shorten it, notes have room for more"
        ));
    }
    Ok(())
}

/// What a message quotes of a text: all of it, or the beginning of a long one.
fn begin_of(text: &str) -> String {
    const SHOWN: usize = 60;
    match text.char_indices().nth(SHOWN) {
        Some((end, _)) => format!("{}...", &text[..end]),
        None => text.to_owned(),
    }
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

pub(super) fn closed(ranges: &[ClosedRange]) -> Checked {
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
    name(&s.name)?;
    day("the start", Some(s.start))?;
    day("the target finish", s.target_finish)?;
    day("the as-of day", s.as_of)?;
    closed(&s.closed)?;
    s.holidays.own.iter().try_for_each(|own| day("the own holiday", Some(*own)))?;
    percent("the contingency", s.contingency_pct)?;
    not_negative("storage", s.storage.unwrap_or_default())?;
    amount("own cash", s.own_cash.unwrap_or_default())?;
    if s.hold > 365 || s.reinspect_wait > 365 {
        return Err("hold and wait are at most 365 working days".to_owned());
    }
    if !(1..=99).contains(&s.confidence) {
        return Err(format!("how sure order-by days are is {} percent; write 1 to 99", s.confidence));
    }
    if s.weekdays.is_empty() {
        return Err("at least one weekday must be worked".to_owned());
    }
    Ok(())
}

/// Checks a supplier by itself.
pub fn supplier(s: &Supplier) -> Checked {
    key(&s.key)?;
    name(&s.name)?;
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
    name(&s.name)?;
    if project.room(s.room).is_none() {
        return Err("the selection names a room that is not in the project".to_owned());
    }
    amount("the allowance", s.allowance)?;
    day("the deciding day", s.decide_on)?;
    super::spec::check_specs(&s.specs)?;
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
    name(&o.name)?;
    super::look::check_option(o)?;
    o.check_approval()?;
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
    if p.order_after.is_some_and(|id| project.phase(id).is_none()) {
        return Err("the part is ordered after a phase that is not in the project".to_owned());
    }
    part_alone(p)
}

/// Checks a part by itself.
pub fn part_alone(p: &Part) -> Checked {
    key(&p.key)?;
    name(&p.name)?;
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
    amount("the unit price", p.unit_price.unwrap_or_default())?;
    percent("the discount", p.discount_pct)?;
    amount("paid", p.paid)?;
    let lead = |what: &str, value: Option<u32>| match value {
        Some(n) if n > MAX_LEAD => Err(format!("{what} {n} is above {MAX_LEAD}")),
        _ => Ok(()),
    };
    lead("lead", p.lead)?;
    lead("shortest lead", p.lead_min)?;
    lead("longest lead", p.lead_max)?;
    match (p.lead, p.lead_min, p.lead_max) {
        (Some(likely), min, max) if min.is_some_and(|n| n > likely) || max.is_some_and(|n| n < likely) => {
            let (min, max) = (min.unwrap_or(likely), max.unwrap_or(likely));
            return Err(format!("lead {likely} is not between the shortest {min} and the longest {max}"));
        }
        (None, Some(min), Some(max)) if min > max => {
            return Err(format!("the shortest lead {min} is above the longest {max}"));
        }
        (None, Some(n), _) => {
            return Err(format!("the shortest lead {n} needs a likely one; write it in lead"));
        }
        (None, None, Some(n)) => {
            return Err(format!("the longest lead {n} needs a likely one; write it in lead"));
        }
        _ => {}
    }
    lead("days after its phase", p.order_after_days)?;
    if p.order_after.is_some() && p.order_after == p.phase {
        return Err("it is ordered only after the phase that needs it; name an earlier one".to_owned());
    }
    if p.order_after_days.is_some() && p.order_after.is_none() {
        return Err("days for measuring come after a phase; say which one it is ordered after".to_owned());
    }
    if p.hold.is_some_and(|h| h > 365) {
        return Err("a hold is at most 365 working days".to_owned());
    }
    not_negative("the floor it takes", p.floor_area.unwrap_or_default())?;
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

/// Checks a whole document, as read from a file: numbers and keys used once, references that lead somewhere,
/// values in range. Circles in the links are left to the engine, which computes what it can around them.
pub fn document(project: &Project) -> Vec<String> {
    let mut faults: Vec<String> = faults(project).into_iter().map(|(_, why)| why).collect();
    if faults.len() > MOST_FAULTS {
        let more = faults.len() - MOST_FAULTS;
        faults.truncate(MOST_FAULTS);
        faults.push(format!("and {more} more like these"));
    }
    faults
}

/// The faults of a document with the numbers of the things that have them; those of no thing have a number that none has.
pub(super) fn faults(project: &Project) -> Vec<(u32, String)> {
    let mut project = project.clone();
    project.reindex();
    let project = &project;
    let mut faults = Vec::new();
    let mut ids = HashSet::new();
    let mut keys = HashSet::new();
    let mut check = |word: &'static str, id: u32, key: &str, fault: Checked| {
        if !ids.insert(id) {
            faults.push((id, format!("{word} `{}`: the id {id} is used twice", begin_of(key))));
        }
        if word != "link" && !keys.insert((word, key.to_owned())) {
            faults.push((id, format!("{word} `{}`: the key is used twice; rename one", begin_of(key))));
        }
        if let Err(why) = fault {
            faults.push((id, format!("{word} `{}`: {why}", begin_of(key))));
        }
    };
    check("settings", 0, "settings", settings(&project.settings));
    if let Err(why) = super::goods::check_typical(&project.typical) {
        check("typical", u32::MAX - 1, "typical lead times", Err(why));
    }
    if let Err(why) = super::look::check_finishes(&project.finishes) {
        check("finish", u32::MAX, "finishes", Err(why));
    }
    project.rooms.iter().for_each(|r| check("room", r.id.0, &r.key, r.check()));
    for p in project.phases.iter() {
        let lost = p.crew.is_some_and(|id| project.crew(id).is_none());
        let lost = if lost { Err("it names a crew that is not in the project".to_owned()) } else { Ok(()) };
        check("phase", p.id.0, &p.key, p.check_loaded().and(lost));
    }
    for l in project.links.iter() {
        let name = |id| project.phase(id).map_or("?", |p| p.key.as_str());
        let ends = format!("{} > {}", name(l.before), name(l.after));
        check("link", l.id.0, &ends, l.check());
    }
    project.suppliers.iter().for_each(|s| check("supplier", s.id.0, &s.key, supplier(s)));
    for s in project.selections.iter() {
        let own = if project.room(s.room).is_some() {
            key(&s.key)
                .and_then(|()| name(&s.name))
                .and_then(|()| amount("the allowance", s.allowance))
                .and_then(|()| day("the deciding day", s.decide_on))
                .and_then(|()| super::spec::check_specs(&s.specs))
                .and_then(|()| s.specs.iter().try_for_each(|spec| spec.check_in(project, None)))
                .and_then(|()| states(s))
        } else {
            Err("it names a room that is not in the project".to_owned())
        };
        check("selection", s.id.0, &s.key, own);
        for o in &s.options {
            check("option", o.id.0, &o.key, option(o));
            for p in &o.parts {
                let lost = p.phase.is_some_and(|id| project.phase(id).is_none())
                    || p.order_after.is_some_and(|id| project.phase(id).is_none())
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
    project.quotes.iter().for_each(|q| check("quote", q.id.0, &q.key, q.check_in(project)));
    project.extras.iter().for_each(|e| check("extra", e.id.0, &e.key, e.check_in(project)));
    project.mappings.iter().for_each(|m| check("mapping", m.id.0, &m.key, m.check_in(project)));
    super::apply_people::check_people(project, &mut check);
    super::out_of_use::check_out_of_use(project, &mut check);
    super::handover::check_closing(project, &mut check);
    super::alternative::check_alternatives(project, &mut check);
    super::apply_log::check_log(project, &mut check);
    super::swap::check_swaps(project, &mut check);
    super::order::check_orders(project, &mut check);
    super::gate::check_gates(project, &mut check);
    faults.extend(super::sent::faults(project).into_iter().map(|why| (u32::MAX, why)));
    if project.next_id > MAX_ID + 1 {
        let why = format!("next_id {} is above {}; the file is damaged", project.next_id, MAX_ID + 1);
        faults.push((u32::MAX, why));
    }
    if ids.iter().any(|id| *id >= project.next_id) {
        faults.push((u32::MAX, format!("next_id {} is not above every id in use", project.next_id)));
    }
    faults
}
