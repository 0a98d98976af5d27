//! Typed text where it arrives: rows from the clipboard, and the words of what is refused. What each text alone means is
//! tested beside the reader.

use needline::exchange::import_folder;
use needline::exchange::incoming::paste::{self, Pasted};
use needline::exchange::typed::Typed;
use needline::model::{Action, LeadUnit, Project, Selection};
use std::path::Path;

fn hall_bath() -> Project {
    import_folder(&Path::new(env!("CARGO_MANIFEST_DIR")).join("sample_projects/hall_bath")).unwrap().0
}

/// Rows pasted into the hall bath on Nov 26, 2026.
fn pasted(project: &Project, text: &str) -> Pasted {
    let day = chrono::NaiveDate::from_ymd_opt(2026, 11, 26).unwrap();
    paste::read(project, Typed::of(&project.settings, day), text, None).unwrap()
}

/// A new selection with one more cell, as it is added; or what is wrong with the cell.
fn added(heading: &str, cell: &str) -> Result<Selection, String> {
    let project = hall_bath();
    let pasted = pasted(&project, &format!("Selection\tRoom\t{heading}\nNew thing\tHall bath\t{cell}\n"));
    let row = &pasted.rows[0];
    if let Some((at, why)) = row.faults.first() {
        assert_eq!((at.as_str(), pasted.action()), (heading, None), "the fault is at its cell");
        return Err(why.clone());
    }
    let next = project.apply(&pasted.action().unwrap()).unwrap();
    Ok(next.selections.iter().find(|s| s.name == "New thing").unwrap().as_ref().clone())
}

/// Commas were dropped: 755,50 became 75550, 1.234,50 became 1.2345, 1,2,3 became 123, 1e5 became 100000.
#[test]
fn pasted_amounts_are_never_scaled() {
    for (cell, amount) in [
        ("755,50", "755.50"),
        ("12,50", "12.50"),
        ("1.234,50", "1234.50"),
        ("1,234.50", "1234.50"),
        ("1,250", "1250"),
        ("$45", "45"),
        ("45 USD", "45"),
    ] {
        let found = added("Allowance", cell).unwrap_or_else(|why| panic!("{cell}: {why}")).allowance.amount();
        assert_eq!(found, amount.parse().unwrap(), "{cell}");
    }
    for cell in ["1,2,3", "1e5", "lots", "€45", "45 EUR", "-5", "(5)", "8%"] {
        assert!(added("Allowance", cell).is_err(), "{cell}");
    }
}

/// A column says for all of its cells what stands before decimals; where it says both, each is read alone.
#[test]
fn columns_settle_what_a_cell_leaves_open() {
    let project = hall_bath();
    let amounts = |cells: [&str; 2]| -> Vec<Result<String, String>> {
        let text =
            format!("Selection\tRoom\tAllowance\nA\tHall bath\t{}\nB\tHall bath\t{}\n", cells[0], cells[1]);
        let pasted = pasted(&project, &text);
        let one = |row: &paste::PastedRow| match row.faults.first() {
            Some((_, why)) => Err(why.clone()),
            None => Ok(row.changes.iter().find(|(h, _)| h == "Allowance").unwrap().1.clone()),
        };
        pasted.rows.iter().map(one).collect()
    };
    assert_eq!(amounts(["1.234", "12,50"]), [Ok("1234.00".to_owned()), Ok("12.50".to_owned())]);
    assert_eq!(amounts(["1,234", "12"]), [Ok("1234.00".to_owned()), Ok("12.00".to_owned())]);
    let mixed = amounts(["12.50", "755,50"]);
    assert_eq!(mixed[0], Ok("12.50".to_owned()));
    assert_eq!(mixed[1], Err("`755,50` can be 755.50 or 75550; write 755.50 or 75550".to_owned()));
}

#[test]
fn pasted_days_and_lead_times_are_read_as_people_write_them() {
    for cell in ["2026-12-17", "12/17/2026", "Dec 17", "17 Dec 2026", "Thu Dec 17, 2026", "17.12.2026"] {
        let day = added("Decide on", cell).unwrap_or_else(|why| panic!("{cell}: {why}")).decide_on.unwrap();
        assert_eq!(day.to_string(), "2026-12-17", "{cell}");
    }
    assert_eq!(added("Decide on", "3/4/2026").unwrap().decide_on.unwrap().to_string(), "2026-03-04");
    assert!(added("Decide on", "Dec 32").is_err() && added("Decide on", "soon").is_err());
    for (cell, count, unit, bounds) in [
        ("3 weeks", 3, LeadUnit::Weeks, (None, None)),
        ("6-8 wks", 8, LeadUnit::Weeks, (Some(6), Some(8))),
        ("30 days", 30, LeadUnit::Days, (None, None)),
        ("10 working days", 10, LeadUnit::Working, (None, None)),
        ("in stock", 0, LeadUnit::Days, (None, None)),
    ] {
        let part =
            added("Lead", cell).unwrap_or_else(|why| panic!("{cell}: {why}")).options[0].parts[0].clone();
        assert_eq!((part.lead, part.lead_unit), (Some(count), unit), "{cell}");
        assert_eq!((part.lead_min, part.lead_max), bounds, "{cell}");
    }
    assert!(added("Lead", "12").is_err(), "days or weeks?");
}

/// The headings of lists are those of pasted rows.
#[test]
fn headings_of_lists_are_known_when_pasting() {
    let project = hall_bath();
    let text = "Item;Room;Budget;Lieferzeit;Color;Weight\nTowel warmer;Hall bath;80,00;3 Wochen;white;4\n";
    let pasted = pasted(&project, text);
    assert_eq!(
        (pasted.guessed, pasted.unknown.as_slice()),
        (false, &["Color".to_owned(), "Weight".to_owned()][..])
    );
    let action = pasted.action().unwrap();
    let next = project.apply(&action).unwrap();
    let warmer = next.selections.iter().find(|s| s.name == "Towel warmer").unwrap();
    assert_eq!(warmer.allowance.amount().to_string(), "80");
    assert_eq!(warmer.options[0].parts[0].lead, Some(3));
    assert!(matches!(action, Action::Batch { .. }), "one step");
}
