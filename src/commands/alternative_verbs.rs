//! Named sets of choices: telling them side by side, and making one.

use super::args::{Dated, Target};
use super::log_verbs::target_of;
use super::verbs::{input, load_and_compute, one_line};
use super::{Failure, GOOD, Outcome};
use crate::engine::alternatives::{self, Side};
use crate::engine::{curve, log};
use crate::model::words::{self, count};
use crate::model::{Alternative, Project, file};
use std::io::Write;

/// `alternatives`.
pub fn tell(of: &Dated, out: &mut dyn Write) -> Result<Outcome, Failure> {
    let (project, figures) = load_and_compute(of)?;
    if project.alternatives.is_empty() {
        writeln!(out, "there are no alternatives")?;
        return Ok(Outcome::Exit(GOOD));
    }
    let sides = alternatives::side_by_side(&project, &figures);
    writeln!(out, "now: {}", figures_of(&project, &sides.now))?;
    for (alternative, side) in project.alternatives.iter().zip(&sides.others) {
        let name = format!("{} ({})", alternative.name, alternative.key);
        writeln!(out, "{}: {}; {}", one_line(&name), figures_of(&project, side), moved(&project, side))?;
        for change in &side.changes {
            writeln!(out, "  {}", one_line(&curve::change_words(&project, change)))?;
        }
        for (change, why) in &side.refused {
            let words = curve::change_words(&project, change);
            writeln!(out, "  cannot be chosen: {}: {}", one_line(&words), one_line(why))?;
        }
        for (room, (now, then)) in project.rooms.iter().zip(sides.now.by_room.iter().zip(&side.by_room)) {
            if now != then {
                let currency = project.settings.currency;
                let (now, then) = (now.to_plain(currency), then.to_plain(currency));
                writeln!(out, "  {}: {then}, now {now} {currency}", one_line(&room.name))?;
            }
        }
        for problem in &side.new {
            writeln!(out, "  new: {}", one_line(&problem.message))?;
        }
        for problem in &side.gone {
            writeln!(out, "  gone: {}", one_line(&problem.message))?;
        }
        for changed in &side.without {
            writeln!(out, "  {}", one_line(&changed.words.plain(project.settings.currency)))?;
        }
    }
    Ok(Outcome::Exit(GOOD))
}

/// `adopt`.
pub fn adopt(of: &Dated, key: &str, target: &Target, out: &mut dyn Write) -> Result<Outcome, Failure> {
    let (project, figures) = load_and_compute(of)?;
    let alternative = find(&project, key)?;
    let path = target_of(target, &of.file)?;
    let made = alternatives::made(&project, &figures, alternative).map_err(input)?;
    for (change, why) in &made.side.refused {
        let words = curve::change_words(&project, change);
        writeln!(out, "cannot be chosen: {}: {}", one_line(&words), one_line(why))?;
    }
    let Some(action) = &made.action else {
        return Err(input(match made.side.refused.is_empty() {
            true => format!("all of `{key}` is chosen already"),
            false => format!("nothing of `{key}` can be chosen"),
        }));
    };
    let next = log::take(&project, &figures, action).map_err(input)?.project;
    file::save(&next, path, None).map_err(input)?;
    for change in &made.side.changes {
        writeln!(out, "{}", one_line(&curve::change_words(&project, change)))?;
    }
    writeln!(out, "{}; {}", figures_of(&project, &made.side), moved(&project, &made.side))?;
    writeln!(out, "written to {}", path.display())?;
    Ok(Outcome::Exit(GOOD))
}

fn find<'a>(project: &'a Project, key: &str) -> Result<&'a Alternative, Failure> {
    let found = project.alternatives.iter().find(|a| a.key == key);
    found.ok_or_else(|| {
        let keys: Vec<&str> = project.alternatives.iter().map(|a| a.key.as_str()).collect();
        input(match keys.is_empty() {
            true => format!("there is no alternative `{key}`; the project has none"),
            false => format!("there is no alternative `{key}`; there are {}", keys.join(", ")),
        })
    })
}

fn figures_of(project: &Project, side: &Side) -> String {
    let currency = project.settings.currency;
    let least = if side.least { "at least " } else { "" };
    let finish = side.finish.map_or("no finish".to_owned(), |day| format!("finish {day}"));
    let (errors, warnings) = side.problems;
    format!(
        "{finish}, total {least}{} {currency}, {} late, {}, {}",
        side.total.to_plain(currency),
        side.late,
        count(errors, "error"),
        count(warnings, "warning")
    )
}

fn moved(project: &Project, side: &Side) -> String {
    let currency = project.settings.currency;
    let same = |words: Option<String>, what: &str| words.unwrap_or_else(|| format!("the same {what}"));
    let days = match side.days {
        None => "no finish to compare".to_owned(),
        Some(days) => same(words::moved(days, "working day"), "finish"),
    };
    let money = same(words::moved_money(side.more, |amount| amount.to_plain(currency)), "total");
    format!("{days}, {money}")
}
