//! Pages for a phone are one click away where the eye is on what they show, and are what the command writes.

#![cfg(feature = "gui")]

mod support;

use egui_kittest::Harness;
use needline::commands::{Outcome, run_with};
use needline::exchange::outgoing::pages::PageFor;
use needline::ui::areas::house;
use needline::ui::session::Session;
use needline::ui::view::Request;
use support::{Role, copy_of, named, panel_harness, press, program, read, sample, says};

#[test]
fn the_choices_of_the_room_that_is_picked_are_asked_for() {
    let (project, day) = sample("orchard_house.ron");
    for room in [None, Some(project.rooms[2].id)] {
        let session = Session { room, ..Session::default() };
        let mut harness = panel_harness(project.clone(), day, session, house::ui);
        named(&harness, Role::Button, "More for these rows").click();
        harness.run();
        press(&mut harness, "Page of open choices for a phone\u{2026}");
        assert_eq!(harness.state_mut().take(), [Request::SharePage(PageFor::Choices(room))]);
    }
}

/// The window and the command write the same bytes.
#[test]
fn the_window_writes_what_the_command_writes() {
    let (folder, path) = copy_of("orchard_house.ron");
    let mut program: Harness<'static, _> = program(Some(path.clone()));
    let project = read(&path);
    let (crew, supplier) = (&project.crews[0], &project.suppliers[0]);
    let visit = project.phases.iter().find(|p| p.kind == needline::model::PhaseKind::Inspection).unwrap();
    for (of, words, key) in [
        (PageFor::Choices(None), "choices", None),
        (PageFor::Crew(crew.id), "crew", Some(&crew.key)),
        (PageFor::Supplier(supplier.id), "supplier", Some(&supplier.key)),
        (PageFor::Visit(Some(visit.id)), "visit", Some(&visit.key)),
    ] {
        let (mine, theirs) = (folder.path().join("mine.html"), folder.path().join("theirs.html"));
        program.state_mut().write_page(of, &mine);
        program.run();
        assert!(says(&program, &format!("written to {}", mine.display())));
        let mut all = vec!["share".into(), path.clone().into(), "--for".into(), words.into()];
        if let Some(key) = key {
            all.extend(["--key".into(), key.into()]);
        }
        all.extend(["--force".into(), "--out".into(), theirs.clone().into()]);
        let (mut out, mut err) = (Vec::new(), Vec::new());
        assert_eq!(run_with(all, &mut out, &mut err), Outcome::Exit(0), "{}", String::from_utf8_lossy(&err));
        assert_eq!(std::fs::read(&mine).unwrap(), std::fs::read(&theirs).unwrap(), "{words}");
    }
    program.state_mut().write_page(PageFor::Choices(None), &folder.path().join("no folder/page.html"));
    program.run();
    assert!(says(&program, "page.html: "), "what is in the way is said");
}
