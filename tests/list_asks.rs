//! What a list leaves open is asked or said, and never taken in silence. `tests/outside/check_incoming.py` does the same
//! with hundreds of layouts, whose truth is worked out elsewhere.

mod common;

use common::run;
use needline::exchange::Progress;
use needline::exchange::import_folder;
use needline::exchange::incoming::read::{self, Asks, Reading};
use needline::exchange::incoming::{Setup, read_book};
use needline::model::{MapField, Project, file};
use std::fs;
use std::path::{Path, PathBuf};

fn sheets() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("sample_projects/lists/guest_bath")
}

fn guest_bath() -> Project {
    import_folder(&sheets()).unwrap_or_else(|e| panic!("{e}")).0
}

fn reading(text: &str, change: impl FnOnce(&mut Setup)) -> (Setup, Reading) {
    let project = guest_bath();
    let book = read_book("list.csv", text.as_bytes(), &Progress::new()).unwrap_or_else(|e| panic!("{e}"));
    let grid = &book.grids[book.likely()];
    let mut setup = Setup::guess(grid, &project, None, None);
    change(&mut setup);
    let reading = read::read(grid, &setup, project.settings.currency);
    (setup, reading)
}

fn asks(text: &str) -> Vec<Asks> {
    reading(text, |_| {}).1.questions.iter().map(|q| q.asks).collect()
}

fn price(text: &str) -> Option<String> {
    let (_, reading) = reading(text, |_| {});
    assert!(reading.questions.is_empty(), "{:?}", reading.questions);
    reading.rows.first().and_then(|row| row.unit_price).map(|price| price.to_string())
}

#[test]
fn of_several_columns_that_could_be_the_price_none_is_taken() {
    for list in [
        "Artikelnummer;Preis alt;Preis neu\nFL-2040;12,50;13,00\n",
        "Artikelnummer;Einzelpreis;Aktionspreis\nFL-2040;12,50;11,00\n",
        "Artikelnummer;Price;Offer\nFL-2040;12,50;11,00 €\n",
        "Artikelnummer;Price/m2;Price/box\nFL-2040;12,50;18,00\n",
        "Artikelnummer;Wert\nFL-2040;12,50\n",
        "Artikelnummer;Bruttopreis\nFL-2040;12,50\n",
    ] {
        let (setup, reading) = reading(list, |_| {});
        assert_eq!(setup.column(MapField::UnitPrice), None, "{list}");
        assert_eq!(reading.questions.iter().map(|q| q.asks).collect::<Vec<_>>(), [Asks::Price], "{list}");
        assert!(reading.rows.iter().all(|row| row.unit_price.is_none()), "{list}");
    }
    let (_, asked) = reading("Artikelnummer;Preis alt;Preis neu\nFL-2040;12,50;13,00\n", |_| {});
    let among: Vec<&str> = asked.questions[0].among.iter().map(|(_, name)| name.as_str()).collect();
    assert_eq!(among, ["Preis alt: 12,50", "Preis neu: 13,00"]);
    // Once it is said, it is read; and so it is where somebody says that there is none.
    let (_, told) = reading("Artikelnummer;Preis alt;Preis neu\nFL-2040;12,50;13,00\n", |setup| {
        setup.set(2, Some(MapField::UnitPrice));
    });
    assert!(told.questions.is_empty() && told.rows[0].unit_price == Some("13".parse().unwrap()));
    let (_, none) = reading("Artikelnummer;Preis alt;Preis neu\nFL-2040;12,50;13,00\n", |setup| {
        setup.take_away(MapField::UnitPrice);
    });
    assert!(none.questions.is_empty() && none.rows.iter().all(|row| row.unit_price.is_none()));
}

#[test]
fn a_net_price_beats_a_list_price_and_has_its_discount_in_it() {
    for list in [
        "Artikelnummer;Listenpreis;Rabatt %;Nettopreis\nFL-2040;100,00;20;80,00\n",
        "Artikelnummer;Nettopreis;Listenpreis;Rabatt %\nFL-2040;80,00;100,00;20\n",
        "Artikelnummer;Listenpreis;Nettopreis\nFL-2040;100,00;80,00\n",
    ] {
        let (_, reading) = reading(list, |_| {});
        assert!(reading.questions.is_empty() && reading.bad.is_empty(), "{list} {:?}", reading.bad);
        assert_eq!(reading.rows[0].unit_price, Some("80".parse().unwrap()), "{list}");
        assert_eq!(reading.rows[0].discount, Some("0".parse().unwrap()), "{list}");
    }
    assert_eq!(asks("Artikelnummer;Nettopreis;Rabatt %\nFL-2040;100,00;20\n"), [Asks::Discount]);
    let of = |list: &str| reading(list, |_| {}).1.rows[0].discount.map(|n| n.to_string());
    assert_eq!(of("Artikelnummer;Listenpreis;Rabatt\nFL-2040;100,00;50/10\n").as_deref(), Some("55"));
    assert_eq!(of("Artikelnummer;Listenpreis;Rabatt\nFL-2040;100,00;-20 %\n").as_deref(), Some("20"));
    for bad in ["20,00 €", "5/m2", "50/x", "150", "120/10", "10/-5"] {
        let (_, reading) =
            reading(&format!("Artikelnummer;Listenpreis;Rabatt\nFL-2040;100,00;{bad}\n"), |_| {});
        assert_eq!(reading.bad.len(), 1, "{bad}");
        let said = reading.bad[0].to_string();
        assert!(said.starts_with("list.csv row 2, column Rabatt: "), "{said}");
    }
}

#[test]
fn another_currency_is_said_wherever_it_stands() {
    for list in [
        "Artikelnummer;Preis (CHF)\nFL-2040;12,50\n",
        "Artikelnummer;Preis;Währung\nFL-2040;12,50;CHF\n",
        "Preise in CHF;\nArtikelnummer;Preis\nFL-2040;12,50\n",
        "Prices are in dollars;\nArtikelnummer;Preis\nFL-2040;12,50\n",
        "Artikelnummer;Preis\nFL-2040;CHF 12,50\n",
    ] {
        assert_eq!(asks(list), [Asks::Currency], "{list}");
        let (_, told) = reading(list, |setup| setup.any_currency = true);
        assert!(told.questions.is_empty() && told.rows.len() == 1, "{list}");
    }
    for list in [
        "Artikelnummer;Preis;Währung\nFL-2040;12,50;EUR\n",
        "Preise in EUR;\nArtikelnummer;Preis\nFL-2040;12,50\n",
        "ALL ITEMS TOP QUALITY;\nArtikelnummer;Preis\nFL-2040;12,50\n",
    ] {
        assert_eq!(price(list).as_deref(), Some("12.5"), "{list}");
    }
}

#[test]
fn what_a_price_is_for_counts_wherever_it_stands() {
    let unit =
        |list: &str| reading(list, |_| {}).1.rows.first().map(|row| row.text(MapField::Unit).to_owned());
    for (heading, cell, of) in [
        ("Preis/m2", "12,50", "m2"),
        ("Preis je Karton", "12,50", "Karton"),
        ("Price per sq ft", "12,50", "sq ft"),
        ("Price/sq ft", "12,50", "sq ft"),
        ("€/Paar", "12,50", "Paar"),
        ("Preis", "12,50 €/Paar", "Paar"),
    ] {
        let list = format!("Artikelnummer;{heading}\nFL-2040;{cell}\n");
        assert_eq!(price(&list).as_deref(), Some("12.5"), "{list}");
        assert_eq!(unit(&list).as_deref(), Some(of), "{list}");
    }
    assert_eq!(price("Artikelnummer;Preis/100\nFL-2040;1250\n").as_deref(), Some("12.5"));
    let (_, torn) = reading("Artikelnummer;Preis/m2;Mengeneinheit\nFL-2040;12,50;Karton\n", |_| {});
    assert!(
        torn.bad[0].to_string().contains("the price is for m2 and the row counts in Karton"),
        "{:?}",
        torn.bad
    );
}

#[test]
fn wide_rows_short_years_and_days_of_leaving_are_said() {
    let (_, wide) = reading("Artikelnummer,Einzelpreis\nFL-2040,12,50\nSA-7001,7\n", |_| {});
    assert_eq!(wide.rows.len(), 1);
    assert!(wide.bad[0].to_string().starts_with("list.csv row 2: this row has 3 cells"), "{:?}", wide.bad);
    let (_, short) = reading("Artikelnummer;Einzelpreis;Liefertermin\nSA-7001;12,50;24.12.26\n", |_| {});
    assert!(short.remarks.iter().any(|r| r.to_string().contains("`24.12.26` is taken for 2026-12-24")));
    let (_, ships) = reading("Artikelnummer;Einzelpreis;Versand am\nSA-7001;12,50;24.12.2026\n", |_| {});
    assert!(ships.rows[0].leaves && ships.rows[0].promised_on.is_some());
}

/// By the command: nothing is written, both columns are named and the option that tells them apart; with it, it is taken.
#[test]
fn the_command_names_the_columns_and_the_option_that_chooses() {
    let folder = tempfile::tempdir().unwrap();
    let (project, list) = (folder.path().join("bath.ron"), folder.path().join("list.csv"));
    assert_eq!(run(&[&"import", &sheets(), &"--out", &project]).0, 0);
    let before = fs::read(&project).unwrap();
    fs::write(&list, "Artikelnummer;Preis alt;Preis neu\nFL-2040;12,50;13,00\n").unwrap();
    let (code, _, err) = run(&[&"import-list", &list, &"--into", &project, &"--accept", &"all"]);
    assert_eq!(code, 1, "{err}");
    assert!(
        err.contains("Preis alt") && err.contains("Preis neu") && err.contains("--map unit_price="),
        "{err}"
    );
    assert_eq!(fs::read(&project).unwrap(), before);
    let (code, _, err) = run(&[
        &"import-list",
        &list,
        &"--into",
        &project,
        &"--map",
        &"unit_price=Preis neu",
        &"--accept",
        &"floor_tile_anthracite:unit_price",
    ]);
    assert_eq!((code, err.as_str()), (0, ""));
    let (after, _) = file::load(&project).unwrap();
    let tile = after.all_parts().find(|(_, _, p)| p.key == "floor_tile_anthracite").unwrap().2;
    assert_eq!(tile.unit_price.map(|m| m.amount().to_string()).as_deref(), Some("13"));
    // A list in which nothing is known as a price is not taken for one without news.
    fs::write(&list, "Artikelnummer;Wert\nFL-2040;12,50\n").unwrap();
    let (code, _, err) = run(&[&"import-list", &list, &"--into", &project, &"--preview"]);
    assert!(code == 1 && err.contains("no column is known as a price"), "{err}");
    // A day before the order is looked at first.
    fs::write(&list, "Artikelnummer;Liefertermin\nSA-7001;24.09.2026\n").unwrap();
    let (_, out, _) = run(&[&"import-list", &list, &"--into", &project, &"--preview"]);
    assert!(out.contains("? this is before it was ordered on 2026-10-05"), "{out}");
}
