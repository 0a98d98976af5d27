//! Rules about swaps, returns and rules of what goes with what.

use super::facts::{self, Rule, RuleOf, RuleWith};
use super::project::Project;
use super::swap::{Return, Swap, check_return, check_swap};
use std::collections::HashSet;

type Checked = Result<(), String>;

/// Checks a log entry against the project.
pub fn swap(project: &Project, s: &Swap) -> Checked {
    check_swap(s)?;
    let Some(selection) = project.selection(s.selection) else {
        return Err("the swap names a selection that is not in the project".to_owned());
    };
    let of = |id| selection.options.iter().any(|o| o.id == id);
    if !of(s.from) || !of(s.to) {
        return Err(format!("the swap names an option that is none of {}", selection.name));
    }
    let Some(reversed) = s.reverses else { return Ok(()) };
    match project.swaps.iter().find(|other| other.id == reversed) {
        Some(other) if other.selection != s.selection => {
            Err("the swap takes back one of another selection".to_owned())
        }
        Some(_) => Ok(()),
        None => Err("the swap takes back one that is not in the log".to_owned()),
    }
}

/// Checks a return against the project.
pub fn return_of(project: &Project, r: &Return) -> Checked {
    if project.part(r.part).is_none() {
        return Err("the return names a part that is not in the project".to_owned());
    }
    check_return(r)
}

/// Checks a rule against the project.
pub fn rule(project: &Project, r: &Rule) -> Checked {
    let selection = |id| match project.selection(id) {
        Some(_) => Ok(()),
        None => Err("the rule names a selection that is not in the project".to_owned()),
    };
    match r.of {
        RuleOf::Selection(id) => selection(id)?,
        RuleOf::Room(id) if project.room(id).is_none() => {
            return Err("the rule names a room that is not in the project".to_owned());
        }
        RuleOf::Room(_) | RuleOf::House => {}
    }
    if let Some(RuleWith::Fact(id, _)) = &r.with {
        selection(*id)?;
    }
    facts::check_rule(r)
}

/// Checks them in a whole document.
pub fn document(project: &Project, check: &mut impl FnMut(&'static str, u32, &str, Checked)) {
    project.rules.iter().for_each(|r| check("rule", r.id.0, &r.key, rule(project, r)));
    let mut parts = HashSet::new();
    for r in project.returns.iter() {
        let name = format!("of part {}", r.part.0);
        let key = project.part(r.part).map_or(name.as_str(), |(_, _, p)| &p.key);
        let fault = if parts.insert(r.part) {
            return_of(project, r)
        } else {
            Err("the part has two returns; keep one".to_owned())
        };
        check("return", r.id.0, key, fault);
    }
    for (at, s) in project.swaps.iter().enumerate() {
        // What is taken back was made before.
        let later = s.reverses.is_some_and(|id| !project.swaps[..at].iter().any(|known| known.id == id));
        let fault = if later {
            Err("it takes back a swap that does not come before it".to_owned())
        } else {
            swap(project, s)
        };
        check("swap", s.id.0, &s.key, fault);
    }
}
