//! Everything that leaves the program as files: lists, papers, what is to be done, what crews get, sheets. Each on a disk that
//! refuses any single step, and under a run that is ended before any step.

mod common;
#[path = "support/ended.rs"]
mod ended;
#[path = "support/refusing.rs"]
mod refusing;

use common::sample_folders;
use ended::Ended;
use needline::engine::{Figures, compute};
use needline::exchange::Progress;
use needline::exchange::file_set::{ExportError, Folder};
use needline::exchange::outgoing::crews::{self, CrewForm};
use needline::exchange::outgoing::lists::{self, Format, ListPlan, ListScope, What};
use needline::exchange::outgoing::print::{PaperForm, PaperKind, PaperScope, write_papers};
use needline::exchange::outgoing::week::{self, WeekForm};
use needline::exchange::{export_folder, import_folder};
use needline::model::Project;
use needline::model::file::write_whole_on;
use refusing::Refusing;
use std::collections::BTreeMap;
use std::fs;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::Path;

type Writer = (&'static str, fn(&Project, &Figures, Folder<'_>) -> Result<(), ExportError>);

const WRITERS: [Writer; 5] = [
    ("lists", |p, f, folder| {
        let formats = Format::ALL.map(|(_, format)| format).to_vec();
        let plan = ListPlan { scope: ListScope::All, what: What::All, formats };
        lists::write_lists(p, f, folder, &plan, &Progress::new()).map(drop)
    }),
    ("papers", |p, f, folder| {
        let kinds = [PaperKind::Inspections, PaperKind::Punch, PaperKind::Binder];
        let forms = PaperForm::ALL.map(|(_, form)| form);
        let samples = Path::new(env!("CARGO_MANIFEST_DIR")).join("sample_projects");
        let scope = PaperScope { beside: Some(&samples), room: None };
        write_papers(p, f, scope, folder, &kinds, &forms, &Progress::new()).map(drop)
    }),
    ("week", |p, f, folder| {
        let forms = WeekForm::ALL.map(|(_, form)| form);
        week::write_week(p, f, folder, 28, &forms, &Progress::new()).map(drop)
    }),
    ("crews", |p, f, folder| {
        let all: Vec<_> = p.crews.iter().map(|c| c.id).collect();
        let forms = CrewForm::ALL.map(|(_, form)| form);
        crews::write_sheets(p, f, folder, &all, &forms, &Progress::new()).map(drop)
    }),
    ("sheets", |p, _, folder| export_folder(p, folder)),
];

/// All files of a folder and of those in it, as they are.
fn files(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let mut found = BTreeMap::new();
    for entry in fs::read_dir(folder).into_iter().flatten().map(|e| e.unwrap()) {
        let name = entry.file_name().to_string_lossy().into_owned();
        if entry.path().is_dir() {
            for (inner, bytes) in files(&entry.path()) {
                found.insert(format!("{name}/{inner}"), bytes);
            }
        } else {
            found.insert(name, fs::read(entry.path()).unwrap());
        }
    }
    found
}

/// The project as an earlier run saw it.
type Before = (Project, Figures);

/// The sample that has all of it, as it was before and as it is.
fn days() -> (Project, Before, Figures) {
    let folder = sample_folders().into_iter().find(|f| f.ends_with("laundry_room")).unwrap();
    let project = import_folder(&folder).unwrap().0;
    let on = project.settings.as_of.unwrap();
    let mut earlier = project.clone();
    earlier.settings.name = "Laundry room, as it was meant".to_owned();
    let then = compute(&earlier, on - chrono::Days::new(40));
    let now = compute(&project, on);
    (project, (earlier, then), now)
}

/// A folder as an earlier run left it.
fn begun(write: Writer, (earlier, then): &Before, folder: &Path) {
    (write.1)(earlier, then, Folder::new(folder, true)).unwrap();
    // Something of the user's own stays whatever comes.
    fs::write(folder.join("my notes.txt"), "mine").unwrap();
}

#[test]
fn whatever_step_is_refused_all_files_are_as_they_were() {
    let (p, before, now) = days();
    let mut steps = BTreeMap::new();
    for write in WRITERS {
        let (mut refused, mut every, mut tried) = (0, 1, 0);
        loop {
            let folder = tempfile::tempdir().unwrap();
            begun(write, &before, folder.path());
            let old = files(folder.path());
            let disk = Refusing::new(|step, word| step == refused && word != "remove");
            let Err(why) = (write.1)(&p, &now, Folder::new(folder.path(), true).on(&disk)) else {
                let next = files(folder.path());
                assert!(next != old && next["my notes.txt"] == b"mine", "{}", write.0);
                assert!(next.keys().all(|name| !name.starts_with('.')), "{:?}", next.keys());
                break;
            };
            let said = why.to_string();
            assert!(said.contains("nothing was written") && said.contains("make room on it"), "{said}");
            assert_eq!(files(folder.path()), old, "{}: step {refused} refused", write.0);
            every = if old.len() > 20 { 5 } else { every };
            refused += every;
            tried += 1;
        }
        steps.insert(write.0, tried);
    }
    println!("steps refused, one after the other: {steps:?}");
    assert!(steps.values().all(|n| *n >= 10), "{steps:?}");
}

#[test]
fn wherever_a_run_is_ended_the_next_one_leaves_all_old_or_all_new() {
    let (p, before, now) = days();
    let mut ends = BTreeMap::new();
    for write in WRITERS {
        let (mut finished, mut taken_back) = (0, 0);
        let fresh = tempfile::tempdir().unwrap();
        begun(write, &before, fresh.path());
        (write.1)(&p, &now, Folder::new(fresh.path(), true)).unwrap();
        let all_new = files(fresh.path());
        // Sets of many files are ended at every fifth step; tests/file_access.rs ends one at each.
        for last in (0..).step_by(if all_new.len() > 20 { 5 } else { 1 }) {
            let folder = tempfile::tempdir().unwrap();
            begun(write, &before, folder.path());
            let old = files(folder.path());
            let disk = Ended::new(last);
            let on = Folder::new(folder.path(), true).on(&disk);
            let ended = catch_unwind(AssertUnwindSafe(|| (write.1)(&p, &now, on).unwrap()));
            // The next run writes something else into the folder.
            let other = [needline::exchange::file_set::NewFile {
                path: folder.path().join("other.txt"),
                bytes: b"other".to_vec(),
            }];
            Folder::new(folder.path(), true).write(&other, &Progress::new()).unwrap();
            let mut left = files(folder.path());
            assert_eq!(left.remove("other.txt").as_deref(), Some(b"other".as_slice()));
            assert!(left == old || left == all_new, "{}: ended at step {last}: {:?}", write.0, left.keys());
            if ended.is_ok() {
                break;
            }
            finished += usize::from(left == all_new);
            taken_back += usize::from(left == old);
        }
        assert!(
            finished >= 1 && taken_back >= 3,
            "{}: {finished} finished, {taken_back} taken back",
            write.0
        );
        ends.insert(write.0, (finished, taken_back));
    }
    println!("runs ended, and what the next one made of them, finished and taken back: {ends:?}");
}

/// A single file: the page for a phone, the log of swaps, a merged project.
#[test]
fn a_single_file_is_the_old_one_or_the_new_one() {
    for refused in 0..4 {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("page.html");
        fs::write(&path, "old").unwrap();
        let disk = Refusing::new(|step, word| step == refused && word != "remove");
        let done = write_whole_on(&disk, &path, b"new");
        let wanted = if done.is_ok() { "new" } else { "old" };
        assert_eq!(files(folder.path()), BTreeMap::from([("page.html".to_owned(), wanted.into())]));
        assert_eq!(done.is_ok(), refused >= 2, "step {refused}");
    }
}
