//! Two cores for a large project: its selections in two halves, or two steps that need nothing of each other.
//!
//! What is computed does not hang on it: halves are put together in the order of the document.

use std::ops::Range;
use std::sync::{Mutex, PoisonError};
use std::thread;

/// Does two things, at once where that is worth it.
pub(super) fn both<A: Send, B>(at_once: bool, a: impl FnOnce() -> A + Send, b: impl FnOnce() -> B) -> (A, B) {
    if !at_once {
        let a = a();
        return (a, b());
    }
    // Kept where it can be taken back from, for when the system gives no thread.
    let todo = Mutex::new(Some(a));
    let take = || {
        let a = todo.lock().unwrap_or_else(PoisonError::into_inner).take();
        a.map(|a| a())
    };
    let (done, b) = thread::scope(|scope| {
        let thread = thread::Builder::new().spawn_scoped(scope, take);
        let b = b();
        match thread.map(thread::ScopedJoinHandle::join) {
            Ok(Ok(done)) => (done, b),
            Ok(Err(panic)) => std::panic::resume_unwind(panic),
            Err(_) => (None, b),
        }
    });
    match done.or_else(take) {
        Some(a) => (a, b),
        None => unreachable!("what was taken was done, or its panic passed on"),
    }
}

/// The two halves of a list by the weight of its entries: the first entry of the second half.
pub(super) fn split(
    at_once: bool,
    weights: impl ExactSizeIterator<Item = usize> + Clone,
) -> [Range<usize>; 2] {
    let len = weights.len();
    if !at_once {
        return [0..len, len..len];
    }
    let half = weights.clone().sum::<usize>() / 2;
    let mut sum = 0;
    let middle = weights
        .take_while(|weight| {
            sum += weight;
            sum <= half
        })
        .count();
    [0..middle, middle..len]
}
