//! Whatever is read, spoiled by chance: it is read or refused in words, never a panic, and what was read is whole.
//!
//! `FUZZ_INPUTS` says how many inputs each of these tries (50 when it is not set), `FUZZ_SEED` where to begin. An input that
//! fails is written to the folder for passing files, and named; with its seed and `FUZZ_INPUTS=1` it comes again.

mod common;
#[path = "fuzz/mutate.rs"]
mod mutate;

use chrono::NaiveDate;
use common::HOUSE;
use mutate::{Chance, spoiled};
use needline::engine::{self, log};
use needline::exchange::incoming::{Matching, Setup, changes, paste, read, read_book, row_text, selections};
use needline::exchange::notice::Faults;
use needline::exchange::sheets::sheet::Sheet;
use needline::exchange::typed::Typed;
use needline::exchange::{Progress, export_sheets, import_sheets, picture};
use needline::model::file::journal::{self, Now, Pen, Wanted};
use needline::model::merge::merge;
use needline::model::{Action, Cause, Project, Room, file, validate};
use std::collections::HashMap;
use std::fs;
use std::io::{Cursor, Read, Write};
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering::Relaxed};

fn number(name: &str, otherwise: u64) -> u64 {
    std::env::var(name).ok().and_then(|text| text.parse().ok()).unwrap_or(otherwise)
}

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

fn day() -> NaiveDate {
    NaiveDate::from_ymd_opt(2026, 9, 21).unwrap()
}

/// Tries inputs made of a corpus, of which some must be read. One of so many is tried, where reading takes
/// long.
fn fuzz(name: &str, one_in: u64, corpus: &[Vec<u8>], mut reads: impl FnMut(&[u8]) -> bool) {
    assert!(corpus.iter().any(|input| !input.is_empty()), "{name} has no corpus");
    let (inputs, first) = (number("FUZZ_INPUTS", 50).div_ceil(one_in), number("FUZZ_SEED", 1));
    let mut read = 0;
    for seed in first..first + inputs {
        let mut chance = Chance(seed.wrapping_mul(0x1_0000_0001));
        let (one, other) = (chance.below(corpus.len()), chance.below(corpus.len()));
        let input = spoiled(&mut chance, &corpus[one], &corpus[other]);
        let done = catch_unwind(AssertUnwindSafe(|| reads(&input)));
        read += u64::from(matches!(done, Ok(true)));
        if let Err(panic) = done {
            let path = std::env::temp_dir().join(format!("needline-fuzz-{name}-{seed}"));
            fs::write(&path, &input).unwrap();
            eprintln!("{name}: FUZZ_SEED={seed}, the input is {}", path.display());
            std::panic::resume_unwind(panic);
        }
    }
    println!("{name}: {read} of {inputs} were read");
    assert!(inputs < 40 || read > 0, "{name}: {read} of {inputs} were read");
}

fn small() -> Project {
    file::load(&root().join("sample_projects/hall_bath.ron")).unwrap().0
}

/// A project that was read: it holds its own rules, has figures, and is written and read again as the same.
fn is_whole(project: &Project) {
    assert_eq!(validate::document(project), Vec::<String>::new());
    let figures = engine::compute(project, day());
    let _ = engine::problems(project, &figures);
    let text = file::to_text(project).unwrap();
    assert!(file::from_text(&text, Path::new("again.ron")).unwrap() == *project, "another project came back");
}

#[test]
fn project_files() {
    let mut corpus = vec![fs::read(root().join("sample_projects/hall_bath.ron")).unwrap()];
    corpus.push(fs::read(root().join("tests/data/schema_1.ron")).unwrap());
    let house = file::to_text(&common::renumbered(&house())).unwrap();
    // As a later minor version would write it: what is not known is kept.
    let schema = format!("schema: {},", file::SCHEMA);
    let later = house.replace(&schema, &format!("{schema} minor: {},", file::MINOR + 1));
    corpus.push(later.replace("  key: ", "  mood: [Warm(x: 1), \"a (b\"], key: ").into_bytes());
    corpus.push(house.into_bytes());
    fuzz("ron", 1, &corpus, |input| {
        let Ok(text) = std::str::from_utf8(input) else { return false };
        match file::from_text(text, Path::new("spoiled.ron")) {
            Err(why) => {
                assert!(why.to_string().starts_with("spoiled.ron: "), "{why}");
                false
            }
            Ok(project) => {
                is_whole(&project);
                // Its sheets are read, or name what the engine leaves to the user: circles and negative days.
                if let Err(errors) = import_sheets(export_sheets(&project), "x") {
                    let told = errors.to_string();
                    assert!(
                        told.contains("circle") || told.contains("negative") || told.contains("`-"),
                        "{told}"
                    );
                }
                true
            }
        }
    });
}

/// A project that somebody else spoiled, brought together with one that was edited: whatever can be read can be.
#[test]
fn versions_brought_together() {
    let base = small();
    let room = base.rooms[0].clone();
    let ours = base.apply(&Action::PutRoom(Room { name: "Other".to_owned(), ..room })).unwrap();
    let corpus = [file::to_text(&base).unwrap().into_bytes(), file::to_text(&house()).unwrap().into_bytes()];
    fuzz("merge", 1, &corpus, |input| {
        let Ok(text) = std::str::from_utf8(input) else { return false };
        let Ok(theirs) = file::from_text(text, Path::new("spoiled.ron")) else { return false };
        for (ours, theirs) in [(&ours, &theirs), (&theirs, &ours)] {
            let merged = merge(&base, ours, theirs, &HashMap::new()).unwrap();
            is_whole(&merged.project);
        }
        true
    });
}

/// A journal of three edits of the small sample, one record a line after the line with its length and sum.
fn journal_of_three() -> Vec<u8> {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("small.ron");
    let saved = Arc::new(small());
    let mut pen = Pen::new(Box::new(file::System), None);
    for edits in 1..4 {
        let mut next = (*saved).clone();
        next.settings.name = format!("Edit {edits}");
        next.settings.ship_to = "A line\n".repeat(edits as usize);
        Arc::make_mut(&mut next.phases)[0].name.push('\u{e9}');
        let (last, when) = (format!("Edit {edits}"), chrono::DateTime::default());
        let now = Some(Now { project: Arc::new(next), when, edits, last });
        pen.bring(&Wanted { path: Some(path.clone()), saved: Some(saved.clone()), now }).unwrap();
    }
    fs::read(folder.path().join(".small.ron.edits")).unwrap()
}

/// A journal of these records, each with the sums that are right for it, so that no spoiled one is refused for them.
fn journal_of(bodies: &[Vec<u8>]) -> Vec<u8> {
    let (mut text, mut journal) = (Vec::new(), b"needline edits 1\n".to_vec());
    for body in bodies {
        let mut body = body.clone();
        if let Ok(mut record) = serde_json::from_slice::<serde_json::Value>(&body) {
            let number = |name: &str| record[name].as_u64().and_then(|n| usize::try_from(n).ok());
            let range = number("keep").zip(number("gone")).and_then(|(k, g)| Some(k..k.checked_add(g)?));
            if let Some(range) = range.filter(|range| range.end <= text.len())
                && let Some(new) = record["text"].as_str()
            {
                text.splice(range, new.bytes());
                record["sum"] = crc32fast::hash(&text).into();
                body = serde_json::to_vec(&record).unwrap();
            }
        }
        let sum = crc32fast::hash(&[body.len().to_string().as_bytes(), &body].concat());
        journal.extend(format!("{} {sum:08x}\n", body.len()).bytes());
        journal.extend(body);
        journal.push(b'\n');
    }
    journal
}

/// What is read of a journal is a whole document, whatever became of the journal.
#[test]
fn journals() {
    let reads = |input: &[u8]| match journal::read_text(input, Path::new("spoiled.edits")) {
        Ok(said) => {
            is_whole(&said.now);
            said.saved.iter().for_each(is_whole);
            true
        }
        Err(why) => {
            assert!(why.to_string().starts_with("spoiled.edits: "), "{why}");
            false
        }
    };
    let whole = journal_of_three();
    let bodies: Vec<Vec<u8>> = whole.split(|b| *b == b'\n').skip(2).step_by(2).map(<[u8]>::to_vec).collect();
    assert!(bodies.len() == 5 && reads(&journal_of(&bodies)));
    fuzz("journals", 1, &[whole], reads);
    fuzz("records", 1, &bodies, |input| {
        // It takes the place of the record it is most like.
        let same = |body: &Vec<u8>| body.iter().zip(input).take_while(|(a, b)| a == b).count();
        let at = (0..bodies.len()).max_by_key(|at| same(&bodies[*at])).unwrap();
        let mut spoiled = bodies.clone();
        spoiled[at] = input.to_vec();
        reads(&journal_of(&spoiled))
    });
}

fn house() -> Project {
    let mut faults = Faults::default();
    let sheets = HOUSE.iter().filter_map(|(name, text)| {
        Sheet::from_csv(name, &format!("{name}.csv"), text.as_bytes(), &mut faults)
    });
    import_sheets(sheets.collect(), "House").unwrap().0
}

/// Each input is one sheet of the house in place of the one it was made of; and the same taken into the project.
#[test]
fn sheets_and_sheets_taken_into_a_project() {
    let mut faults = Faults::default();
    let clean: Vec<Sheet> = export_sheets(&house());
    let corpus: Vec<Vec<u8>> = clean.iter().map(|s| s.to_csv().into_bytes()).collect();
    let before = house();
    let figures = engine::compute(&before, day());
    fuzz("sheets", 1, &corpus, |input| {
        let header = input.split(|b| *b == b'\n').next().unwrap_or_default();
        let like = corpus.iter().position(|c| c.starts_with(header)).unwrap_or(input.len() % clean.len());
        let mut sheets = clean.clone();
        match Sheet::from_csv(&clean[like].name, &clean[like].file, input, &mut faults) {
            Some(sheet) => sheets[like] = sheet,
            None => drop(sheets.remove(like)),
        }
        match import_sheets(sheets, "x") {
            Ok((project, _)) => {
                is_whole(&project);
                if let Ok(taken) = log::update(&before, &figures, project, "sheets", Cause::Other) {
                    is_whole(&taken);
                }
                true
            }
            Err(errors) => {
                assert!(errors.lines().iter().all(|line| line.contains(": ")), "{errors}");
                false
            }
        }
    });
}

/// Looks at a list in every way that the window and the commands do.
fn look_at_list(project: &Project, name: &str, bytes: &[u8]) -> bool {
    let Ok(book) = read_book(name, bytes, &Progress::new()) else { return false };
    let grid = &book.grids[book.likely()];
    let supplier = project.suppliers.first().map(|s| s.id);
    for kind in [None, Some(needline::model::MapInto::Prices), Some(needline::model::MapInto::Selections)] {
        let setup = Setup::guess(grid, project, supplier, kind);
        let reading = read::read(grid, &setup, project.settings.currency);
        let matching = Matching { supplier, ..Matching::default() };
        let _ = changes::compare(project, &reading, &matching, &grid.place());
        let may = selections::May { rooms: true, suppliers: true, fill_down: true };
        let _ = selections::plan(project, &reading, supplier, may, &grid.place());
    }
    true
}

#[test]
fn lists() {
    let folder = root().join("sample_projects/lists");
    let mut corpus = vec![fs::read(folder.join("preisliste_2026.csv")).unwrap()];
    corpus.push(fs::read(folder.join("guest_bath/parts.csv")).unwrap());
    corpus.push(
        b"Room\tSelection\tOption\tPrice\tLead time\nHall bath\tMirror\tRound\t$1,250.00\t6-8 weeks\n"
            .to_vec(),
    );
    let project = small();
    fuzz("lists", 4, &corpus, |input| look_at_list(&project, "list.csv", input));
}

/// The parts of a workbook are spoiled and packed again: as a whole it would not come past its check sums.
#[test]
fn workbooks() {
    quiet_where_it_is_caught();
    let project = small();
    let books = [workbook()];
    let parts: Vec<Vec<(String, Vec<u8>)>> = books.iter().map(|book| unpacked(book)).collect();
    let sheets: Vec<Vec<u8>> = parts.iter().flatten().map(|(_, bytes)| bytes.clone()).collect();
    fuzz("xlsx", 2, &sheets, |input| {
        // It takes the place of the part it is most like, in each workbook.
        let begin = &input[..input.len().min(90)];
        let spoiled = |book: &Vec<(String, Vec<u8>)>| {
            let at = book.iter().position(|(_, b)| b.starts_with(begin)).unwrap_or(input.len() % book.len());
            packed(book, at, input)
        };
        parts.iter().filter(|book| look_at_list(&project, "list.xlsx", &spoiled(book))).count() > 0
    });
    fuzz("zip", 4, &books, |input| look_at_list(&project, "list.xlsx", input));
    println!("workbooks: {} ended their reader, which was caught", CAUGHT.load(Relaxed));
}

/// Workbooks that ended the reader of workbooks.
static CAUGHT: AtomicU64 = AtomicU64::new(0);

/// The program catches what ends its reader of workbooks, and says that the workbook is damaged. Those faults are counted
/// and not printed, so that they do not look like findings. One that is not caught still fails the test.
fn quiet_where_it_is_caught() {
    let aloud = std::panic::take_hook();
    std::panic::set_hook(Box::new(move |info| {
        if info.location().is_some_and(|at| at.file().contains("/calamine-")) {
            CAUGHT.fetch_add(1, Relaxed);
        } else {
            aloud(info);
        }
    }));
}

/// A list with what workbooks have: merged cells, dates, percents, a currency, a formula, a second sheet.
fn workbook() -> Vec<u8> {
    let mut book = rust_xlsxwriter::Workbook::new();
    let format = |code: &str| rust_xlsxwriter::Format::new().set_num_format(code);
    let sheet = book.add_worksheet().set_name("Prices").unwrap();
    sheet.merge_range(0, 0, 0, 5, "Price list", &format("@")).unwrap();
    for (at, heading) in
        ["Article", "Name", "Price", "Discount", "Lead time", "Valid from"].iter().enumerate()
    {
        sheet.write(2, at as u16, *heading).unwrap();
    }
    for row in 3..12 {
        sheet.write(row, 0, format!("A-{row}")).unwrap();
        sheet.write(row, 1, "Tile, white").unwrap();
        sheet.write_with_format(row, 2, 12.5 * f64::from(row), &format("$#,##0.00")).unwrap();
        sheet.write_with_format(row, 3, 0.15, &format("0%")).unwrap();
        sheet.write(row, 4, "6-8 weeks").unwrap();
        sheet.write_with_format(row, 5, 46_300.0 + f64::from(row), &format("yyyy-mm-dd")).unwrap();
    }
    sheet.write_formula(12, 2, "=SUM(C4:C12)").unwrap();
    book.add_worksheet().set_name("Notes").unwrap().write(0, 0, "none").unwrap();
    book.save_to_buffer().unwrap()
}

fn unpacked(book: &[u8]) -> Vec<(String, Vec<u8>)> {
    let mut zip = zip::ZipArchive::new(Cursor::new(book)).unwrap();
    (0..zip.len())
        .map(|i| {
            let mut part = zip.by_index(i).unwrap();
            let mut bytes = Vec::new();
            part.read_to_end(&mut bytes).unwrap();
            (part.name().unwrap().into_owned(), bytes)
        })
        .collect()
}

fn packed(book: &[(String, Vec<u8>)], at: usize, input: &[u8]) -> Vec<u8> {
    let mut zip = zip::ZipWriter::new(Cursor::new(Vec::new()));
    let plain = zip::write::SimpleFileOptions::default().compression_method(zip::CompressionMethod::Stored);
    for (i, (name, bytes)) in book.iter().enumerate() {
        zip.start_file(name.as_str(), plain).unwrap();
        zip.write_all(if i == at { input } else { bytes }).unwrap();
    }
    zip.finish().unwrap().into_inner()
}

#[test]
fn pictures() {
    let dots = image::RgbImage::from_fn(24, 17, |x, y| image::Rgb([x as u8 * 9, y as u8 * 11, 77]));
    let mut corpus = Vec::new();
    for format in [image::ImageFormat::Png, image::ImageFormat::Jpeg] {
        let mut bytes = Cursor::new(Vec::new());
        dots.write_to(&mut bytes, format).unwrap();
        corpus.push(bytes.into_inner());
    }
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("picture");
    fuzz("pictures", 1, &corpus, |input| {
        fs::write(&path, input).unwrap();
        match picture::read(&path, 64) {
            Ok(picture) => {
                assert!(picture.width().max(picture.height()) <= 64);
                true
            }
            Err(why) => {
                assert!(!why.is_empty());
                false
            }
        }
    });
}

#[test]
fn rows_from_the_clipboard() {
    let project = small();
    let typed = Typed::of(&project.settings, day());
    let all: Vec<usize> = (0..project.selections.len()).collect();
    let mut corpus = vec![row_text::write(&project, &all).into_bytes()];
    corpus.push("Selection\tRoom\tAllowance\tDecide on\nA\tHall bath\t1.234,50\tMar 5\n".into());
    fuzz("paste", 1, &corpus, |input| {
        let Ok(pasted) = paste::read(&project, typed, &String::from_utf8_lossy(input), None) else {
            return false;
        };
        if let Some(action) = pasted.action() {
            is_whole(&project.apply(&action).unwrap());
        }
        pasted.action().is_some()
    });
}

#[test]
fn typed_values() {
    let typed = Typed::of(&small().settings, day());
    let words = [
        "1,234.50",
        "$45",
        "12 1/2",
        "8'-4 1/2\"",
        "8 ft 4 in",
        "2.4 m",
        "15%",
        "6-8 weeks",
        "3 working days",
        "in stock",
        "Mar 5",
        "tomorrow",
        "Monday",
        "2026-03-05",
        "5.3.2026",
        "next week",
        "1e5",
        "\u{bd}",
        "band(0,7)",
        "floor + 10%",
    ];
    let corpus: Vec<Vec<u8>> = words.map(|w| w.as_bytes().to_vec()).to_vec();
    fuzz("typed", 1, &corpus, |input| {
        let text = String::from_utf8_lossy(input);
        let words: [Option<String>; 8] = [
            typed.number(&text).err().map(|e| e.to_string()),
            typed.money(&text).err().map(|e| e.to_string()),
            typed.percent(&text).err().map(|e| e.to_string()),
            typed.whole::<i32>(&text).err().map(|e| e.to_string()),
            typed.days(&text).err().map(|e| e.to_string()),
            typed.lead(&text).err().map(|e| e.to_string()),
            typed.quantity(&text).err().map(|e| e.to_string()),
            typed.date(&text).err().map(|e| e.to_string()),
        ];
        assert!(words.iter().flatten().all(|why| !why.trim().is_empty()));
        if let Ok(read) = typed.date(&text) {
            assert!((needline::model::dates::FIRST_DAY..=needline::model::dates::LAST_DAY).contains(&read));
        }
        words.iter().any(Option::is_none)
    });
}
