//! Keeps what is not saved on the disk while it is worked on: on a thread of its own, always the newest, at most once in a
//! while. So whatever ends the program, the next start has it but for the last moment.

use super::fault::contained;
use crate::model::file::System;
use crate::model::file::journal::{JournalError, Left, Pen, Wanted};
use std::path::PathBuf;
use std::sync::{Arc, Condvar, Mutex, MutexGuard, PoisonError, Weak};
use std::thread;
use std::time::Duration;

/// From one writing to the next. What is changed in between waits, so an edit is on the disk within this and the time that
/// one writing takes.
pub const PAUSE: Duration = Duration::from_secs(1);
/// After one that was refused: the disk may have room again.
const PAUSE_AFTER_TROUBLE: Duration = Duration::from_secs(4);

/// Keeps one document.
pub struct Keeper {
    shared: Arc<Shared>,
}

struct Shared {
    wish: Mutex<Wish>,
    bell: Condvar,
    /// Held while it is written, so that an older state never comes after a newer one.
    pen: Mutex<Pen>,
    trouble: Mutex<Option<String>>,
}

#[derive(Default)]
struct Wish {
    wanted: Option<Wanted>,
    stop: bool,
}

/// The keeper of the document on screen, for the moment a fault ends the window.
static ON_SCREEN: Mutex<Weak<Shared>> = Mutex::new(Weak::new());

/// What is guarded is whole at every moment, whatever another thread met.
fn lock<T>(what: &Mutex<T>) -> MutexGuard<'_, T> {
    what.lock().unwrap_or_else(PoisonError::into_inner)
}

impl Keeper {
    /// A keeper that has nothing to keep yet. `state` is the folder that the system gives the program.
    pub fn new(state: Option<PathBuf>) -> Keeper {
        let shared = Arc::new(Shared {
            wish: Mutex::default(),
            bell: Condvar::new(),
            pen: Mutex::new(Pen::new(Box::new(System), state)),
            trouble: Mutex::default(),
        });
        *lock(&ON_SCREEN) = Arc::downgrade(&shared);
        let own = shared.clone();
        // Where the system gives no thread, what is wanted is written when the document is let go of, and at a fault.
        if let Err(why) = thread::Builder::new().name("keeper".to_owned()).spawn(move || own.run()) {
            *lock(&shared.trouble) =
                Some(format!("what is not saved is not kept: {why}; save the project soon"));
        }
        Keeper { shared }
    }

    /// Goes on with what an ended run left of a project file, or of nowhere.
    pub fn adopt(&self, left: Left, of: Option<PathBuf>) {
        lock(&self.shared.pen).adopt(left, of);
    }

    /// Says what is to be kept from now on; it is written soon, and not here.
    pub fn want(&self, wanted: Wanted) {
        lock(&self.shared.wish).wanted = Some(wanted);
        self.shared.bell.notify_all();
    }

    /// Does at once what was wanted last, and gives why it could not be.
    pub fn settle(&self) -> Option<String> {
        self.shared.work();
        lock(&self.shared.trouble).clone()
    }

    /// Why what is not saved is not kept, until it is again.
    pub fn trouble(&self) -> Option<String> {
        lock(&self.shared.trouble).clone()
    }
}

impl Drop for Keeper {
    /// What was wanted last is done, and the journal let go of: what is unsaved then was to stay.
    fn drop(&mut self) {
        lock(&self.shared.wish).stop = true;
        self.shared.bell.notify_all();
        self.shared.work();
        lock(&self.shared.pen).put_down();
    }
}

impl Shared {
    fn run(&self) {
        loop {
            let idle = |wish: &mut Wish| wish.wanted.is_none() && !wish.stop;
            let waited = self.bell.wait_while(lock(&self.wish), idle);
            if waited.unwrap_or_else(PoisonError::into_inner).stop {
                return;
            }
            let pause = if self.work() { PAUSE } else { PAUSE_AFTER_TROUBLE };
            drop(self.bell.wait_timeout_while(lock(&self.wish), pause, |wish| !wish.stop));
        }
    }

    /// Writes what was wanted last, and says whether that went well. What was refused is wanted still.
    fn work(&self) -> bool {
        let mut pen = lock(&self.pen);
        let Some(wanted) = lock(&self.wish).wanted.take() else { return true };
        let done = contained(|| pen.bring(&wanted));
        let trouble = match done {
            Ok(done) => done.err().map(|why| why.to_string()),
            Err(said) => Some(JournalError::Text(said).to_string()),
        };
        let went_well = trouble.is_none();
        if !went_well || wanted.now.is_some() {
            // That there was nothing to keep says nothing about the disk.
            *lock(&self.trouble) = trouble;
        }
        if !went_well {
            lock(&self.wish).wanted.get_or_insert(wanted);
        }
        went_well
    }
}

/// Writes at once what the document on screen has unsaved, since the program ends. Where it is, or why it could not be
/// kept; nothing when all is saved.
pub fn rescue() -> Option<Result<PathBuf, String>> {
    let shared = lock(&ON_SCREEN).upgrade()?;
    shared.work();
    let trouble = lock(&shared.trouble).clone();
    let path = lock(&shared.pen).path().map(std::path::Path::to_owned);
    match (trouble, path) {
        (Some(why), _) => Some(Err(why)),
        (None, path) => path.map(Ok),
    }
}
