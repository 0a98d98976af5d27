//! The sheets `facts`, `rules`, `swaps` and `returns`.

use super::import::Import;
use super::notice::Notice;
use super::row::{Cells, Keys, build};
use super::sheet::Sheet;
use crate::model::dates::FIRST_DAY;
use crate::model::facts::{self, Fact, FactValue, Rule, RuleKind, RuleOf, RuleWith};
use crate::model::{
    Known, OptionId, Part, PartId, Return, ReturnId, ReturnState, RuleId, SelectionId, Swap, SwapId,
};
use std::collections::HashMap;
use std::sync::Arc;

/// Stands between the knock-ons of a swap in their cell.
pub(super) const BETWEEN: char = '\n';

impl Import {
    pub(super) fn swaps_and_facts(&mut self) {
        if let Some(sheet) = self.take("facts") {
            self.facts(&sheet);
        }
        if let Some(sheet) = self.take("rules") {
            self.rules(&sheet);
        }
        if let Some(sheet) = self.take("swaps") {
            self.swaps(&sheet);
        }
        if let Some(sheet) = self.take("returns") {
            self.returns(&sheet);
        }
    }

    fn facts(&mut self, sheet: &Sheet) {
        for row in &sheet.rows {
            let make = |c: &Cells<'_>| {
                let option = c.refer("option", &self.option_keys);
                let part = c.refer("part", &self.part_keys);
                let value = c.parsed("value");
                let value = c.needed("value", value, FactValue::YesNo(true));
                let both = (c.is_filled("option"), c.is_filled("part"));
                (option, part, both, Fact { name: c.key("name"), value })
            };
            let check = |(_, _, both, fact): &(_, _, (bool, bool), Fact)| match both {
                (true, true) => {
                    Err("a fact is of an option or of a part; leave one of the two empty".to_owned())
                }
                (false, false) => Err("whose fact is it? write the key of an option or of a part".to_owned()),
                _ => facts::check_facts(std::slice::from_ref(fact)),
            };
            let ((option, part, _, fact), found) = build(sheet, row, make, check);
            let good = found.is_empty();
            self.faults.extend(found);
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

    fn rules(&mut self, sheet: &Sheet) {
        let mut keys = Keys::new("rule", "rules.csv");
        let mut rules = Vec::new();
        for (position, row) in sheet.rows.iter().enumerate() {
            let id = RuleId(self.project.fresh_id());
            let (rule, found) = build(
                sheet,
                row,
                |c| self.rule(c, id),
                |(both, rule)| {
                    if both.0 {
                        return Err(
                            "a rule is about a selection, a room or the house; name one of them at most"
                                .to_owned(),
                        );
                    }
                    if both.1 {
                        return Err("a rule compares with another selection or with a value, not with both"
                            .to_owned());
                    }
                    rule.check()
                },
            );
            self.faults.extend(found);
            keys.note(&rule.1.key, position, sheet, row.number, &mut self.faults);
            rules.push(rule.1);
        }
        self.project.rules = Arc::new(rules);
    }

    /// A rule, and whether it names too much on its own side and on the other.
    fn rule(&self, c: &Cells<'_>, id: RuleId) -> ((bool, bool), Rule) {
        let key = c.key("key");
        let selection = |column: &str| c.refer(column, &self.selection_keys).map(|at| self.selections[at].id);
        let room = c.refer("room", &self.room_keys).map(|at| self.rooms[at].id);
        // A key that leads nowhere has been reported; the rule is kept in shape so that nothing else is said of it.
        let of = match (c.is_filled("selection"), c.is_filled("room")) {
            (true, _) => RuleOf::Selection(selection("selection").unwrap_or(SelectionId(u32::MAX))),
            (_, true) => RuleOf::Room(room.unwrap_or(crate::model::RoomId(u32::MAX))),
            _ => RuleOf::House,
        };
        let fact = c.key("fact");
        let value = c.parsed("value").map(RuleWith::Value);
        let with = if c.is_filled("other") {
            let other = selection("other").unwrap_or(SelectionId(u32::MAX - 1));
            let other_fact = c.read("other_fact", |t| Ok(t.to_owned())).unwrap_or_else(|| fact.clone());
            Some(RuleWith::Fact(other, other_fact))
        } else {
            value
        };
        let rule = Rule {
            id,
            name: c.name_or(&key),
            key,
            kind: c.needed("kind", c.word("kind", &RuleKind::ALL), RuleKind::Equal),
            of,
            fact,
            with,
            tolerance: c.parsed("tolerance"),
            why: c.text("why"),
        };
        let too_much = (
            c.is_filled("selection") && c.is_filled("room"),
            c.is_filled("value") && (c.is_filled("other") || c.is_filled("other_fact")),
        );
        (too_much, rule)
    }

    fn swaps(&mut self, sheet: &Sheet) {
        let mut keys = Keys::new("swap", "swaps.csv");
        let mut swaps: Vec<Swap> = Vec::new();
        for (position, row) in sheet.rows.iter().enumerate() {
            let id = SwapId(self.project.fresh_id());
            let make = |c: &Cells<'_>| self.swap(c, id, &keys, &swaps);
            let (swap, found) = build(sheet, row, make, |s| self.check_swap(s));
            self.faults.extend(found);
            keys.note(&swap.key, position, sheet, row.number, &mut self.faults);
            swaps.push(swap);
        }
        self.project.swaps = Arc::new(swaps);
    }

    fn swap(&self, c: &Cells<'_>, id: SwapId, keys: &Keys, earlier: &[Swap]) -> Swap {
        let selection = c.refer("selection", &self.selection_keys);
        c.needed("selection", selection, 0);
        let option = |column: &str, none: u32| {
            let at = c.refer(column, &self.option_keys);
            c.needed(column, at, 0);
            at.and_then(|at| self.option_at(at)).map_or(OptionId(none), |(_, id)| id)
        };
        let known = Known {
            forecast_before: c.money("forecast_before").unwrap_or_default(),
            forecast_after: c.money("forecast_after").unwrap_or_default(),
            forecast_returned: c.money("forecast_returned").unwrap_or_default(),
            finish_before: c.date("finish_before"),
            finish_after: c.date("finish_after"),
            restocking: c.money("restocking").unwrap_or_default(),
            return_freight: c.money("return_freight").unwrap_or_default(),
            deposit_lost: c.money("deposit_lost").unwrap_or_default(),
            knock_ons: c
                .text("knock_ons")
                .split([BETWEEN, '\r'])
                .filter(|t| !t.trim().is_empty())
                .map(str::to_owned)
                .collect(),
        };
        Swap {
            id,
            key: c.key("key"),
            selection: selection.map_or(SelectionId(u32::MAX), |at| self.selections[at].id),
            on: c.needed("on", c.date("on"), FIRST_DAY),
            from: option("from", u32::MAX),
            to: option("to", u32::MAX - 1),
            why: c.text("why"),
            reverses: c.refer("reverses", keys).and_then(|at| earlier.get(at)).map(|s| s.id),
            known,
        }
    }

    pub(super) fn option_at(&self, at: usize) -> Option<(SelectionId, OptionId)> {
        let (s, o) = self.option_places.get(at).copied()?;
        let selection = self.selections.get(s)?;
        Some((selection.id, selection.options.get(o)?.id))
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

    fn returns(&mut self, sheet: &Sheet) {
        let mut seen: HashMap<PartId, usize> = HashMap::new();
        let mut returns = Vec::new();
        for row in &sheet.rows {
            let id = ReturnId(self.project.fresh_id());
            let make = |c: &Cells<'_>| {
                let at = c.refer("part", &self.part_keys);
                c.needed("part", at, 0);
                self.return_of(c, id, at)
            };
            let (r, found) = build(sheet, row, make, Return::check);
            self.faults.extend(found);
            if let Some(first) = seen.insert(r.part, row.number).filter(|_| r.part.0 != u32::MAX) {
                let message = format!("this part has a return already, in row {first}; keep one");
                self.faults.push(Notice::cell(&sheet.file, row.number, "part", message));
            }
            returns.push(r);
        }
        self.project.returns = Arc::new(returns);
    }

    fn return_of(&self, c: &Cells<'_>, id: ReturnId, part: Option<usize>) -> Return {
        let part = part.and_then(|at| self.part_at(at)).map_or(PartId(u32::MAX), |p| p.id);
        Return {
            id,
            part,
            state: c.word("state", &ReturnState::ALL).unwrap_or_default(),
            restock_pct: c.number("restock_pct"),
            freight: c.money("freight").unwrap_or_default(),
            deposit_lost: c.money("deposit_lost"),
            went_back_on: c.date("went_back_on"),
            credit: c.money("credit"),
            note: c.text("note"),
        }
    }

    pub(super) fn part_at(&self, at: usize) -> Option<&Part> {
        let (s, o, p) = self.part_places.get(at).copied()?;
        self.selections.get(s)?.options.get(o)?.parts.get(p)
    }
}
