//! A project under load: random edits with undo, redo, saving and opening again, for as long as wished.
//!
//! `LOAD_PARTS` says how many parts the project has (300 when it is not set), `LOAD_ACTIONS` how many steps are made (1,000),
//! `LOAD_SEED` where chance begins. Each hundredth step the document is held to one read from its own text, which shares
//! nothing with any before it, and undo and redo to a plain list of documents. On Linux the memory is measured, too.

#[path = "../benches/generate.rs"]
mod generate;
#[allow(dead_code, reason = "chance is counted here, so that any number of steps can be made")]
#[path = "support/random.rs"]
mod random;
mod support;

use needline::engine;
use needline::exchange::outgoing::json;
use needline::model::file::{self, from_text, to_text};
use needline::model::merge::merge;
use needline::model::{Action, History, Project};
use random::any_action;
use std::collections::HashMap;
use std::path::Path;
use std::sync::Arc;

/// Steps that undo goes back at most: what a history says of itself.
const MOST_STEPS: usize = 500;

fn number(name: &str, otherwise: u64) -> u64 {
    std::env::var(name).ok().and_then(|text| text.parse().ok()).unwrap_or(otherwise)
}

/// splitmix64.
struct Chance(u64);

impl Chance {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    fn below(&mut self, n: u64) -> usize {
        (self.next() % n) as usize
    }
}

/// All figures as text.
fn figures(project: &Project) -> String {
    let figures = engine::compute(project, generate::AS_OF);
    let problems = engine::problems(project, &figures);
    json::figures::to_text(project, &figures, &problems).unwrap()
}

/// Memory of this process in MB, where the system says it (proc(5), `VmRSS`).
fn resident() -> Option<u64> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find(|line| line.starts_with("VmRSS:"))?;
    line.split_whitespace().nth(1)?.parse::<u64>().ok().map(|kb| kb / 1024)
}

/// Undo and redo by a plain list of documents.
struct Plain {
    documents: Vec<Arc<Project>>,
    at: usize,
}

impl Plain {
    fn put(&mut self, project: &Arc<Project>) {
        if **project == *self.documents[self.at] {
            return;
        }
        self.documents.truncate(self.at + 1);
        self.documents.push(project.clone());
        if self.documents.len() > MOST_STEPS {
            self.documents.remove(0);
        }
        self.at = self.documents.len() - 1;
    }
}

/// All of it is brought together with one change of somebody else.
fn together(base: &Project, ours: &Project) {
    let mut settings = base.settings.clone();
    settings.phone = "555 0100".to_owned();
    let theirs = base.apply(&Action::PutSettings(Box::new(settings))).unwrap();
    let both = merge(base, ours, &theirs, &HashMap::new()).unwrap();
    assert_eq!((both.project.settings.phone.as_str(), both.conflicts.len()), ("555 0100", 0));
    let mut expected = ours.clone();
    expected.settings.phone = "555 0100".to_owned();
    assert_eq!(both.project, expected);
}

#[test]
fn edits_undo_redo_and_saving_in_any_order() {
    let (parts, steps) = (number("LOAD_PARTS", 300) as usize, number("LOAD_ACTIONS", 1_000));
    let mut chance = Chance(number("LOAD_SEED", 1));
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("load.ron");
    let mut history = History::new(generate::project(parts, (parts / 20).clamp(5, 500)));
    let first = history.project().clone();
    let mut plain = Plain { documents: vec![history.project().clone()], at: 0 };
    let mut counts = [0_u64; 6];
    let mut stamp = None;
    let mut full: Option<u64> = None;
    for step in 1..=steps {
        match chance.below(1_000) {
            0..=699 => {
                let dice = (
                    chance.below(256) as u8,
                    chance.below(4000),
                    chance.below(4000),
                    chance.below(62) as i32 - 2,
                );
                let action = any_action(history.project(), dice, 1);
                let done = history.apply(&action).is_ok();
                plain.put(history.project());
                counts[usize::from(!done)] += 1;
            }
            700..=849 => {
                assert_eq!(history.undo(), plain.at > 0);
                plain.at = plain.at.saturating_sub(1);
                counts[2] += 1;
            }
            850..=979 => {
                assert_eq!(history.redo(), plain.at + 1 < plain.documents.len());
                plain.at = (plain.at + 1).min(plain.documents.len() - 1);
                counts[3] += 1;
            }
            980..=997 => {
                stamp = Some(file::save(history.project(), &path, stamp.as_ref()).unwrap());
                history.mark_saved();
                counts[4] += 1;
            }
            _ => {
                // Saved and opened again: what is known of it before is gone.
                file::save(history.project(), &path, stamp.as_ref()).unwrap();
                let (project, read) = file::load(&path).unwrap();
                assert_eq!(project, **history.project());
                history = History::new(project);
                plain = Plain { documents: vec![history.project().clone()], at: 0 };
                stamp = Some(read);
                counts[5] += 1;
            }
        }
        assert_eq!(**history.project(), *plain.documents[plain.at], "step {step}");
        assert!(history.labels().len() <= MOST_STEPS);
        if step % 100 == 0 || step == steps {
            let now = history.project();
            let fresh = from_text(&to_text(now).unwrap(), Path::new("fresh.ron")).unwrap();
            assert_eq!(fresh, **now, "step {step}");
            assert_eq!(figures(now), figures(&fresh), "step {step}");
        }
        // Undo is as long as it gets: from here on memory stays.
        if step == steps.min(2_000) / 2 {
            full = resident();
        }
    }
    let now = resident();
    together(&first, history.project());
    let [done, refused, undone, redone, saved, opened] = counts;
    println!(
        "{parts} parts, {steps} steps: {done} edits, {refused} refused, {undone} undone, {redone} redone, {saved} saved, \
         {opened} opened again; memory {full:?} MB, then {now:?} MB"
    );
    assert!(done > steps / 8 && undone > 0 && redone > 0, "{counts:?}");
    if let (Some(full), Some(now)) = (full, now) {
        // Documents share what did not change, and the oldest are forgotten.
        assert!(now < 2 * full + 200, "{full} MB, then {now} MB");
    }
}
