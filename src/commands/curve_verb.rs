//! What `choose` does: the cheapest set of choices that finishes by a day.

use super::look_ahead::{ChooseRequest, Limits};
use super::verbs::{check_target, input, load_and_compute, one_line, typed};
use super::{Failure, GOOD, Outcome};
use crate::engine::curve::{self, Curve, Question, curve};
use crate::engine::{Day, Figures, log};
use crate::exchange::typed::Typed;
use crate::model::{Project, file};
use std::io::Write;

/// The question of a request.
fn question(project: &Project, figures: &Figures, limits: &Limits) -> Result<Question, Failure> {
    let mut question =
        if limits.reopen_all { Question::all_not_ordered(project) } else { Question::default() };
    let reader = Typed::of(&project.settings, figures.as_of.date());
    for key in &limits.reopen {
        let found = project.selections.iter().find(|s| s.key == *key).map(|s| s.id);
        question.reopened.push(found.ok_or_else(|| input(format!("there is no selection `{key}`")))?);
    }
    for key in &limits.keep {
        let found = project.rooms.iter().find(|r| r.key == *key).map(|r| r.id);
        question.keep.push(found.ok_or_else(|| input(format!("there is no room `{key}`")))?);
    }
    if let Some(text) = &limits.here_by {
        question.here_by = Some(Day::from(typed("--here-by", reader.date(text))?));
    }
    if let Some(text) = &limits.at_most {
        question.at_most = Some(typed("--at-most", reader.money(text))?);
    }
    question.same_finish = limits.same_finish;
    Ok(question)
}

/// `choose`.
pub fn choose(request: &ChooseRequest, out: &mut dyn Write) -> Result<Outcome, Failure> {
    let (project, figures) = load_and_compute(&request.of)?;
    let day = typed("--finish", Typed::of(&project.settings, figures.as_of.date()).date(&request.finish))?;
    let day = Day::from(day);
    let question = question(&project, &figures, &request.limits)?;
    let found = curve(&project, &figures, &question).map_err(input)?;
    let Some(point) = found.by(day) else { return Err(input(not_reached(&project, &found, day))) };
    let path = &request.out;
    check_target(Some(&request.of.file), path, request.force)?;
    let action = curve::action(&project, &figures, point).map_err(input)?;
    let next = log::take(&project, &figures, &action).map_err(input)?.project;
    file::save(&next, path, None).map_err(input)?;
    let currency = project.settings.currency;
    if point.changes.is_empty() {
        writeln!(out, "nothing is to be changed")?;
    }
    for change in &point.changes {
        writeln!(out, "{}", one_line(&curve::change_words(&project, change)))?;
    }
    let (now, total) = (&found.now, point.total.to_plain(currency));
    let before = now.total.to_plain(currency);
    writeln!(
        out,
        "finish {}, before {}; total {total}, before {before} {currency}",
        point.finish, now.finish
    )?;
    if !found.whole {
        writeln!(
            out,
            "choices were compared by their own prices; freight and tax of orders are those of this set"
        )?;
    }
    writeln!(out, "written to {}", path.display())?;
    Ok(Outcome::Exit(GOOD))
}

fn not_reached(project: &Project, found: &Curve, day: Day) -> String {
    let currency = project.settings.currency;
    match found.points.first() {
        Some(first) => format!(
            "no set of choices finishes by {day}; the soonest is {}, for {} {currency} in all",
            first.finish,
            first.total.to_plain(currency)
        ),
        None => format!("no set of choices finishes by {day} within these limits"),
    }
}
