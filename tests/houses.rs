//! Many houses at once: a line of figures each, and tables that say what the figures say.

mod common;

use common::{run, sample_folders};
use needline::exchange::outgoing::tables::{Kind, TABLES};
use rust_decimal::Decimal;
use serde_json::Value;
use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

/// Fields of the figures that no table has: lists of their own, and what is told better by another column.
const NOT_IN_TABLES: &[&str] = &[
    // Of a part.
    "order_by_sure",
    "came",
    "damaged",
    "backorder",
    "to_replace",
    "backorder_on",
    "replacement_on",
    // Of a phase.
    "hire_by_typical",
    "booked_from",
    "confirmed_on",
    "told_on",
    "told_start",
    // Of a line of the week.
    "phone",
    // Of a house.
    "confidence",
    "storage",
    "left_out",
];

/// Projects in a folder, one of them in a folder of its own and one whose name needs quotation marks.
fn houses() -> (tempfile::TempDir, Vec<PathBuf>) {
    let folder = tempfile::tempdir().unwrap();
    fs::create_dir(folder.path().join("more")).unwrap();
    let names = ["a, b.ron", "more/one.ron", "z.ron"];
    let files: Vec<PathBuf> = names.iter().map(|name| folder.path().join(name)).collect();
    for (source, file) in sample_folders().iter().zip(&files) {
        let (code, _, err) = run(&[&"import", source, &"--out", file]);
        assert_eq!((code, err.as_str()), (0, ""));
    }
    (folder, files)
}

fn lines(text: &str) -> Vec<Value> {
    text.lines().map(|line| serde_json::from_str(line).unwrap()).collect()
}

/// Every row of a table, by the names of its columns.
fn table(folder: &Path, name: &str) -> Vec<Vec<(String, String)>> {
    let mut reader = csv::Reader::from_path(folder.join(format!("{name}.csv"))).unwrap();
    let heads: Vec<String> = reader.headers().unwrap().iter().map(str::to_owned).collect();
    let row = |row: csv::StringRecord| heads.iter().cloned().zip(row.iter().map(str::to_owned)).collect();
    reader.records().map(|record| row(record.unwrap())).collect()
}

fn cell<'a>(row: &'a [(String, String)], name: &str) -> &'a str {
    row.iter().find(|(column, _)| column == name).map(|(_, cell)| cell.as_str()).unwrap()
}

/// As a cell of a CSV file says it.
fn in_words(value: &Value) -> String {
    match value {
        Value::Null => String::new(),
        Value::String(text) => text.clone(),
        other => other.to_string(),
    }
}

#[test]
fn a_folder_has_a_line_of_figures_for_each_house() {
    let (folder, files) = houses();
    fs::write(folder.path().join(".z.ron.edits"), "not a project").unwrap();
    fs::write(folder.path().join("notes.txt"), "not a project").unwrap();
    let (code, out, err) = run(&[&"figures", &folder.path()]);
    assert_eq!((code, err.as_str()), (0, ""));
    let told = lines(&out);
    assert_eq!(told.len(), files.len());
    for (line, file) in told.iter().zip(&files) {
        let (_, alone, _) = run(&[&"figures", file]);
        let mut alone: Value = serde_json::from_str(&alone).unwrap();
        alone["house"] = Value::String(file.display().to_string());
        assert_eq!(*line, alone);
    }
    let (_, both, _) = run(&[&"figures", &files[2], &files[0], &"--as-of", &"2026-07-01"]);
    let days: Vec<_> =
        lines(&both).iter().map(|line| (line["house"].clone(), line["as_of"].clone())).collect();
    let expected: Vec<_> = [&files[2], &files[0]]
        .map(|file| (Value::from(file.display().to_string()), Value::from("2026-07-01")))
        .to_vec();
    assert_eq!(days, expected, "in the order they were given");
}

#[test]
fn an_unreadable_house_is_named_and_the_others_are_done() {
    let (folder, files) = houses();
    fs::write(&files[1], "(schema: 1, project: (").unwrap();
    let (code, out, err) = run(&[&"figures", &folder.path()]);
    assert_eq!((code, lines(&out).len()), (1, 2));
    assert!(err.contains(&format!("{}: line 1", files[1].display())), "{err}");
    assert!(err.contains("1 of 3 houses could not be read; the others are done"), "{err}");

    let to = folder.path().join("tables");
    let (code, out, err) = run(&[&"table", &folder.path(), &files[1], &"--out", &to]);
    assert_eq!(code, 1);
    assert!(out.contains("houses.csv: 2 rows"), "{out}");
    assert!(err.contains("2 of 4 houses could not be read"), "{err}");
    assert_eq!(table(&to, "houses").len(), 2);

    let empty = folder.path().join("empty");
    fs::create_dir(&empty).unwrap();
    let (code, _, err) = run(&[&"figures", &empty]);
    assert_eq!(code, 2);
    assert!(err.contains("there is no project (.ron) in"), "{err}");
    let (code, out, err) = run(&[&"figures", &folder.path(), &"--as-of", &"soon"]);
    assert_eq!((code, out.as_str()), (2, ""));
    assert_eq!(err.matches("`soon` is no date").count(), 1, "said once, and not for each house: {err}");
    let (code, _, err) = run(&[&"table", &folder.path(), &"--out", &to]);
    assert_eq!(code, 2, "tables that are there are not replaced unasked");
    assert!(err.contains("--force"), "{err}");
}

/// Each cell is the figure of its name, and each figure has its column or is left out by name.
#[test]
fn tables_say_what_the_figures_say() {
    let (folder, files) = houses();
    let to = folder.path().join("tables");
    let (code, out, err) = run(&[&"table", &folder.path(), &"--out", &to]);
    assert_eq!((code, err.as_str()), (0, ""));
    let (_, told, _) = run(&[&"figures", &folder.path()]);
    let told = lines(&told);
    let mut left_out = BTreeSet::new();
    let mut looked_at = 0;
    for (name, list) in
        [("houses", None), ("phases", Some("phases")), ("parts", Some("parts")), ("weeks", Some("week"))]
    {
        let rows = table(&to, name);
        assert!(out.contains(&format!("{name}.csv: {} row", rows.len())), "{out}");
        let figures: Vec<(&Value, Value)> = told
            .iter()
            .flat_map(|house| match list {
                Some(list) => {
                    house[list].as_array().unwrap().iter().map(|row| (&house["house"], row.clone())).collect()
                }
                None => {
                    let mut one = house["money"].clone();
                    let own = house.as_object().unwrap().iter();
                    one.as_object_mut()
                        .unwrap()
                        .extend(own.map(|(name, value)| (name.clone(), value.clone())));
                    vec![(&house["house"], one)]
                }
            })
            .collect();
        assert_eq!(rows.len(), figures.len(), "{name}");
        for (row, (house, figure)) in rows.iter().zip(&figures) {
            assert_eq!(cell(row, "house"), in_words(house));
            for (field, value) in figure.as_object().unwrap() {
                if value.is_array() || value.is_object() {
                    continue;
                }
                match row.iter().find(|(column, _)| column == field) {
                    Some((_, cell)) => {
                        looked_at += 1;
                        assert_eq!(*cell, in_words(value), "{name} {field}");
                    }
                    None => _ = left_out.insert(field.clone()),
                }
            }
        }
    }
    let known: BTreeSet<String> = NOT_IN_TABLES.iter().map(|name| (*name).to_owned()).collect();
    assert!(left_out.is_subset(&known), "{:?} are in no table", left_out.difference(&known));
    println!("{looked_at} cells of {} houses", files.len());

    // What is not among the figures is a word of the project.
    let parts = table(&to, "parts");
    assert!(
        parts.iter().any(|row| !cell(row, "supplier_name").is_empty() && !cell(row, "ordered_on").is_empty())
    );
    assert!(
        parts.iter().all(|row| cell(row, "supplier").is_empty() == cell(row, "supplier_name").is_empty())
    );
    let houses = table(&to, "houses");
    for (row, house) in houses.iter().zip(&told) {
        let errors =
            house["problems"].as_array().unwrap().iter().filter(|p| p["severity"] == "error").count();
        assert_eq!(cell(row, "errors"), errors.to_string());
        // Each part is live or not; what is live and chosen, with freight and tax, is no more than the forecast.
        let own = parts
            .iter()
            .filter(|part| cell(part, "house") == cell(row, "house") && cell(part, "live") == "true");
        let live: Decimal = own.filter_map(|part| cell(part, "total").parse::<Decimal>().ok()).sum();
        assert!(live > Decimal::ZERO && live <= cell(row, "forecast").parse().unwrap(), "{live}");
    }
}

/// A column is called once in its table, and what a column holds is what its cells are read as.
#[test]
fn columns_hold_what_they_say() {
    let (folder, _) = houses();
    let to = folder.path().join("tables");
    assert_eq!(run(&[&"table", &folder.path(), &"--out", &to]).0, 0);
    for of in TABLES {
        let names: BTreeSet<&str> = of.columns.iter().map(|column| column.name).collect();
        assert_eq!(names.len(), of.columns.len(), "{}", of.name);
        assert_eq!(of.columns[0].name, "house");
        let rows = table(&to, of.name);
        for column in of.columns {
            let filled: Vec<&str> =
                rows.iter().map(|row| cell(row, column.name)).filter(|cell| !cell.is_empty()).collect();
            assert!(!filled.is_empty(), "{} of {} is blank in every sample", column.name, of.name);
            let fits = |text: &str| match column.kind {
                Kind::Text => true,
                Kind::Day => text.parse::<chrono::NaiveDate>().is_ok(),
                Kind::Money | Kind::Quantity => text.parse::<Decimal>().is_ok(),
                Kind::Whole => text.parse::<i64>().is_ok(),
                Kind::Mark => text.parse::<bool>().is_ok(),
            };
            assert!(filled.iter().all(|text| fits(text)), "{} of {}", column.name, of.name);
        }
    }
}

#[cfg(not(feature = "parquet"))]
#[test]
fn a_build_without_parquet_says_so() {
    let (folder, files) = houses();
    let to = folder.path().join("tables");
    let (code, _, err) = run(&[&"table", &files[0], &"--out", &to, &"--format", &"parquet"]);
    assert_eq!(code, 2);
    assert!(err.contains("--features parquet"), "{err}");
    assert!(!to.exists());
}
