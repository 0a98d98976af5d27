//! Files of later minor versions: what this version does not read it keeps.
//!
//! The text of the file is the second opinion: its lines before and after.

mod support;

use needline::model::file::{FileError, MINOR, SCHEMA, from_text, to_text};
use needline::model::merge::{Side, merge};
use needline::model::{Action, History, Project};
use std::collections::HashMap;
use std::fs;
use std::path::Path;

const NAME: &str = "later.ron";

/// A file with a plan kept, corrections, rules and all else that the large sample has.
fn sample() -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("sample_projects/orchard_house.ron");
    let project = from_text(&fs::read_to_string(path).unwrap(), Path::new(NAME)).unwrap();
    to_text(&project).unwrap()
}

fn read(text: &str) -> Result<Project, FileError> {
    from_text(text, Path::new(NAME))
}

/// The file as a later minor version would write it: at the end of each record a field that is not known here, of one of
/// several kinds; and how many.
fn later(text: &str) -> (String, usize) {
    let mut out = Vec::new();
    let mut open: Vec<&str> = Vec::new();
    let mut added = 0;
    for line in text.lines() {
        let bare = line.trim_start();
        if bare.starts_with(')') {
            let begin = open.pop().unwrap();
            // Of the file itself nothing but the schema is known; a case that holds no names has no fields.
            if !open.is_empty() && !begin.ends_with("Polygon([") {
                let space = &line[..line.len() - bare.len()];
                let value = match added % 5 {
                    0 => "Some(\"a \\\"text\\\", with (brackets] in it\")".to_owned(),
                    1 => format!("[\n{space}    (id: 3, kind: Strange(\"x\", -2)),\n{space}  ]"),
                    2 => "Unheard(of: 'x')".to_owned(),
                    3 => "{ \"a\": 1.5, \"b\": None }".to_owned(),
                    _ => "-12".to_owned(),
                };
                out.push(format!("{space}  added_{}: {value},", added % 3));
                added += 1;
            }
        }
        if bare.ends_with('(') {
            open.push(bare);
        }
        out.push(line.to_owned());
    }
    let schema = format!("schema: {SCHEMA},");
    let text = (out.join("\n") + "\n").replace(&schema, &format!("{schema}\n  minor: {},", MINOR + 1));
    (text, added)
}

#[test]
fn every_field_comes_back_where_it_was() {
    let text = sample();
    let (later, added) = later(&text);
    assert!(added > 1_000, "{added}");
    let project = read(&later).unwrap();
    assert_eq!(project.later().count(), added);
    let again = to_text(&project).unwrap();
    if let Some((n, (a, b))) = again.lines().zip(later.lines()).enumerate().find(|(_, (a, b))| a != b) {
        panic!("line {}: {a:?} and {b:?}", n + 1);
    }
    assert_eq!(again, later);
    assert_eq!(read(&again).unwrap(), project);
    // What is known is the same as without.
    let plain = read(&text).unwrap();
    assert_eq!(needline::model::differs::differs(&plain, &project), "");
}

#[test]
fn a_field_that_nobody_knows_is_a_fault_in_a_file_of_this_version() {
    let (later, _) = later(&sample());
    let now = later.replace(&format!("\n  minor: {},", MINOR + 1), "");
    assert!(matches!(read(&now).unwrap_err(), FileError::Syntax { .. }));
    // A later schema is refused as ever, and so is a word that is not known.
    let newer = later.replace(&format!("schema: {SCHEMA}"), &format!("schema: {}", SCHEMA + 1));
    assert!(matches!(read(&newer).unwrap_err(), FileError::NewerSchema { .. }));
    let word = later.replace("tax_by: Order", "tax_by: Room");
    let why = read(&word).unwrap_err().to_string();
    assert!(why.contains("a later version wrote the file"), "{why}");
    let beside = later.replace("  project: (", "  beside: 3,\n  project: (");
    let why = read(&beside).unwrap_err().to_string();
    assert!(why.contains("`beside` does not stand beside the project"), "{why}");
}

#[test]
fn more_names_than_any_version_has_are_refused() {
    let fields = |n: usize| (0..n).map(|n| format!("added_{n}: {n},")).collect::<String>();
    let p = to_text(&support::project("2026-06-01")).unwrap();
    let schema = format!("schema: {SCHEMA},");
    let p = p.replace(&schema, &format!("{schema} minor: {},", MINOR + 1));
    let with = |n: usize| read(&p.replace("next_id: 1,", &format!("next_id: 1, {}", fields(n))));
    assert_eq!(with(1_000).unwrap().later().count(), 1_000);
    let why = with(1_001).unwrap_err().to_string();
    assert!(why.contains("more fields of a later version than can be kept"), "{why}");
}

/// A small file with a field in a room and one in a supplier.
fn small() -> Project {
    let mut p = support::project("2026-06-01");
    support::add_room(&mut p, "10", "12", "8");
    support::add_supplier(&mut p, |_| ());
    p.reindex();
    let schema = format!("schema: {SCHEMA},");
    let text = to_text(&p).unwrap().replace(&schema, &format!("{schema} minor: {},", MINOR + 1));
    let text = text.replace("key: \"r1\",", "key: \"r1\", mood: Warm(3),");
    read(&text.replace("key: \"s2\",", "key: \"s2\", rating: 4,")).unwrap()
}

fn has(project: &Project, words: &str) -> bool {
    to_text(project).unwrap().contains(words)
}

#[test]
fn it_goes_with_its_thing_and_comes_back_with_it() {
    let mut history = History::new(small());
    let room = history.project().rooms[0].clone();
    history
        .apply(&Action::PutRoom(needline::model::Room { name: "Other".to_owned(), ..room.clone() }))
        .unwrap();
    assert!(has(history.project(), "mood: Warm(3)") && has(history.project(), "rating: 4"));
    history.apply(&Action::RemoveRoom(room.id)).unwrap();
    assert!(!has(history.project(), "mood") && has(history.project(), "rating: 4"));
    assert!(history.undo());
    assert!(has(history.project(), "mood: Warm(3)"));
    // The last one gone, the file is one of this version in all but its number.
    let empty = history.project().apply(&Action::RemoveRoom(room.id)).unwrap();
    let empty = empty.apply(&Action::RemoveSupplier(empty.suppliers[0].id)).unwrap();
    let again = read(&to_text(&empty).unwrap()).unwrap();
    assert_eq!((again.rooms.len(), again.later().count()), (0, 0));
}

#[test]
fn two_versions_bring_their_fields_along() {
    let base = small();
    let with = |old: &str, new: &str| read(&to_text(&base).unwrap().replace(old, new)).unwrap();
    let nothing = HashMap::new();
    let (ours, theirs) = (with("Warm(3)", "Cold(1)"), with("rating: 4", "rating: 5"));
    let both = merge(&base, &ours, &theirs, &nothing).unwrap();
    assert!(both.conflicts.is_empty());
    assert!(has(&both.project, "mood: Cold(1)") && has(&both.project, "rating: 5"));

    let theirs = with("Warm(3)", "Warm(9)");
    let both = merge(&base, &ours, &theirs, &nothing).unwrap();
    assert_eq!(both.conflicts.len(), 1);
    let told = &both.conflicts[0];
    assert_eq!([&told.base, &told.ours, &told.theirs], ["Warm(3)", "Cold(1)", "Warm(9)"]);
    assert!(has(&both.project, "mood: Cold(1)"));
    let wishes = HashMap::from([(told.at.clone(), Side::Theirs)]);
    assert!(has(&merge(&base, &ours, &theirs, &wishes).unwrap().project, "mood: Warm(9)"));
    // An older version of the program on one side, which had dropped nothing.
    let older = base.apply(&Action::RemoveSupplier(base.suppliers[0].id)).unwrap();
    let both = merge(&base, &ours, &older, &nothing).unwrap();
    assert!(has(&both.project, "mood: Cold(1)") && !has(&both.project, "rating"));
}
