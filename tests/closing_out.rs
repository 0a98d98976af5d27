//! Closing out: the punch list, what is in the house with its warranties and manuals, who approved of what; the papers that
//! are made of them. Against a plain recount over random documents, and against the sheets of a sample read by hand.

mod common;
#[path = "support/random.rs"]
mod random;
mod support;

use chrono::NaiveDate;
use common::run;
use needline::engine::closing_out::in_house;
use needline::engine::{compute, problems};
use needline::exchange::Progress;
use needline::exchange::outgoing::crews;
use needline::exchange::outgoing::print::{Block, PaperKind, html, pdf};
use needline::model::file::load;
use needline::model::*;
use proptest::prelude::*;
use random::{any_action, any_dice, house};
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use support::*;

fn samples() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("sample_projects")
}

fn laundry() -> Project {
    load(&samples().join("laundry_room.ron")).unwrap().0
}

const LOOKED_AT: &str = "2026-11-09";

fn item(p: &Project, what: &str) -> Punch {
    let key = what.to_lowercase();
    Punch { key, what: what.to_owned(), ..Punch::new(PunchId(p.next_id)) }
}

#[test]
fn what_cannot_be_is_refused_with_what_to_do() {
    let p = house();
    let refused = |x: Punch| p.apply(&Action::PutPunch(x)).unwrap_err().to_string();
    let good = item(&p, "Scratch");
    assert!(refused(Punch { what: " ".to_owned(), ..good.clone() }).contains("say what is to be put right"));
    assert!(refused(Punch { room: Some(RoomId(999)), ..good.clone() }).contains("not in the project"));
    assert!(refused(Punch { crew: Some(CrewId(999)), ..good.clone() }).contains("not in the project"));
    assert!(
        refused(Punch { picture: "/etc/passwd".to_owned(), ..good.clone() }).contains("beside the project")
    );
    let on = |text| Some(date(text));
    let early = Punch { found_on: on("2026-06-05"), due: on("2026-06-04"), ..good.clone() };
    assert!(refused(early).contains("before it was found"));
    let unsaid = Punch { checked_on: on("2026-06-05"), ..good.clone() };
    assert!(refused(unsaid).contains("nobody has said when it was done"));

    let part = p.all_parts().next().unwrap().2.id;
    let refused = |x: Handover| p.apply(&Action::PutHandover(x)).unwrap_err().to_string();
    let good = Handover::new(HandoverId(p.next_id), part);
    assert!(refused(Handover { part: PartId(999), ..good.clone() }).contains("not in the project"));
    for manual in ["/etc/passwd", "../x.pdf", "c:/x.pdf", "file:///x.pdf", "https://"] {
        let why = refused(Handover { manual: manual.to_owned(), ..good.clone() });
        assert!(why.contains("must"), "{manual}: {why}");
    }
    let p = p.apply(&Action::PutHandover(good.clone())).unwrap();
    let twice = Handover::new(HandoverId(p.next_id), part);
    assert!(p.apply(&Action::PutHandover(twice)).unwrap_err().to_string().contains("keep one of them"));
    // The one that is there may be changed.
    let serial = Handover { serial: "7".to_owned(), ..good };
    assert_eq!(p.apply(&Action::PutHandover(serial)).unwrap().handover[0].serial, "7");
}

/// Done, looked at, and back again: a step back from done takes the look with it.
#[test]
fn a_step_back_takes_what_stands_on_it() {
    let p = house();
    let p = p.apply(&Action::PutPunch(item(&p, "Scratch"))).unwrap();
    let id = p.punch[0].id;
    let (first, second) = (date("2026-06-03"), date("2026-06-05"));
    let looked = p.apply(&Action::MarkPunchChecked(id, Some(second))).unwrap();
    assert_eq!(looked.punch[0].done_on, Some(second), "what is good was done");
    let done = p.apply(&Action::MarkPunchDone(id, Some(first))).unwrap();
    let done = done.apply(&Action::MarkPunchChecked(id, Some(second))).unwrap();
    assert_eq!((done.punch[0].done_on, done.punch[0].checked_on), (Some(first), Some(second)));
    let open = done.apply(&Action::MarkPunchDone(id, None)).unwrap();
    assert_eq!((open.punch[0].done_on, open.punch[0].checked_on), (None, None));
    assert!(done.apply(&Action::MarkPunchDone(id, Some(date("2026-06-09")))).is_err(), "after the look");
    assert_eq!(Action::MarkPunchDone(id, Some(first)).label(&p), "mark Scratch put right");
}

/// A crew that has something to put right stays; a room goes, and what is wrong in it stays wrong; a part takes its
/// warranty with it. Undo is the old document.
#[test]
fn what_is_named_goes_or_stays() {
    let p = laundry();
    let crew = p.crews.iter().find(|c| c.key == "electrician").unwrap().id;
    let free = |p: &Project| {
        let mut p = p.clone();
        Arc::make_mut(&mut p.phases).iter_mut().for_each(|x| x.crew = None);
        Arc::make_mut(&mut p.quotes).iter_mut().for_each(|x| x.crew = None);
        p
    };
    let why = free(&p).apply(&Action::RemoveCrew(crew)).unwrap_err().to_string();
    assert!(why.starts_with("2 things on the punch list name this crew"), "{why}");
    let why = p.apply(&Action::RemoveCrew(crew)).unwrap_err().to_string();
    assert!(why.starts_with("1 phase, 1 bid, 2 things on the punch list"), "{why}");

    let mut empty = p.clone();
    let room = p.rooms.iter().find(|r| r.key == "mud_hall").unwrap().id;
    Arc::make_mut(&mut empty.selections).retain(|s| s.room != room);
    Arc::make_mut(&mut empty.handover).clear();
    let without = empty.apply(&Action::RemoveRoom(room)).unwrap();
    let moved = without.punch.iter().find(|x| x.key == "hook_board").unwrap();
    assert_eq!((moved.room, without.punch.len()), (None, p.punch.len()));

    let top = p.all_parts().find(|(_, _, x)| x.key == "washer_top").unwrap().2.id;
    let noted = p.apply(&Action::PutHandover(Handover::new(HandoverId(p.next_id), top))).unwrap();
    let gone = noted.apply(&Action::RemovePart(top)).unwrap();
    assert_eq!(gone.handover.len(), p.handover.len());
}

#[test]
fn who_approved_is_noted_and_taken_back() {
    let p = laundry();
    let option = |key: &str| p.selections.iter().flat_map(|s| &s.options).find(|o| o.key == key).unwrap().id;
    let (sink, washer) = (option("sink_steel"), option("washer_front"));
    assert_eq!(p.approver(), Some("J. Example"), "who approved last");
    let said = Some((" Pat ".to_owned(), date("2026-11-09")));
    let yes = p.apply(&Action::Approve(sink, said)).unwrap();
    assert_eq!(yes.approver(), Some("Pat"));
    let on =
        |p: &Project, id, day| p.option(id).unwrap().1.approval(date(day)).map(|(who, _)| who.to_owned());
    assert_eq!(on(&yes, sink, "2026-11-09").as_deref(), Some("Pat"));
    assert_eq!(on(&yes, sink, "2026-11-08"), None, "not said yet");
    let back = yes.apply(&Action::Approve(sink, None)).unwrap();
    assert_eq!(back.selections, p.selections);
    let nobody = ("  ".to_owned(), date("2026-11-09"));
    assert!(p.apply(&Action::Approve(sink, Some(nobody))).is_err());
    // Another form of the option keeps it; a copied room has not been approved of by anybody.
    let room = p.rooms[0].id;
    let copied = needline::model::copy_room::copy_room(&p, room).unwrap();
    let copied = p.apply(&copied).unwrap();
    let approved = |p: &Project| {
        p.selections.iter().flat_map(|s| &s.options).filter(|o| o.approved_on.is_some()).count()
    };
    assert_eq!(approved(&copied), approved(&p));
    assert!(p.option(washer).unwrap().1.approved_on.is_some());
    let nobody = project("2026-06-01");
    assert_eq!(nobody.approver(), None);
}

/// In the house, found the slow way: the parts of the choice, else of the leaning option, of which as many came whole as are
/// bought, or that are built in.
fn recount(p: &Project, as_of: NaiveDate) -> BTreeSet<PartId> {
    let f = compute(p, as_of);
    let mut found = BTreeSet::new();
    for selection in p.selections.iter() {
        let chosen = selection.options.iter().find(|o| o.state == OptionState::Chosen);
        let leaning = selection.options.iter().find(|o| o.state == OptionState::Leaning);
        for part in chosen.or(leaning).map_or(&[][..], |o| &o.parts) {
            let built_in = part.installed_on.is_some_and(|on| on <= as_of);
            if built_in || f.part(part.id).unwrap().on_site {
                found.insert(part.id);
            }
        }
    }
    found
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    /// What is in the house is the recount; what is dated after a day counts on it as if it were not there.
    #[test]
    fn any_document_closes_out_as_recounted(dice in any_dice(), late in 0_u64..20) {
        let mut p = house();
        for (n, throw) in dice.into_iter().enumerate() {
            if let Ok(next) = p.apply(&any_action(&p, throw, 2)) {
                p = next;
            }
            if n % 8 == 0 {
                let reread: Project = needline::model::file::from_text(
                    &needline::model::file::to_text(&p).unwrap(), Path::new("p.ron")).unwrap();
                prop_assert_eq!(&reread.punch, &p.punch);
                prop_assert_eq!(&reread.handover, &p.handover);
            }
        }
        let as_of = date("2026-06-05") + chrono::Days::new(late);
        let f = compute(&p, as_of);
        let found: BTreeSet<PartId> = in_house(&p, &f).map(|thing| thing.part.id).collect();
        prop_assert_eq!(&found, &recount(&p, as_of));
        let once: BTreeSet<PartId> = p.handover.iter().map(|h| h.part).collect();
        prop_assert_eq!(once.len(), p.handover.len());

        let mut before = p.clone();
        let later = |day: Option<NaiveDate>| day.is_some_and(|day| day > as_of);
        let punch = Arc::make_mut(&mut before.punch);
        punch.retain(|x| !later(x.found_on));
        for x in punch.iter_mut() {
            if later(x.checked_on) { x.checked_on = None; }
            if later(x.done_on) { x.done_on = None; }
        }
        let codes = |p: &Project| -> Vec<String> {
            let all = problems(p, &compute(p, as_of));
            all.iter().filter(|x| x.code.starts_with("punch")).map(|x| x.message.clone()).collect()
        };
        prop_assert_eq!(codes(&p), codes(&before));
        for kind in [PaperKind::Binder, PaperKind::Punch] {
            let paper = kind.make(&p, &f, None);
            prop_assert!(pdf::laid_out(&paper).unwrap().pages.len() < 60);
        }
    }
}

/// The sheets of the sample, read without a line of ours: what came of what was chosen.
fn sheet(name: &str) -> Vec<BTreeMap<String, String>> {
    let mut reader = csv::Reader::from_path(samples().join("laundry_room").join(name)).unwrap();
    let heads: Vec<String> = reader.headers().unwrap().iter().map(str::to_owned).collect();
    let rows = reader.records().map(|row| {
        let row = row.unwrap();
        heads.iter().cloned().zip(row.iter().map(str::to_owned)).collect()
    });
    rows.collect()
}

#[test]
fn the_binder_holds_what_the_sheets_say_is_there_and_nothing_else() {
    let p = laundry();
    let f = compute(&p, date(LOOKED_AT));
    let beside = samples();
    let text = html::html(&PaperKind::Binder.make(&p, &f, Some(&beside)));
    let chosen: BTreeSet<String> = sheet("options.csv")
        .into_iter()
        .filter(|o| o["state"] == "chosen")
        .map(|o| o["key"].clone())
        .collect();
    let handed = sheet("handover.csv");
    let (mut there, mut away) = (0, 0);
    for part in sheet("parts.csv") {
        let in_house = chosen.contains(&part["option"]) && !part["received_on"].is_empty();
        assert_eq!(
            text.contains(&part["article"]),
            in_house || part["article"] == "CS-221",
            "{}",
            part["key"]
        );
        (there, away) = if in_house { (there + 1, away) } else { (there, away + 1) };
        let own = handed.iter().find(|h| h["part"] == part["key"]);
        for field in ["serial", "note"] {
            let value = own.map_or("", |h| h[field].as_str());
            assert!(value.is_empty() || text.contains(value) == in_house, "{}: {value}", part["key"]);
        }
        // Keys are ours alone.
        assert!(!text.contains(&format!(">{}<", part["key"])));
    }
    assert_eq!((there, away), (12, 2));
    assert!(text.contains("1 part is still to come"));
    for link in
        ["href=\"laundry_room_manuals/washer.txt\"", "href=\"https://example.org/manuals/heat-pump-dryer\""]
    {
        assert!(text.contains(link), "{link}");
    }
    for words in [
        "Plumber D",
        "license P-4410",
        "Slope corrected",
        "after 1 failed visit",
        "A-26-0771",
        "approved by J. Example",
    ] {
        assert!(text.contains(words), "{words}");
    }
    // The contents lead to each part of it.
    let leads: Vec<&str> = text.split("href=\"#").skip(1).filter_map(|rest| rest.split('"').next()).collect();
    assert!(leads.len() >= 8, "{leads:?}");
    assert!(leads.iter().all(|id| text.contains(&format!("id=\"{id}\""))), "{leads:?}");
}

/// The marks of the pages lead to the chapters and, below them, to the rooms.
#[test]
fn the_pages_of_the_binder_have_bookmarks() {
    let p = laundry();
    let f = compute(&p, date(LOOKED_AT));
    let paper = PaperKind::Binder.make(&p, &f, None);
    let pages = pdf::laid_out(&paper).unwrap();
    let mut found: Vec<(String, bool)> = Vec::new();
    let mut links = 0;
    for mark in pages.pages.iter().flatten() {
        match mark {
            pdf::Mark::Bookmark { title, below, .. } => found.push((title.clone(), *below)),
            pdf::Mark::Link { to, width, height, .. } => {
                assert!(!to.is_empty() && *width > 0.0 && *height > 0.0);
                links += 1;
            }
            _ => {}
        }
    }
    let wanted: Vec<(String, bool)> = paper
        .blocks
        .iter()
        .filter_map(|block| match block {
            Block::Chapter(title) => Some((title.clone(), false)),
            Block::Heading(title) => Some((title.clone(), true)),
            _ => None,
        })
        .collect();
    assert_eq!(found, wanted);
    assert!(found.iter().filter(|(_, below)| !below).count() >= 6 && links >= 2, "{found:?}, {links} links");
}

#[test]
fn the_punch_list_shows_what_is_left_by_room_and_by_crew() {
    let p = laundry();
    let f = compute(&p, date(LOOKED_AT));
    let text = html::html(&PaperKind::Punch.make(&p, &f, Some(&samples())));
    for punch in sheet("punch.csv") {
        let what = punch["what"].replace('\'', "&#39;");
        let left = punch["checked_on"].is_empty();
        let open = punch["done_on"].is_empty();
        // Once in its room, and once more by who puts it right.
        let times = text.matches(&what).count();
        assert_eq!(times, usize::from(left) + usize::from(left && open), "{what}");
    }
    assert!(text.contains("data:image/jpeg;base64,"), "the picture of the door");
    assert!(text.contains("3 days late") && text.contains("Nobody has said who"), "{text}");
    // Of a room alone.
    let room = p.rooms.iter().find(|r| r.key == "mud_hall").unwrap().id;
    let scope = needline::exchange::outgoing::print::PaperScope { beside: None, room: Some(room) };
    let own = html::html(&PaperKind::Punch.make_of(&p, &f, scope));
    assert!(own.contains("Level the hook board") && !own.contains("End cap"));
    // A picture that is not there is said, and nothing fails.
    let nowhere = html::html(&PaperKind::Punch.make(&p, &f, Some(Path::new("/nowhere"))));
    assert!(nowhere.contains("picture ") && nowhere.contains("rubs at the top"));
}

/// What a crew has to put right stands in what it is sent, and nothing of what others have.
#[test]
fn a_crew_is_told_what_it_has_to_put_right() {
    let p = laundry();
    let f = compute(&p, date(LOOKED_AT));
    let finisher = p.crews.iter().find(|c| c.key == "finisher").unwrap().id;
    let sheet = crews::sheet(&p, &f, finisher).unwrap();
    let what: Vec<(&str, bool)> = sheet.punch.iter().map(|x| (x.what.as_str(), x.late)).collect();
    assert_eq!(
        what,
        [
            ("Base cabinet door left of the sink rubs at the top (Laundry room)", true),
            ("End cap of the counter is loose (Laundry room)", false),
            ("Level the hook board before the bench comes (Mud hall)", false),
        ]
    );
    let text = crews::message(&sheet);
    assert!(text.contains("To be put right:") && text.contains("was due Fri Nov 6, 2026"), "{text}");
    assert!(!text.contains("vent outdoors"));
    // It has no phase to come, and is written to all the same.
    assert!(sheet.phases.is_empty());
    let folder = tempfile::tempdir().unwrap();
    let forms = crews::CrewForm::ALL.map(|(_, form)| form);
    let (names, _) =
        crews::write_sheets(&p, &f, folder.path(), &[finisher], &forms, &Progress::new()).unwrap();
    assert_eq!(names.len(), forms.len());
}

/// The program from outside: the verbs tell the same, and a step on the command line is not needed for any of it.
#[test]
fn the_verbs_tell_it() {
    let file = samples().join("laundry_room.ron");
    let (code, out, _) = run(&[&"figures", &file, &"--as-of", &LOOKED_AT]);
    assert_eq!(code, 0);
    let figures: Value = serde_json::from_str(&out).unwrap();
    let stands = |key: &str| {
        let all = figures["punch"].as_array().unwrap();
        all.iter().find(|x| x["key"] == key).unwrap()["stands"].as_str().unwrap().to_owned()
    };
    assert_eq!(
        ["door_rubs", "drip_at_trap", "counter_end", "cover_plate"].map(stands),
        ["late", "done", "open", "checked"]
    );
    assert_eq!(figures["handover"].as_array().unwrap().len(), 12);
    let folder = tempfile::tempdir().unwrap();
    let (code, out, err) = run(&[
        &"print",
        &file,
        &"--as-of",
        &LOOKED_AT,
        &"--out",
        &folder.path(),
        &"--paper",
        &"binder,punch_list",
        &"--format",
        &"pdf,html",
    ]);
    assert_eq!(code, 0, "{out}{err}");
    for name in ["binder.pdf", "binder.html", "punch_list.pdf", "punch_list.html"] {
        assert!(std::fs::metadata(folder.path().join(name)).unwrap().len() > 2000, "{name}");
    }
}
