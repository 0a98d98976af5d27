//! Faults of the program itself. One in a zone of the window ends that zone and not the window; one that ends the window
//! leaves the document in a file first. Each is noted in a file, whose place is told with it.

use super::keeper;
use std::backtrace::Backtrace;
use std::cell::{Cell, RefCell};
use std::fs::File;
use std::io::{self, Write};
use std::panic::{AssertUnwindSafe, PanicHookInfo, catch_unwind};
use std::path::{Path, PathBuf};
use std::thread::{self, ThreadId};

/// Bytes of the file of faults, beyond which it is begun anew.
const MOST_NOTES: u64 = 1024 * 1024;

thread_local! {
    /// How many calls of [`contained`] are under way.
    static CONTAINED: Cell<u32> = const { Cell::new(0) };
    /// What the last fault on this thread said.
    static SAID: RefCell<Option<String>> = const { RefCell::new(None) };
}

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
    let left = if ends { keeper::rescue() } else { None };
    tell(&format!("a fault in the program itself: {said}"));
    match left {
        Some(Ok(path)) => {
            let path = path.display();
            tell(&format!("what was not saved is in {path}; open the project again, which offers it"));
        }
        Some(Err(why)) => tell(&why),
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
}
