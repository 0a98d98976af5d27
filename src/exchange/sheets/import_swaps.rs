//! The sheets `facts`, `rules`, `swaps` and `returns`.

use super::import::Import;
use super::read::fill;
use super::row::Cells;
use super::sheet::Sheet;
use crate::exchange::notice::Notice;
use crate::model::dates::FIRST_DAY;
use crate::model::facts::{self, Fact, FactValue, Rule, RuleKind, RuleOf, RuleWith};
use crate::model::field::Noun;
use crate::model::{Known, OptionId, PartId, Return, ReturnId, RoomId, RuleId, SelectionId, Swap, SwapId};
use std::collections::HashMap;
use std::sync::Arc;

impl Import {
    pub(super) fn facts(&mut self, sheet: &Sheet) {
        for row in &sheet.rows {
            let make = |import: &Import, c: &Cells<'_>| {
                let option = import.at(c, "option", "options");
                let part = import.at(c, "part", "parts");
                let new = Fact { name: String::new(), value: FactValue::YesNo(true) };
                let both = (c.is_filled("option"), c.is_filled("part"));
                (option, part, both, fill(c, import, Fact::FIELDS, new))
            };
            let check = |_: &Import, (_, _, both, fact): &(_, _, (bool, bool), Fact)| match both {
                (true, true) => {
                    Err("a fact is of an option or of a part; leave one of the two empty".to_owned())
                }
                (false, false) => Err("whose fact is it? write the key of an option or of a part".to_owned()),
                _ => facts::check_facts(std::slice::from_ref(fact)),
            };
            let ((option, part, _, fact), good) = self.row(sheet, row, make, check);
            let Some(list) = self.facts_of(option, part).filter(|_| good) else { continue };
            if list.iter().any(|known| facts::same_name(&known.name, &fact.name)) {
                let message = format!("the fact `{}` is stated twice here; keep one", fact.name);
                self.faults.push(Notice::cell(&sheet.file, row.number, "name", message));
            } else {
                list.push(fact);
            }
        }
    }

    fn facts_of(&mut self, option: Option<usize>, part: Option<usize>) -> Option<&mut Vec<Fact>> {
        match (option, part) {
            (Some(option), _) => {
                let (s, o) = self.option_places.get(option).copied()?;
                Some(&mut self.selections.get_mut(s)?.options.get_mut(o)?.facts)
            }
            (_, Some(part)) => {
                let (s, o, p) = self.part_places.get(part).copied()?;
                Some(&mut self.selections.get_mut(s)?.options.get_mut(o)?.parts.get_mut(p)?.facts)
            }
            _ => None,
        }
    }

    pub(super) fn rules(&mut self, sheet: &Sheet) {
        let mut rules = Vec::new();
        for row in &sheet.rows {
            let id = RuleId(self.project.fresh_id());
            let make = |import: &Import, c: &Cells<'_>| import.rule(c, id);
            let ((_, rule), _) = self.row(sheet, row, make, |_, (both, rule)| match both {
                (true, _) => {
                    Err("a rule is about a selection, a room or the house; name one of them at most"
                        .to_owned())
                }
                (_, true) => {
                    Err("a rule compares with another selection or with a value, not with both".to_owned())
                }
                _ => rule.check(),
            });
            self.note(Rule::FIELDS, &rule, sheet, row);
            rules.push(rule);
        }
        self.project.rules = Arc::new(rules);
    }

    /// A rule, and whether it names too much on its own side and on the other.
    fn rule(&self, c: &Cells<'_>, id: RuleId) -> ((bool, bool), Rule) {
        let (name, fact, why) = Default::default();
        let (kind, key) = (RuleKind::Equal, String::new());
        let new = Rule { id, key, name, kind, of: RuleOf::House, fact, with: None, tolerance: None, why };
        let mut rule = fill(c, self, Rule::FIELDS, new);
        // A key that leads nowhere has been reported; the rule is kept in shape so that nothing else is said of it.
        let selection =
            |column: &str, none: u32| SelectionId(self.refer(c, column, Noun::Selection).unwrap_or(none));
        let room = self.refer(c, "room", Noun::Room);
        rule.of = match (c.is_filled("selection"), c.is_filled("room")) {
            (true, _) => RuleOf::Selection(selection("selection", u32::MAX)),
            (_, true) => RuleOf::Room(RoomId(room.unwrap_or(u32::MAX))),
            _ => RuleOf::House,
        };
        let value = c.parsed("value").map(RuleWith::Value);
        rule.with = if c.is_filled("other") {
            let other_fact = c.read("other_fact", |t| Ok(t.to_owned())).unwrap_or_else(|| rule.fact.clone());
            Some(RuleWith::Fact(selection("other", u32::MAX - 1), other_fact))
        } else {
            value
        };
        let too_much = (
            c.is_filled("selection") && c.is_filled("room"),
            c.is_filled("value") && (c.is_filled("other") || c.is_filled("other_fact")),
        );
        (too_much, rule)
    }

    pub(super) fn swaps(&mut self, sheet: &Sheet) {
        let mut swaps: Vec<Swap> = Vec::new();
        for row in &sheet.rows {
            let new = Swap {
                id: SwapId(self.project.fresh_id()),
                key: String::new(),
                selection: SelectionId(u32::MAX),
                on: FIRST_DAY,
                from: OptionId(u32::MAX),
                to: OptionId(u32::MAX - 1),
                why: String::new(),
                reverses: None,
                known: Known::default(),
            };
            let make = |import: &Import, c: &Cells<'_>| {
                let earlier = import.at(c, "reverses", "swaps").and_then(|at| swaps.get(at));
                let reverses = earlier.map(|s| s.id);
                fill(c, import, Swap::FIELDS, Swap { reverses, ..new.clone() })
            };
            let (swap, _) = self.row(sheet, row, make, Import::check_swap);
            self.note(Swap::FIELDS, &swap, sheet, row);
            swaps.push(swap);
        }
        self.project.swaps = Arc::new(swaps);
    }

    fn check_swap(&self, s: &Swap) -> Result<(), String> {
        s.check()?;
        let Some(selection) = self.selections.iter().find(|known| known.id == s.selection) else {
            return Ok(());
        };
        for (what, id) in [("before", s.from), ("after", s.to)] {
            let known = self.selections.iter().any(|other| other.options.iter().any(|o| o.id == id));
            if known && !selection.options.iter().any(|o| o.id == id) {
                return Err(format!("the option {what} is none of `{}`", selection.key));
            }
        }
        Ok(())
    }

    pub(super) fn returns(&mut self, sheet: &Sheet) {
        let new = |id| Return::new(ReturnId(id), PartId(u32::MAX));
        let returns = self.list(sheet, Return::FIELDS, new, |_, r| r.check());
        let mut seen: HashMap<PartId, usize> = HashMap::new();
        for (r, row) in returns.iter().zip(&sheet.rows) {
            if let Some(first) = seen.insert(r.part, row.number).filter(|_| r.part.0 != u32::MAX) {
                let message = format!("this part has a return already, in row {first}; keep one");
                self.faults.push(Notice::cell(&sheet.file, row.number, "part", message));
            }
        }
        self.project.returns = Arc::new(returns);
    }
}
