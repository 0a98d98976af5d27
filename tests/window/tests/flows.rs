//! The whole program without a screen: opening, choosing, undoing, ordering, saving, exporting, beginning anew, and what
//! happens with bad input. Everything is worked by name, as a screen reader would.

#![cfg(feature = "gui")]

mod support;

use egui::{Key, Modifiers};
use egui_kittest::Harness;
use needline::engine;
use needline::exchange::outgoing::lists::{Format, ListPlan, ListScope, What};
use needline::exchange::outgoing::print::{PaperForm, PaperKind};
use needline::model::{Action, Money, Part, PhaseKind, PhaseRole, Project, Return, ReturnState, Rgb, Work};
use needline::ui::format;
use needline::ui::session::WorkArea;
use needline::ui::shell::app::NeedlineApp;
use needline::ui::shell::work::ExportPlan;
use needline::ui::view::{Form, Request};
use std::path::Path;
use std::time::Duration;
use support::{
    Role, button_from, command, copy_of, drop_file, fill, finish_work, labels, named, option, part, press,
    press_from, press_room, program, program_on, read, room, samples, says, selection,
};

type Program = Harness<'static, NeedlineApp>;

fn project(program: &Program) -> Project {
    program.state().project().expect("a project is open").clone()
}

/// Opens a copy of the large sample.
fn orchard_house() -> (tempfile::TempDir, std::path::PathBuf, Program) {
    let (folder, path) = copy_of("orchard_house.ron");
    let program = program(Some(path.clone()));
    (folder, path, program)
}

/// Opens the card of the kitchen base cabinets by way of the room.
fn pick_base_cabinets(program: &mut Program) {
    press_room(program, "Kitchen");
    press(program, "Kitchen base cabinets");
}

fn choose_semi_custom(program: &mut Program) {
    press(program, "Make Semi-custom base cabinets, full overlay the choice");
    press(program, "Make the swap");
}

fn form_is_open(program: &Program) -> bool {
    labels(program, Role::Button).iter().any(|l| l == "Done" || l == "Begin")
}

#[test]
fn the_sample_opens_with_its_figures() {
    let (_folder, path, program) = orchard_house();
    let on_disk = read(&path);
    assert_eq!(project(&program), on_disk);
    let figures = program.state().figures().unwrap();
    assert_eq!(figures.as_of.to_string(), "2026-09-21", "the sample pins its day");
    let money = format::money(figures.money.total.forecast, on_disk.settings.currency);
    let least = if figures.money.total.is_least() { "at least " } else { "" };
    button_from(&program, &format!("Forecast, USD, {least}{money}, "));
    assert!(says(&program, "Orchard house"));
    assert!(!says(&program, "Orchard house \u{2022}"), "nothing is unsaved yet");
}

#[test]
fn choosing_moves_finish_and_total_as_the_preview_says_and_undo_takes_it_back() {
    let (_folder, _, mut program) = orchard_house();
    let before = project(&program);
    pick_base_cabinets(&mut program);
    let session = program.state().session();
    assert_eq!(session.room, Some(room(&before, "kitchen").id));
    assert_eq!(session.selection, Some(selection(&before, "kitchen_base_cabinets").id));

    let wanted = option(&before, "kitchen_base_cabinets_semi_custom").id;
    let day = before.settings.as_of.unwrap();
    let expected = engine::preview(&before, &Action::Choose(wanted), day).unwrap();
    let was = program.state().figures().unwrap().clone();
    assert_ne!(expected.forecast_finish, was.forecast_finish, "the sample was made so that this matters");
    assert_ne!(expected.money.total.forecast, was.money.total.forecast);

    let finish = |day: engine::Day| format::day(day, was.as_of);
    let money = |amount: Money| format::money(amount, before.settings.currency);
    let facts = |program: &Program, words: &str, figures: &engine::Figures| {
        let finish = finish(figures.forecast_finish.unwrap());
        button_from(program, &format!("Finish{words}, {finish}"));
        let begin = if words.is_empty() { "Forecast, USD" } else { "Forecast would be" };
        let least = if figures.money.total.is_least() { "at least " } else { "" };
        button_from(program, &format!("{begin}, {least}{}, ", money(figures.money.total.forecast)));
    };
    facts(&program, "", &was);

    // Under the pointer first: the head says what would be, and nothing has changed.
    named(&program, Role::Button, "Make Semi-custom base cabinets, full overlay the choice").hover();
    program.run();
    facts(&program, " would be", &expected);
    assert_eq!(project(&program), before);

    choose_semi_custom(&mut program);
    let now = program.state().figures().unwrap();
    assert_eq!(now.forecast_finish, expected.forecast_finish);
    assert_eq!(now.days_lost, expected.days_lost);
    assert_eq!(now.money.total, expected.money.total);
    facts(&program, "", &expected);
    assert!(says(&program, "Orchard house \u{2022}"), "unsaved is shown");

    command(&mut program, Key::Z);
    assert_eq!(project(&program), before);
    // Away from the options, whose candidates would be previewed.
    program.hover_at(egui::pos2(700.0, 5.0));
    program.run();
    facts(&program, "", &was);
    assert!(!says(&program, "Orchard house \u{2022}"), "back at what is on disk");

    program.key_press_modifiers(Modifiers::COMMAND | Modifiers::SHIFT, Key::Z);
    program.run();
    let again = project(&program);
    let choice = selection(&again, "kitchen_base_cabinets").choice().unwrap().id;
    assert_eq!(choice, wanted, "redo does it again");
}

#[test]
fn what_is_ordered_is_saved_and_opens_equal() {
    let (_folder, path, mut program) = orchard_house();
    let before = project(&program);
    pick_base_cabinets(&mut program);
    choose_semi_custom(&mut program);
    press(&mut program, "Buying");
    assert_eq!(program.state().session().area, WorkArea::Buying);
    let name = support::part_name(&before, "kitchen_base_cabinets_semi_custom");
    press(&mut program, &format!("Mark ordered {name}"));
    let ordered = project(&program);
    let marked = part(&ordered, "kitchen_base_cabinets_semi_custom");
    assert_eq!(marked.ordered_on, before.settings.as_of, "on the day looked at, not today");
    assert_eq!(read(&path), before, "nothing is written before it is asked for");

    command(&mut program, Key::S);
    assert!(!says(&program, "Orchard house \u{2022}"));
    assert_eq!(read(&path), ordered);
    drop(program);
    let reopened = support::program(Some(path));
    assert_eq!(project(&reopened), ordered);
}

#[test]
fn a_file_changed_by_someone_else_is_not_overwritten() {
    let (_folder, path, mut program) = orchard_house();
    pick_base_cabinets(&mut program);
    choose_semi_custom(&mut program);
    let theirs = std::fs::read_to_string(&path).unwrap() + "// theirs\n";
    std::fs::write(&path, &theirs).unwrap();
    command(&mut program, Key::S);
    assert!(says(&program, "changed on disk since it was opened"));
    assert_eq!(std::fs::read_to_string(&path).unwrap(), theirs);
}

#[test]
fn the_export_form_offers_formats_suppliers_and_papers() {
    let (_folder, _, mut program) = orchard_house();
    command(&mut program, Key::E);
    let ticks = |program: &Program| labels(program, Role::CheckBox);
    let tick = |program: &mut Program, name: &str| {
        named(program, Role::CheckBox, name).click();
        program.run();
    };
    for (_, format) in Format::ALL {
        assert!(ticks(&program).iter().any(|l| l == format.purpose()), "{format:?}");
    }
    // Nothing ticked is nothing to write.
    tick(&mut program, "XLSX, a workbook that adds up");
    tick(&mut program, "PDF, to print");
    press(&mut program, "Choose the folder…");
    assert!(says(&program, "Whose list"), "still open");
    press(&mut program, "Papers");
    assert!(ticks(&program).iter().any(|l| l == "Budget against allowances, for a lender"));
    press(&mut program, "Sheets");
    assert!(says(&program, "they give the same project"));
    press(&mut program, "Cancel");
    assert!(!says(&program, "Files of the same names"));
    command(&mut program, Key::P);
    assert!(ticks(&program).iter().any(|l| l == "Selections by room, for the wall"));
}

#[test]
fn papers_and_sheets_are_written_and_sheets_read_again() {
    let (folder, _, mut program) = orchard_house();
    let (papers, sheets) = (folder.path().join("papers"), folder.path().join("sheets"));
    let ctx = program.ctx.clone();
    let plan = ExportPlan::Papers(vec![PaperKind::Budget], vec![PaperForm::Pdf, PaperForm::Html], None);
    program.state_mut().begin_export(&ctx, plan, papers.clone(), false);
    finish_work(&mut program);
    assert!(says(&program, "2 papers written to"));
    assert_eq!(std::fs::read_dir(&papers).unwrap().count(), 2);
    program.state_mut().begin_export(&ctx, ExportPlan::Sheets, sheets.clone(), false);
    finish_work(&mut program);
    assert!(says(&program, "written as sheets"));
    let before = project(&program);
    program.state_mut().begin_import(&ctx, &sheets);
    finish_work(&mut program);
    assert_eq!(project(&program), before);
    // A folder that cannot be read says so and leaves the project.
    std::fs::write(sheets.join("rooms.csv"), "nothing\n1\n").unwrap();
    program.state_mut().begin_import(&ctx, &sheets);
    finish_work(&mut program);
    assert!(says(&program, "Nothing was read from"));
    assert_eq!(project(&program), before);
}

#[test]
fn purchase_lists_add_up_to_the_figures() {
    let (folder, _, mut program) = orchard_house();
    let lists = folder.path().join("lists");
    let plan =
        ExportPlan::Lists(ListPlan { scope: ListScope::All, what: What::All, formats: vec![Format::Csv] });
    let ctx = program.ctx.clone();
    program.state_mut().begin_export(&ctx, plan, lists.clone(), false);
    finish_work(&mut program);
    assert!(says(&program, "purchase lists written to"));

    let project = project(&program);
    let figures = program.state().figures().unwrap();
    let mut files = 0;
    for (position, supplier) in project.suppliers.iter().enumerate() {
        // What is ordered counts even when the choice moved on, until it is cancelled.
        let cancelled = |p: &Part| {
            let back = |r: &&Return| r.part == p.id && r.state == ReturnState::WentBack;
            project.returns.iter().any(|r| back(&r)) && !p.is_on_site()
        };
        let mine: Vec<_> = project
            .all_parts()
            .zip(&figures.parts)
            .filter(|((_, _, p), f)| (f.live || p.is_ordered()) && f.supplier == Some(position as u32))
            .filter(|((_, _, p), _)| !cancelled(p))
            .collect();
        if mine.is_empty() {
            continue;
        }
        files += 1;
        let sum: Money = mine.iter().map(|(_, f)| f.total()).sum();
        let name =
            format!("{}.csv", needline::exchange::outgoing::lists::file_stem(&project, Some(position)));
        let text = std::fs::read_to_string(lists.join(&name)).unwrap();
        let last = text.lines().last().unwrap();
        let column = needline::exchange::outgoing::lists::columns::COLUMNS
            .iter()
            .position(|c| c.name == "total")
            .unwrap();
        let total = last.split(',').nth(column).unwrap();
        let unpriced = mine.iter().filter(|(_, f)| !f.priced).count();
        let begins =
            if unpriced == 0 { "total,".to_owned() } else { format!("total at least ({unpriced} part") };
        assert!(last.starts_with(&begins), "{name}: {last}");
        assert_eq!(total, sum.to_plain(project.settings.currency), "{}", supplier.name);
        assert_eq!(text.lines().count(), mine.len() + 2, "{name}: titles, one line a part, and the sum");
    }
    assert!(files > 5);
    assert_eq!(std::fs::read_dir(&lists).unwrap().count(), files);
}

/// What calendars say is noted when they are written: one change that can be undone, and none where nothing is new.
#[test]
fn what_calendars_say_is_noted_as_one_change() {
    let (folder, _, mut program) = orchard_house();
    let before = project(&program);
    let write = |program: &mut Program, name: &str| {
        let formats = vec![Format::Ics];
        let plan = ExportPlan::Lists(ListPlan { scope: ListScope::All, what: What::All, formats });
        let ctx = program.ctx.clone();
        program.state_mut().begin_export(&ctx, plan, folder.path().join(name), false);
        finish_work(program);
        program.run_steps(3);
        let text = std::fs::read(folder.path().join(name).join("all_suppliers.ics")).unwrap();
        (text, says(program, "noted in the project"))
    };
    let (first, noted) = write(&mut program, "one");
    assert!(noted);
    let after = project(&program);
    assert!(after.sent.len() > before.sent.len() + 100);
    let (second, noted) = write(&mut program, "two");
    assert!(!noted && first == second && project(&program) == after);
    command(&mut program, Key::Z);
    assert_eq!(project(&program), before, "undone in one step");
}

#[test]
fn unsaved_changes_are_asked_about_and_cancel_keeps_them() {
    let (_folder, path, mut program) = orchard_house();
    let before = project(&program);
    pick_base_cabinets(&mut program);
    choose_semi_custom(&mut program);
    let changed = project(&program);

    command(&mut program, Key::N);
    assert!(says(&program, "Save the changes first?"));
    press(&mut program, "Cancel");
    assert!(!says(&program, "Save the changes first?"));
    assert!(!form_is_open(&program));
    assert_eq!(project(&program), changed);

    // Escape is the same answer.
    command(&mut program, Key::N);
    assert!(says(&program, "Save the changes first?"));
    program.key_press(Key::Escape);
    program.run();
    assert!(!says(&program, "Save the changes first?"));
    assert_eq!(project(&program), changed);

    // Saving first goes on to what was asked for.
    command(&mut program, Key::W);
    // The one on the bar is behind the question.
    support::all(&program, Role::Button)
        .into_iter()
        .rfind(|n| support::label(n).as_deref() == Some("Save"))
        .unwrap()
        .click();
    program.run();
    assert!(program.state().project().is_none(), "closed after it was saved");
    assert_eq!(read(&path), changed);
    assert_ne!(changed, before);
}

#[test]
fn changes_thrown_away_leave_the_file_as_it_was() {
    let (_folder, path, mut program) = orchard_house();
    let before = project(&program);
    pick_base_cabinets(&mut program);
    choose_semi_custom(&mut program);
    command(&mut program, Key::W);
    press(&mut program, "Throw the changes away");
    assert!(program.state().project().is_none());
    assert_eq!(read(&path), before);
}

/// Whatever comes of what was asked for, the changes are there and unsaved until another project stands in their place.
#[test]
fn changes_thrown_away_for_nothing_are_still_unsaved() {
    let (folder, path, mut program) = orchard_house();
    pick_base_cabinets(&mut program);
    choose_semi_custom(&mut program);
    let changed = project(&program);
    let broken = folder.path().join("broken.ron");
    std::fs::write(&broken, "(schema: 1, project: (").unwrap();
    let no_sheets = folder.path().join("no sheets");
    std::fs::create_dir(&no_sheets).unwrap();

    command(&mut program, Key::N);
    press(&mut program, "Throw the changes away");
    press(&mut program, "Cancel");
    assert!(says(&program, "Orchard house \u{2022}"), "the form of a new project was closed");
    for (dropped, fault) in [(broken, "broken.ron: line 1"), (no_sheets, "Nothing was read")] {
        drop_file(&mut program, &dropped);
        press(&mut program, "Throw the changes away");
        finish_work(&mut program);
        assert!(says(&program, fault), "{:?}", labels(&program, Role::Label));
        assert_eq!(project(&program), changed);
        assert!(says(&program, "Orchard house \u{2022}"), "{fault}");
    }
    command(&mut program, Key::S);
    assert_eq!(read(&path), changed);
    assert!(!says(&program, "Orchard house \u{2022}"));
}

#[test]
fn another_project_is_asked_about_when_its_ending_was_not_typed() {
    let (folder, _, mut program) = orchard_house();
    let other = folder.path().join("other.ron");
    let theirs = samples().join("hall_bath.ron");
    std::fs::copy(&theirs, &other).unwrap();
    let save_as = |program: &mut Program, name: &str| {
        let ctx = program.ctx.clone();
        program.state_mut().save_as(&ctx, &folder.path().join(name));
        program.run();
    };
    save_as(&mut program, "other");
    assert!(says(&program, "There is such a file already; it will be replaced"));
    press(&mut program, "Cancel");
    assert_eq!(read(&other), read(&theirs), "left as it is");

    save_as(&mut program, "other");
    let all = support::all(&program, Role::Button);
    // The one on the bar is behind the question.
    all.into_iter().rfind(|n| support::label(n).as_deref() == Some("Save")).unwrap().click();
    program.run();
    assert_eq!(read(&other), project(&program), "told to");

    save_as(&mut program, "new house, no. 2");
    assert_eq!(read(&folder.path().join("new house, no. 2.ron")), project(&program), "nothing to ask");
}

#[test]
fn without_changes_nothing_is_asked() {
    let (_folder, _, mut program) = orchard_house();
    command(&mut program, Key::N);
    assert!(!says(&program, "Save the changes first?"));
    assert!(form_is_open(&program));
}

/// A new project through the form, on a day, with nothing in its rooms.
fn begin(day: &str) -> Program {
    let mut program = program_on(day);
    press(&mut program, "New project…");
    fill(&mut program, "Name", "Corner flat");
    fill(&mut program, "Year built", "1958");
    for room in ["Add Kitchen", "Add Bath", "Add Living room"] {
        press(&mut program, room);
    }
    fill(&mut program, "Name of room 3", "  Study ");
    named(&program, Role::CheckBox, "List what each room usually needs").click();
    program.run();
    press(&mut program, "Begin");
    program
}

#[test]
fn a_new_project_has_its_rooms_and_the_usual_phases() {
    let program = begin("2026-03-02");
    let project = project(&program);
    assert_eq!(project.settings.name, "Corner flat");
    assert_eq!(project.settings.start, support::date("2026-03-02"));
    assert_eq!(project.settings.year_built, Some(1958));
    let rooms: Vec<&str> = project.rooms.iter().map(|r| r.name.as_str()).collect();
    assert_eq!(rooms, ["Kitchen", "Bath", "Study"]);
    assert!(project.phases.len() > 15 && project.phases.iter().all(|f| f.days.is_none()));
    assert!(program.state().figures().unwrap().forecast_finish.is_some());
    assert!(says(&program, "Corner flat \u{2022}"), "a new project is unsaved");
}

/// Whatever is answered, nothing is in time on the strength of a lead time that nobody has said.
#[test]
fn a_new_project_has_no_days_in_hand_that_nobody_has_said() {
    for (phases, things) in [(true, true), (true, false), (false, true), (false, false)] {
        let mut program = program_on("2026-03-02");
        press(&mut program, "New project…");
        fill(&mut program, "Name", "Corner flat");
        press(&mut program, "Add Kitchen");
        press_from(&mut program, "Add Bath");
        for (flag, wanted) in [
            ("Lay out the usual phases, with their sign-offs", phases),
            ("List what each room usually needs", things),
        ] {
            if !wanted {
                named(&program, Role::CheckBox, flag).click();
                program.run();
            }
        }
        press(&mut program, "Begin");
        let project = project(&program);
        assert_eq!((project.phases.is_empty(), project.selections.is_empty()), (!phases, !things));
        assert_eq!(project.gates.is_empty(), !phases);
        let figures = program.state().figures().unwrap();
        for own in &figures.selections {
            assert_eq!((own.ask_by.is_some(), own.late), (phases, false));
        }
        for part in &figures.parts {
            assert_eq!((part.days_in_hand, part.order_by, part.lead_known), (None, None, false));
        }
    }
}

#[test]
fn a_new_project_without_a_name_is_not_begun() {
    let mut program = program_on("2026-03-02");
    press(&mut program, "New project…");
    press(&mut program, "Begin");
    assert!(program.state().project().is_none());
    assert!(says(&program, "Name: write a name"));
    fill(&mut program, "Name", "Corner flat");
    fill(&mut program, "Start of the work", "the second of March");
    press(&mut program, "Begin");
    assert!(program.state().project().is_none());
    assert!(says(&program, "Start of the work: "));
}

/// Picks one of the entries of a list in a form.
fn pick(program: &mut Program, list: &str, entry: &str) {
    named(program, Role::ComboBox, list).click();
    program.run();
    press(program, entry);
}

/// Commas were dropped: 755,50 became 75,550.00.
#[test]
fn forms_mark_the_field_that_can_be_read_two_ways_and_say_what_was_understood() {
    let mut program = begin("2026-11-26");
    press_room(&mut program, "Bath");
    support::all(&program, Role::Button)
        .into_iter()
        .find(|n| support::label(n).as_deref() == Some("Add a selection…"))
        .unwrap()
        .click();
    program.run();
    fill(&mut program, "Name", "Tub");
    for (text, words) in [
        ("755,50", "`755,50` can be 755.50 or 75550; write 755.50 or 75550"),
        ("1,2,3", "`1,2,3` is no number; write for example 12.50"),
        ("45 EUR", "`45 EUR` is in EUR, and the project is in USD; write what it comes to in USD"),
    ] {
        fill(&mut program, "Allowance", text);
        press(&mut program, "Done");
        assert!(form_is_open(&program), "{text}");
        let said = labels(&program, Role::Label);
        assert!(said.iter().any(|l| l == words), "at its field: {text}");
        assert!(said.iter().any(|l| *l == format!("Allowance: {words}")), "and below: {text}");
    }
    fill(&mut program, "Allowance", "$755.50");
    fill(&mut program, "Decide on", "Dec 17");
    named(&program, Role::TextInput, "Name").focus();
    program.run();
    assert!(says(&program, "Thu Dec 17, 2026"));
    press(&mut program, "Done");
    let made = selection(&project(&program), "tub").clone();
    assert_eq!(made.allowance.amount().to_string(), "755.5");
    assert_eq!(made.decide_on, Some(support::date("2026-12-17")));
}

#[test]
fn selection_option_and_part_through_the_forms_come_to_a_need_date() {
    let mut program = begin("2026-03-02");
    press_room(&mut program, "Bath");
    // One in the empty ledger, one above it.
    support::all(&program, Role::Button)
        .into_iter()
        .find(|n| support::label(n).as_deref() == Some("Add a selection…"))
        .unwrap()
        .click();
    program.run();
    fill(&mut program, "Name", "Tub");
    fill(&mut program, "Category", "Plumbing fixture");
    fill(&mut program, "Allowance", "1,500");
    press(&mut program, "Done");
    assert!(!form_is_open(&program));
    let made = selection(&project(&program), "tub").clone();
    assert_eq!(made.room, room(&project(&program), "bath").id, "in the room that was picked");
    assert_eq!(made.allowance, Money::new(1500.into()));

    press(&mut program, "Tub");
    assert!(says(&program, "No options yet"));
    press(&mut program, "all of its fields…");
    fill(&mut program, "Name", "Alcove tub");
    fill(&mut program, "Finish", "white");
    press(&mut program, "Done");
    press(&mut program, "+ add what is bought for it");
    fill(&mut program, "Name", "Tub with apron");
    pick(&mut program, "Needed by", "Rough plumbing");
    fill(&mut program, "Price of one unit", "860");
    fill(&mut program, "Likely", "10");
    press(&mut program, "Done");
    assert!(!form_is_open(&program));

    let project = project(&program);
    let figures = program.state().figures().unwrap();
    let f = &figures.parts[0];
    let need = f.need_date.expect("a part with a phase has a need date");
    let row = support::label(&button_from(&program, "Tub with apron: ")).unwrap();
    let words = format!("needed {} for Rough plumbing", format::day_short(need, figures.as_of));
    assert!(row.contains(&words), "{row} says {words}");
    let why = format!("Why {} for Rough plumbing?", format::day_short(need, figures.as_of));
    press(&mut program, &why);
    assert!(program.state().session().why.is_some());
    program.key_press(Key::Escape);
    program.run();
    let figures = program.state().figures().unwrap();

    // It counts once it is chosen.
    assert_eq!(figures.selections[0].money.chosen, Money::ZERO);
    press(&mut program, "Make Alcove tub the choice");
    let figures = program.state().figures().unwrap();
    assert_eq!(figures.selections[0].money.chosen, Money::new(860.into()));
    assert_eq!(project.all_parts().count(), 1);
}

/// The name tells the kind of work and what can hurt, until the user says it; a kind settles what the phase does to
/// choices.
#[test]
fn a_phase_says_its_kind_of_work() {
    let (_folder, _, mut program) = orchard_house();
    command(&mut program, Key::Num3);
    press(&mut program, "Add a phase…");
    fill(&mut program, "Name", "Tile the hearth");
    program.run();
    assert!(says(&program, "makes silica dust"), "as its name tells");
    pick(&mut program, "Kind of work", "template for countertops");
    assert!(!says(&program, "makes silica dust"), "nothing is cut where it is measured");
    press(&mut program, "Done");
    assert!(!form_is_open(&program));
    let now = project(&program);
    let phase = now.phases.iter().find(|p| p.name == "Tile the hearth").unwrap();
    assert_eq!((phase.work, phase.role), (Some(Work::CountertopTemplate), PhaseRole::Template));
    assert_eq!(phase.hazards, None);
}

#[test]
fn an_inspection_with_visits_becomes_something_else_only_without_them() {
    let (_folder, _, mut program) = orchard_house();
    let before = project(&program);
    command(&mut program, Key::Num3);
    press_from(&mut program, "Rough plumbing inspection, ");
    press_from(&mut program, "Edit phase ");
    pick(&mut program, "Kind", "work");
    press(&mut program, "Done");
    assert!(says(&program, "visits of the inspector are recorded"));
    assert!(form_is_open(&program));
    assert_eq!(project(&program), before);
    press(&mut program, "Remove visit");
    press(&mut program, "Done");
    assert!(!form_is_open(&program));
    let now = project(&program);
    let phase = now.phases.iter().find(|p| p.key == "plumbing_check").unwrap();
    assert_eq!((phase.kind, phase.attempts.len()), (PhaseKind::Work, 0));
}

#[test]
fn a_form_with_a_negative_price_says_so_and_stays_open() {
    let (_folder, _, mut program) = orchard_house();
    let before = project(&program);
    pick_base_cabinets(&mut program);
    press_from(&mut program, "Semi-custom base cabinets, full overlay: ");
    fill(&mut program, "Price of one unit", "-5");
    press(&mut program, "Done");
    assert!(form_is_open(&program));
    assert!(says(&program, "negative"), "{:?}", labels(&program, Role::Label));
    assert_eq!(project(&program), before);

    fill(&mut program, "Price of one unit", "twelve");
    press(&mut program, "Done");
    assert!(says(&program, "Price of one unit: `twelve` is no number; write for example 12.50"));
    fill(&mut program, "Price of one unit", "9700.50");
    command(&mut program, Key::Enter);
    assert!(!form_is_open(&program), "the keys of Done do the same");
    let price = part(&project(&program), "kitchen_base_cabinets_semi_custom").unit_price;
    assert_eq!(price.unwrap_or_default().to_plain(before.settings.currency), "9700.50");
}

#[test]
fn escape_closes_a_form_and_changes_nothing() {
    let (_folder, _, mut program) = orchard_house();
    let before = project(&program);
    pick_base_cabinets(&mut program);
    press(&mut program, "Edit selection");
    fill(&mut program, "Name", "Something else");
    program.key_press(Key::Escape);
    program.run();
    press(&mut program, "Drop it");
    assert!(!form_is_open(&program));
    assert_eq!(project(&program), before);
}

/// What must be known of an undecided oven is past; it is told, and the oven has days in hand again.
#[test]
fn what_must_be_known_is_told_through_its_form() {
    let (_folder, _, mut program) = orchard_house();
    press_room(&mut program, "Kitchen");
    press(&mut program, "Wall oven");
    let oven = |program: &Program| {
        let before = project(program);
        let id = selection(&before, "kitchen_oven").id;
        program.state().figures().unwrap().selection(id).unwrap().clone()
    };
    assert!(oven(&program).days_in_hand < Some(0) && oven(&program).decide.open == 2);
    for (what, whom) in
        [("circuit and amperes", "Electrician"), ("opening in the oven cabinet", "Cabinet shop")]
    {
        press(&mut program, &format!("{what}: note whom it was told"));
        fill(&mut program, "Told to", whom);
        press(&mut program, "Done");
    }
    let now = project(&program);
    let specs = &selection(&now, "kitchen_oven").specs;
    assert!(specs.iter().all(|spec| spec.told_on.is_some()));
    assert_eq!(specs[0].told_to, "Electrician");
    assert!(oven(&program).days_in_hand > Some(0) && oven(&program).decide.open == 0);
    command(&mut program, Key::Z);
    command(&mut program, Key::Z);
    assert_eq!(oven(&program).decide.open, 2);
}

#[test]
fn every_form_can_be_opened_and_all_its_fields_have_names() {
    // The harness refuses nameless fields whenever it has settled.
    let (_folder, _, mut program) = orchard_house();
    pick_base_cabinets(&mut program);
    command(&mut program, Key::Comma);
    assert!(says(&program, "Project settings"));
    press(&mut program, "Cancel");
    press(&mut program, "+ add a room");
    press(&mut program, "+ add an opening");
    press(&mut program, "Cancel");
    command(&mut program, Key::Num3);
    press(&mut program, "Add a phase…");
    press(&mut program, "Cancel");
    press_from(&mut program, "Rough plumbing inspection, ");
    press_from(&mut program, "Edit phase ");
    press(&mut program, "+ add a visit");
    press(&mut program, "Cancel");
    command(&mut program, Key::Num5);
    press_room(&mut program, "All rooms");
}

#[test]
fn a_broken_file_is_named_with_line_and_column_and_the_window_stays() {
    let (_folder, path) = copy_of("hall_bath.ron");
    let text = std::fs::read_to_string(&path).unwrap();
    let broken = text.replacen("hold: 1,", "hold: one,", 1);
    let line = broken.lines().position(|l| l.contains("hold: one")).unwrap() + 1;
    std::fs::write(&path, &broken).unwrap();
    let mut program = program(Some(path.clone()));
    assert!(program.state().project().is_none());
    assert!(says(&program, &format!("hall_bath.ron: line {line}, column ")));
    assert_eq!(std::fs::read_to_string(&path).unwrap(), broken, "the file is left as it is");
    // The window goes on working.
    press(&mut program, "Close message");
    assert!(!says(&program, "column"));
    press(&mut program, "New project…");
    assert!(form_is_open(&program));
}

#[test]
fn a_broken_file_opened_later_leaves_the_project_on_screen() {
    let (folder, _, mut program) = orchard_house();
    let before = project(&program);
    let path = folder.path().join("broken.ron");
    std::fs::write(&path, "(schema: 1, project: (").unwrap();
    program.state_mut().open(&path);
    program.run();
    assert!(says(&program, "broken.ron: line 1, column "));
    assert_eq!(project(&program), before);
}

#[test]
fn search_is_typed_after_its_shortcut_and_narrows_the_ledger() {
    let (_folder, _, mut program) = orchard_house();
    command(&mut program, Key::Num4);
    assert_eq!(program.state().session().area, WorkArea::Money);
    command(&mut program, Key::F);
    let field = named(&program, Role::TextInput, "Search");
    assert!(field.is_focused());
    field.type_text("water heater");
    program.run();
    assert_eq!(program.state().session().area, WorkArea::House);
    assert!(says(&program, "1 row"));
    support::row_or_button(&program, "Water heater");
}

#[test]
fn another_day_moves_the_figures_and_an_unreadable_one_does_not() {
    let (_folder, _, mut program) = orchard_house();
    let write = |program: &mut Program, text: &str| {
        named(program, Role::TextInput, "as of").focus();
        program.run();
        named(program, Role::TextInput, "as of").set_text_value_accesskit(text);
        program.run();
        program.key_press(Key::Enter);
        program.run();
    };
    write(&mut program, "2026-10-05");
    assert_eq!(program.state().figures().unwrap().as_of.to_string(), "2026-10-05");
    write(&mut program, "soon");
    assert_eq!(program.state().figures().unwrap().as_of.to_string(), "2026-10-05");
    assert!(says(&program, "`soon` is no date; write for example"));
    assert_eq!(named(&program, Role::TextInput, "as of").value().as_deref(), Some("soon"), "it is kept");
    write(&mut program, "Oct 6");
    assert_eq!(program.state().figures().unwrap().as_of.to_string(), "2026-10-06");
    assert!(!says(&program, "is no date"));
    write(&mut program, "");
    assert_eq!(program.state().figures().unwrap().as_of.to_string(), "2026-09-21");
}

#[test]
fn a_window_at_rest_asks_for_no_more_frames() {
    let rests = |program: &mut Program, what: &str| {
        program.run();
        assert_eq!(program.run(), 1, "{what}: one frame, and no other asked for");
        let delay = program.output().viewport_output[&egui::ViewportId::ROOT].repaint_delay;
        assert_eq!(delay, Duration::MAX, "{what}: none asked for later either");
    };
    let mut start = program_on("2026-03-02");
    rests(&mut start, "start page");
    let (_folder, _, mut program) = orchard_house();
    for (key, area) in [
        (Key::Num1, "This week"),
        (Key::Num2, "House"),
        (Key::Num3, "Dates"),
        (Key::Num4, "Money"),
        (Key::Num5, "Buying"),
    ] {
        command(&mut program, key);
        rests(&mut program, area);
    }
    command(&mut program, Key::Num9);
    rests(&mut program, "problems");
    command(&mut program, Key::Comma);
    rests(&mut program, "a form");
}

#[test]
fn problems_lead_to_their_place_in_the_window() {
    let (_folder, _, mut program) = orchard_house();
    press_from(&mut program, "To settle, ");
    assert!(program.state().session().problems_open);
    let figures = program.state().figures().unwrap();
    let problems = engine::problems(&project(&program), figures);
    let first = problems.first().expect("the sample has something to settle");
    let said = needline::ui::format::said(&first.message, figures.as_of);
    press(&mut program, &format!("{}: {said}", needline::ui::format::severity(first.severity)));
    let session = program.state().session();
    let project = project(&program);
    match first.subject {
        needline::model::Subject::Part(id) => {
            assert_eq!(session.selection, project.part(id).map(|(s, _, _)| s.id));
        }
        needline::model::Subject::Selection(id) => assert_eq!(session.selection, Some(id)),
        needline::model::Subject::Room(id) => assert_eq!(session.room, Some(id)),
        needline::model::Subject::Phase(_) | needline::model::Subject::Link(_) => {
            assert_eq!(session.area, WorkArea::Dates);
        }
        other => panic!("another kind of problem comes first now: {other:?}"),
    }
}

/// How often a visit fails is a field of inspections alone; made work again, a phase has neither it nor its days.
#[test]
fn an_inspection_says_how_often_a_visit_fails() {
    let (_folder, _, mut program) = orchard_house();
    let before = project(&program);
    let check = |p: &Project| p.phases.iter().find(|p| p.key == "framing_check").unwrap().clone();
    command(&mut program, Key::Num3);
    press_from(&mut program, "Framing inspection, ");
    press_from(&mut program, "Edit phase ");
    fill(&mut program, "Chance that a visit fails, percent", "120");
    press(&mut program, "Done");
    assert!(form_is_open(&program), "no chance is above 100 percent");
    assert_eq!(project(&program), before);
    fill(&mut program, "Chance that a visit fails, percent", "12.5%");
    fill(&mut program, "Working days for corrections", "4");
    press(&mut program, "Done");
    assert!(!form_is_open(&program));
    let made = check(&project(&program));
    assert_eq!((made.fail_pct, made.correct_days), (Some(rust_decimal::Decimal::new(125, 1)), Some(4)));
    press_from(&mut program, "Edit phase ");
    pick(&mut program, "Kind", "work");
    assert!(!says(&program, "Chance that a visit fails, percent"));
    press(&mut program, "Done");
    let made = check(&project(&program));
    assert_eq!((made.kind, made.fail_pct, made.correct_days), (PhaseKind::Work, None, None));
}

/// Where a project was left, it is found again; one that was never looked at begins with what is to be done.
#[test]
fn each_project_is_found_in_the_area_in_which_it_was_left() {
    let (_folder, path) = copy_of("hall_bath.ron");
    let (_other_folder, other) = copy_of("walls_open.ron");
    let mut program = program(Some(path.clone()));
    assert_eq!(program.state().session().area, WorkArea::Week);
    command(&mut program, Key::Num4);
    let open = |program: &mut Program, path: &Path| {
        program.state_mut().ask(Request::OpenFile(path.to_owned()));
        program.run();
        program.state().session().area
    };
    assert_eq!(open(&mut program, &other), WorkArea::Week);
    command(&mut program, Key::Num3);
    assert_eq!(open(&mut program, &path), WorkArea::Money);
    assert_eq!(open(&mut program, &other), WorkArea::Dates);
}

/// What was done is said for a while above what stands there, and nothing moves; what was refused stays.
#[test]
fn a_save_is_said_and_what_was_done_goes_by_itself() {
    let (_folder, path) = copy_of("hall_bath.ron");
    let mut program = program(Some(path));
    command(&mut program, Key::Num2);
    let rows = |program: &Program| named(program, Role::Button, "Add a selection…").rect();
    let before = rows(&program);
    program
        .state_mut()
        .ask(Request::Act(Box::new(Action::SetFinishColor("brass".to_owned(), Some(Rgb(1, 2, 3))))));
    program.run();
    command(&mut program, Key::S);
    assert!(says(&program, "Saved as hall_bath.ron"));
    assert_eq!(rows(&program), before, "nothing moves");
    for _ in 0..600 {
        program.step();
    }
    assert!(!says(&program, "Saved as hall_bath.ron"));
    program.state_mut().ask(Request::Refuse("It cannot be done".to_owned()));
    program.run();
    for _ in 0..1200 {
        program.step();
    }
    assert!(says(&program, "It cannot be done"), "it was not read yet");
    press(&mut program, "Close message");
    assert!(!says(&program, "It cannot be done"));
}

/// What a rule comes to stands below it while it is typed; the measures of the room are picked with what they are.
#[test]
fn a_quantity_is_measured_by_the_room() {
    let (_folder, path) = copy_of("hall_bath.ron");
    let mut harness = program(Some(path));
    let project = harness.state().project().expect("a project").clone();
    let (_, option, part) =
        project.all_parts().find(|(_, _, p)| p.key == "bath_floor_tile_hex").expect("a part");
    harness.state_mut().ask(Request::Edit(Form::Part(option.id, Some(part.id))));
    harness.run();
    // The floor of 9 by 6 feet less the tub, a tenth more, in boxes of ten.
    assert!(says(&harness, "40.7 sq ft, with 10 percent waste 44.77 sq ft: 5 packs of 10 are 50 sq ft"));
    fill(&mut harness, "Quantity", "12");
    assert!(says(&harness, "A measure takes the place of 12."), "it is said before it is done");
    press(&mut harness, "Use floor, 54 sq ft");
    assert!(!says(&harness, "takes the place of"));
    assert!(says(&harness, "54 sq ft, with 10 percent waste 59.4 sq ft: 6 packs of 10 are 60 sq ft"));
    fill(&mut harness, "Quantity", "floor*");
    assert!(labels(&harness, Role::Label).iter().any(|l| l.contains("floor*")), "what is wrong is said");
    press(&mut harness, "Use ceiling, 54 sq ft");
    assert!(says(&harness, "2916 sq ft, with 10 percent waste"));
    fill(&mut harness, "Quantity", "floor-13.3");
    fill(&mut harness, "Units in a pack", "15");
    assert!(says(&harness, "3 packs of 15 are 45 sq ft"));
    press(&mut harness, "Done");
    let now = harness.state().project().expect("a project").part(part.id).expect("a part").2.clone();
    assert_eq!((now.quantity, now.pack), (part.quantity.clone(), Some("15".parse().expect("a number"))));
}

/// What nobody has measured is not zero: a new room says so until its sides are typed.
#[test]
fn a_new_room_is_not_measured() {
    let (_folder, path) = copy_of("hall_bath.ron");
    let mut harness = program(Some(path));
    harness.state_mut().ask(Request::Edit(Form::Room(None)));
    harness.run();
    let unmeasured = |h: &egui_kittest::Harness<'_, _>| {
        labels(h, Role::Label).iter().filter(|l| *l == "not measured").count()
    };
    assert_eq!(unmeasured(&harness), 6, "{:?}", labels(&harness, Role::Label));
    fill(&mut harness, "Length", "9");
    fill(&mut harness, "Width", "6");
    harness.run();
    assert_eq!(unmeasured(&harness), 0);
    assert!(says(&harness, "54 ft\u{b2}"), "{:?}", labels(&harness, Role::Label));
}
