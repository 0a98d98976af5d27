//! Which rows the ledger shows, in what order and under which heads.

use super::ledger::{Group, GroupBy, LedgerColumn, LedgerKey, LedgerRow, LedgerRows};
use super::ledger_facts::{Facts, GroupSums, RowFact, part_at};
use crate::engine::{Day, SelectionFigures};
use crate::model::LeadUnit;
use crate::ui::session::{RowFilter, Session};
use crate::ui::standing::Standing;
use crate::ui::view::View;
use std::collections::HashMap;

/// Brings the rows of the session up to date. They are kept until the document, the day or a filter changes.
pub fn update(view: &View<'_>, session: &mut Session) {
    let (revision, day) = view.derived.key();
    let key = LedgerKey {
        revision,
        day,
        room: session.room,
        search: session.search.trim().to_lowercase(),
        filter: session.filter,
        over_only: session.ledger.over_only,
        sort: session.sort,
        descending: session.descending,
        group: session.ledger.group,
        folds: session.ledger.folds,
    };
    if session.rows.key.as_ref() == Some(&key) {
        return;
    }
    let facts = view.facts();
    let mut rows = LedgerRows::default();
    let mut items = shown(view, facts, &key, &mut rows.counts);
    sort(view, facts, &mut items, key.sort, key.descending);
    rows.axis = Some(axis(view, facts, &items));
    rows.selections = items.len();
    match key.group {
        GroupBy::Nothing => rows.rows = items.iter().map(|i| LedgerRow::Item(*i as u32)).collect(),
        by => group(view, facts, by, &items, session, &mut rows),
    }
    rows.key = Some(key);
    session.rows = rows;
}

/// The selections that fit; counts on the way how many would fit each filter.
fn shown(
    view: &View<'_>,
    facts: &Facts,
    key: &LedgerKey,
    counts: &mut [usize; RowFilter::ALL.len() + 1],
) -> Vec<usize> {
    let words: Vec<&str> = key.search.split_whitespace().collect();
    let texts: &[String] = if words.is_empty() { &[] } else { view.derived.search_texts(view.project) };
    let mut rows = Vec::new();
    for (at, (selection, fact)) in view.project.selections.iter().zip(&facts.rows).enumerate() {
        if key.room.is_some_and(|room| selection.room != room) {
            continue;
        }
        if !words.is_empty() && !texts.get(at).is_some_and(|t| words.iter().all(|w| t.contains(w))) {
            continue;
        }
        let own = &view.figures.selections[at];
        let over = own.money.is_over();
        let mut fits = false;
        for (i, (filter, _)) in RowFilter::ALL.iter().enumerate() {
            if passes(*filter, fact, own) {
                counts[i] += usize::from(!key.over_only || over);
                fits |= *filter == key.filter;
            }
        }
        counts[RowFilter::ALL.len()] += usize::from(over && fits);
        if fits && (over || !key.over_only) {
            rows.push(at);
        }
    }
    rows
}

fn passes(filter: RowFilter, fact: &RowFact, own: &SelectionFigures) -> bool {
    match filter {
        RowFilter::All => true,
        // The same as the head counts and the rings of rooms.
        RowFilter::ToDecide => own.live.is_none(),
        RowFilter::Leaning => own.live.is_some() && !own.chosen,
        RowFilter::OrderSoon => Facts::is_soon(own),
        RowFilter::Late => own.late,
        RowFilter::ToOrder => fact.to_order,
        RowFilter::Ordered => fact.on_way,
        RowFilter::OnSite => matches!(fact.standing, Standing::OnSite | Standing::BuiltIn),
    }
}

/// Sorts by a key that some rows lack; those come last in both directions, in the order of the document.
fn sort_by<K: Ord>(rows: &mut [usize], descending: bool, key: impl Fn(usize) -> Option<K>) {
    let mut keyed: Vec<(Option<K>, usize)> = rows.iter().map(|i| (key(*i), *i)).collect();
    keyed.sort_by(|(a, i), (b, j)| match (a, b) {
        (Some(a), Some(b)) if descending => b.cmp(a).then(j.cmp(i)),
        (Some(a), Some(b)) => a.cmp(b).then(i.cmp(j)),
        (Some(_), None) => std::cmp::Ordering::Less,
        (None, Some(_)) => std::cmp::Ordering::Greater,
        (None, None) => i.cmp(j),
    });
    for (slot, (_, at)) in rows.iter_mut().zip(keyed) {
        *slot = at;
    }
}

fn sort(view: &View<'_>, facts: &Facts, rows: &mut [usize], by: Option<LedgerColumn>, descending: bool) {
    let project = view.project;
    let selection = |i: usize| &project.selections[i];
    let own = |i: usize| &view.figures.selections[i];
    let money = |i: usize| &view.figures.selections[i].money;
    let fact = |i: usize| &facts.rows[i];
    let sole = |i: usize| part_at(project, view.figures, fact(i).sole? as usize).map(|(_, _, p)| p);
    let tight = |i: usize| view.figures.parts.get(fact(i).tightest? as usize);
    let Some(by) = by else {
        sort_by(rows, descending, |i| Some(fact(i).room));
        return;
    };
    match by {
        LedgerColumn::Way => {}
        LedgerColumn::Name => sort_by(rows, descending, |i| Some(selection(i).name.to_lowercase())),
        LedgerColumn::Room => {
            let names = lower(project.rooms.iter().map(|r| r.name.as_str()));
            sort_by(rows, descending, |i| names.get(fact(i).room as usize));
        }
        LedgerColumn::Category => {
            let names = lower(facts.categories.iter().map(String::as_str));
            sort_by(rows, descending, |i| names.get(fact(i).category as usize));
        }
        LedgerColumn::Choice => {
            sort_by(rows, descending, |i| selection(i).live_option().map(|o| o.name.to_lowercase()));
        }
        LedgerColumn::State => sort_by(rows, descending, |i| Some(fact(i).standing)),
        LedgerColumn::Supplier => {
            let names = lower(project.suppliers.iter().map(|s| s.name.as_str()));
            sort_by(rows, descending, |i| names.get(fact(i).supplier? as usize));
        }
        LedgerColumn::Phase => {
            sort_by(rows, descending, |i| facts.phase_ranks.get(fact(i).phase? as usize));
        }
        LedgerColumn::Price => sort_by(rows, descending, |i| sole(i).and_then(|p| p.unit_price)),
        LedgerColumn::Lead => sort_by(rows, descending, |i| sole(i).and_then(lead_days)),
        LedgerColumn::Allowance => sort_by(rows, descending, |i| Some(money(i).allowance)),
        LedgerColumn::Chosen => sort_by(rows, descending, |i| Some(money(i).chosen)),
        LedgerColumn::Ordered => sort_by(rows, descending, |i| Some(money(i).ordered)),
        LedgerColumn::Paid => sort_by(rows, descending, |i| Some(money(i).paid)),
        LedgerColumn::Forecast => sort_by(rows, descending, |i| Some(money(i).forecast)),
        LedgerColumn::OverUnder => sort_by(rows, descending, |i| Some(money(i).over_under())),
        LedgerColumn::DecideOn => sort_by(rows, descending, |i| selection(i).decide_on),
        LedgerColumn::KnownBy => {
            sort_by(rows, descending, |i| view.figures.spec_facts(view.project).first_open(selection(i)))
        }
        // What has nothing left to order comes last.
        LedgerColumn::OrderBy => sort_by(rows, descending, |i| own(i).days_in_hand),
        LedgerColumn::OrderBySure => sort_by(rows, descending, |i| view.order_by_sure(i)),
        LedgerColumn::Needed => sort_by(rows, descending, |i| tight(i)?.need_date),
        LedgerColumn::Arrives => sort_by(rows, descending, |i| tight(i).and_then(|f| f.expected)),
    }
}

/// Roughly the calendar days of a lead time, for sorting: five working days make a week.
fn lead_days(part: &crate::model::Part) -> Option<u64> {
    let n = u64::from(part.lead?);
    Some(match part.lead_unit {
        LeadUnit::Days => n * 5,
        LeadUnit::Weeks => n * 35,
        LeadUnit::Working => n * 7,
    })
}

fn lower<'a>(names: impl Iterator<Item = &'a str>) -> Vec<String> {
    names.map(str::to_lowercase).collect()
}

/// From a little before the as-of day to the last arrival or need among the rows.
fn axis(view: &View<'_>, facts: &Facts, rows: &[usize]) -> (Day, Day) {
    let mut to = view.as_of().plus(60);
    for open in rows.iter().filter_map(|i| facts.rows[*i].open) {
        to = to.max(open.need.unwrap_or(to)).max(open.arrivals.map_or(to, |(_, last)| last));
    }
    for f in rows.iter().filter_map(|i| view.figures.parts.get(facts.rows[*i].tightest? as usize)) {
        to = to.max(f.expected.unwrap_or(to)).max(f.need_date.unwrap_or(to));
    }
    (view.as_of().plus(-10), to.plus(7))
}

fn group(
    view: &View<'_>,
    facts: &Facts,
    by: GroupBy,
    items: &[usize],
    session: &Session,
    rows: &mut LedgerRows,
) {
    let mut places: HashMap<u32, usize> = HashMap::new();
    let mut members: Vec<(u32, GroupSums, Vec<u32>)> = Vec::new();
    for item in items {
        let key = group_key(&facts.rows[*item], by);
        let place = *places.entry(key).or_insert_with(|| {
            members.push((key, GroupSums::default(), Vec::new()));
            members.len() - 1
        });
        let (_, sums, list) = &mut members[place];
        sums.add(&view.figures.selections[*item]);
        list.push(*item as u32);
    }
    // Heads stand in their natural order, whatever the rows under them are sorted by.
    members.sort_by_cached_key(|(key, _, _)| match by {
        _ if *key == u32::MAX => (1, 0, String::new()),
        GroupBy::Phase => (0, facts.phase_ranks.get(*key as usize).copied().unwrap_or(0), String::new()),
        GroupBy::Room | GroupBy::State => (0, *key as usize, String::new()),
        _ => (0, 0, group_name(view, facts, by, *key).to_lowercase()),
    });
    for (key, sums, list) in members {
        let folded = session.ledger.folded.contains(&(by, key));
        rows.rows.push(LedgerRow::Group(rows.groups.len() as u32));
        rows.groups.push(Group { key, name: group_name(view, facts, by, key), sums, folded });
        if !folded {
            rows.rows.extend(list.into_iter().map(LedgerRow::Item));
        }
    }
}

fn group_key(fact: &RowFact, by: GroupBy) -> u32 {
    match by {
        GroupBy::Nothing => u32::MAX,
        GroupBy::Room => fact.room,
        GroupBy::Category => fact.category,
        GroupBy::Supplier => fact.supplier.unwrap_or(u32::MAX),
        GroupBy::Phase => fact.phase.unwrap_or(u32::MAX),
        GroupBy::State => fact.standing as u32,
    }
}

fn group_name(view: &View<'_>, facts: &Facts, by: GroupBy, key: u32) -> String {
    let at = key as usize;
    let name = match by {
        GroupBy::Nothing => None,
        GroupBy::Room => view.project.rooms.get(at).map(|r| r.name.as_str()),
        GroupBy::Category => facts.categories.get(at).map(String::as_str).filter(|c| !c.is_empty()),
        GroupBy::Supplier => view.project.suppliers.get(at).map(|s| s.name.as_str()),
        GroupBy::Phase => view.project.phases.get(at).map(|p| p.name.as_str()),
        GroupBy::State => Standing::ALL.get(at).map(|s| s.word()),
    };
    let none = match by {
        GroupBy::Supplier => "No supplier yet",
        GroupBy::Phase => "No phase yet",
        GroupBy::Category => "No category",
        _ => "",
    };
    name.unwrap_or(none).to_owned()
}
