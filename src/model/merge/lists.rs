//! The order of a list that both sides changed.

use super::shape::Key;
use std::collections::{HashMap, HashSet};

/// In which order the items of three lists stand.
pub(super) struct Orders<'a> {
    pub base: &'a [Key],
    pub ours: &'a [Key],
    pub theirs: &'a [Key],
}

impl Orders<'_> {
    /// Whether both sides moved items that both have, and not alike.
    pub(super) fn differ(&self) -> bool {
        let moved = |side: &[Key]| shared(side, self.base) != shared(self.base, side);
        moved(self.ours)
            && moved(self.theirs)
            && shared(self.ours, self.theirs) != shared(self.theirs, self.ours)
    }

    /// All items of both sides: those of one as they stand there, with those of the other behind what they follow. It is
    /// the other side that leads where only that one moved something, or where it is wished.
    pub(super) fn merged(&self, theirs_lead: bool) -> Vec<Key> {
        let mine_as_before = shared(self.ours, self.base) == shared(self.base, self.ours);
        let other_as_before = shared(self.theirs, self.base) == shared(self.base, self.theirs);
        let theirs_lead = theirs_lead || (mine_as_before && !other_as_before);
        let (first, second) = if theirs_lead { (self.theirs, self.ours) } else { (self.ours, self.theirs) };
        let in_first: HashSet<&Key> = first.iter().collect();
        let in_second: HashSet<&Key> = second.iter().collect();
        // Those of the second that the first does not have, by the one of both that they follow.
        let mut behind: HashMap<Option<&Key>, Vec<&Key>> = HashMap::new();
        let mut anchor = None;
        for key in second {
            if in_first.contains(key) {
                anchor = Some(key);
            } else {
                behind.entry(anchor).or_default().push(key);
            }
        }
        let mut merged = Vec::with_capacity(first.len() + second.len());
        let mut anchor = None;
        for key in first {
            if in_second.contains(key) {
                merged.extend(behind.remove(&anchor).unwrap_or_default().into_iter().cloned());
                anchor = Some(key);
            }
            merged.push(key.clone());
        }
        merged.extend(behind.remove(&anchor).unwrap_or_default().into_iter().cloned());
        merged
    }

    /// Whether both sides are in the order of their keys, as days mostly are.
    pub(super) fn ascend(&self) -> bool {
        let days = |list: &[Key]| list.iter().all(|key| matches!(key, Key::Text(_))) && list.is_sorted();
        days(self.ours) && days(self.theirs)
    }
}

/// What stands in `other` too, in the order of `list`.
fn shared<'a>(list: &'a [Key], other: &[Key]) -> Vec<&'a Key> {
    let known: HashSet<&Key> = other.iter().collect();
    list.iter().filter(|key| known.contains(key)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn keys(list: &[u32]) -> Vec<Key> {
        list.iter().map(|id| Key::Thing(*id)).collect()
    }

    fn merged(base: &[u32], ours: &[u32], theirs: &[u32]) -> Vec<Key> {
        let (base, ours, theirs) = (keys(base), keys(ours), keys(theirs));
        Orders { base: &base, ours: &ours, theirs: &theirs }.merged(false)
    }

    #[test]
    fn additions_follow_what_they_followed() {
        assert_eq!(merged(&[1, 2], &[1, 2, 3], &[1, 2, 4]), keys(&[1, 2, 3, 4]));
        assert_eq!(merged(&[], &[3], &[4]), keys(&[3, 4]));
        assert_eq!(merged(&[1, 2], &[1, 2], &[4, 1, 5, 2]), keys(&[4, 1, 5, 2]));
        assert_eq!(merged(&[1, 2], &[1, 3, 2], &[1, 4, 2, 5]), keys(&[1, 3, 4, 2, 5]));
    }

    #[test]
    fn who_moved_something_leads() {
        assert_eq!(merged(&[1, 2, 3], &[1, 2, 3, 9], &[3, 1, 2]), keys(&[3, 9, 1, 2]));
        let (base, ours, theirs) = (keys(&[1, 2, 3]), keys(&[3, 1, 2]), keys(&[2, 1, 3]));
        let orders = Orders { base: &base, ours: &ours, theirs: &theirs };
        assert!(orders.differ());
        assert_eq!(orders.merged(false), ours);
        assert_eq!(orders.merged(true), theirs);
    }
}
