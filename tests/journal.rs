//! What is not saved, kept for the day the program is ended: on a disk that refuses, cut off and spoiled anywhere, beside
//! files of other versions, and read by a second, plain reader.

#[path = "support/random.rs"]
mod random;
#[path = "support/refusing.rs"]
mod refusing;
mod support;

use chrono::{DateTime, FixedOffset};
use needline::engine::compute;
use needline::model::file::journal::{
    JournalError, Left, Now, Pen, Wanted, left_by, read, read_text, waiting,
};
use needline::model::file::{SCHEMA, System, load, save, to_text};
use needline::model::{History, Project};
use proptest::prelude::*;
use random::{any_action, any_dice, house};
use refusing::Refusing;
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex};
use std::time::SystemTime;
use support::*;

/// A folder with a saved project, and the document in it.
struct Site {
    folder: tempfile::TempDir,
    path: PathBuf,
    saved: Arc<Project>,
}

fn site_of(project: Project) -> Site {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("house.ron");
    save(&project, &path, None).unwrap();
    Site { folder, path, saved: Arc::new(project) }
}

fn site() -> Site {
    site_of(project("2026-06-01"))
}

/// The time of the n-th edit.
fn at(n: u32) -> DateTime<FixedOffset> {
    DateTime::parse_from_rfc3339(&format!("2026-07-06T10:{:02}:{:02}+02:00", n / 60, n % 60)).unwrap()
}

impl Site {
    fn wanted(&self, project: &Arc<Project>, n: u32) -> Wanted {
        let now = Now { project: project.clone(), when: at(n), edits: n, last: format!("Edit {n}") };
        Wanted { path: Some(self.path.clone()), saved: Some(self.saved.clone()), now: Some(now) }
    }

    fn journal(&self) -> PathBuf {
        self.folder.path().join(".house.ron.edits")
    }

    fn names(&self) -> Vec<String> {
        names(self.folder.path())
    }

    /// What a reader finds that comes after the writer was ended.
    fn found(&self) -> Vec<Left> {
        left_by(&self.path, None).into_iter().map(Result::unwrap).collect()
    }
}

fn names(folder: &Path) -> Vec<String> {
    let entries = fs::read_dir(folder).unwrap();
    let mut names: Vec<String> =
        entries.map(|e| e.unwrap().file_name().to_string_lossy().into_owned()).collect();
    names.sort();
    names
}

/// Documents that follow each other: each with another name, of letters of one to four bytes.
fn edited(saved: &Project, n: u32) -> Arc<Project> {
    let mut next = saved.clone();
    next.settings.name = format!("H\u{e9}use {n} {}", "\u{1f6c1}".repeat(n as usize % 3));
    next.settings.hold = n % 2;
    Arc::new(next)
}

fn pen() -> Pen {
    Pen::new(Box::new(System), None)
}

// A second reader of journals, in its own words: bytes, a sum by its definition, and JSON values.

/// CRC-32 as ISO 3309 and ITU-T V.42 define it, bit by bit.
fn crc(bytes: &[u8]) -> u32 {
    let mut rest = u32::MAX;
    for byte in bytes {
        rest ^= u32::from(*byte);
        for _ in 0..8 {
            rest = if rest & 1 == 1 { rest >> 1 ^ 0xedb8_8320 } else { rest >> 1 };
        }
    }
    !rest
}

/// A record as it stands in the file.
fn framed(body: &str) -> String {
    let sum = crc(format!("{}{body}", body.len()).as_bytes());
    format!("{} {sum:08x}\n{body}\n", body.len())
}

/// The header and the records of a journal of which nothing is spoiled.
fn plainly(bytes: &[u8]) -> Vec<serde_json::Value> {
    let text = std::str::from_utf8(bytes).unwrap();
    let mut rest = text.strip_prefix("needline edits 1\n").unwrap();
    let mut found = Vec::new();
    while !rest.is_empty() {
        let (head, behind) = rest.split_once('\n').unwrap();
        let length: usize = head.split(' ').next().unwrap().parse().unwrap();
        let body = &behind[..length];
        assert_eq!(format!("{head}\n{body}\n"), framed(body));
        found.push(serde_json::from_str(body).unwrap());
        rest = &behind[length + 1..];
    }
    found
}

/// The last text of a journal, by putting its changes one on the other.
fn last_text(records: &[serde_json::Value]) -> String {
    let mut text: Vec<u8> = Vec::new();
    for record in &records[1..] {
        let number = |name: &str| record[name].as_u64().unwrap() as usize;
        let (keep, gone) = (number("keep"), number("gone"));
        text.splice(keep..keep + gone, record["text"].as_str().unwrap().bytes());
        assert_eq!(number("sum"), crc(&text) as usize);
    }
    String::from_utf8(text).unwrap()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    /// Whatever is done, undone and done again: what comes back is the document that was on screen, with its text and
    /// its figures; for the second reader too. Where it is the saved one again there is no journal.
    #[test]
    fn what_comes_back_is_what_was_on_screen(dice in any_dice(), ways in proptest::collection::vec(0..8u8, 12)) {
        let site = site_of(house());
        let mut history = History::new((*site.saved).clone());
        let mut pen = pen();
        for (n, (dice, way)) in dice.into_iter().zip(ways).enumerate() {
            // At either end of the list, and with an action that is refused, the document stays as it is.
            let _moved = match way {
                0 => history.undo(),
                1 => history.redo(),
                _ => history.apply(&any_action(&history.project().clone(), dice, 1)).is_ok(),
            };
            let now = history.project().clone();
            pen.bring(&site.wanted(&now, n as u32 + 1)).unwrap();
            if *now == *site.saved {
                prop_assert!(!site.journal().exists());
                continue;
            }
            let bytes = fs::read(site.journal()).unwrap();
            let said = read_text(&bytes, &site.journal()).unwrap();
            prop_assert!(said.now == *now && said.saved.as_ref() == Some(&*site.saved) && !said.cut);
            prop_assert_eq!(said.edits, n as u32 + 1);
            let text = to_text(&now).unwrap();
            prop_assert_eq!(&to_text(&said.now).unwrap(), &text);
            prop_assert_eq!(last_text(&plainly(&bytes)), text);
            let day = date("2026-06-15");
            let (a, b) = (compute(&said.now, day), compute(&now, day));
            prop_assert_eq!(a.money.total.forecast, b.money.total.forecast);
            prop_assert_eq!(a.forecast_finish, b.forecast_finish);
        }
    }
}

/// A journal of a few edits, its documents, and its length after each of them.
fn written(edits: u32) -> (Site, Vec<Arc<Project>>, Vec<usize>) {
    let site = site();
    let (mut pen, mut documents, mut lengths) = (pen(), Vec::new(), Vec::new());
    for n in 1..=edits {
        let now = edited(&site.saved, n);
        pen.bring(&site.wanted(&now, n)).unwrap();
        documents.push(now);
        lengths.push(fs::metadata(site.journal()).unwrap().len() as usize);
    }
    (site, documents, lengths)
}

#[test]
fn a_tail_torn_at_any_byte_costs_no_more_than_the_edit_in_it() {
    let (site, documents, lengths) = written(5);
    let bytes = fs::read(site.journal()).unwrap();
    let mut read_back = 0;
    for end in 0..=bytes.len() {
        let whole = lengths.iter().filter(|length| **length <= end).count();
        match read_text(&bytes[..end], &site.journal()) {
            Ok(said) => {
                assert_eq!(said.now, *documents[whole - 1], "cut at {end}");
                assert_eq!(
                    (said.edits as usize, said.cut),
                    (whole, lengths[whole - 1] != end),
                    "cut at {end}"
                );
                read_back += 1;
            }
            Err(why) => {
                assert!(whole == 0 && why.to_string().contains("it was left as it is"), "{end}: {why}");
            }
        }
    }
    // What a disk leaves where it lost power: the length, and nothing in it.
    let mut zeros = bytes.clone();
    zeros[lengths[3]..].fill(0);
    let said = read_text(&zeros, &site.journal()).unwrap();
    assert!(said.cut && said.now == *documents[3]);
    println!("{} cuts, {read_back} of them behind the first edit", bytes.len() + 1);
    assert!(read_back > 300);
}

#[test]
fn a_byte_spoiled_anywhere_is_told_and_gives_no_document_that_never_was() {
    let (site, documents, lengths) = written(5);
    let bytes = fs::read(site.journal()).unwrap();
    let (mut refused, mut earlier, mut same) = (0, 0, 0);
    for at in 0..bytes.len() {
        for mask in [0x01, 0x20, 0x80] {
            let mut spoiled = bytes.clone();
            spoiled[at] ^= mask;
            let before = lengths.iter().filter(|length| **length <= at).count();
            match read_text(&spoiled, &site.journal()) {
                // A letter of a sum in capitals is the same number.
                Ok(said) if !said.cut => {
                    assert_eq!(said.now, **documents.last().unwrap(), "byte {at}");
                    same += 1;
                }
                Ok(said) => {
                    assert_eq!(said.now, *documents[before - 1], "byte {at}");
                    earlier += 1;
                }
                Err(why) => {
                    assert!(before == 0 && why.to_string().contains("it was left as it is"), "{at}: {why}");
                    refused += 1;
                }
            }
        }
    }
    println!(
        "{} bytes spoiled: {refused} refused, {earlier} an earlier edit, {same} the same",
        3 * bytes.len()
    );
    assert!(refused > 0 && earlier > 0 && same < 8 * 8);
}

/// Whichever step is refused: what could be brought back before still can, what is said to be written is, and as soon
/// as the disk takes it again all is there. Nothing half is left.
#[test]
fn each_refused_step_costs_nothing_that_was_kept() {
    let mut tried = [0, 0];
    for goes_on in [false, true] {
        for refused in 0.. {
            let (site, met) = (site(), Arc::new(AtomicBool::new(false)));
            let tell = met.clone();
            let disk = Refusing::new(move |step, word| {
                let now = word != "remove" && if goes_on { step >= refused } else { step == refused };
                tell.fetch_or(now, Ordering::Relaxed);
                now
            });
            let mut pen = Pen::new(Box::new(disk), None);
            let (mut kept, mut failed) = (None, 0);
            for n in 1..=4 {
                let now = edited(&site.saved, n);
                match pen.bring(&site.wanted(&now, n)) {
                    Ok(()) => kept = Some(now),
                    Err(why) => {
                        let why = why.to_string();
                        assert!(why.contains("the disk is full") && !why.contains("os error"), "{why}");
                        failed += 1;
                    }
                }
                let there = fs::read(site.journal()).ok();
                let there = there.map(|bytes| read_text(&bytes, &site.path).unwrap().now);
                assert_eq!(there.as_ref(), kept.as_deref(), "edit {n} with step {refused} refused");
                assert_eq!(load(&site.path).unwrap().0, *site.saved);
                assert!(site.names().iter().all(|name| !name.ends_with(".part")), "{:?}", site.names());
            }
            if !met.load(Ordering::Relaxed) {
                break;
            }
            tried[usize::from(goes_on)] += 1;
            if !goes_on {
                assert!(failed <= 1, "one step was refused, and {failed} edits were not kept");
                assert_eq!(kept, Some(edited(&site.saved, 4)));
            }
        }
    }
    println!("{} steps refused alone, and {} times all from one on", tried[0], tried[1]);
    // The name, the file, its name; then an edit each.
    assert_eq!(tried, [6, 6]);
}

/// The name is taken, all is written beside it and moved there; then one step an edit. An edit that breaks off in the
/// middle is followed by a whole new journal and not by more of the old one.
#[test]
fn the_steps_are_few() {
    let site = site();
    let done = Arc::new(Mutex::new(Vec::new()));
    let note = done.clone();
    let disk = Refusing::new(move |_, word| {
        note.lock().unwrap().push(word.to_owned());
        // The second edit breaks off.
        note.lock().unwrap().len() == 5
    });
    let mut pen = Pen::new(Box::new(disk), None);
    for n in 1..=4 {
        pen.bring(&site.wanted(&edited(&site.saved, n), n)).unwrap();
    }
    pen.bring(&Wanted { now: None, ..site.wanted(&site.saved, 5) }).unwrap();
    let expected = ["write", "write", "rename", "append", "append", "write", "rename", "append", "remove"];
    assert_eq!(*done.lock().unwrap(), expected);
    assert_eq!(site.names(), ["house.ron"]);
}

/// Nothing is offered while its writer lives, nor once it is saved, thrown away or the same as the file again.
#[test]
fn it_is_there_as_long_as_something_is_unsaved() {
    let site = site();
    let mut pen = pen();
    let one = edited(&site.saved, 1);
    pen.bring(&site.wanted(&one, 1)).unwrap();
    assert!(site.found().is_empty(), "its writer lives");
    pen.put_down();
    let [left] = &site.found()[..] else { panic!("it is there") };
    assert_eq!((left.said.now == *one, left.said.edits, left.said.when), (true, 1, at(1)));
    assert_eq!(left.said.last, "Edit 1");
    assert!(site.found().is_empty(), "somebody looks at it");

    let site = self::site();
    for end in 0..3 {
        pen.bring(&site.wanted(&one, 1)).unwrap();
        assert!(site.journal().exists());
        match end {
            // Saved: the document is the one in the file.
            0 => pen.bring(&Wanted { saved: Some(one.clone()), ..site.wanted(&one, 1) }).unwrap(),
            1 => pen.bring(&Wanted { now: None, ..site.wanted(&one, 1) }).unwrap(),
            _ => pen.bring(&site.wanted(&Arc::new((*site.saved).clone()), 2)).unwrap(),
        }
        assert_eq!(site.names(), ["house.ron"], "end {end}");
    }
}

/// Saved under the same name and changed again at once: the journal stands on what is in the file by then.
#[test]
fn after_a_save_it_begins_anew() {
    let site = site();
    let mut pen = pen();
    let (one, two) = (edited(&site.saved, 1), edited(&site.saved, 2));
    pen.bring(&site.wanted(&one, 1)).unwrap();
    pen.bring(&Wanted { saved: Some(one.clone()), ..site.wanted(&two, 1) }).unwrap();
    pen.put_down();
    let [left] = &site.found()[..] else { panic!("one is there") };
    assert_eq!((left.said.saved.as_ref(), &left.said.now), (Some(&*one), &*two));
}

/// A file that another run wrote since is not the one that was changed; one that was written as the same still is.
#[test]
fn another_version_of_the_file_is_told_apart() {
    let site = site();
    let mut pen = pen();
    pen.bring(&site.wanted(&edited(&site.saved, 1), 1)).unwrap();
    pen.put_down();
    save(&site.saved, &site.path, None).unwrap();
    let stands_on = || site.found()[0].said.saved == Some(load(&site.path).unwrap().0);
    assert!(stands_on());
    save(&edited(&site.saved, 7), &site.path, None).unwrap();
    assert!(!stands_on());
}

/// What was left for later keeps its name. The newest comes first.
#[test]
fn what_was_left_for_later_is_not_written_over() {
    let site = site();
    for n in [1, 3, 2] {
        let mut pen = pen();
        pen.bring(&site.wanted(&edited(&site.saved, n), n)).unwrap();
    }
    let expected = [".house.ron.2.edits", ".house.ron.3.edits", ".house.ron.edits", "house.ron"];
    assert_eq!(site.names(), expected);
    let edits: Vec<u32> = site.found().iter().map(|left| left.said.edits).collect();
    assert_eq!(edits, [3, 2, 1]);
    // A link that somebody put there, and a folder, are neither written to nor read.
    #[cfg(unix)]
    {
        let site = self::site();
        let other = site.folder.path().join("other");
        fs::write(&other, "not ours").unwrap();
        std::os::unix::fs::symlink(&other, site.journal()).unwrap();
        fs::create_dir(site.folder.path().join(".house.ron.2.edits")).unwrap();
        pen().bring(&site.wanted(&edited(&site.saved, 1), 1)).unwrap();
        assert_eq!(fs::read_to_string(&other).unwrap(), "not ours");
        assert_eq!(site.found().len(), 1);
        assert!(site.names().contains(&".house.ron.3.edits".to_owned()));
    }
}

/// With the owner's eyes only for a project that only the owner may read, and through a link beside the real one.
#[cfg(unix)]
#[test]
fn it_is_as_private_as_the_project() {
    use std::os::unix::fs::PermissionsExt;
    let site = site();
    fs::set_permissions(&site.path, fs::Permissions::from_mode(0o600)).unwrap();
    let folder = tempfile::tempdir().unwrap();
    let link = folder.path().join("link.ron");
    std::os::unix::fs::symlink(&site.path, &link).unwrap();
    let mut pen = pen();
    let wanted = Wanted { path: Some(link.clone()), ..site.wanted(&edited(&site.saved, 1), 1) };
    pen.bring(&wanted).unwrap();
    assert_eq!(names(folder.path()), ["link.ron"]);
    let mode = |path: &Path| fs::metadata(path).unwrap().permissions().mode() & 0o777;
    assert_eq!(mode(&site.journal()), 0o600);
    pen.put_down();
    assert_eq!(left_by(&link, None).len(), 1);
    // In the folder of the program it is for this user alone.
    let state = tempfile::tempdir().unwrap();
    let mut own = Pen::new(Box::new(System), Some(state.path().to_owned()));
    own.bring(&Wanted { path: None, saved: None, ..site.wanted(&edited(&site.saved, 2), 2) }).unwrap();
    assert_eq!(mode(&state.path().join("edits")), 0o700);
}

/// What was never saved is kept in the folder of the program, and so is a project beside which there is no place: here a
/// name to which no file system adds the letters that a journal has.
#[test]
fn what_has_no_place_beside_its_file_is_kept_by_the_program() {
    let site = site();
    let state = tempfile::tempdir().unwrap();
    let own = || Pen::new(Box::new(System), Some(state.path().to_owned()));
    let one = edited(&site.saved, 1);
    let mut never = own();
    never.bring(&Wanted { path: None, saved: None, ..site.wanted(&one, 1) }).unwrap();
    let long = site.folder.path().join(format!("{}.ron", "a".repeat(246)));
    fs::copy(&site.path, &long).unwrap();
    let wanted = Wanted { path: Some(long.clone()), ..site.wanted(&one, 2) };
    let said = pen().bring(&wanted).unwrap_err().to_string();
    assert!(said.contains("could not be kept") && said.contains("choose a shorter one"), "{said}");
    let mut beside = own();
    beside.bring(&wanted).unwrap();
    assert!(left_by(&long, Some(state.path())).is_empty(), "its writer lives");
    (never, beside) = (own(), own());
    drop((never, beside));
    let found = left_by(&long, Some(state.path()));
    assert_eq!(found.len(), 1);
    assert_eq!(found[0].as_ref().unwrap().said.now, *one);
    drop(found);
    // The start page has both, and what stands beside a project that was open lately.
    pen().bring(&site.wanted(&one, 3)).unwrap();
    let page = waiting(Some(state.path()), std::slice::from_ref(&site.path), SystemTime::now());
    let mut projects: Vec<Option<PathBuf>> = page.into_iter().map(|w| w.unwrap().project).collect();
    projects.sort();
    let long = fs::canonicalize(&long).unwrap();
    let mut expected = [None, Some(long), Some(site.path.clone())];
    expected.sort();
    assert_eq!(projects, expected);
    // Without any folder it is said so.
    let said = pen().bring(&Wanted { path: None, saved: None, ..site.wanted(&one, 4) }).unwrap_err();
    assert!(matches!(said, JournalError::NoFolder));
}

/// A session of a whole day on a small project: the journal stays small, and its end is the document.
#[test]
fn it_does_not_grow_without_end() {
    let site = site();
    let mut pen = pen();
    let (mut most, mut last, mut anew) = (0, 0, 0);
    for n in 1..=900 {
        pen.bring(&site.wanted(&edited(&site.saved, n), n % 3_600)).unwrap();
        let length = fs::metadata(site.journal()).unwrap().len();
        anew += u64::from(length < last);
        (most, last) = (most.max(length), length);
    }
    println!("900 edits: {most} bytes at most, written anew {anew} times");
    assert!(most < 100 * 1024 && anew > 0);
    let said = read_text(&fs::read(site.journal()).unwrap(), &site.path).unwrap();
    assert_eq!(said.now, *edited(&site.saved, 900));
}

/// A later version is named by its number and left alone, even where it writes what is unknown here.
#[test]
fn a_journal_of_a_later_version_is_named_and_left() {
    let (site, ..) = written(2);
    let bytes = fs::read(site.journal()).unwrap();
    let mut records = plainly(&bytes);
    records[0]["schema"] = (SCHEMA + 1).into();
    records[0]["name"] = serde_json::Value::Null;
    records[1] = serde_json::json!({"moon": 3});
    let later: String = records.iter().map(|r| framed(&r.to_string())).collect();
    for (text, number) in [
        (format!("needline edits 1\n{later}"), SCHEMA + 1),
        (String::from_utf8(bytes).unwrap().replacen("edits 1", "edits 2", 1), 2),
    ] {
        fs::write(site.journal(), &text).unwrap();
        let [Err(why)] = &left_by(&site.path, None)[..] else { panic!("it is refused") };
        let said = why.to_string();
        assert!(said.contains(".house.ron.edits: holds changes that a later version"), "{said}");
        assert!(said.contains(&format!("(schema {number}, this one reads up to {SCHEMA})")), "{said}");
        assert_eq!(fs::read_to_string(site.journal()).unwrap(), text);
    }
    // Nor is it written over.
    pen().bring(&site.wanted(&edited(&site.saved, 1), 1)).unwrap();
    assert!(fs::read_to_string(site.journal()).unwrap().starts_with("needline edits 2\n"));
}

/// Something else of that name, records that are whole and make no sense, and a document that breaks its own rules.
#[test]
fn what_is_no_journal_is_named_and_left() {
    let (site, ..) = written(2);
    let good = fs::read_to_string(site.journal()).unwrap();
    let records = plainly(good.as_bytes());
    let with = |at: usize, field: &str, value: serde_json::Value| {
        let mut records = records.clone();
        records[at][field] = value;
        let body: String = records.iter().map(|r| framed(&r.to_string())).collect();
        format!("needline edits 1\n{body}")
    };
    for (text, why) in [
        ("hello".to_owned(), "its beginning is spoiled"),
        ("needline edits 1\n".to_owned(), "its beginning is spoiled"),
        ("needline edits one\n".to_owned(), "its beginning is spoiled"),
        (format!("needline edits 1\n{}", framed("{}")), "a record in it is none"),
        (with(2, "keep", 1_000_000.into()), "it ends before its first whole change"),
        (with(2, "gone", u64::MAX.into()), "it ends before its first whole change"),
        (with(2, "sum", 1.into()), "it ends before its first whole change"),
        (format!("needline edits 1\n99999999999999999999 {}\n", "0".repeat(8)), "its beginning is spoiled"),
    ] {
        fs::write(site.journal(), &text).unwrap();
        let said = read(&site.journal()).unwrap_err().to_string();
        assert!(said.contains(why) && said.contains("remove it when you no longer need it"), "{said}");
        assert_eq!(fs::read_to_string(site.journal()).unwrap(), text);
    }
    // A second change that does not fit costs only itself.
    fs::write(site.journal(), with(3, "keep", 1_000_000.into())).unwrap();
    let left = read(&site.journal()).unwrap().unwrap();
    assert!(left.said.cut && left.said.edits == 1);
    // A name that was taken and never written to is cleared away.
    drop(left);
    fs::write(site.journal(), "").unwrap();
    assert!(site.found().is_empty() && !site.journal().exists());
}
