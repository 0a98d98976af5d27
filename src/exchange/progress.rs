//! How far a long export or import has come, and the user's wish to stop it.
//!
//! One value is shared: the work counts its steps and asks now and then whether to go on; whoever waits for it reads
//! the share done and may cancel. Cancelled work leaves every file as it was.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};

/// The user stopped the work.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("stopped; every file is as it was")]
pub struct Cancelled;

/// Shared by the work and by whoever waits for it; clones are the same progress.
#[derive(Debug, Clone, Default)]
pub struct Progress {
    shared: Arc<Shared>,
}

#[derive(Debug, Default)]
struct Shared {
    done: AtomicUsize,
    expected: AtomicUsize,
    cancelled: AtomicBool,
}

impl Progress {
    /// Work that has not begun.
    pub fn new() -> Progress {
        Progress::default()
    }

    /// Adds steps to those the work will take.
    pub fn add_steps(&self, steps: usize) {
        self.shared.expected.fetch_add(steps, Ordering::Relaxed);
    }

    /// Counts a step and asks whether to go on.
    ///
    /// # Errors
    /// When the user stopped the work.
    pub fn step(&self) -> Result<(), Cancelled> {
        self.shared.done.fetch_add(1, Ordering::Relaxed);
        self.go_on()
    }

    /// Asks whether to go on.
    ///
    /// # Errors
    /// When the user stopped the work.
    pub fn go_on(&self) -> Result<(), Cancelled> {
        if self.is_cancelled() { Err(Cancelled) } else { Ok(()) }
    }

    /// Stops the work at its next step.
    pub fn cancel(&self) {
        self.shared.cancelled.store(true, Ordering::Relaxed);
    }

    /// Whether the user stopped it.
    pub fn is_cancelled(&self) -> bool {
        self.shared.cancelled.load(Ordering::Relaxed)
    }

    /// The share that is done, 0 to 1.
    pub fn share(&self) -> f32 {
        let done = self.shared.done.load(Ordering::Relaxed);
        let expected = self.shared.expected.load(Ordering::Relaxed);
        if expected == 0 { 0.0 } else { (done as f32 / expected as f32).min(1.0) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_count_until_the_user_stops_them() {
        let progress = Progress::new();
        assert!(progress.share().abs() < 1e-6);
        progress.add_steps(3);
        progress.add_steps(1);
        assert_eq!(progress.step(), Ok(()));
        assert!((progress.share() - 0.25).abs() < 1e-6);
        progress.clone().cancel();
        assert_eq!(progress.step(), Err(Cancelled));
        for _ in 0..9 {
            let _ = progress.step();
        }
        assert!((progress.share() - 1.0).abs() < 1e-6);
    }
}
