//! `share`: a page for one person with a phone.

use super::args::{Dated, one_of};
use super::verbs::{check_target, export_failed, input, load_and_compute};
use super::{Failure, GOOD, Outcome};
use crate::exchange::file_set::write_all;
use crate::exchange::outgoing::pages::{self, PageFor};
use crate::exchange::{NewFile, Progress};
use crate::model::{PhaseKind, Project};
use clap::Args;
use std::io::Write;
use std::path::{Path, PathBuf};

/// What `share` is asked.
#[derive(Debug, Args)]
pub struct ShareRequest {
    #[command(flatten)]
    pub of: Dated,
    /// What it shows: choices, crew, supplier or visit
    #[arg(long = "for", value_name = "WORD", value_parser = one_of("page", &Shown::ALL))]
    pub shown: Shown,
    /// The crew, supplier, inspection, or room with choices; of choices and visits all when not given
    #[arg(long, value_name = "KEY")]
    pub key: Option<String>,
    /// The file to write, .html
    #[arg(long, value_name = "FILE")]
    pub out: PathBuf,
    /// Replace FILE when it is there already
    #[arg(long)]
    pub force: bool,
}

/// What a page shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shown {
    /// What is open, for whoever approves.
    Choices,
    /// The days of a crew.
    Crew,
    /// What is on order from a supplier.
    Supplier,
    /// What stands before a visit of an inspector.
    Visit,
}

impl Shown {
    /// All, with the words for them.
    pub const ALL: [(&'static str, Shown); 4] = [
        ("choices", Shown::Choices),
        ("crew", Shown::Crew),
        ("supplier", Shown::Supplier),
        ("visit", Shown::Visit),
    ];
}

fn page_for(project: &Project, shown: Shown, key: Option<&str>) -> Result<PageFor, Failure> {
    fn found<T: Copy>(what: &str, key: Option<&str>, known: Vec<(&str, T)>) -> Result<T, Failure> {
        let keys = || known.iter().map(|(key, _)| *key).collect::<Vec<_>>().join(", ");
        let Some(key) = key else {
            return Err(Failure::Use(format!("--key says which {what}; there are {}", keys())));
        };
        let one = known.iter().find(|(known, _)| known.eq_ignore_ascii_case(key)).map(|(_, id)| *id);
        one.ok_or_else(|| input(format!("there is no {what} with the key `{key}`; there are {}", keys())))
    }
    let inspections = || project.phases.iter().filter(|p| p.kind == PhaseKind::Inspection);
    Ok(match shown {
        Shown::Choices if key.is_none() => PageFor::Choices(None),
        Shown::Choices => {
            let rooms = project.rooms.iter().map(|r| (r.key.as_str(), r.id)).collect();
            PageFor::Choices(Some(found("room", key, rooms)?))
        }
        Shown::Crew => {
            let crews = project.crews.iter().map(|c| (c.key.as_str(), c.id)).collect();
            PageFor::Crew(found("crew", key, crews)?)
        }
        Shown::Supplier => {
            let suppliers = project.suppliers.iter().map(|s| (s.key.as_str(), s.id)).collect();
            PageFor::Supplier(found("supplier", key, suppliers)?)
        }
        Shown::Visit if key.is_none() => PageFor::Visit(None),
        Shown::Visit => {
            let known = inspections().map(|p| (p.key.as_str(), p.id)).collect();
            PageFor::Visit(Some(found("inspection", key, known)?))
        }
    })
}

/// `share`.
pub(super) fn share(request: &ShareRequest, out: &mut dyn Write) -> Result<Outcome, Failure> {
    let (project, figures) = load_and_compute(&request.of)?;
    let of = page_for(&project, request.shown, request.key.as_deref())?;
    check_target(None, &request.out, request.force)?;
    let beside =
        request.of.file.parent().map(|folder| if folder == Path::new("") { Path::new(".") } else { folder });
    let page = pages::page(&project, &figures, of, beside)
        .ok_or_else(|| input("whom the page is for is not in the project"))?;
    let file = NewFile { path: request.out.clone(), bytes: pages::html(&page).into_bytes() };
    write_all(&[file], &Progress::new()).map_err(export_failed)?;
    writeln!(out, "{}: {}", request.out.display(), page.title)?;
    Ok(Outcome::Exit(GOOD))
}
