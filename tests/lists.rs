//! Purchase lists and papers: every format says what the figures say, and files are written all or none.
//!
//! `tests/outside/check_lists.py` compares the same files by readers in another language.

mod common;

use calamine::{Data, Reader, Xlsx};
use chrono::Datelike as _;
use common::{HOUSE, run, sample_folders, write_sheets};
use needline::engine::orders::Order;
use needline::engine::{self, Figures};
use needline::exchange::outgoing::crews::{self, CrewForm};
use needline::exchange::outgoing::lists::columns::{COLUMNS, Holds, ListHead, OnPaper};
use needline::exchange::outgoing::lists::{self, Format, ListPlan, ListScope, Maker, What};
use needline::exchange::outgoing::print::calendar::BarShape;
use needline::exchange::outgoing::print::pdf::Mark;
use needline::exchange::outgoing::print::{
    Block, PaperForm, PaperKind, PaperScope, html, pdf, words, write_papers,
};
use needline::exchange::outgoing::week::{WeekForm, write_week};
use needline::exchange::{ExportError, Progress, export_folder_with, import_folder, import_folder_with};
use needline::model::{Action, Money, OptionId, Phase, PhaseId, Project};
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::io::Cursor;
use std::path::Path;
use std::sync::Arc;

const ALL: [Format; 5] = [Format::Csv, Format::Xlsx, Format::Pdf, Format::Html, Format::Ics];

fn projects() -> Vec<(Project, Figures)> {
    let folder = tempfile::tempdir().unwrap();
    write_sheets(folder.path(), HOUSE);
    let folders = [folder.path().to_owned()].into_iter().chain(sample_folders());
    folders
        .map(|folder| {
            let (project, _) = import_folder(&folder).unwrap_or_else(|e| panic!("{e}"));
            let figures = engine::compute(&project, project.settings.as_of.unwrap_or(project.settings.start));
            (project, figures)
        })
        .collect()
}

fn house() -> (Project, Figures) {
    projects().remove(0)
}

/// Names and bytes of all files in a folder.
fn files(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let entries = fs::read_dir(folder).unwrap().map(|e| e.unwrap().path());
    entries
        .filter(|p| p.is_file())
        .map(|p| (p.file_name().unwrap().to_string_lossy().into_owned(), fs::read(&p).unwrap()))
        .collect()
}

fn write(project: &Project, figures: &Figures, folder: &Path) -> Result<lists::ListsWritten, ExportError> {
    lists::write_lists(project, figures, folder, &all_lists(), &Progress::new())
}

fn all_lists() -> ListPlan {
    ListPlan { scope: ListScope::All, what: What::All, formats: ALL.to_vec() }
}

/// The place of a column in workbooks, with its letter.
fn place(name: &str) -> (u32, String) {
    let at = COLUMNS.iter().filter(|c| !c.is_head()).position(|c| c.name == name).unwrap() as u32;
    let letter = |n: u32| char::from(b'A' + n as u8).to_string();
    (at, if at < 26 { letter(at) } else { letter(at / 26 - 1) + &letter(at % 26) })
}

/// Amount of a cell to the cent, by its shortest digits.
fn cents(cell: Option<&Data>) -> Money {
    let Some(Data::Float(value)) = cell else { panic!("{cell:?} is no number") };
    Money::new(value.to_string().parse::<rust_decimal::Decimal>().unwrap().round_dp(2))
}

#[test]
fn a_workbook_adds_up_to_the_figures() {
    let mut lists = 0;
    for (project, figures) in projects() {
        let maker = Maker::new(&project, &figures);
        for supplier in (0..project.suppliers.len()).map(Some).chain([None]) {
            let Some(list) = maker.list(supplier) else { continue };
            lists += 1;
            let bytes = lists::to_bytes(&list, Format::Xlsx, "x").unwrap();
            let mut book: Xlsx<_> = Xlsx::new(Cursor::new(bytes)).unwrap();
            let range = book.worksheet_range("Purchase list").unwrap();
            let formulas = book.worksheet_formula("Purchase list").unwrap();
            let (n, orders) = (list.lines().count() as u32, figures.orders.iter());
            let orders: Vec<_> = orders.filter(|o| o.supplier == supplier).collect();
            let listed = |o: &&&Order| !o.parts.is_empty();
            let accounts: Vec<_> =
                orders.iter().filter(listed).map(|o| figures.account(&project, o)).collect();
            let sums = [
                ("amount", orders.iter().map(|o| o.goods).sum::<Money>()),
                ("freight", orders.iter().map(|o| o.freight).sum()),
                ("tax", orders.iter().map(|o| o.tax).sum()),
                ("total", orders.iter().map(|o| o.total()).sum()),
                ("paid", accounts.iter().map(|a| a.paid).sum()),
                ("owed", accounts.iter().map(|a| a.owed).sum()),
            ];
            for (name, sum) in sums {
                let (column, letter) = place(name);
                let formula = formulas.get_value((n + 1, column)).unwrap();
                assert_eq!(*formula, format!("ROUND(SUM({letter}2:{letter}{}),2)", n + 1));
                assert_eq!(cents(range.get_value((n + 1, column))), sum, "as kept, {letter}");
                // Blank where nobody has said the price, never zero.
                let said = |row: &u32| !matches!(range.get_value((*row, column)), None | Some(Data::Empty));
                let lines: Money =
                    (1..=n).filter(said).map(|row| cents(range.get_value((row, column)))).sum();
                assert_eq!(lines, sum, "added up, {letter}");
            }
            let label = range.get_value((n + 1, 0)).map(ToString::to_string).unwrap();
            let unpriced = list.lines().filter(|(_, line)| line.unit_price.is_none()).count();
            assert_eq!(label == "Total", unpriced == 0, "{label}");
            let [(amount, m), (_, n), (_, o), (total_at, _)] =
                ["amount", "freight", "tax", "total"].map(place);
            for (row, (_, line)) in (1..).zip(list.lines()) {
                let total = formulas.get_value((row, total_at)).filter(|formula| !formula.is_empty());
                let added = format!("ROUND({m}{0}+{n}{0}+{o}{0},2)", row + 1);
                let alone = line.unit_price.is_none() && line.sums.freight.is_zero();
                assert_eq!(total, Some(&added).filter(|_| !alone), "{}", line.key);
                if line.unit_price.is_none() {
                    let cell = range.get_value((row, amount)).filter(|cell| **cell != Data::Empty);
                    assert_eq!(cell, None, "{}", line.key);
                }
                // Day 1 of a workbook's calendar is the first of 1900, and it has a 29 February 1900.
                let zero = chrono::NaiveDate::from_ymd_opt(1899, 12, 30).unwrap();
                let need = match range.get_value((row, place("need_date").0)) {
                    Some(Data::DateTime(day)) => Some(zero + chrono::Days::new(day.as_f64() as u64)),
                    _ => None,
                };
                assert_eq!(need, line.need_date);
            }
        }
    }
    assert!(lists > 10);
}

/// A column of the table is in every format: named in CSV and workbooks, and what it says stands in all of them.
#[test]
fn every_column_is_in_every_format() {
    let mut filled = BTreeSet::new();
    for (project, figures) in projects() {
        let maker = Maker::new(&project, &figures);
        for list in (0..project.suppliers.len()).filter_map(|at| maker.list(Some(at))) {
            let text = lists::csv::csv(&list);
            let mut table = csv::ReaderBuilder::new().has_headers(false).from_reader(text.as_bytes());
            let table: Vec<csv::StringRecord> = table.records().map(|r| r.unwrap()).collect();
            let bytes = lists::to_bytes(&list, Format::Xlsx, "x").unwrap();
            let mut book: Xlsx<_> = Xlsx::new(Cursor::new(bytes)).unwrap();
            let range = book.worksheet_range("Purchase list").unwrap();
            let paper = lists::paper::paper(&list);
            let page = html::html(&paper);
            let said: Vec<String> = paper.blocks.iter().flat_map(texts).collect();
            assert!(table[0].iter().eq(COLUMNS.iter().map(|c| c.name)));
            let about = book.worksheet_range("About").unwrap();
            let about: BTreeSet<(String, String)> =
                about.rows().map(|row| (row[0].to_string(), row[1].to_string())).collect();
            for (at, column) in COLUMNS.iter().enumerate().filter(|(_, column)| column.is_head()) {
                let text = list.head(column.name);
                assert!(
                    (1..=list.lines().count()).all(|row| table[row][at].trim_start_matches('\'') == text)
                );
                assert!(text.is_empty() || about.contains(&(column.title.to_owned(), text.to_owned())));
                let fact = paper.facts.iter().find(|(title, _)| title == column.title);
                assert_eq!(fact.map_or("", |(_, told)| told), text, "{}", column.name);
                assert!(page.contains(&escaped(text)), "{text} as a page");
                if !text.is_empty() {
                    filled.insert(column.name);
                }
            }
            for (at, column) in COLUMNS.iter().enumerate().filter(|(_, column)| !column.is_head()) {
                assert_eq!(range.get_value((0, at as u32)), Some(&Data::String(column.title.to_owned())));
                for (row, (order, line)) in (1..).zip(list.lines()) {
                    let cell = range.get_value((row as u32, at as u32)).filter(|c| **c != Data::Empty);
                    assert_eq!(table[row][at].is_empty(), cell.is_none(), "{} of {}", column.name, line.key);
                    if !table[row][at].is_empty() {
                        filled.insert(column.name);
                    }
                    let words = match (column.paper, column.kind.sum(&order.sums)) {
                        (OnPaper::OnceAnOrder, Some(sum)) => words::money(sum, list.currency),
                        (OnPaper::OnceAnOrder, None) if column.name != "order" => match column.kind {
                            Holds::Order(of) => {
                                of(&order.money).map_or(String::new(), |sum| words::money(sum, list.currency))
                            }
                            _ => column.on_paper(order, line, list.currency),
                        },
                        (OnPaper::OnceAnOrder, None) => {
                            order.placed.map_or("To order".to_owned(), words::date)
                        }
                        _ => column.on_paper(order, line, list.currency),
                    };
                    assert!(said.iter().any(|t| t.contains(&words)), "{} {words} on paper", column.name);
                    assert!(page.contains(&escaped(&words)), "{} {words} as a page", column.name);
                }
            }
        }
    }
    assert!(COLUMNS.iter().all(|c| filled.contains(c.name)), "the samples fill only {filled:?}");
}

fn texts(block: &Block) -> Vec<String> {
    match block {
        Block::Chapter(text)
        | Block::Heading(text)
        | Block::Text(text)
        | Block::Note(text)
        | Block::Lines(text, _) => {
            vec![text.clone()]
        }
        Block::Steps(steps) => {
            let steps = steps.steps.iter();
            steps.flat_map(|s| [s.name.clone(), s.words.clone(), s.more.clone()]).collect()
        }
        Block::Table(table) => {
            let cells = table.rows.iter().flat_map(|r| &r.cells);
            cells.flat_map(|c| [c.text.clone(), c.more.clone()]).collect()
        }
        // Purchase lists have none of these; tests/drawings.rs reads them.
        Block::Board(_) | Block::Plan(_) | Block::Calendar(_) | Block::Sheet(_) => Vec::new(),
    }
}

/// What is drawn on a page as a box or fits into one: left side, upper side, width and height.
fn boxes(page: &[Mark]) -> Vec<[f32; 4]> {
    let boxes = page.iter().filter_map(|mark| match mark {
        Mark::Rule { x, y, length, thickness, .. } => Some([*x, y - thickness / 2.0, *length, *thickness]),
        Mark::Frame { x, y, width, height } => Some([*x, *y, *width, *height]),
        Mark::Outline { points } => {
            let side = |k: usize, most: bool| {
                let all = points.iter().map(|p| p[k]);
                if most { all.fold(f32::MIN, f32::max) } else { all.fold(f32::MAX, f32::min) }
            };
            let (x, y) = (side(0, false), side(1, false));
            Some([x, y, side(0, true) - x, side(1, true) - y])
        }
        _ => None,
    });
    boxes.collect()
}

/// The schedule begins with its picture: each phase on the days that the figures give, in both forms.
#[test]
fn the_schedule_begins_with_its_picture() {
    let mut scaled = 0;
    for (project, figures) in projects() {
        let paper = PaperKind::Schedule.make(&project, &figures, None);
        let Some(Block::Calendar(calendar)) = paper.blocks.first() else { panic!("no picture") };
        assert_eq!(calendar.rows.len(), project.phases.len());
        let page = &pdf::laid_out(&paper).unwrap().pages[0];
        let boxes = boxes(page);
        // Where days stand is read off the thin upright lines of months.
        let mut months: Vec<f32> =
            boxes.iter().filter(|b| b[2] < 0.6 && b[3] > 20.0).map(|b| b[0] + b[2] / 2.0).collect();
        months.sort_by(f32::total_cmp);
        let first = calendar.from.with_day(1).unwrap();
        let all = (0..99).filter_map(|n| first.checked_add_months(chrono::Months::new(n)));
        let all: Vec<_> = all.filter(|day| *day >= calendar.from && *day <= calendar.to).collect();
        assert_eq!(months.len(), all.len());
        scaled += usize::from(all.len() > 1);
        let (a, b) = (all[0], *all.last().unwrap());
        let each = (months[months.len() - 1] - months[0]) / (b - a).num_days() as f32;
        let x = |day: chrono::NaiveDate| months[0] + (day - a).num_days() as f32 * each;
        let page_of_html = html::html(&paper);
        assert!(page_of_html.contains(&format!("aria-label=\"{}\"", escaped(&calendar.told))));
        for (phase, f) in project.phases.iter().zip(&figures.phases) {
            let row = calendar.rows.iter().find(|row| row.name == phase.name).unwrap();
            let Some((start, finish)) = f.forecast_start.zip(f.forecast_finish) else {
                assert!(row.bars.is_empty());
                continue;
            };
            let (start, finish) = (start.date(), finish.max(start).date());
            assert_eq!((row.days, row.critical), (Some((start, finish)), f.critical));
            // In HTML the row says its days and has its name.
            let days = if start == finish {
                words::date(start)
            } else {
                format!("{} to {}", words::date(start), words::date(finish))
            };
            let critical = if f.critical { ", critical" } else { "" };
            let said = format!("<title>{}, {days}{critical}</title>", escaped(&phase.name));
            assert!(page_of_html.contains(&said), "{said}");
            // In PDF its bar stands beside its name, from its first day to its last.
            let named = page.iter().filter_map(|mark| match mark {
                Mark::Text { y, text, strong, x, .. } if *x < 60.0 => {
                    let begin = text.trim_end_matches('\u{2026}');
                    (phase.name == *text || text.ends_with('\u{2026}') && phase.name.starts_with(begin))
                        .then_some((*y, *strong))
                }
                _ => None,
            });
            let named: Vec<(f32, bool)> = named.collect();
            assert!(!named.is_empty(), "{}", phase.name);
            let (from, to) = (x(start), x(finish) + each);
            let is_there = |base: f32, b: &&[f32; 4]| {
                let near = b[1] < base && b[1] + b[3] > base - 9.0 && b[3] < 12.0;
                let spans = (b[0] - from).abs() < 0.3 && (b[0] + b[2] - to).abs() < 0.9;
                let middle = (b[0] + b[2] / 2.0 - (from + to) / 2.0).abs() < 0.3;
                let begins = (b[0] + b[2] / 2.0 - from).abs() < 0.3;
                near && match row.bars[0].shape {
                    BarShape::Work | BarShape::Done => spans,
                    BarShape::Inspection => middle,
                    BarShape::Milestone => begins,
                }
            };
            // A job within one month has no scale to be read.
            let found = all.len() < 2
                || named
                    .iter()
                    .any(|(base, strong)| *strong == f.critical && boxes.iter().any(|b| is_there(*base, &b)));
            assert!(found, "{} from {start} to {finish}", phase.name);
        }
    }
    assert!(scaled > 1, "samples are longer than a month");
}

/// Eighty phases stand on one page; of more each trade has a row, with the days of its phases.
#[test]
fn a_long_schedule_is_drawn_smaller_and_at_last_by_trade() {
    let (mut project, _) = house();
    for many in [80, 120] {
        let phases = Arc::make_mut(&mut project.phases);
        let kind = phases[0].clone();
        for n in phases.len()..many {
            let id = PhaseId(90_000 + n as u32);
            let trade = ["Tile", "Paint", ""][n % 3].to_owned();
            phases.push(Phase {
                id,
                key: format!("more{n}"),
                name: format!("More {n}"),
                trade,
                ..kind.clone()
            });
        }
        let figures = engine::compute(&project, project.settings.start);
        let paper = PaperKind::Schedule.make(&project, &figures, None);
        let Some(Block::Calendar(calendar)) = paper.blocks.first() else { panic!("no picture") };
        let pages = pdf::laid_out(&paper).unwrap().pages;
        let on_first = |name: &str| {
            pages[0].iter().any(|mark| matches!(mark, Mark::Text { text, .. } if text.starts_with(name)))
        };
        let is_last = |name: &str| on_first(name) && on_first("critical: underlined");
        if many == 80 {
            assert_eq!(calendar.rows.len(), 80);
            assert!(calendar.rows.iter().all(|row| on_first(row.name.split(' ').next().unwrap())));
            assert!(is_last("More 79"));
        } else {
            assert!(calendar.rows.len() < 80 && is_last("Tile, "));
            assert_eq!(calendar.rows.iter().map(|row| row.bars.len()).sum::<usize>(), many);
            let tile = calendar.rows.iter().find(|row| row.name.starts_with("Tile, ")).unwrap();
            let days = (tile.bars.iter().map(|b| b.from).min(), tile.bars.iter().map(|b| b.to).max());
            assert_eq!(tile.days, days.0.zip(days.1));
        }
    }
}

fn escaped(text: &str) -> String {
    let markup = [('&', "&amp;"), ('<', "&lt;"), ('>', "&gt;"), ('"', "&quot;"), ('\'', "&#39;")];
    markup.iter().fold(text.to_owned(), |text, (sign, name)| text.replace(*sign, name))
}

#[test]
fn words_never_become_formulas_in_a_workbook() {
    let (mut project, _) = house();
    for (i, text) in ["=1+2", "+1", "-1", "@x", "\tx", "\rx"].iter().cycle().take(40).enumerate() {
        let selections = Arc::make_mut(&mut project.selections);
        let at = i % selections.len();
        let selection = Arc::make_mut(&mut selections[at]);
        selection.name = (*text).to_owned();
        selection.options.iter_mut().for_each(|o| o.finish = (*text).to_owned());
    }
    let figures = engine::compute(&project, project.settings.start);
    let maker = Maker::new(&project, &figures);
    let list = maker.list(Some(0)).unwrap();
    let bytes = lists::to_bytes(&list, Format::Xlsx, "x").unwrap();
    let mut book: Xlsx<_> = Xlsx::new(Cursor::new(bytes)).unwrap();
    let formulas = book.worksheet_formula("Purchase list").unwrap();
    for (_, _, formula) in formulas.used_cells() {
        assert!(formula.starts_with("ROUND("), "{formula}");
    }
    let range = book.worksheet_range("Purchase list").unwrap();
    assert!(matches!(range.get_value((1, place("selection").0)), Some(Data::String(_))));
}

/// A later export names the same entries: only its day and what changed differ.
#[test]
fn calendar_entries_keep_their_identity() {
    let (project, figures) = house();
    let text = |project: &Project, figures: &Figures| {
        let list = Maker::new(project, figures).list(Some(1)).unwrap();
        String::from_utf8(lists::to_bytes(&list, Format::Ics, "x").unwrap()).unwrap().replace("\r\n ", "")
    };
    let ids = |text: &str| -> Vec<String> {
        text.lines().filter(|l| l.starts_with("UID:")).map(str::to_owned).collect()
    };
    let now = text(&project, &figures);
    let mut changed = project.clone();
    // What people correct: a name, a price, a supplier's name. Keys stay.
    let selections = Arc::make_mut(&mut changed.selections);
    selections.iter_mut().for_each(|s| Arc::make_mut(s).name.push_str(" again"));
    Arc::make_mut(&mut changed.suppliers)[1].name = "Renamed".to_owned();
    let day = figures.as_of.plus(1).date();
    let later = text(&changed, &engine::compute(&changed, day));
    assert!(!ids(&now).is_empty());
    assert_eq!(ids(&now), ids(&later));
    let sequence = |text: &str| -> i32 {
        let line = text.lines().find_map(|l| l.strip_prefix("SEQUENCE:").map(str::to_owned));
        line.unwrap().parse().unwrap()
    };
    assert_eq!(sequence(&later), sequence(&now) + 1, "with nothing noted it rises with the day");
    assert!(now.contains("DTSTAMP:20260608T000000Z") && later.contains("DTSTAMP:20260609T000000Z"));
    assert!(!now.contains(";VALUE=DATE-TIME") && now.contains("DUE;VALUE=DATE:"));
}

#[test]
fn lists_are_the_same_however_often_they_are_written() {
    let folder = tempfile::tempdir().unwrap();
    for (project, figures) in projects() {
        let written = write(&project, &figures, folder.path()).unwrap();
        let before = files(folder.path());
        // A list without any date has no calendar.
        let calendars = written.lists.iter().filter(|list| list.file.ends_with(".ics")).count();
        assert_eq!((written.lists.len() - calendars) % (ALL.len() - 1), 0);
        write(&project, &figures, folder.path()).unwrap();
        assert_eq!(files(folder.path()), before);
    }
}

#[test]
fn a_list_nobody_needs_any_more_is_named_and_left() {
    let (mut project, figures) = house();
    let folder = tempfile::tempdir().unwrap();
    let first = write(&project, &figures, folder.path()).unwrap();
    assert!(first.left.is_empty() && first.lists.iter().any(|l| l.file == "pipes.pdf"));
    let before = files(folder.path());
    for selection in Arc::make_mut(&mut project.selections) {
        let parts = Arc::make_mut(selection).options.iter_mut().flat_map(|o| &mut o.parts);
        parts.filter(|p| p.supplier == Some(project.suppliers[1].id)).for_each(|p| p.supplier = None);
    }
    let figures = engine::compute(&project, figures.as_of.date());
    let second = write(&project, &figures, folder.path()).unwrap();
    assert_eq!(second.left, ["pipes.csv", "pipes.xlsx", "pipes.pdf", "pipes.html"]);
    let after = files(folder.path());
    // But its calendar, which takes back what it had said.
    let taken_back = String::from_utf8(after["pipes.ics"].clone()).unwrap();
    assert_eq!(
        (taken_back.matches("BEGIN:V").count(), taken_back.matches("STATUS:CANCELLED").count()),
        (2, 1)
    );
    assert!(second.lists.iter().any(|list| list.file == "pipes.ics" && list.parts == 0));
    for file in &second.left {
        assert_eq!(after[file], before[file], "left as it is");
    }
}

#[test]
fn a_file_that_cannot_be_written_is_named_and_all_stay_as_they_were() {
    let (project, figures) = house();
    let folder = tempfile::tempdir().unwrap();
    write(&project, &figures, folder.path()).unwrap();
    let before = files(folder.path());
    fs::remove_file(folder.path().join("stone.pdf")).unwrap();
    fs::create_dir(folder.path().join("stone.pdf")).unwrap();
    let later = engine::compute(&project, figures.as_of.plus(5).date());
    let error = write(&project, &later, folder.path()).unwrap_err().to_string();
    assert!(error.contains("stone.pdf") && error.contains("nothing was written"), "{error}");
    let mut after = files(folder.path());
    after.insert("stone.pdf".to_owned(), before["stone.pdf"].clone());
    assert_eq!(after, before);
}

#[test]
fn a_stopped_export_or_import_changes_nothing() {
    let (project, figures) = house();
    let folder = tempfile::tempdir().unwrap();
    let stopped = Progress::new();
    stopped.cancel();
    let out = folder.path().join("out");
    let lists = lists::write_lists(&project, &figures, &out, &all_lists(), &stopped);
    assert!(matches!(lists, Err(ExportError::Cancelled(_))));
    let kinds = [PaperKind::Budget];
    let papers =
        write_papers(&project, &figures, PaperScope::default(), &out, &kinds, &[PaperForm::Pdf], &stopped);
    assert!(matches!(papers, Err(ExportError::Cancelled(_))));
    assert!(matches!(export_folder_with(&project, &out, &stopped), Err(ExportError::Cancelled(_))));
    assert!(!out.exists());
    write_sheets(folder.path(), HOUSE);
    let error = import_folder_with(folder.path(), &stopped).unwrap_err().to_string();
    assert!(error.contains("stopped"), "{error}");
    let progress = Progress::new();
    import_folder_with(folder.path(), &progress).unwrap();
    assert!((progress.share() - 1.0).abs() < 1e-6);
}

#[test]
fn every_paper_is_made_in_both_forms_from_one_description() {
    for (project, figures) in projects() {
        for (word, kind) in PaperKind::ALL {
            let paper = kind.make(&project, &figures, None);
            assert!(!paper.blocks.is_empty(), "{word}");
            assert!(pdf::pdf(&paper).unwrap().starts_with(b"%PDF-"));
            let text = html::html(&paper);
            assert!(text.starts_with("<!DOCTYPE html>") && text.contains(&paper.title), "{word}");
        }
    }
    // A project with nothing in it has papers too.
    let empty = Project::new("Empty", chrono::NaiveDate::from_ymd_opt(2026, 1, 5).unwrap());
    let figures = engine::compute(&empty, empty.settings.start);
    for (_, kind) in PaperKind::ALL {
        assert!(pdf::pdf(&kind.make(&empty, &figures, None)).is_ok());
    }
}

#[test]
fn one_supplier_or_some_papers_by_command() {
    let folder = tempfile::tempdir().unwrap();
    let (sheets, file, out) =
        (folder.path().join("sheets"), folder.path().join("house.ron"), folder.path().join("out"));
    write_sheets(&sheets, HOUSE);
    assert_eq!(run(&[&"import", &sheets, &"--out", &file]).0, 0);
    let (code, printed, err) =
        run(&[&"buy", &file, &"--out", &out, &"--supplier", &"Stone", &"--format", &"ICS, pdf,pdf"]);
    assert_eq!((code, err.as_str()), (0, ""));
    assert_eq!(printed.lines().count(), 2, "{printed}");
    assert_eq!(files(&out).keys().collect::<Vec<_>>(), ["stone.ics", "stone.pdf"]);
    let (code, printed, _) =
        run(&[&"print", &file, &"--out", &out, &"--paper", &"budget,schedule", &"--format", &"html"]);
    assert_eq!((code, printed.as_str()), (0, "schedule.html\nbudget.html\n"));
    assert!(out.join("budget.html").exists());
}

/// The selections on the wall show the pictures that stand beside the project: in both forms, small, upright and on
/// white. One that is gone is said in its box.
#[test]
fn selections_show_the_pictures_of_what_was_chosen() {
    let folder = tempfile::tempdir().unwrap();
    let (mut project, _) = house();
    let chosen: Vec<OptionId> = project.selections.iter().filter_map(|s| s.choice()).map(|o| o.id).collect();
    let mut dots = image::RgbaImage::from_pixel(1200, 600, image::Rgba([200, 30, 30, 255]));
    dots.put_pixel(0, 0, image::Rgba([0, 0, 0, 0]));
    for x in 0..600 {
        (0..600).for_each(|y| dots.put_pixel(x, y, image::Rgba([0, 0, 0, 0])));
    }
    dots.save(folder.path().join("tub.png")).unwrap();
    for (option, path) in [(chosen[0], "tub.png"), (chosen[1], "gone.jpg")] {
        project = project.apply(&Action::SetPicture(option, path.to_owned())).unwrap();
    }
    let figures = engine::compute(&project, project.settings.start);
    let page = |beside: Option<&Path>| html::html(&PaperKind::Selections.make(&project, &figures, beside));
    assert!(!page(None).contains("data:image"));
    let with = page(Some(folder.path()));
    assert_eq!(with.matches("src=").count(), 1);
    assert!(with.contains("picture not found"), "the one that is gone");
    let start = with.find("data:image/jpeg;base64,").unwrap() + "data:image/jpeg;base64,".len();
    let text = &with[start..start + with[start..].find('"').unwrap()];
    let bytes = base64::Engine::decode(&base64::engine::general_purpose::STANDARD, text).unwrap();
    let seen = image::load_from_memory(&bytes).unwrap().to_rgb8();
    assert_eq!(seen.dimensions(), (400, 200));
    let near =
        |x, wanted: [u8; 3]| seen.get_pixel(x, 100).0.iter().zip(wanted).all(|(a, b)| a.abs_diff(b) < 12);
    assert!(near(60, [255; 3]) && near(340, [200, 30, 30]), "clear is white, red is red");

    let pdf = |beside| pdf::pdf(&PaperKind::Selections.make(&project, &figures, beside)).unwrap();
    let images = |bytes: Vec<u8>| {
        let text = String::from_utf8_lossy(&bytes).into_owned();
        text.matches("/Subtype /Image").count() + text.matches("/Subtype/Image").count()
    };
    assert_eq!(images(pdf(None)), 0);
    assert_eq!(images(pdf(Some(folder.path()))), 1);
}

/// What is known of the supplier and of the buyer stands above the lines: in the workbook, and on paper.
#[test]
fn a_list_says_who_it_goes_to_and_where_the_goods_go() {
    let (mut project, figures) = house();
    let list = Maker::new(&project, &figures).list(Some(0)).unwrap();
    let heads = [
        ("Contact", "Pat"),
        ("Phone", "+1 555 0100"),
        ("Email", "orders@example.org"),
        ("Account", "A-1207"),
        ("Ordered by", "Lee"),
        ("Call", "+1 555 0199"),
        ("Ship to", "1 Plain Lane, Anytown"),
        ("For delivery", "Call before unloading"),
    ];
    let bytes = lists::to_bytes(&list, Format::Xlsx, "x").unwrap();
    let mut book: Xlsx<_> = Xlsx::new(Cursor::new(bytes)).unwrap();
    let about = book.worksheet_range("About").unwrap();
    let row = |row: &[Data]| (row[0].to_string(), row[1].to_string());
    let about: Vec<(String, String)> = about.rows().map(row).collect();
    let paper = lists::paper::paper(&list);
    let page = html::html(&paper);
    for (title, words) in heads.map(|(title, words)| (title.to_owned(), words.to_owned())) {
        assert!(page.contains(&escaped(&words)), "{title} as a page");
        let fact = (title, words);
        assert!(about.contains(&fact) && paper.facts.contains(&fact), "{fact:?}");
    }
    // An address of several lines takes one; what is not known takes none.
    project.settings.ship_to = "1 Plain Lane\nAnytown".to_owned();
    project.settings.owner.clear();
    let list = Maker::new(&project, &figures).list(Some(0)).unwrap();
    let told = "1 Plain Lane, Anytown".to_owned();
    assert!(list.heads.contains(&ListHead { name: "ship_to", title: "Ship to", text: told }));
    assert!(list.heads.iter().all(|head| head.title != "Ordered by"));
}

/// Of the same supplier once what is to order and once what was ordered, in files of their own; together they are all of
/// it. A calendar holds all dates.
#[test]
fn what_is_to_order_is_sent_apart_from_what_was_ordered() {
    let mut apart = 0;
    for (project, figures) in projects() {
        let maker = Maker::new(&project, &figures);
        for supplier in (0..project.suppliers.len()).map(Some).chain([None]) {
            let Some(whole) = maker.list(supplier) else { continue };
            let parts: Vec<_> = [What::ToOrder, What::Ordered]
                .map(|what| maker.list_of(supplier, what))
                .into_iter()
                .collect();
            let lines: usize = parts.iter().flatten().map(|list| list.lines().count()).sum();
            assert_eq!(lines, whole.lines().count());
            let total: Money = parts.iter().flatten().map(|list| list.sums.total()).sum();
            assert_eq!(total, whole.sums.total());
            if let [Some(open), Some(placed)] = &parts[..] {
                apart += 1;
                assert!(open.lines().all(|(order, line)| order.placed.is_none() && line.came.is_none()));
                assert!(placed.lines().all(|(order, line)| order.placed.is_some() && line.came.is_some()));
                assert_eq!(lists::paper::paper(open).title, "Purchase list, to order");
            }
        }
    }
    assert!(apart > 2, "{apart}");
    let (project, figures) = projects().remove(1);
    let folder = tempfile::tempdir().unwrap();
    let plan = ListPlan { what: What::ToOrder, formats: vec![Format::Csv, Format::Ics], ..all_lists() };
    write(&project, &figures, folder.path()).unwrap();
    let before = files(folder.path());
    let written = lists::write_lists(&project, &figures, folder.path(), &plan, &Progress::new()).unwrap();
    assert!(written.lists.iter().any(|l| l.file.ends_with("_to_order.csv")));
    for (file, bytes) in files(folder.path()) {
        assert!(file.ends_with("_to_order.csv") || before[&file] == bytes, "{file}");
    }
}

/// What the program knows things by stands in nothing that leaves the house, but where it is a word people use.
#[test]
fn nothing_that_is_sent_holds_what_only_the_program_knows_things_by() {
    let mut scanned = 0;
    for (project, figures) in projects() {
        let sheets = tempfile::tempdir().unwrap();
        export_folder_with(&project, sheets.path(), &Progress::new()).unwrap();
        // The keys of the settings are names of ours, and say nothing.
        let sheets = files(sheets.path()).into_iter().filter(|(name, _)| name != "settings.csv");
        let tables: Vec<_> = sheets.map(|(_, text)| csv_table(&String::from_utf8(text).unwrap())).collect();
        let keys: BTreeSet<String> = tables.iter().flat_map(|rows| column(rows, "key")).collect();
        let told: BTreeSet<String> = tables
            .iter()
            .flat_map(|rows| {
                rows[0].iter().filter(|name| SAID.contains(name)).flat_map(|name| column(rows, name))
            })
            .flat_map(|text| words_of(&text).map(str::to_owned).collect::<Vec<_>>())
            .collect();
        // A key of one word is a word like any other.
        let secret: BTreeSet<&str> =
            keys.iter().filter(|key| key.contains('_') && !told.contains(*key)).map(String::as_str).collect();
        assert!(!secret.is_empty());
        let mut texts: Vec<(String, String)> = Vec::new();
        let maker = Maker::new(&project, &figures);
        for list in (0..project.suppliers.len()).map(Some).chain([None]).filter_map(|at| maker.list(at)) {
            for format in [Format::Csv, Format::Html, Format::Ics] {
                let bytes = lists::to_bytes(&list, format, "x").unwrap();
                let text = String::from_utf8(bytes).unwrap().replace("\r\n ", "");
                texts.push((format!("{} as {}", list.seller_name(), format.ending()), text));
            }
        }
        for (word, kind) in PaperKind::ALL {
            texts.push((word.to_owned(), html::html(&kind.make(&project, &figures, None))));
        }
        let folder = tempfile::tempdir().unwrap();
        let crews: Vec<_> = project.crews.iter().map(|c| c.id).collect();
        let (crew, week) = (folder.path().join("crews"), folder.path().join("week"));
        let forms = [CrewForm::Html, CrewForm::Ics, CrewForm::Txt];
        crews::write_sheets(&project, &figures, &crew, &crews, &forms, &Progress::new()).unwrap();
        let forms = [WeekForm::Html, WeekForm::Ics, WeekForm::Text];
        write_week(&project, &figures, &week, 28, &forms, &Progress::new()).unwrap();
        for place in [crew, week].iter().filter(|place| place.exists()) {
            for (file, bytes) in files(place) {
                texts.push((file, String::from_utf8(bytes).unwrap().replace("\r\n ", "")));
            }
        }
        for (what, text) in &texts {
            scanned += 1;
            // A style sheet has words of its own.
            let text = text.split_once("</style>").map_or(text.as_str(), |(_, body)| body);
            let found = words_of(text).find(|word| secret.contains(word));
            assert_eq!(found, None, "{} of {}", what, project.settings.name);
        }
    }
    assert!(scanned > 60, "{scanned}");
}

/// Columns of sheets in which people write as they like.
const SAID: [&str; 8] = ["name", "finish", "what", "note", "title", "number", "article", "text"];

fn words_of(text: &str) -> impl Iterator<Item = &str> {
    text.split(|c: char| !c.is_alphanumeric() && c != '_')
}

fn csv_table(text: &str) -> Vec<csv::StringRecord> {
    let mut table = csv::ReaderBuilder::new().has_headers(false).from_reader(text.as_bytes());
    table.records().map(|row| row.unwrap()).collect()
}

fn column(rows: &[csv::StringRecord], name: &str) -> Vec<String> {
    let at = rows[0].iter().position(|title| title == name);
    at.map_or(Vec::new(), |at| rows[1..].iter().map(|row| row[at].to_owned()).collect())
}
