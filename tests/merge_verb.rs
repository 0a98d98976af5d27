//! `merge`, as a user calls it.

mod common;

use common::{HOUSE, run, write_sheets};
use needline::engine::{compute, log};
use needline::model::{Action, Extra, ExtraId, ExtraKind, Money, Project, Selection, file};
use std::fs;
use std::path::{Path, PathBuf};

fn read(path: &Path) -> Project {
    file::load(path).unwrap().0
}

/// The house three times in a folder: as it was, and to be changed by two.
fn three(folder: &Path) -> [PathBuf; 3] {
    let sheets = folder.join("sheets");
    write_sheets(&sheets, HOUSE);
    let base = folder.join("base.ron");
    assert_eq!(run(&[&"import", &sheets, &"--out", &base]).0, 0);
    let [ours, theirs] = ["ours.ron", "theirs.ron"].map(|name| folder.join(name));
    fs::copy(&base, &ours).unwrap();
    fs::copy(&base, &theirs).unwrap();
    [base, ours, theirs]
}

fn change(path: &Path, action: impl FnOnce(&Project) -> Action) {
    let project = read(path);
    let next = project.apply(&action(&project)).unwrap();
    file::save(&next, path, None).unwrap();
}

fn allowance(amount: i64) -> impl FnOnce(&Project) -> Action {
    move |p| {
        Action::PutSelection(Selection {
            allowance: Money::new(amount.into()),
            ..p.selections[0].as_ref().clone()
        })
    }
}

fn name(text: &'static str) -> impl FnOnce(&Project) -> Action {
    move |p| Action::PutSelection(Selection { name: text.to_owned(), ..p.selections[0].as_ref().clone() })
}

#[test]
fn changes_of_both_are_written_and_conflicts_told() {
    let folder = tempfile::tempdir().unwrap();
    let [base, ours, theirs] = three(folder.path());
    let out = folder.path().join("both.ron");
    change(&ours, allowance(777));
    change(&theirs, name("Other name"));
    let (code, told, err) = run(&[&"merge", &base, &ours, &theirs, &"--out", &out]);
    assert_eq!((code, err.as_str()), (0, ""));
    assert_eq!(told, format!("no conflicts, written to {}\n", out.display()));
    let both = read(&out).selections[0].clone();
    assert_eq!((both.allowance, both.name.as_str()), (Money::new(777.into()), "Other name"));

    // Another file is replaced only when that is wished, this version's own without a word.
    let (code, _, err) = run(&[&"merge", &base, &ours, &theirs, &"--out", &out]);
    assert_eq!(code, 2);
    assert!(err.contains("is there already"), "{err}");
    change(&theirs, allowance(778));
    let (code, told, _) = run(&[&"merge", &base, &ours, &theirs, &"--out", &ours]);
    assert_eq!(code, 1);
    assert!(
        told.contains(": allowance: 777") && told.contains("778") && told.contains("1 conflict, written to"),
        "{told}"
    );
    let both = read(&ours).selections[0].clone();
    assert_eq!((both.allowance, both.name.as_str()), (Money::new(777.into()), "Other name"));
}

#[test]
fn what_cannot_be_read_is_named_and_nothing_is_written() {
    let folder = tempfile::tempdir().unwrap();
    let [base, ours, theirs] = three(folder.path());
    let before = fs::read(&ours).unwrap();
    fs::write(&theirs, "(schema: 6, project: (").unwrap();
    let (code, _, err) = run(&[&"merge", &base, &ours, &theirs, &"--out", &ours]);
    assert_eq!(code, 2);
    assert!(err.contains("theirs.ron: line "), "{err}");
    assert_eq!(fs::read(&ours).unwrap(), before);
    let (code, _, err) = run(&[&"merge", &base, &ours, &folder.path().join("none.ron"), &"--out", &ours]);
    assert_eq!(code, 2);
    assert!(err.contains("none.ron"), "{err}");
}

/// A file that another program has in hand gets no earlier versions beside it.
#[test]
fn a_file_without_the_ending_of_projects_is_written_alone() {
    let folder = tempfile::tempdir().unwrap();
    let files = three(folder.path());
    change(&files[1], allowance(777));
    change(&files[2], name("Other name"));
    let hand = folder.path().join("hand");
    fs::create_dir(&hand).unwrap();
    let [base, ours, theirs] = ["a", "b", "c"].map(|name| hand.join(name));
    for (from, to) in files.iter().zip([&base, &ours, &theirs]) {
        fs::copy(from, to).unwrap();
    }
    assert_eq!(run(&[&"merge", &base, &ours, &theirs, &"--out", &ours]).0, 0);
    assert_eq!(fs::read_dir(&hand).unwrap().count(), 3);
    assert_eq!(read(&ours).selections[0].name, "Other name");
}

/// With a plan kept, the log leads from it to the figures of the day on which both came together.
#[test]
fn the_log_leads_to_what_both_come_to() {
    let folder = tempfile::tempdir().unwrap();
    let [base, ours, theirs] = three(folder.path());
    let mut agreed = read(&base);
    agreed.settings.as_of = Some(agreed.settings.start);
    let day = agreed.settings.start;
    let agreed = agreed.apply(&log::keep(&agreed, &compute(&agreed, day), "Before both")).unwrap();
    for path in [&base, &ours, &theirs] {
        file::save(&agreed, path, None).unwrap();
    }
    for (path, key, amount) in [(&ours, "skip", 400), (&theirs, "crane", 900)] {
        let (id, amount) = (ExtraId(agreed.next_id), Money::new(amount.into()));
        let (key, name) = (key.to_owned(), key.to_owned());
        let extra = Extra { id, key, name, kind: ExtraKind::Extra, phase: None, amount, paid: Money::ZERO };
        let next = log::take_on(&read(path), &Action::PutExtra(extra), day).unwrap();
        assert!(next.log.len() > agreed.log.len());
        file::save(&next, path, None).unwrap();
    }
    assert_eq!(run(&[&"merge", &base, &ours, &theirs, &"--out", &ours]).0, 0);
    let both = read(&ours);
    let figures = compute(&both, day);
    assert!(log::pending(&both, &figures).is_empty());
    assert_eq!(both.log_stands(), Some(log::standing(&figures)));
    assert!(both.log.len() >= agreed.log.len() + 2);
}
