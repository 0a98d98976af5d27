//! Sheets: what is exported is imported to the same project and the same figures, whatever its texts are.

mod common;

use common::{HOUSE, figures_text, house_with, renumbered, sample_folders, write_sheets};
use needline::exchange::notice::Faults;
use needline::exchange::sheets::layout::SHEETS;
use needline::exchange::sheets::sheet::Sheet;
use needline::exchange::{export_folder, export_sheets, import_folder, import_sheets};
use needline::model::*;
use proptest::prelude::*;
use std::fs;
use std::path::Path;
use std::sync::Arc;

fn house() -> Project {
    let folder = tempfile::tempdir().unwrap();
    write_sheets(folder.path(), HOUSE);
    let (project, notices) = import_folder(folder.path()).unwrap_or_else(|e| panic!("{e}"));
    assert!(notices.is_empty(), "{notices:?}");
    project
}

fn round_trip(project: &Project, folder: &Path) -> Project {
    export_folder(project, folder).unwrap();
    let (again, notices) = import_folder(folder).unwrap_or_else(|e| panic!("{e}"));
    assert!(notices.is_empty(), "{notices:?}");
    again
}

#[test]
fn the_house_uses_every_sheet_and_column() {
    for layout in SHEETS {
        let (_, text) = HOUSE.iter().find(|(name, _)| *name == layout.name).expect(layout.name);
        let header: Vec<&str> = text.lines().next().unwrap().split(',').collect();
        assert_eq!(header, layout.columns.iter().map(|c| c.name).collect::<Vec<_>>(), "{}", layout.name);
    }
    let exported = export_sheets(&house());
    for sheet in exported {
        for (at, column) in sheet.columns.iter().enumerate() {
            if (sheet.name.as_str(), column.as_str()) == ("quotes", "leaves_out") {
                continue; // It is read from older sheets, and what it says is written into `left_out`.
            }
            assert!(
                sheet.rows.iter().any(|r| !r.cells[at].is_empty()),
                "{} {column} is never used",
                sheet.name
            );
        }
    }
}

#[test]
fn every_column_arrives_in_its_field() {
    let house = house();
    assert_eq!(house.settings.name, "Two baths, one kitchen");
    assert_eq!(house.settings.year_built, Some(1962));
    assert_eq!(house.settings.closed[0].why, "family week");
    assert!(matches!(&house.rooms[1].shape, Shape::Polygon(corners) if corners.len() == 6));
    assert_eq!(house.rooms[1].openings[0].kind, OpeningKind::Cased);
    assert_eq!((house.links[1].kind, house.links[1].lag), (LinkKind::SS, 2));
    assert_eq!(house.links[3].unit, LagUnit::Elapsed);
    assert_eq!(house.phases[3].attempts[0].note, "vent, too low");
    assert_eq!(house.suppliers[0].freight.per_item, Money::new("0.25".parse().unwrap()));
    assert_eq!(house.suppliers[0].closed.len(), 1);
    assert_eq!(house.suppliers[1].delivery_weekdays, None);
    assert_eq!(house.selections[0].notes, "keeps the old drain\nask about the arm");
    let parts: Vec<&Part> = house.all_parts().map(|(_, _, p)| p).collect();
    assert_eq!((parts[0].lead, parts[0].lead_unit, parts[0].hold), (Some(3), LeadUnit::Weeks, None));
    assert_eq!((parts[1].at, parts[1].hold), (NeededAt::Finish, Some(0)));
    assert_eq!(parts[3].quantity.to_string(), "band(0,7)");
    assert!(!parts[4].taxable);
    assert_eq!((parts[5].supplier, parts[6].phase), (None, None));
    assert_eq!(house.quotes[0].allowance, Some(Money::new(4000.into())));
    assert!(house.quotes[0].accepted && !house.quotes[1].accepted);
    assert_eq!(house.extras[0].kind, ExtraKind::Permit);
    let option = &house.selections[0].options[0];
    assert_eq!(
        (option.notes.as_str(), option.link.as_str(), option.picture.as_str()),
        ("seen twice, heavy", "https://example.org/set?a=1", "house_pictures/shower_a.jpg")
    );
    assert_eq!(house.finish_color(" BRASS"), Some(Rgb(0xb5, 0x89, 0x3d)));
    assert_eq!(house.finish_color("sage gloss"), Some(Rgb(0xa3, 0xad, 0x94)));
    let (order, body) = (&house.orders[0], parts[0].id);
    assert_eq!(
        (order.number.as_str(), &order.parts, order.placed_on),
        ("P-118", &vec![body], parts[0].ordered_on)
    );
    assert_eq!((order.freight, order.note.as_str()), (Some(Money::ZERO), "by phone, twice"));
    assert_eq!(house.orders[1].placed_on, None);
    let delivery = &house.deliveries[0];
    assert_eq!((delivery.part, delivery.damaged), (parts[4].id, 1.into()));
    assert_eq!((delivery.replacement_lead, delivery.note.as_str()), (Some(2), "one bag, torn"));
    let paid: Vec<_> = house.payments.iter().map(|p| (p.of, p.kind)).collect();
    let expected =
        [(PaidFor::Order(order.id), PaymentKind::Deposit), (PaidFor::Part(parts[4].id), PaymentKind::Other)];
    assert_eq!(paid, expected);
    assert_eq!(house.suppliers[0].min_order, Some(Money::new(150.into())));
}

#[test]
fn defaults_are_as_designed() {
    let folder = tempfile::tempdir().unwrap();
    let sheets = [
        ("settings", "key,value\nstart,2026-06-01\n"),
        ("rooms", "key\nbath\n"),
        ("phases", "key\na\nb\n"),
        ("links", "before,after\na,b\n"),
        ("suppliers", "key\nyard\n"),
        ("selections", "key,room\ntile,bath\n"),
        ("options", "selection,key\ntile,tile_a\n"),
        ("parts", "option,key\ntile_a,tile_p\n"),
    ];
    let inside = folder.path().join("Garden flat");
    write_sheets(&inside, &sheets);
    let (project, notices) = import_folder(&inside).unwrap();
    assert!(notices.is_empty());
    let start = chrono::NaiveDate::from_ymd_opt(2026, 6, 1).unwrap();
    assert_eq!(project.settings, Settings::new("Garden flat", start));
    assert_eq!((project.links[0].kind, project.links[0].unit), (LinkKind::FS, LagUnit::Working));
    let (_, option, part) = project.all_parts().next().unwrap();
    assert_eq!(option.state, OptionState::Candidate);
    assert_eq!(*part, Part::new(part.id, "tile_p", "tile_p"));
    assert_eq!(project.suppliers[0], Supplier::new(project.suppliers[0].id, "yard", "yard"));
    // The next number is behind all that were given.
    assert_eq!(project.next_id, 9);
}

#[test]
fn a_link_that_names_no_phase_keeps_no_project_from_its_sheets() {
    let folder = tempfile::tempdir().unwrap();
    write_sheets(folder.path(), HOUSE);
    let (house, _) = import_folder(folder.path()).unwrap();
    let mut loose = house.clone();
    Arc::make_mut(&mut loose.links)[0].before = PhaseId(loose.next_id + 7);
    let path = folder.path().join("loose.ron");
    file::save(&loose, &path, None).unwrap();
    let (loaded, _) = file::load(&path).unwrap();
    let (again, _) = import_sheets(export_sheets(&loaded), "x").unwrap();
    assert_eq!(again.links.len() + 1, house.links.len());
}

#[test]
fn export_and_import_give_the_same_project_and_figures() {
    let folder = tempfile::tempdir().unwrap();
    let house = house();
    let again = round_trip(&house, folder.path());
    assert_eq!(again, house);
    assert_eq!(figures_text(&again), figures_text(&house));
    for layout in SHEETS {
        assert!(folder.path().join(format!("{}.csv", layout.name)).is_file(), "{}", layout.name);
    }
    // An edited project has its numbers in another order.
    let mut edited = house;
    let added = Room { id: RoomId(edited.fresh_id()), key: "attic".to_owned(), ..edited.rooms[0].clone() };
    Arc::make_mut(&mut edited.rooms).insert(0, added);
    assert_eq!(round_trip(&edited, folder.path()), renumbered(&edited));
    let empty = Project::new("", chrono::NaiveDate::from_ymd_opt(2026, 1, 5).unwrap());
    assert_eq!(round_trip(&empty, folder.path()), empty);
}

#[test]
fn the_samples_come_back_the_same() {
    for sample in sample_folders() {
        let (project, notices) = import_folder(&sample).unwrap_or_else(|e| panic!("{e}"));
        assert!(notices.is_empty(), "{}: {notices:?}", sample.display());
        let folder = tempfile::tempdir().unwrap();
        let again = round_trip(&project, folder.path());
        assert_eq!(again, project, "{}", sample.display());
        assert_eq!(figures_text(&again), figures_text(&project), "{}", sample.display());
    }
}

#[test]
fn texts_never_become_formulas() {
    let mut house = house();
    let rooms = Arc::make_mut(&mut house.rooms);
    for (i, text) in ["=1+1", "'=1+1", "-cmd|' /C calc'!A0", "@sum(a1)"].into_iter().enumerate() {
        let room = Room { key: format!("r{i}"), name: text.to_owned(), ..rooms[0].clone() };
        rooms.push(Room { id: RoomId(1000 + i as u32), ..room });
    }
    house.next_id = 2000;
    house.settings.name = "=HYPERLINK(\"x\")".to_owned();
    let folder = tempfile::tempdir().unwrap();
    assert_eq!(round_trip(&house, folder.path()), renumbered(&house));
    for name in ["rooms", "settings"] {
        let text = fs::read_to_string(folder.path().join(format!("{name}.csv"))).unwrap();
        let mut reader = csv::Reader::from_reader(text.as_bytes());
        for record in reader.records() {
            for cell in &record.unwrap() {
                assert!(!cell.starts_with(['=', '+', '-', '@', '\t', '\r']), "{cell:?}");
            }
        }
    }
    let guarded = "key,value\nstart,2026-06-01\nname,'=1+1\n";
    write_sheets(folder.path(), &house_with("settings", guarded));
    assert_eq!(import_folder(folder.path()).unwrap().0.settings.name, "=1+1");
}

#[test]
fn unknown_columns_and_sheets_are_only_warnings() {
    let folder = tempfile::tempdir().unwrap();
    write_sheets(folder.path(), &house_with("extras", "key,color,name\nrot,blue,Rotten joist\n"));
    fs::write(folder.path().join("paint.csv"), "a,b\n").unwrap();
    fs::write(folder.path().join("readme.txt"), "not a sheet").unwrap();
    let (project, notices) = import_folder(folder.path()).unwrap();
    assert_eq!(project.extras.len(), 1);
    let texts: Vec<String> = notices.iter().map(ToString::to_string).collect();
    assert_eq!(texts.len(), 2, "{texts:?}");
    assert!(texts.iter().any(|t| t.starts_with("paint.csv: ")), "{texts:?}");
    assert!(texts.iter().any(|t| t.starts_with("extras.csv row 1, column color: ")), "{texts:?}");
}

#[test]
fn two_accepted_quotes_for_one_scope_are_a_warning() {
    let folder = tempfile::tempdir().unwrap();
    let quotes =
        "key,scope,state,amount\na,Tile,accepted,1\nb,Tile,Accepted,2\nc,,accepted,3\nd,,accepted,4\n";
    let mut sheets = house_with("quotes", quotes);
    sheets.retain(|(name, _)| !["left_out", "installments"].contains(name));
    write_sheets(folder.path(), &sheets);
    let (_, notices) = import_folder(folder.path()).unwrap();
    assert_eq!(notices.len(), 1, "{notices:?}");
    assert!(notices[0].to_string().starts_with("quotes.csv row 3, column state: "), "{notices:?}");
}

/// Text of any kind, often with what breaks sheets.
fn odd_text() -> impl Strategy<Value = String> {
    let piece = prop_oneof![
        any::<String>(),
        "[=+@'\"-]{1,3}[a-z]{0,2}",
        Just("a,b;c\td".to_owned()),
        Just("line\none\r\ntwo\rthree".to_owned()),
        Just(" spaces ".to_owned()),
        Just("🚿 שלום عربي é".to_owned()),
        Just("\u{feff}mark".to_owned()),
        Just("\"\"".to_owned()),
    ];
    prop::collection::vec(piece, 0..4).prop_map(|pieces| pieces.concat())
}

fn odd_key(number: usize) -> impl Strategy<Value = String> {
    odd_text().prop_map(move |text| {
        let plain: String = text.chars().filter(|c| !c.is_control()).collect();
        format!("{}{number}", plain.trim_start())
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_text_survives(texts in prop::collection::vec(odd_text(), 16), keys in (odd_key(1), odd_key(2), odd_key(3))) {
        // A thing without a name is named by its key on the way in.
        let texts: Vec<String> =
            texts.into_iter().map(|t| if t.trim().is_empty() { "plain".to_owned() } else { t }).collect();
        let mut house = house_of_texts(&texts);
        Arc::make_mut(&mut house.rooms)[0].key = keys.0;
        Arc::make_mut(&mut house.phases)[0].key = keys.1;
        Arc::make_mut(&mut house.suppliers)[0].key = keys.2;
        let mut faults = Faults::default();
        let sheets: Vec<Sheet> = export_sheets(&house)
            .iter()
            .filter_map(|s| Sheet::from_csv(&s.name, &s.file, s.to_csv().as_bytes(), &mut faults))
            .collect();
        prop_assert!(faults.is_empty(), "{faults:?}");
        let (again, notices) = import_sheets(sheets, "another").map_err(|e| TestCaseError::fail(e.to_string()))?;
        prop_assert!(notices.iter().all(|n| n.file == "quotes.csv"));
        prop_assert_eq!(again, house);
    }

    #[test]
    fn any_bytes_are_read_or_refused(bytes in prop::collection::vec(any::<u8>(), 0..300), sheet in 0..SHEETS.len()) {
        let mut faults = Faults::default();
        let name = SHEETS[sheet].name;
        let sheet = Sheet::from_csv(name, "x.csv", &bytes, &mut faults);
        let _ = import_sheets(sheet.into_iter().collect(), "x");
    }

    #[test]
    fn any_cells_are_read_or_refused(cells in prop::collection::vec("[-0-9a-z., ;:()*/]{0,12}", 23), sheet in 0..SHEETS.len()) {
        let mut sheets: Vec<Sheet> = export_sheets(&house());
        let width = sheets[sheet].columns.len();
        sheets[sheet].push(cells.into_iter().take(width).collect());
        if let Ok((project, _)) = import_sheets(sheets, "x") {
            prop_assert!(validate::document(&project).is_empty());
            let _ = figures_text(&project);
        }
    }
}

/// The house with its texts replaced.
fn house_of_texts(texts: &[String]) -> Project {
    let mut next = texts.iter().cycle().cloned();
    let mut text = || next.next().unwrap_or_default();
    let mut house = house();
    house.settings.name = text();
    house.settings.closed[0].why = text();
    for room in Arc::make_mut(&mut house.rooms) {
        (room.name, room.level) = (text(), text());
    }
    for phase in Arc::make_mut(&mut house.phases) {
        (phase.name, phase.trade) = (text(), text());
        phase.attempts.iter_mut().for_each(|a| a.note = text());
    }
    for supplier in Arc::make_mut(&mut house.suppliers) {
        supplier.name = text();
        supplier.closed.iter_mut().for_each(|c| c.why = text());
    }
    for selection in Arc::make_mut(&mut house.selections) {
        let selection = Arc::make_mut(selection);
        (selection.name, selection.category, selection.notes) = (text(), text(), text());
        for option in &mut selection.options {
            (option.name, option.finish, option.notes) = (text(), text(), text());
            for part in &mut option.parts {
                (part.name, part.unit) = (text(), text());
            }
        }
    }
    for quote in Arc::make_mut(&mut house.quotes) {
        (quote.trade, quote.scope) = (text(), text());
    }
    Arc::make_mut(&mut house.extras).iter_mut().for_each(|e| e.name = text());
    house
}
