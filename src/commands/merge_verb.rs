//! Bringing two versions of a project together.

use super::verbs::{check_target, input, load, one_line, usual_day};
use super::{Failure, GOOD, Outcome, PROBLEMS};
use crate::engine::log;
use crate::model::file;
use crate::model::merge::merge;
use crate::model::words::count;
use clap::Args;
use std::collections::HashMap;
use std::io::Write;
use std::path::{Path, PathBuf};

/// What `merge` is asked.
#[derive(Debug, Args)]
pub struct MergeRequest {
    /// The version that both came from
    pub base: PathBuf,
    /// This version: it counts where both changed the same
    pub ours: PathBuf,
    /// The other version
    pub theirs: PathBuf,
    /// The project file to write; OURS may be written over
    #[arg(long, value_name = "FILE")]
    pub out: PathBuf,
    /// Replace another FILE when it is there already
    #[arg(long)]
    pub force: bool,
}

/// `merge`: both sets of changes in one project. What both changed differently is told, and goes by OURS.
pub fn run(request: &MergeRequest, out: &mut dyn Write) -> Result<Outcome, Failure> {
    let [base, ours, theirs] = [&request.base, &request.ours, &request.theirs].map(|path| load(path));
    let (base, ours, theirs) = (base?, ours?, theirs?);
    check_target(Some(&request.ours), &request.out, request.force)?;
    let merged = merge(&base, &ours, &theirs, &HashMap::new()).map_err(input)?;
    let mut project = merged.project;
    if project != ours && project != theirs {
        let day = usual_day(&project);
        project = log::close(&project, day, log::TOGETHER).map_err(input)?;
    }
    write(&project, &request.out)?;
    for note in &merged.notes {
        writeln!(out, "{}", one_line(note))?;
    }
    for conflict in &merged.conflicts {
        writeln!(out, "{}", one_line(&conflict.in_words()))?;
    }
    let told = match merged.conflicts.len() {
        0 => "no conflicts".to_owned(),
        n => count(n, "conflict"),
    };
    writeln!(out, "{told}, written to {}", request.out.display())?;
    Ok(Outcome::Exit(if merged.conflicts.is_empty() { GOOD } else { PROBLEMS }))
}

/// Earlier versions are kept beside projects. A file without their ending is one that another program has in hand, which
/// would leave them behind.
fn write(project: &crate::model::Project, path: &Path) -> Result<(), Failure> {
    if path.extension().is_some_and(|ending| ending.eq_ignore_ascii_case("ron")) {
        return file::save(project, path, None).map(|_| ()).map_err(input);
    }
    let text = file::to_text(project).map_err(input)?;
    file::write_whole(path, text.as_bytes())
        .map_err(|why| input(format!("{}: {}", path.display(), file::Trouble::Writing(&why))))
}
