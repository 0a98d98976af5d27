//! Commands that write one after the other: from reading a project to writing it, nobody else may.

use super::Failure;
use super::args::Verb;
use super::verbs::input;
use crate::model::file::{Lock, LockError};
use std::path::Path;
use std::time::{Duration, Instant};

/// How long a command waits for other commands.
const LONGEST: Duration = Duration::from_secs(120);

/// Holds the project file that is to be written, until this is dropped. Another command is waited for; a window, which
/// may stay open for days, is not. Without a file nothing is held.
pub(super) fn hold(path: Option<&Path>) -> Result<Option<Lock>, Failure> {
    let Some(path) = path else { return Ok(None) };
    let begin = Instant::now();
    loop {
        match Lock::take(path, false) {
            Ok(lock) => return Ok(Some(lock)),
            Err(LockError::Held { holder, .. }) if !holder.window && begin.elapsed() < LONGEST => {
                std::thread::sleep(Duration::from_millis(20));
            }
            Err(why) => return Err(input(why)),
        }
    }
}

impl Verb {
    /// The project file that this writes, if it does. Each verb says so here: one left out would write unheld.
    pub(super) fn writes(&self) -> Option<&Path> {
        match self {
            Verb::Import { out, .. } => Some(out),
            Verb::ImportList(request) if request.preview => None,
            Verb::ImportList(request) => Some(request.target.out.as_ref().unwrap_or(&request.into)),
            Verb::Choose(request) => Some(&request.out),
            Verb::Merge(request) => Some(&request.out),
            Verb::Adopt { target, .. } | Verb::Keep { target, .. } => target.out.as_deref(),
            Verb::Update(request) => request.target.out.as_deref(),
            Verb::Swap(request) => request.target.out.as_deref(),
            Verb::Return(request) => request.target.out.as_deref(),
            Verb::Buy { of, noted, .. } | Verb::Crew { of, noted, .. } | Verb::Week { of, noted, .. } => {
                noted.remember.then_some(of.file.as_path())
            }
            Verb::Export { .. }
            | Verb::Figures(_)
            | Verb::Table(_)
            | Verb::Print { .. }
            | Verb::Share(_)
            | Verb::Check { .. }
            | Verb::Alternatives { .. }
            | Verb::Log { .. }
            | Verb::Swaps { .. }
            | Verb::Other(_) => None,
        }
    }
}
