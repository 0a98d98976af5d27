//! What somebody who waits for trials may see of them, and how they are stopped.

use std::sync::atomic::{AtomicBool, AtomicU32, Ordering};

/// Trials that are being made, as another thread sees them.
#[derive(Debug, Default)]
pub struct Watch {
    /// Set from outside: no more are made, and nothing comes of those that were.
    pub stop: AtomicBool,
    /// How many were made so far, all threads together; it is brought up to date every few dozen trials of a thread.
    pub made: AtomicU32,
}

impl Watch {
    /// Whether somebody wants no more.
    pub fn is_stopped(&self) -> bool {
        self.stop.load(Ordering::Relaxed)
    }

    /// So many more were made.
    pub(super) fn add(&self, trials: usize) {
        self.made.fetch_add(u32::try_from(trials).unwrap_or(u32::MAX), Ordering::Relaxed);
    }
}
