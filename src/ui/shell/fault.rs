//! Faults of the program itself. One in a zone of the window ends that zone and not the window; one that ends the window
//! leaves the document in a file first. Each is noted in a file, whose place is told with it.

use crate::model::{Project, file};
use std::backtrace::Backtrace;
use std::cell::{Cell, RefCell};
use std::fs::File;
use std::io::{self, Write};
use std::panic::{AssertUnwindSafe, PanicHookInfo, catch_unwind};
use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError};
use std::thread::{self, ThreadId};

/// Names tried for a file beside others before it is given up.
const MOST_NAMES: u32 = 100;
/// Bytes of the file of faults, beyond which it is begun anew.
const MOST_NOTES: u64 = 1024 * 1024;

thread_local! {
    /// How many calls of [`contained`] are under way.
    static CONTAINED: Cell<u32> = const { Cell::new(0) };
    /// What the last fault on this thread said.
    static SAID: RefCell<Option<String>> = const { RefCell::new(None) };
}

/// What is not saved, and beside which file it belongs.
static UNSAVED: Mutex<Option<(Project, PathBuf)>> = Mutex::new(None);

/// From here on faults are told, and noted in a file of a folder; one that ends this thread leaves the document on the
/// disk.
pub fn install(folder: Option<PathBuf>, tell: fn(&str)) {
    let (notes, own) = (folder.map(|folder| folder.join("faults.txt")), thread::current().id());
    std::panic::set_hook(Box::new(move |info| at_fault(info, notes.as_deref(), own, tell)));
}

fn at_fault(info: &PanicHookInfo<'_>, notes: Option<&Path>, own: ThreadId, tell: fn(&str)) {
    let what = info.payload_as_str().unwrap_or("without words");
    let place = info.location().map_or(String::new(), |at| format!(" ({}:{})", at.file(), at.line()));
    let mut said = format!("{what}{place}");
    if let Some(path) = notes
        && note(path, &said).is_ok()
    {
        said.push_str(&format!(". It is noted in {}", path.display()));
    }
    // A thread that works for the window sends nothing then, which is told where its answer is waited for.
    let ends = CONTAINED.get() == 0 && thread::current().id() == own;
    let left = if ends { leave() } else { None };
    tell(&format!("a fault in the program itself: {said}"));
    match left {
        Some(Ok(path)) => tell(&format!("what was not saved is in {}; open that file", path.display())),
        Some(Err(why)) => tell(&format!("what was not saved could not be written: {why}")),
        None => {}
    }
    SAID.set(Some(said));
}

/// Adds a fault to the file of faults, with how it came to it.
fn note(path: &Path, said: &str) -> io::Result<()> {
    let is_long = path.metadata().is_ok_and(|data| data.len() > MOST_NOTES);
    let mut file = File::options().create(true).append(!is_long).write(true).truncate(is_long).open(path)?;
    writeln!(file, "needline {}: {said}\n{}", env!("CARGO_PKG_VERSION"), Backtrace::force_capture())
}

/// Writes what is not saved beside its file, under a name that nothing bears. It is left once only.
fn leave() -> Option<io::Result<PathBuf>> {
    let (project, beside) = UNSAVED.lock().unwrap_or_else(PoisonError::into_inner).take()?;
    Some(write_beside(&project, &beside))
}

fn write_beside(project: &Project, beside: &Path) -> io::Result<PathBuf> {
    let text = file::to_text(project).map_err(io::Error::other)?;
    let stem = beside.file_stem().unwrap_or_default().to_string_lossy().into_owned();
    for n in 1..=MOST_NAMES {
        let path = beside.with_file_name(format!("{stem} rescued {n}.ron"));
        // Nothing that is there is written to, nor a link followed.
        match File::create_new(&path) {
            Ok(mut file) => {
                file.write_all(text.as_bytes())?;
                file.sync_all()?;
                return Ok(path);
            }
            Err(why) if why.kind() == io::ErrorKind::AlreadyExists => {}
            Err(why) => return Err(why),
        }
    }
    Err(io::Error::other("there are too many rescued files beside it; move them elsewhere"))
}

/// The newest file that was left beside a project after it was last saved.
pub fn left_beside(path: &Path) -> Option<PathBuf> {
    let saved = path.metadata().and_then(|data| data.modified()).ok()?;
    let stem = path.file_stem()?.to_string_lossy().into_owned();
    let named = (1..=MOST_NAMES).map(|n| path.with_file_name(format!("{stem} rescued {n}.ron")));
    let dated = named.map_while(|p| Some((p.metadata().and_then(|data| data.modified()).ok()?, p)));
    dated.filter(|(day, _)| *day >= saved).max().map(|(_, path)| path)
}

/// What is to be left on the disk when the program ends by a fault: nothing when all is saved.
pub fn keep(unsaved: Option<(&Project, PathBuf)>) {
    *UNSAVED.lock().unwrap_or_else(PoisonError::into_inner) = unsaved.map(|(p, path)| (p.clone(), path));
}

/// Does something that a fault may break off.
///
/// # Errors
/// What the fault said and where it is noted. What was to be changed may be changed halfway: callers draw, or
/// make a whole new value.
pub fn contained<T>(work: impl FnOnce() -> T) -> Result<T, String> {
    CONTAINED.set(CONTAINED.get() + 1);
    let done = catch_unwind(AssertUnwindSafe(work));
    CONTAINED.set(CONTAINED.get() - 1);
    done.map_err(|payload| {
        let words = payload.downcast_ref::<&str>().map(|words| (*words).to_owned());
        let words = words.or_else(|| payload.downcast_ref::<String>().cloned());
        SAID.take().or(words).unwrap_or_else(|| "without words".to_owned())
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_fault_breaks_off_no_more_than_is_contained() {
        let outer = contained(|| {
            let inner: Result<(), String> = contained(|| panic!("the inside"));
            (inner.is_err(), 7)
        });
        assert_eq!((outer, CONTAINED.get()), (Ok((true, 7)), 0));
    }

    #[test]
    fn what_was_not_saved_gets_a_name_of_its_own() {
        let folder = tempfile::tempdir().unwrap();
        let (house, other) = (folder.path().join("house.ron"), folder.path().join("other"));
        std::fs::write(&other, "not ours").unwrap();
        #[cfg(unix)]
        std::os::unix::fs::symlink(&other, folder.path().join("house rescued 1.ron")).unwrap();
        let project = Project::new("House", crate::model::dates::FIRST_DAY);
        let path = write_beside(&project, &house).unwrap();
        assert_eq!(file::load(&path).unwrap().0, project);
        assert_ne!(write_beside(&project, &house).unwrap(), path);
        assert_eq!(std::fs::read_to_string(&other).unwrap(), "not ours");
        assert!(!house.exists());
    }
}
