//! Keeping a plan, telling what moved since, and taking changed sheets with a line in the log.

use super::args::{Dated, Target, one_of};
use super::verbs::{check_target, input, load_and_compute, one_line, read_sheets};
use super::{Failure, GOOD, Outcome};
use crate::engine::log::{self, Story, Told};
use crate::engine::{Figures, compute};
use crate::model::words;
use crate::model::{Cause, KeptPlan, Money, Project, file};
use clap::Args;
use std::io::Write;
use std::path::{Path, PathBuf};

/// What `update` is asked.
#[derive(Debug, Args)]
pub struct UpdateRequest {
    #[command(flatten)]
    pub of: Dated,
    /// The folder or the workbook with the sheets of the project, changed
    #[arg(long, value_name = "FOLDER")]
    pub from: PathBuf,
    /// What happened, for the log
    #[arg(long, value_name = "TEXT", default_value = "sheets")]
    pub what: String,
    /// Why it moves, for the log
    #[arg(long, value_name = "WORD", default_value = "other", value_parser = one_of("cause", &Cause::ALL))]
    pub cause: Cause,
    #[command(flatten)]
    pub target: Target,
}

/// The file to write a changed project to.
pub(super) fn target_of<'a>(target: &'a Target, own: &Path) -> Result<&'a PathBuf, Failure> {
    let Some(path) = &target.out else {
        return Err(Failure::Use("--out FILE says where the changed project goes".to_owned()));
    };
    check_target(Some(own), path, target.force)?;
    Ok(path)
}

/// `keep`.
pub fn keep(of: &Dated, name: &str, target: &Target, out: &mut dyn Write) -> Result<Outcome, Failure> {
    let (project, figures) = load_and_compute(of)?;
    let path = target_of(target, &of.file)?;
    let next = project.apply(&log::keep(&project, &figures, name)).map_err(input)?;
    file::save(&next, path, None).map_err(input)?;
    if let Some(plan) = next.agreed_plan() {
        writeln!(out, "{}, written to {}", kept(&next, plan), path.display())?;
    }
    Ok(Outcome::Exit(GOOD))
}

/// `update`: the project as its sheets say now, with a line in the log for what that moves.
pub fn update(request: &UpdateRequest, out: &mut dyn Write, err: &mut dyn Write) -> Result<Outcome, Failure> {
    let (project, figures) = load_and_compute(&request.of)?;
    let path = target_of(&request.target, &request.of.file)?;
    if request.what.trim().is_empty() {
        return Err(Failure::Use("--what says what happened, for the log".to_owned()));
    }
    let new = match read_sheets(&request.from, err)? {
        Ok(new) => new,
        Err(outcome) => return Ok(outcome),
    };
    let next = log::update(&project, &figures, new, &request.what, request.cause).map_err(input)?;
    file::save(&next, path, None).map_err(input)?;
    let after = compute(&next, figures.as_of.date());
    if let Some(plan) = next.agreed_plan() {
        let story = log::story(&next, &after, plan);
        story
            .lines
            .iter()
            .skip_while(|told| told.at.is_some_and(|at| at < project.log.len()))
            .try_for_each(|told| writeln!(out, "{}", one_line(&line(&next, told))))?;
        writeln!(out, "{}", one_line(&now(&next, &after, &story)))?;
    }
    writeln!(out, "written to {}", path.display())?;
    Ok(Outcome::Exit(GOOD))
}

/// `log`.
pub fn tell(of: &Dated, key: Option<&str>, out: &mut dyn Write) -> Result<Outcome, Failure> {
    let (project, figures) = load_and_compute(of)?;
    let plan = match key {
        None => project.agreed_plan(),
        Some(key) => {
            let found = project.kept_plans.iter().find(|plan| plan.key == key);
            let keys = || project.kept_plans.iter().map(|p| p.key.as_str()).collect::<Vec<_>>().join(", ");
            Some(found.ok_or_else(|| input(format!("there is no kept plan `{key}`; there are {}", keys())))?)
        }
    };
    let Some(plan) = plan else {
        writeln!(out, "no plan is kept; needline keep keeps one")?;
        return Ok(Outcome::Exit(GOOD));
    };
    let story = log::story(&project, &figures, plan);
    writeln!(out, "{}", one_line(&kept(&project, plan)))?;
    for told in &story.lines {
        writeln!(out, "{}", one_line(&line(&project, told)))?;
    }
    writeln!(out, "{}", one_line(&now(&project, &figures, &story)))?;
    Ok(Outcome::Exit(GOOD))
}

fn kept(project: &Project, plan: &KeptPlan) -> String {
    let currency = project.settings.currency;
    let finish = plan.finish.map_or("no finish".to_owned(), |day| format!("finish {day}"));
    format!("{} {}, {finish}, total {} {currency}", plan.on, plan.name, plan.total.to_plain(currency))
}

fn line(project: &Project, told: &Told) -> String {
    let own = &told.line;
    let mut moved = Vec::new();
    match (told.days, own.finish_before, own.finish_after) {
        (0, Some(_), None) => moved.push("no finish".to_owned()),
        (0, ..) => {}
        (n, ..) => moved.push(days(n)),
    }
    moved.extend(money(project, told.money));
    let pending = if told.at.is_none() { " (to be noted with the next change)" } else { "" };
    format!("{} {}: {}; {}{pending}", own.on, own.cause.word(), own.what, moved.join(", "))
}

/// Where it stands now, and by what it moved.
fn now(project: &Project, figures: &Figures, story: &Story) -> String {
    let currency = project.settings.currency;
    let finish = figures.forecast_finish.map_or("no finish".to_owned(), |day| format!("finish {day}"));
    let total = figures.money.total.forecast.to_plain(currency);
    let mut moved = vec![story.days.map_or("no finish to compare".to_owned(), days)];
    moved.extend(money(project, story.money));
    let causes = story.days_by_cause(project);
    let causes = if causes.is_empty() { causes } else { format!(": {causes}") };
    format!("{} now, {finish}, total {total} {currency}; {}{causes}", figures.as_of, moved.join(", "))
}

fn money(project: &Project, moved: Money) -> Option<String> {
    words::moved_money(moved, |amount| amount.to_plain(project.settings.currency))
}

fn days(days: i32) -> String {
    words::moved(days, "working day").unwrap_or_else(|| "as agreed".to_owned())
}
