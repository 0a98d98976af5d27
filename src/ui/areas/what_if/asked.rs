//! An answer that takes a while: worked out on a thread of its own, while the last one stays on screen.

use crate::engine::risk::Watch;
use std::sync::atomic::Ordering;
use std::sync::mpsc::{Receiver, TryRecvError, channel};
use std::sync::{Arc, Mutex, PoisonError};

/// What of a question is known.
#[derive(Debug, Clone)]
pub struct Asked<K, T> {
    answer: Option<(K, Arc<T>)>,
    going: Option<Arc<Going<K, T>>>,
    /// The question that was stopped, or that broke off; it is not asked again by itself.
    stopped: Option<K>,
}

/// A thread at work. It is stopped when nobody waits any more.
#[derive(Debug)]
struct Going<K, T> {
    key: K,
    watch: Arc<Watch>,
    answer: Mutex<Receiver<Option<T>>>,
}

impl<K, T> Drop for Going<K, T> {
    fn drop(&mut self) {
        self.watch.stop.store(true, Ordering::Relaxed);
    }
}

impl<K, T> Default for Asked<K, T> {
    fn default() -> Asked<K, T> {
        Asked { answer: None, going: None, stopped: None }
    }
}

impl<K: PartialEq + Clone, T: Send + 'static> Asked<K, T> {
    /// Whether a question is neither answered, nor being worked on, nor stopped.
    pub fn wants(&self, key: &K) -> bool {
        let going = self.going.as_ref().is_some_and(|going| going.key == *key);
        !(going || self.is_fresh(key) || self.is_stopped(key))
    }

    /// Asks, unless it is answered, being worked on, or was stopped. A question before it is dropped. `work` looks now and
    /// then whether it is to stop, gives nothing then, and counts what it has done.
    pub fn ask(
        &mut self,
        key: &K,
        ctx: &egui::Context,
        work: impl FnOnce(&Watch) -> Option<T> + Send + 'static,
    ) {
        if !self.wants(key) {
            return;
        }
        let watch = Arc::new(Watch::default());
        let (send, answer) = channel();
        let (ctx, own) = (ctx.clone(), watch.clone());
        std::thread::spawn(move || {
            // Another question may have taken its place by the time it is done; then nobody listens.
            let _ = send.send(work(&own));
            ctx.request_repaint();
        });
        self.stopped = None;
        self.going = Some(Arc::new(Going { key: key.clone(), watch, answer: Mutex::new(answer) }));
    }

    /// Takes the answer when it has come.
    pub fn poll(&mut self) {
        let Some(going) = &self.going else { return };
        let come = going.answer.lock().unwrap_or_else(PoisonError::into_inner).try_recv();
        match come {
            Err(TryRecvError::Empty) => return,
            Ok(Some(answer)) => self.answer = Some((going.key.clone(), Arc::new(answer))),
            Ok(None) | Err(TryRecvError::Disconnected) => self.stopped = Some(going.key.clone()),
        }
        self.going = None;
    }

    /// Stops what is being worked on; the last answer stays.
    pub fn stop(&mut self) {
        self.stopped = self.going.take().map(|going| going.key.clone()).or(self.stopped.take());
    }

    /// Stops what is being worked on, to be asked again when it is looked at again.
    pub fn leave(&mut self) {
        self.going = None;
    }

    /// Forgets that a question was stopped, so that it is asked again.
    pub fn again(&mut self) {
        self.stopped = None;
    }

    /// The last answer, to whatever question.
    pub fn answer(&self) -> Option<&Arc<T>> {
        self.answer.as_ref().map(|(_, answer)| answer)
    }

    /// Whether the last answer is to this question.
    pub fn is_fresh(&self, key: &K) -> bool {
        self.answer.as_ref().is_some_and(|(own, _)| own == key)
    }

    /// Whether this question was stopped.
    pub fn is_stopped(&self, key: &K) -> bool {
        self.stopped.as_ref() == Some(key)
    }

    /// How much of what is being worked on is done; nothing when nothing is.
    pub fn made(&self) -> Option<u32> {
        self.going.as_ref().map(|going| going.watch.made.load(Ordering::Relaxed))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::time::Duration;

    fn wait(asked: &mut Asked<u8, u8>) {
        while asked.made().is_some() {
            asked.poll();
            std::thread::sleep(Duration::from_millis(1));
        }
    }

    #[test]
    fn the_last_answer_stays_until_the_next_one_is_there() {
        let (ctx, mut asked) = (egui::Context::default(), Asked::default());
        asked.ask(&1, &ctx, |_| Some(10));
        wait(&mut asked);
        assert!(asked.is_fresh(&1));
        let (go, gone) = channel::<()>();
        asked.ask(&2, &ctx, move |_| gone.recv().ok().map(|()| 20));
        asked.poll();
        assert_eq!((asked.answer().map(|a| **a), asked.is_fresh(&2)), (Some(10), false));
        go.send(()).expect("it waits");
        wait(&mut asked);
        assert_eq!((asked.answer().map(|a| **a), asked.is_fresh(&2)), (Some(20), true));
    }

    #[test]
    fn what_was_stopped_is_asked_again_only_when_it_is_said() {
        let (ctx, mut asked) = (egui::Context::default(), Asked::<u8, u8>::default());
        let (told, tells) = channel();
        let work = move |watch: &Watch| {
            while !watch.stop.load(Ordering::Relaxed) {
                std::thread::yield_now();
            }
            told.send(()).ok();
            None
        };
        asked.ask(&1, &ctx, work);
        asked.stop();
        tells.recv_timeout(Duration::from_secs(60)).expect("the thread saw that it is to stop");
        assert!(asked.is_stopped(&1) && asked.made().is_none());
        asked.ask(&1, &ctx, |_| Some(1));
        assert!(asked.made().is_none());
        asked.again();
        asked.ask(&1, &ctx, |_| Some(1));
        wait(&mut asked);
        assert!(asked.is_fresh(&1));
    }

    #[test]
    fn work_that_breaks_off_leaves_the_last_answer_and_is_not_tried_again_and_again() {
        let (ctx, mut asked) = (egui::Context::default(), Asked::default());
        asked.ask(&1, &ctx, |_| Some(10));
        wait(&mut asked);
        asked.ask(&2, &ctx, |_| None);
        wait(&mut asked);
        assert_eq!((asked.answer().map(|a| **a), asked.is_stopped(&2)), (Some(10), true));
    }
}
