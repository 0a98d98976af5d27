//! What a screen reader hears and a pointer can hit, in every area, page, form and sheet: everything that takes the
//! keyboard has a name, no name is twice in one form, and no target is under 24 points a side (WCAG 2.2, 2.5.8 and 4.1.2).
//! Nor is a day read as programs write it.

#![cfg(feature = "gui")]

mod support;

use egui::Theme;
use needline::engine::week::Words;
use std::collections::{BTreeMap, BTreeSet};
use support::Role;
use support::audit::{Drawn, Target, targets};
use support::every::{self, Show};

/// Points of the least target (WCAG 2.2, 2.5.8), with what rounding to dots takes away.
const LEAST: f32 = 24.0 - 0.6;

/// The upright handles between panels and between columns of a table, which libraries draw. What they do is also done by
/// commands and by the menu of columns.
fn is_handle(target: &Target) -> bool {
    target.rect.width() < 7.0 && target.rect.height() > 300.0
}

/// Whether a day stands in it as programs write it. What is typed into a field is as it was typed.
fn has_day_of_programs(text: &str) -> bool {
    Words::with_days(text) != Words::of(text)
}

#[test]
fn everything_has_a_name_of_its_own_and_can_be_hit() {
    let folder = tempfile::tempdir().unwrap();
    let first = every::open(&folder, 1440.0, 900.0, Theme::Light);
    let project = first.state().project().unwrap().clone();
    drop(first);
    let (mut looked, mut faults) = (0, BTreeSet::new());
    for (name, show) in every::scenes(&project) {
        let mut harness = every::open(&folder, 1440.0, 900.0, Theme::Light);
        let before: BTreeSet<String> = targets(&harness).into_iter().map(|t| t.id).collect();
        every::show(&mut harness, &show);
        let all = targets(&harness);
        looked += all.len();
        for target in all.iter().filter(|target| !is_handle(target)) {
            let said = target.name.as_deref().unwrap_or("without a name");
            if target.name.is_none() {
                faults.insert(format!("{name}: {:?} at {:?} has no name", target.role, target.rect));
            }
            if target.rect.is_positive() && (target.rect.height() < LEAST || target.rect.width() < LEAST) {
                faults.insert(format!(
                    "{name}: {said:?} is {:.0} x {:.0}",
                    target.rect.width(),
                    target.rect.height()
                ));
            }
        }
        let is_field = |target: &&Target| matches!(target.role, Role::TextInput | Role::MultilineTextInput);
        let fields: Vec<egui::Rect> = all.iter().filter(is_field).map(|t| t.rect.expand(3.0)).collect();
        let drawn = Drawn::of(&harness);
        let read = drawn.seen().into_iter().filter(|t| !fields.iter().any(|f| f.contains(t.ink.center())));
        let named = all.iter().filter(|t| !is_field(t)).filter_map(|t| t.name.as_deref());
        for words in read.map(|t| t.words.as_str()).chain(named).filter(|words| has_day_of_programs(words)) {
            faults.insert(format!("{name}: {words:?} has a day as programs write it"));
        }
        // What came with the form is in the form.
        if matches!(show, Show::Asked(_)) {
            let mut names: BTreeMap<(String, &str), usize> = BTreeMap::new();
            let own: Vec<&Target> = all.iter().filter(|t| !before.contains(&t.id)).collect();
            for target in own {
                let said = target.name.as_deref().unwrap_or_default();
                *names.entry((format!("{:?}", target.role), said)).or_default() += 1;
            }
            for ((role, said), n) in names.into_iter().filter(|(_, n)| *n > 1) {
                faults.insert(format!("{name}: {role} {said:?} is there {n} times"));
            }
        }
    }
    println!("{looked} things to work with");
    let all: Vec<String> = faults.into_iter().collect();
    assert!(all.is_empty(), "{} faults:\n{}", all.len(), all.join("\n"));
}
