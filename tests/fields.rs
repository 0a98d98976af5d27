//! Fields: whatever a table of fields lists comes back from its sheet, and no sheet is without a table.

mod common;

use common::samples::{Visit, change, visit};
use common::{HOUSE, write_sheets};
use needline::exchange::sheets::layout::SHEETS;
use needline::exchange::{export_sheets, import_folder, import_sheets};
use needline::model::Project;
use needline::model::field::Field;

/// Fields that cannot change alone: the options of a swap are those of its selection, what went back has its day, the
/// house has one inspection, and a kept plan stands where the log stood.
const TIED: [&str; 8] = [
    "swaps.selection",
    "swaps.from",
    "swaps.to",
    "returns.state",
    "corrections.phase",
    "kept_plans.finish",
    "kept_plans.total",
    "kept_plans.lines",
];

/// How many values of a field are tried.
const TRIES: usize = 5;

struct RoundTrips {
    house: Project,
    sheets: Vec<String>,
    lost: Vec<String>,
}

impl Visit for RoundTrips {
    fn noun<T: Clone + PartialEq + std::fmt::Debug>(
        &mut self,
        sheet: &str,
        fields: &'static [Field<T>],
        all: impl Fn(&mut Project) -> Vec<&mut T>,
    ) {
        self.sheets.push(sheet.to_owned());
        let usual = export_sheets(&self.house);
        for field in fields.iter().filter(|field| field.kind.in_sheet()) {
            let count = all(&mut self.house.clone()).len();
            // The first thing and the first value that the rules allow.
            let mut tries = (0..count).flat_map(|at| (0..TRIES).map(move |nth| (at, nth)));
            let changed = tries.find_map(|(at, nth)| {
                let mut project = self.house.clone();
                if !change(field, all(&mut project)[at], &self.house, nth) {
                    return Some(None);
                }
                let written = export_sheets(&project);
                if written == usual {
                    return None;
                }
                let (read, _) = import_sheets(written.clone(), "House").ok()?;
                Some(Some((written, export_sheets(&read))))
            });
            let name = format!("{sheet}.{}", field.name);
            match changed {
                None if TIED.contains(&name.as_str()) => {}
                None => self.lost.push(format!("{name}: not written, or refused, for all {count}")),
                Some(Some((written, again))) if written != again => {
                    self.lost.push(format!("{name}: not read as it is written"));
                }
                Some(_) => {}
            }
        }
    }
}

#[test]
fn every_field_comes_back_from_its_sheet() {
    let folder = tempfile::tempdir().unwrap();
    write_sheets(folder.path(), HOUSE);
    let (house, _) = import_folder(folder.path()).unwrap_or_else(|e| panic!("{e}"));
    let mut trips = RoundTrips { house, sheets: Vec::new(), lost: Vec::new() };
    visit(&mut trips);
    assert_eq!(trips.lost, Vec::<String>::new());
    let sheets: Vec<&str> = SHEETS.iter().map(|layout| layout.name).collect();
    assert_eq!(trips.sheets, sheets, "every sheet has a noun that is tested here");
}
