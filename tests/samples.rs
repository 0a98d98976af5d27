//! The sample projects show every case that the program knows: each problem that `check` names, each sheet and
//! column, each word of a column. What is deliberately in no sample stands here by name, with the reason.

mod common;

use common::sample_folders;
use common::samples::{Visit, visit};
use needline::engine::{compute, problems};
use needline::exchange::{export_sheets, import_folder};
use needline::model::Project;
use needline::model::field::{Field, Kind};
use needline::model::file::load;
use std::collections::BTreeSet;
use std::path::Path;

/// Codes of `check` that no sample has, each with the reason.
const CODES_NOT_SHOWN: &[(&str, &str)] = &[
    // Slips: a sample that had them would teach them.
    ("order_circle", "only a file written by hand can hold a circle; sheets and forms refuse it"),
    ("cycle", "a slip of the user: links in a circle"),
    ("gate_circle", "a slip of the user: a gate that waits for its own phase"),
    ("correction_circle", "a slip of the user: a correction that waits for its own visit"),
    ("missing_phase", "a broken file"),
    ("negative_duration", "a broken file"),
    ("no_quantity", "a slip of the user: a rule that cannot be worked out"),
    ("no_measure", "a slip of the user: facts in units that cannot be compared"),
    ("no_delivery_day", "a slip of the user: delivery days on which nobody works"),
    ("sold_otherwise", "a slip of the user: a unit that does not go with its rule"),
    ("out_upside_down", "a slip of the user: phases in the wrong order"),
    ("odd_dates", "a slip of the user: days in an impossible order"),
    ("future_actual", "a slip of the user: a fact after the day looked at"),
    ("dated_later", "a slip of the user, or an earlier day looked at"),
    ("out_of_sequence", "a slip of the user, or work out of order"),
    ("received_too_many", "a slip of the user, or of the supplier"),
    ("credit_too_large", "a slip of the user, or of the supplier"),
    ("order_overpaid", "a slip of the user, or of the supplier"),
    ("overpaid", "a slip of the user, or of the supplier"),
    ("order_empty", "a slip of the user: an order without lines"),
    ("paid_not_ordered", "a slip of the user: a payment without its order"),
    ("two_quotes", "a slip of the user: two accepted for one scope"),
    ("no_phase", "a choice that was just begun"),
    ("no_tax", "a choice that was just begun"),
    ("fact_missing", "a rule that was just begun"),
    // Trouble that these houses were spared.
    ("trade_twice", "the trades of the samples that work at once name their crews"),
    ("permit_missing", "the work of the samples waited for its permits"),
    ("visit_too_early", "the visits of the samples are booked behind the work"),
    ("visit_unnoted", "what came of visits is noted in the samples"),
    ("backorder_no_date", "the suppliers of the samples say when the rest comes"),
    ("below_minimum", "the suppliers of the samples have no least order"),
    ("installment_due", "what is due in the samples was paid"),
    ("draw_overdue", "the draws of the samples came, or come later"),
    ("draw_undated", "a draw that was just begun"),
    ("contingency_used", "the samples stay within what was set aside"),
    ("misfit", "what is chosen in the samples goes together; candidates that would not are there"),
    ("ordered_not_chosen", "each part that was ordered and is not wanted has its return noted"),
    ("replacement_late", "the replacements of the samples come in time"),
    ("return_of_choice", "nothing that is chosen in the samples went back"),
    ("return_too_late", "the days to send back have not passed"),
    ("gate_passed_by", "the gates of the samples were kept"),
    ("closed_in", "walls are closed over nothing in the samples"),
    ("payment_soon", "what is owed in the samples was paid"),
];

/// Words in the sources of the checks that stand alone in quotes and are no codes.
const NO_CODES: &[&str] = &[
    "began",
    "came",
    "comes",
    "ended",
    "ends",
    "expired",
    "expires",
    "insurance",
    "license",
    "day",
    "deliveries",
    "delivery",
    "feet",
    "has",
    "have",
    "finished",
    "inspected",
    "meters",
    "ordered",
    "payment",
    "payments",
    "quote",
    "received",
    "started",
    "thing",
];

/// Columns that are empty in every sample, as `sheet column` or the sheet alone, each with the reason.
const COLUMNS_NOT_USED: &[(&str, &str)] = &[
    ("mappings", "how a list is read is kept when one is read"),
    ("mapping_columns", "how a list is read is kept when one is read"),
    ("quotes leaves_out", "it is read from older sheets, and written as rows of left_out"),
    ("options link", "a page of a product would name one"),
    ("changes picture", "a picture is a file beside the project"),
    ("options picture", "a picture is a file beside the project, and would show a product"),
    ("deliveries replacement_lead", "the suppliers of the samples name the day of the replacement"),
    ("swaps reverses", "no change of mind of the samples was taken back"),
];

/// Words that no sample has in a column, as `sheet column word` or the beginning of that, each with the reason.
const WORDS_NOT_USED: &[(&str, &str)] = &[
    ("out_of_use service gas", "the houses of the samples burn no gas"),
    ("links type SF", "no work of a house waits for the start of other work to be finished"),
    ("mappings", "how a list is read is kept when one is read"),
    ("mapping_columns", "how a list is read is kept when one is read"),
    ("phases role plain", "a plain phase has an empty cell"),
    ("phases work masonry", "no concrete, brick or stone is touched in the samples"),
    ("phases work stairs", "the stairs of the samples stay as they are"),
    ("phases work gas", "the houses of the samples burn no gas"),
    ("phases work texture", "the new walls of the samples are smooth"),
    ("phases work cleaning", "the samples clean with the punch list"),
    ("settings dates", "sheets have dates that can be read one way only"),
    ("settings tax_by line", "the suppliers of the samples tax an order as a whole"),
    ("typical goods", "one kind with a range of its own shows them all"),
    ("typical lead_unit", "one kind with a range of its own shows them all"),
];

fn samples() -> Vec<Project> {
    let read = |folder: &std::path::PathBuf| {
        let (project, notices) = import_folder(folder).unwrap_or_else(|e| panic!("{e}"));
        assert!(notices.is_empty(), "{}: {notices:?}", folder.display());
        project
    };
    let lists = Path::new(env!("CARGO_MANIFEST_DIR")).join("sample_projects/lists/guest_bath");
    let found: Vec<Project> = sample_folders().iter().chain([&lists]).map(read).collect();
    assert!(found.len() >= 4);
    found
}

/// Every code that the sources of the checks can name.
fn codes() -> BTreeSet<String> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/engine/check");
    let mut codes = BTreeSet::new();
    for file in std::fs::read_dir(folder).unwrap() {
        let text = std::fs::read_to_string(file.unwrap().path()).unwrap();
        let quoted = text.split('"').skip(1).step_by(2);
        let is_word = |w: &&str| w.len() > 2 && w.bytes().all(|b| b == b'_' || b.is_ascii_lowercase());
        codes.extend(quoted.filter(is_word).map(str::to_owned));
    }
    codes.retain(|code| !NO_CODES.contains(&code.as_str()));
    codes
}

/// What is missing and not said to be, and what is said to be missing and is there.
fn compare(all: &BTreeSet<String>, shown: &BTreeSet<String>, not_shown: &[(&str, &str)]) {
    let missing: Vec<&String> = all.difference(shown).collect();
    let covers = |named: &str, what: &str| {
        what.strip_prefix(named).is_some_and(|t| t.is_empty() || t.starts_with(' '))
    };
    let unnamed: Vec<_> =
        missing.iter().filter(|what| !not_shown.iter().any(|(n, _)| covers(n, what))).collect();
    assert!(unnamed.is_empty(), "no sample has {unnamed:?}");
    let stale: Vec<_> =
        not_shown.iter().filter(|(n, _)| !missing.iter().any(|what| covers(n, what))).collect();
    assert!(stale.is_empty(), "these are said to be in no sample: {stale:?}");
}

#[test]
fn every_problem_is_in_a_sample_or_named_here() {
    let mut shown = BTreeSet::new();
    for project in samples() {
        let figures = compute(&project, project.settings.as_of.unwrap());
        shown.extend(problems(&project, &figures).into_iter().map(|p| p.code.to_owned()));
    }
    compare(&codes(), &shown, CODES_NOT_SHOWN);
}

#[test]
fn every_sheet_and_column_is_in_a_sample_or_named_here() {
    let (mut all, mut used) = (BTreeSet::new(), BTreeSet::new());
    for sheet in samples().iter().flat_map(export_sheets) {
        for (at, column) in sheet.columns.iter().enumerate() {
            let name = format!("{} {column}", sheet.name);
            if sheet.rows.iter().any(|row| !row.cells[at].is_empty()) {
                used.insert(name.clone());
            }
            all.insert(name);
        }
    }
    compare(&all, &used, COLUMNS_NOT_USED);
}

/// The words of columns: all there are, and those in use.
#[derive(Default)]
struct Words<'a> {
    project: Option<&'a mut Project>,
    all: BTreeSet<String>,
    used: BTreeSet<String>,
}

impl Visit for Words<'_> {
    fn noun<T: Clone + PartialEq + std::fmt::Debug>(
        &mut self,
        sheet: &str,
        fields: &'static [Field<T>],
        all: impl Fn(&mut Project) -> Vec<&mut T>,
    ) {
        let things = all(self.project.as_mut().unwrap());
        for field in fields {
            let Kind::Word(words, at) = &field.kind else { continue };
            let name = |word: &str| format!("{sheet} {} {word}", field.name);
            self.all.extend(words.iter().map(|word| name(word)));
            self.used.extend(things.iter().filter_map(|t| (at.get)(t)).map(|n| name(words[n])));
        }
    }
}

#[test]
fn every_word_of_a_column_is_in_a_sample_or_named_here() {
    let mut words = Words::default();
    for mut project in samples() {
        let mut of_one = Words { project: Some(&mut project), ..Words::default() };
        visit(&mut of_one);
        words.all.extend(of_one.all);
        words.used.extend(of_one.used);
    }
    compare(&words.all, &words.used, WORDS_NOT_USED);
}

/// The files to open are those that the sheets make.
#[test]
fn the_files_are_made_from_the_sheets() {
    for folder in sample_folders() {
        let (project, _) = import_folder(&folder).unwrap();
        let (file, _) = load(&folder.with_extension("ron")).unwrap();
        assert_eq!(file, project, "{}: import the sheets again", folder.display());
    }
}
