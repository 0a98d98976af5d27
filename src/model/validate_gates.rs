//! Rules of gates, conditions and corrections.

use super::gate::{Condition, Correction, Gate, Need};
use super::phase::PhaseKind;
use super::project::Project;
use super::validate::{day, key};
use std::collections::HashSet;

type Checked = Result<(), String>;

/// Checks a gate against the project.
pub fn gate(project: &Project, g: &Gate) -> Checked {
    if project.phase(g.phase).is_none() {
        return Err("the gate names a phase that is not in the project".to_owned());
    }
    gate_alone(g)?;
    g.conditions.iter().try_for_each(|c| condition(project, g, c))
}

/// Checks a gate by itself, without its conditions.
pub fn gate_alone(g: &Gate) -> Checked {
    key(&g.key)?;
    let mut numbers = HashSet::new();
    if !g.conditions.iter().all(|c| numbers.insert(c.id)) {
        return Err(format!("two conditions of `{}` have the same number", g.key));
    }
    Ok(())
}

/// Checks a condition against the project and its gate.
pub fn condition(project: &Project, g: &Gate, c: &Condition) -> Checked {
    if !project.knows(&c.need) {
        return Err("a condition names something that is not in the project; pick another".to_owned());
    }
    condition_alone(g, c)
}

/// Checks a condition by itself, with its gate.
pub fn condition_alone(g: &Gate, c: &Condition) -> Checked {
    day("the day of a condition", c.by)?;
    match &c.need {
        Need::Finished(phase) if *phase == g.phase => {
            Err("a phase cannot wait for its own finish; pick another phase".to_owned())
        }
        Need::Confirmed { what, .. } if what.trim().is_empty() => {
            Err("a confirmation needs words: write what is to be confirmed".to_owned())
        }
        Need::Confirmed { said_by, said_on, .. } => {
            if said_on.is_none() && !said_by.is_empty() {
                return Err(format!("{said_by} confirmed it, but on which day? Write the date too"));
            }
            if said_on.is_some() && said_by.trim().is_empty() {
                return Err("it is confirmed, but by whom? Write who said so".to_owned());
            }
            day("the day of the confirmation", *said_on)
        }
        _ => Ok(()),
    }
}

/// Checks a correction against the project.
pub fn correction(project: &Project, c: &Correction) -> Checked {
    match project.phase(c.phase) {
        None => return Err("the correction names a phase that is not in the project".to_owned()),
        Some(p) if p.kind != PhaseKind::Inspection => {
            return Err(format!("`{}` is no inspection; only an inspection has corrections", p.key));
        }
        Some(_) => {}
    }
    if c.fix_phase.is_some_and(|id| project.phase(id).is_none()) {
        return Err("the correction is to be done in a phase that is not in the project".to_owned());
    }
    correction_alone(c)
}

/// Checks a correction by itself.
pub fn correction_alone(c: &Correction) -> Checked {
    if c.what.trim().is_empty() {
        return Err("a correction needs words: write what to put right".to_owned());
    }
    if c.fix_phase == Some(c.phase) {
        return Err(
            "an inspection cannot wait for its own finish; pick the phase that does the work".to_owned()
        );
    }
    day("the visit", Some(c.found))?;
    day("due", c.due)?;
    day("done", c.done)?;
    match c.done {
        Some(done) if done < c.found => Err(format!(
            "it was done on {done}, before it was found on {}; correct one of the dates",
            c.found
        )),
        _ => Ok(()),
    }
}

/// Checks them in a whole document.
pub(super) fn document(project: &Project, check: &mut impl FnMut(&'static str, u32, &str, Checked)) {
    for g in project.gates.iter() {
        let fault = match project.phase(g.phase) {
            Some(_) => gate_alone(g),
            None => Err("it names a phase that is not in the project".to_owned()),
        };
        check("gate", g.id.0, &g.key, fault);
        for (i, c) in g.conditions.iter().enumerate() {
            let fault = if project.knows(&c.need) {
                condition_alone(g, c)
            } else {
                Err("it names something that is not in the project".to_owned())
            };
            check("condition", c.id.0, &format!("{} {}", g.key, i + 1), fault);
        }
    }
    for c in project.corrections.iter() {
        check("correction", c.id.0, &c.id.0.to_string(), correction(project, c));
    }
}
