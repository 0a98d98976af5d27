//! In what two documents differ, counted by noun: for somebody who is to decide with which one to go on.

use super::project::Project;
use super::sent::Sent;
use super::words::{count, counted};
use std::collections::HashMap;
use std::hash::Hash;
use std::sync::Arc;

/// Nouns that are named before the rest is counted.
const NAMED: usize = 5;

/// In what one document differs from another, in words: `3 selections, 1 phase`. Empty when nothing does that a person
/// would see.
pub fn differs(before: &Project, after: &Project) -> String {
    let nouns = nouns(before, after);
    match nouns.split_at_checked(NAMED) {
        Some((named, rest)) if !rest.is_empty() => {
            format!("{} and {} of things", named.join(", "), count(rest.len(), "more kind"))
        }
        _ => nouns.join(", "),
    }
}

/// How many of each noun were changed, came or went, in words.
fn nouns(before: &Project, after: &Project) -> Vec<String> {
    // Every field is named, so that a new one is not forgotten here.
    let Project {
        settings,
        rooms,
        phases,
        links,
        suppliers,
        selections,
        quotes,
        extras,
        rules,
        swaps,
        returns,
        gates,
        corrections,
        finishes,
        orders,
        deliveries,
        payments,
        mappings,
        sent,
        crews,
        permits,
        changes,
        draws,
        out_of_use,
        punch,
        handover,
        risks,
        alternatives,
        kept_plans,
        log,
        typical,
        // Counts up with whatever came, and says nothing by itself.
        next_id: _,
        // Nobody sees it here.
        later: _,
        index: _,
    } = after;
    let mut found = Vec::new();
    let mut put = |n: usize, one: &str, many: &str| {
        if n > 0 {
            found.push(counted(n, one, many));
        }
    };
    put(by(&before.selections, selections, |s| s.id), "selection", "selections");
    put(by(&before.rooms, rooms, |r| r.id), "room", "rooms");
    put(by(&before.phases, phases, |p| p.id), "phase", "phases");
    put(by(&before.links, links, |l| l.id), "link", "links");
    put(by(&before.suppliers, suppliers, |s| s.id), "supplier", "suppliers");
    put(by(&before.quotes, quotes, |q| q.id), "bid", "bids");
    put(by(&before.extras, extras, |e| e.id), "extra", "extras");
    put(by(&before.rules, rules, |r| r.id), "rule", "rules");
    put(by(&before.swaps, swaps, |s| s.id), "swap", "swaps");
    put(by(&before.returns, returns, |r| r.id), "return", "returns");
    put(by(&before.gates, gates, |g| g.id), "gate", "gates");
    put(by(&before.corrections, corrections, |c| c.id), "correction", "corrections");
    put(by(&before.finishes, finishes, |f| f.finish.clone()), "color", "colors");
    put(by(&before.orders, orders, |o| o.id), "order", "orders");
    put(by(&before.deliveries, deliveries, |d| d.id), "delivery", "deliveries");
    put(by(&before.payments, payments, |p| p.id), "payment", "payments");
    let known = |s: &Sent| {
        let (calendar, whose, uid) = s.known_by();
        (calendar, whose.to_owned(), uid.to_owned())
    };
    put(by(&before.sent, sent, known), "calendar entry", "calendar entries");
    put(by(&before.mappings, mappings, |m| m.id), "way to read lists", "ways to read lists");
    put(by(&before.crews, crews, |c| c.id), "crew", "crews");
    put(by(&before.permits, permits, |p| p.id), "permit", "permits");
    put(by(&before.changes, changes, |c| c.id), "change of the work", "changes of the work");
    put(by(&before.draws, draws, |d| d.id), "draw", "draws");
    put(by(&before.out_of_use, out_of_use, |o| o.id), "row of the house in use", "rows of the house in use");
    put(by(&before.punch, punch, |p| p.id), "thing on the punch list", "things on the punch list");
    put(by(&before.handover, handover, |h| h.id), "warranty or manual", "warranties and manuals");
    put(by(&before.risks, risks, |r| r.id), "risk", "risks");
    put(by(&before.alternatives, alternatives, |a| a.id), "alternative", "alternatives");
    put(by(&before.kept_plans, kept_plans, |p| p.id), "kept plan", "kept plans");
    put(by(&before.typical, typical, |t| t.goods), "typical lead time", "typical lead times");
    put(in_place(&before.log, log), "line of the log", "lines of the log");
    if *settings != before.settings {
        found.push("the settings".to_owned());
    }
    found
}

/// How many were changed, came or went, found by what they are known by.
fn by<T: PartialEq, K: Eq + Hash>(before: &Arc<Vec<T>>, after: &Arc<Vec<T>>, key: impl Fn(&T) -> K) -> usize {
    if Arc::ptr_eq(before, after) {
        return 0;
    }
    let old: HashMap<K, &T> = before.iter().map(|item| (key(item), item)).collect();
    let new: HashMap<K, &T> = after.iter().map(|item| (key(item), item)).collect();
    let gone = old.keys().filter(|key| !new.contains_key(*key)).count();
    let other = new.iter().filter(|(key, item)| old.get(*key).is_none_or(|was| was != *item)).count();
    let known = gone + other;
    // The same ones in another order are no longer the same document.
    if known == 0 && before != after { 1 } else { known }
}

/// How many differ by their places: for lists to which is only added.
fn in_place<T: PartialEq>(before: &[T], after: &[T]) -> usize {
    let differ = before.iter().zip(after).filter(|(a, b)| a != b).count();
    differ + before.len().abs_diff(after.len())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::file;
    use std::path::Path;

    /// The text of a project file is the second opinion: a list that is left out of it is one noun that differs, with as
    /// many as the list has.
    #[test]
    fn every_list_of_the_file_is_counted() {
        let sample = Path::new(env!("CARGO_MANIFEST_DIR")).join("sample_projects/orchard_house.ron");
        let (whole, _) = file::load(&sample).unwrap();
        assert_eq!(differs(&whole, &whole), "");
        let mut lists = 0;
        macro_rules! without {
            ($($list:ident)*) => {$(
                let mut less = whole.clone();
                let size = less.$list.len();
                less.$list = Arc::default();
                for (a, b) in [(&whole, &less), (&less, &whole)] {
                    let found = nouns(a, b);
                    assert_eq!(found.len(), usize::from(size > 0), "{}: {found:?}", stringify!($list));
                    assert!(found.iter().all(|words| words.starts_with(&format!("{size} "))), "{found:?}");
                }
                lists += usize::from(size > 0);
            )*};
        }
        without!(rooms phases links suppliers selections quotes extras rules swaps returns gates corrections finishes
            orders deliveries payments mappings crews permits changes draws out_of_use risks alternatives kept_plans log
            typical sent punch handover);
        let text = file::to_text(&whole).unwrap();
        let written = text.lines().filter(|l| l.starts_with("    ") && !l.starts_with("     "));
        assert_eq!(lists, written.filter(|line| line.ends_with(": [")).count());
    }

    #[test]
    fn what_was_changed_and_what_was_moved_is_told() {
        let day = chrono::NaiveDate::from_ymd_opt(2026, 6, 1).unwrap();
        let before = Project::new("House", day);
        let mut after = before.clone();
        after.settings.name = "Other".to_owned();
        assert_eq!(differs(&before, &after), "the settings");
        let sample = Path::new(env!("CARGO_MANIFEST_DIR")).join("sample_projects/orchard_house.ron");
        let (whole, _) = file::load(&sample).unwrap();
        let mut moved = whole.clone();
        Arc::make_mut(&mut moved.suppliers).swap(0, 1);
        assert_eq!(differs(&whole, &moved), "1 supplier");
        Arc::make_mut(&mut moved.suppliers).swap(0, 1);
        assert_eq!(differs(&whole, &moved), "");
        Arc::make_mut(&mut moved.phases)[0].name.push('x');
        Arc::make_mut(&mut moved.rooms).pop();
        assert_eq!(differs(&whole, &moved), "1 room, 1 phase");
        let words = differs(&before, &whole);
        assert!(words.contains("selections, ") && words.ends_with(" more kinds of things"), "{words}");
    }
}
