//! Lists from elsewhere: a supplier's prices and lead times in the manner of several countries, selections from a foreign
//! sheet, and everything that must not go half through.

mod common;

use common::run;
use needline::exchange::incoming::accept::{self, Wish};
use needline::exchange::incoming::changes::{self, PriceList};
use needline::exchange::incoming::read::{self, Asks};
use needline::exchange::incoming::selections::{self, May};
use needline::exchange::incoming::{
    Additions, Book, Change, ChangeOf, Grid, Matching, Reading, Setup, read_book, read_file, recognize,
};
use needline::exchange::{Progress, export_sheets, import_folder, import_path};
use needline::model::*;
use proptest::prelude::*;
use rust_decimal::Decimal;
use rust_xlsxwriter::{ExcelDateTime, Format, Formula, Workbook};
use std::fs;
use std::path::{Path, PathBuf};

fn lists() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("sample_projects/lists")
}

fn guest_bath() -> Project {
    import_folder(&lists().join("guest_bath")).unwrap().0
}

fn shop(project: &Project) -> SupplierId {
    project.suppliers.iter().find(|s| s.key == "fliesenhandel").unwrap().id
}

fn book(name: &str, bytes: &[u8]) -> Book {
    read_book(name, bytes, &Progress::new()).unwrap_or_else(|e| panic!("{e}"))
}

/// Everything that is made of a list by itself.
struct Looked {
    grid: Grid,
    setup: Setup,
    reading: Reading,
    list: PriceList,
}

fn look_with(project: &Project, book: &Book, change: impl FnOnce(&mut Setup)) -> Looked {
    let grid = book.grids[book.likely()].clone();
    let supplier = Some(shop(project));
    let mut setup = Setup::guess(&grid, project, supplier, None);
    change(&mut setup);
    let reading = read::read(&grid, &setup, project.settings.currency);
    let matching = Matching { supplier, ..Matching::default() };
    let list = changes::compare(project, &reading, &matching, &grid.place());
    Looked { grid, setup, reading, list }
}

fn look(project: &Project, book: &Book) -> Looked {
    look_with(project, book, |_| {})
}

impl Looked {
    fn action(&self, project: &Project, accepted: &dyn Fn(&Change) -> bool) -> Option<Action> {
        let mapping = self.setup.to_mapping(&self.grid, project, Some(shop(project)), project.next_id);
        let supplier = Some(shop(project));
        let wish = Wish { accepted, additions: None, supplier, mapping, file: "list" };
        accept::action(project, &self.reading, &self.list, wish).unwrap()
    }

    /// Part, field and new value of all changes.
    fn changes(&self) -> Vec<(String, &'static str, String)> {
        self.list.changes.iter().map(|c| (c.key.clone(), c.of.word(), c.new.clone())).collect()
    }
}

fn part<'a>(project: &'a Project, key: &str) -> &'a Part {
    project.all_parts().find(|(_, _, p)| p.key == key).unwrap_or_else(|| panic!("no part {key}")).2
}

/// A part with its price in cents, its lead time and its discount.
type Said = (&'static str, Option<i64>, (u32, LeadUnit), Option<i64>);

/// What the German list says, worked by hand from the file.
const GERMAN: &[Said] = &[
    ("floor_tile_anthracite", Some(4_290), (3, LeadUnit::Weeks), None),
    ("floor_tile_sand", Some(3_650), (0, LeadUnit::Days), None),
    ("wall_tile_white", Some(2_645), (10, LeadUnit::Working), Some(5)),
    ("tub_body", Some(123_450), (8, LeadUnit::Weeks), None),
    ("tub_drain", Some(7_990), (5, LeadUnit::Days), None),
    ("basin", Some(104_900), (4, LeadUnit::Weeks), Some(10)),
    ("faucet_chrome", Some(18_900), (0, LeadUnit::Days), None),
    ("faucet_black", None, (6, LeadUnit::Weeks), None),
    ("toilet_frame", Some(22_800), (1, LeadUnit::Weeks), None),
];

fn check_german(before: &Project, after: &Project) {
    for (key, cents, lead, discount) in GERMAN {
        let (was, is) = (part(before, key), part(after, key));
        let price = cents.map_or(was.unit_price, |c| Some(Money::new(Decimal::new(c, 2))));
        assert_eq!(is.unit_price, price, "{key}");
        assert_eq!((is.lead.unwrap(), is.lead_unit), *lead, "{key}");
        assert_eq!(is.discount_pct, discount.map_or(was.discount_pct, Decimal::from), "{key}");
    }
    let tub = part(after, "tub_body");
    assert_eq!(tub.promised_on, Some("2026-12-24".parse().unwrap()));
    assert_eq!((tub.lead_min, tub.lead_max), (Some(6), Some(8)));
    // What cannot be read, or belongs to another supplier, is as it was.
    for key in ["toilet_bowl", "vanity_body"] {
        assert_eq!(part(after, key), part(before, key));
    }
}

#[test]
fn a_german_csv_in_windows_1252_is_imported_to_the_cent() {
    let project = guest_bath();
    let bytes = fs::read(lists().join("preisliste_2026.csv")).unwrap();
    assert!(std::str::from_utf8(&bytes).is_err(), "the sample is not in UTF-8");
    let seen = look(&project, &book("preisliste_2026.csv", &bytes));
    assert_eq!(seen.grid.read_as, "text in windows-1252, cells parted by semicolons");
    assert_eq!(seen.setup.header, Some(4));
    assert!(seen.reading.questions.is_empty());
    // The one bad row, with its place.
    let bad: Vec<String> = seen.reading.bad.iter().map(ToString::to_string).collect();
    assert_eq!(bad.len(), 1, "{bad:?}");
    assert!(bad[0].starts_with("preisliste_2026.csv row 16, column Einzelpreis: `32,9,00 €`"), "{bad:?}");
    // What the user should look at: a price that tripled, and what was ordered on other terms.
    let doubts: Vec<&str> =
        seen.list.changes.iter().filter(|c| c.doubt.is_some()).map(|c| c.key.as_str()).collect();
    // A price that is doubted takes its discount with it.
    assert_eq!(doubts, ["tub_body", "tub_body", "basin", "basin"]);
    assert_eq!(seen.list.unmatched.len(), 1);
    let mut history = History::new(project.clone());
    history.apply(&seen.action(&project, &|_| true).unwrap()).unwrap();
    check_german(&project, history.project());
    assert_eq!(
        history.undo_label(),
        Some("7 prices, 2 discounts, 8 lead times and 1 promised day from list"),
    );
    // One step back, and it is as it was.
    assert!(history.undo());
    assert_eq!(**history.project(), project);
}

#[test]
fn the_same_list_as_a_workbook_gives_the_same_changes() {
    let project = guest_bath();
    let csv = look(&project, &book("l.csv", &fs::read(lists().join("preisliste_2026.csv")).unwrap()));
    let mut workbook = Workbook::new();
    let euro = Format::new().set_num_format("#,##0.00 [$€-407]");
    let percent = Format::new().set_num_format("0%");
    let day = Format::new().set_num_format("dd.mm.yyyy");
    let sheet = workbook.add_worksheet().set_name("Preise").unwrap();
    sheet.merge_range(0, 0, 0, 7, "Sanitär- und Fliesenhandel", &Format::new()).unwrap();
    let headings = [
        "Artikelnummer",
        "Bezeichnung",
        "Mengeneinheit",
        "VPE",
        "Einzelpreis",
        "Rabatt",
        "Lieferzeit",
        "Liefertermin",
    ];
    for (column, heading) in (0_u16..).zip(headings) {
        sheet.write(3, column, heading).unwrap();
    }
    let rows: [(&str, &str, f64, f64, f64, &str); 9] = [
        ("FL-2040", "m²", 1.44, 42.9, 0.0, "2-3 Wochen"),
        ("FL-2055", "m²", 1.26, 36.5, 0.0, "ab Lager"),
        ("FL-3100", "qm", 1.2, 26.45, 0.05, "10 Arbeitstage"),
        ("SA-7001", "Stk", 0.0, 1234.5, 0.0, "6-8 Wochen"),
        ("SA-7090", "Stk", 0.0, 79.9, 0.0, "5 Tage"),
        ("SA-4060", "Stk", 0.0, 1049.0, 0.1, "4 Wochen"),
        ("AR-1200", "Stk", 0.0, 189.0, 0.0, "ab Lager"),
        ("AR-1210", "Stk", 0.0, 0.0, 0.0, "6 Wochen"),
        ("WC-0900", "Stk", 0.0, 228.0, 0.0, "1 Woche"),
    ];
    for (row, (article, unit, pack, price, discount, lead)) in (5_u32..).zip(rows) {
        sheet.write(row, 0, article).unwrap();
        sheet.write(row, 1, "Ware").unwrap();
        sheet.write(row, 2, unit).unwrap();
        if pack > 0.0 {
            sheet.write(row, 3, pack).unwrap();
        }
        if price > 0.0 {
            sheet.write_with_format(row, 4, price, &euro).unwrap();
        } else {
            sheet.write(row, 4, "auf Anfrage").unwrap();
        }
        if discount > 0.0 {
            sheet.write_with_format(row, 5, discount, &percent).unwrap();
        }
        sheet.write(row, 6, lead).unwrap();
        if article == "SA-7001" {
            let date = ExcelDateTime::from_ymd(2026, 12, 24).unwrap();
            sheet.write_with_format(row, 7, &date, &day).unwrap();
        }
    }
    let seen = look(&project, &book("liste.xlsx", &workbook.save_to_buffer().unwrap()));
    assert_eq!(seen.setup.header, Some(4));
    assert!(seen.reading.bad.is_empty(), "{:?}", seen.reading.bad);
    assert_eq!(seen.changes(), csv.changes());
    let after = project.apply(&seen.action(&project, &|_| true).unwrap()).unwrap();
    check_german(&project, &after);
}

/// Lists in the manner of several countries; the number formats are those of CLDR 44 (en, fr, de-CH, en-IN, es).
#[test]
fn lists_of_several_countries_are_read_to_the_cent() {
    type Case = (&'static str, &'static str, &'static str, &'static [(&'static str, &'static str)]);
    let cases: [Case; 5] = [
        (
            "english",
            "USD",
            "Item no.,Description,Unit price,Lead time\nFL-2040,Tile,\"$1,234.50\",6-8 weeks\nSA-7090,Drain,$0.99,in stock\n",
            &[("floor_tile_anthracite", "1234.50"), ("tub_drain", "0.99")],
        ),
        (
            "french",
            "EUR",
            "Référence;Désignation;Prix unitaire HT;Délai\nFL-2040;Carrelage;1\u{202f}234,50\u{a0}€;2 à 3 semaines\nSA-7090;Bonde;12,05\u{a0}€;En stock\n",
            &[("floor_tile_anthracite", "1234.50"), ("tub_drain", "12.05")],
        ),
        (
            "swiss",
            "CHF",
            "Art.-Nr.;Bezeichnung;Preis netto;Lieferfrist\nFL-2040;Platte;CHF 1'234.50;3 Wochen\nSA-7090;Ablauf;Fr. 1’000.–;ab Lager\n",
            &[("floor_tile_anthracite", "1234.50"), ("tub_drain", "1000")],
        ),
        (
            "indian",
            "INR",
            "Item code\tDescription\tUnit price\tLead time\nFL-2040\tTile\t₹1,23,456.75\t10 days\nSA-7090\tDrain\t₹ 1,250.00\tin stock\n",
            &[("floor_tile_anthracite", "123456.75"), ("tub_drain", "1250.00")],
        ),
        (
            "spanish",
            "EUR",
            "Código|Descripción|Precio unitario|Plazo de entrega\nFL-2040|Baldosa|1.234,50 €|5 semanas\nSA-7090|Desagüe|12,05 €|10 días hábiles\n",
            &[("floor_tile_anthracite", "1234.50"), ("tub_drain", "12.05")],
        ),
    ];
    for (name, currency, text, expected) in cases {
        let mut project = guest_bath();
        project.settings.currency = Currency::from_code(currency).unwrap();
        let seen = look(&project, &book("list.csv", text.as_bytes()));
        assert!(
            seen.reading.bad.is_empty() && seen.reading.questions.is_empty(),
            "{name}: {:?}",
            seen.reading
        );
        let after = project.apply(&seen.action(&project, &|_| true).unwrap()).unwrap();
        for (key, price) in expected {
            assert_eq!(
                part(&after, key).unit_price,
                Some(Money::new(price.parse().unwrap())),
                "{name}, {key}"
            );
            assert_ne!(part(&after, key).lead, part(&project, key).lead, "{name}, {key}");
        }
    }
}

#[test]
fn what_can_be_read_two_ways_is_asked_and_never_guessed() {
    let project = guest_bath();
    let text = "Artikelnummer;Einzelpreis;Lieferzeit;Liefertermin\nFL-2040;1.234;6;03/04/2027\nSA-7001;250;6;01/02/2027\n";
    let list = book("list.csv", text.as_bytes());
    let seen = look(&project, &list);
    let asked: Vec<Asks> = seen.reading.questions.iter().map(|q| q.asks).collect();
    assert_eq!(asked, [Asks::Decimal, Asks::Dates, Asks::LeadUnit]);
    assert_eq!(seen.reading.bad_rows.len(), 2);
    assert!(seen.list.changes.is_empty());
    for (mark, price) in [(DecimalMark::Comma, "1234"), (DecimalMark::Point, "1.234")] {
        for (order, day) in [(DateOrder::DayFirst, "2027-02-01"), (DateOrder::MonthFirst, "2027-01-02")] {
            let seen = look_with(&project, &list, |setup| {
                setup.decimal = Some(mark);
                setup.dates = Some(order);
                setup.lead_unit = Some(LeadUnit::Days);
            });
            assert!(seen.reading.bad.is_empty(), "{:?}", seen.reading.bad);
            let after = project.apply(&seen.action(&project, &|_| true).unwrap()).unwrap();
            let tile = part(&after, "floor_tile_anthracite");
            assert_eq!(tile.unit_price, Some(Money::new(price.parse().unwrap())));
            assert_eq!((tile.lead, tile.lead_unit), (Some(6), LeadUnit::Days));
            assert_eq!(part(&after, "tub_body").promised_on, Some(day.parse().unwrap()));
        }
    }
    // One more number of the column settles it.
    let settled =
        look(&project, &book("list.csv", b"Artikelnummer;Einzelpreis\nFL-2040;1.234\nSA-7001;250,5\n"));
    assert!(settled.reading.questions.is_empty());
    assert_eq!(settled.list.changes[0].new, "1234.00");
    let mixed =
        look(&project, &book("list.csv", b"Artikelnummer;Einzelpreis\nFL-2040;12.50\nSA-7001;250,50\n"));
    assert_eq!(mixed.reading.questions[0].asks, Asks::Decimal);
    assert_eq!(mixed.reading.bad_rows.len(), 2);
}

#[test]
fn another_currency_is_not_taken_for_ours() {
    let project = guest_bath();
    let list = book("list.csv", b"Artikelnummer,Einzelpreis\nFL-2040,$12.50\nSA-7001,12.00\n");
    let seen = look(&project, &list);
    assert_eq!(seen.reading.questions.iter().map(|q| q.asks).collect::<Vec<_>>(), [Asks::Currency]);
    assert_eq!(seen.reading.bad_rows.iter().copied().collect::<Vec<_>>(), [2]);
    let told = look_with(&project, &list, |s| s.any_currency = true);
    assert!(told.reading.bad.is_empty());
    // The heading may say it for all.
    let seen = look(&project, &book("list.csv", b"Artikelnummer,Unit price (USD)\nFL-2040,12.50\n"));
    assert_eq!(seen.reading.questions.len(), 1);
}

#[test]
fn prices_for_many_are_divided_exactly_or_refused() {
    let project = guest_bath();
    let text = "Artikelnummer;Einzelpreis;Preiseinheit\nFL-2040;1.250,00;100\nSA-7001;10,00;3\nSA-7090;7,50 € / 10 Stk;\n";
    let seen = look(&project, &book("list.csv", text.as_bytes()));
    assert_eq!(seen.list.changes[0].new, "12.50");
    assert_eq!(seen.reading.bad_rows.iter().copied().collect::<Vec<_>>(), [3]);
    let drain = seen.list.changes.iter().find(|c| c.key == "tub_drain").unwrap();
    assert_eq!(drain.new, "0.75");
}

#[test]
fn a_price_in_another_unit_is_not_ticked_by_itself() {
    let project = guest_bath();
    let text = "Artikelnummer;ME;Einzelpreis\nFL-2040;Karton;61,78\nSA-7090;Stück;75,00\n";
    let seen = look(&project, &book("list.csv", text.as_bytes()));
    let of = |key: &str, of: ChangeOf| {
        seen.list.changes.iter().find(|c| c.key == key && c.of == of).map(|c| c.doubt.is_some())
    };
    assert_eq!(of("floor_tile_anthracite", ChangeOf::UnitPrice), Some(true));
    assert_eq!(of("floor_tile_anthracite", ChangeOf::Unit), Some(true));
    assert_eq!(of("tub_drain", ChangeOf::UnitPrice), Some(false));
    assert_eq!(of("tub_drain", ChangeOf::Unit), None, "Stück is each in another word");
}

#[test]
fn rows_that_disagree_change_nothing() {
    let project = guest_bath();
    let text =
        "Artikelnummer;Einzelpreis\nFL-2040;41,00\nFL-2040;42,00\nSA-7090;75,00\nSA-7090;75,00\n;12,50\n";
    let seen = look(&project, &book("list.csv", text.as_bytes()));
    assert_eq!(seen.changes(), [("tub_drain".to_owned(), "unit_price", "75.00".to_owned())]);
    let bad: Vec<Option<usize>> = seen.list.bad.iter().map(|n| n.row).collect();
    assert_eq!(bad, [Some(3), Some(6)]);
}

#[test]
fn parts_are_found_by_key_article_hand_and_name() {
    let project = guest_bath();
    let supplier = Some(shop(&project));
    let text = "Ref,Price\ntub_body,1200.00\nfl-3100,25.00\nXX-1,80.00\nvanity_body,1.00\n";
    let list = book("list.csv", text.as_bytes());
    let mut setup = Setup::guess(&list.grids[0], &project, supplier, None);
    assert_eq!(setup.fields[0], Some(MapField::Article));
    setup.set(0, Some(MapField::Article));
    let reading = read::read(&list.grids[0], &setup, project.settings.currency);
    let mut matching = Matching { supplier, ..Matching::default() };
    let found = changes::compare(&project, &reading, &matching, "list");
    let keys = |l: &PriceList| {
        l.changes.iter().filter(|c| c.of == ChangeOf::UnitPrice).map(|c| c.key.clone()).collect::<Vec<_>>()
    };
    assert_eq!(keys(&found), ["tub_body", "wall_tile_white"]);
    assert_eq!(found.unmatched.len(), 2);
    // Given by hand, the article number is learned.
    matching.by_hand.insert(4, part(&project, "tub_drain").id);
    let found = changes::compare(&project, &reading, &matching, "list");
    assert!(
        found.changes.iter().any(|c| c.key == "tub_drain" && c.of == ChangeOf::Article && c.new == "XX-1")
    );
    // A key of a part that is bought elsewhere is said.
    setup.set(0, Some(MapField::Key));
    let reading = read::read(&list.grids[0], &setup, project.settings.currency);
    let found = changes::compare(&project, &reading, &matching, "list");
    assert!(found.bad[0].to_string().contains("bought from another supplier"), "{:?}", found.bad);
    // By name only when told, and only where one part is called so.
    let named = book("list.csv", b"Name,Price\nWashbasin,300.00\nFaucet,200.00\n");
    let setup = Setup::guess(&named.grids[0], &project, supplier, None);
    let reading = read::read(&named.grids[0], &setup, project.settings.currency);
    let matching = Matching { supplier, ..Matching::default() };
    assert_eq!(changes::compare(&project, &reading, &matching, "list").unmatched.len(), 2);
    let matching = Matching { supplier, by_name: true, ..Matching::default() };
    let found = changes::compare(&project, &reading, &matching, "list");
    assert_eq!(keys(&found), ["basin"]);
    assert!(found.bad[0].to_string().contains("several parts are called `Faucet`"));
}

#[test]
fn unknown_rows_become_options_when_told() {
    let project = guest_bath();
    let text = "Artikelnummer;Bezeichnung;Einzelpreis;Lieferzeit\nAR-1300;=HYPERLINK(\"x\");210,00;3 Wochen\nAR-1310;@Mischer;220,00;3 Wochen\n";
    let seen = look(&project, &book("list.csv", text.as_bytes()));
    assert_eq!(seen.list.unmatched.len(), 2);
    let faucet = project.selections.iter().find(|s| s.key == "faucet").unwrap();
    let additions = Additions { selection: faucet.id, rows: vec![2, 3] };
    let wish = Wish {
        accepted: &|_| true,
        additions: Some(&additions),
        supplier: Some(shop(&project)),
        mapping: None,
        file: "list.csv",
    };
    let action = accept::action(&project, &seen.reading, &seen.list, wish).unwrap().unwrap();
    let after = project.apply(&action).unwrap();
    let options = &after.selection(faucet.id).unwrap().options;
    let new = &options[2].parts[0];
    assert_eq!(options.len(), 4);
    assert_eq!((new.article.as_str(), new.supplier), ("AR-1300", Some(shop(&project))));
    assert_eq!(new.phase, faucet.options[0].parts[0].phase, "it is needed when the others are");
    // What looks like a formula stays text, and is guarded on the way out.
    assert_eq!(options[2].name, "=HYPERLINK(\"x\")");
    let sheets = export_sheets(&after);
    let csv = sheets.iter().find(|s| s.name == "options").unwrap().to_csv();
    assert!(csv.contains("'=HYPERLINK") && csv.contains("'@Mischer"), "{csv}");
    let again = book("options.csv", csv.as_bytes());
    assert!(again.grids[0].rows.iter().any(|r| r.cells.iter().any(|c| c.shown() == "@Mischer")));
}

#[test]
fn a_mapping_is_remembered_and_known_again_by_its_headings() {
    let project = guest_bath();
    let first = book("a.csv", b"Foo;Bar;Baz\nFL-2040;44,00;3\n");
    let grid = &first.grids[0];
    let mut setup = Setup::guess(grid, &project, Some(shop(&project)), None);
    setup.header = Some(1);
    setup.fields = vec![Some(MapField::Article), Some(MapField::UnitPrice), Some(MapField::Lead)];
    setup.decimal = Some(DecimalMark::Comma);
    setup.lead_unit = Some(LeadUnit::Weeks);
    let mapping = setup.to_mapping(grid, &project, Some(shop(&project)), project.next_id).unwrap();
    let after = project.apply(&Action::PutMapping(mapping)).unwrap();
    // Another order of columns, a title above, and one more column.
    let second = book("b.csv", b"List of May;;;\nBaz;more;foo;Bar\n6;x;SA-7090;1.234\n");
    let known = recognize(&second.grids[0], &after, None, None).unwrap();
    assert_eq!(known.supplier, Some(shop(&project)));
    let fields = [Some(MapField::Lead), None, Some(MapField::Article), Some(MapField::UnitPrice)];
    assert_eq!((known.setup.header, known.setup.fields.as_slice()), (Some(2), &fields[..]));
    let reading = read::read(&second.grids[0], &known.setup, after.settings.currency);
    assert_eq!(reading.rows[0].unit_price, Some(Decimal::from(1234)), "the mark is remembered too");
    assert_eq!(reading.rows[0].lead, Some((6, LeadUnit::Weeks)));
    // The same headings again are the same mapping.
    let again = known.setup.to_mapping(&second.grids[0], &after, known.supplier, after.next_id).unwrap();
    assert_eq!(again.id, after.mappings[0].id);
    // It goes with the supplier, and both come back with undo.
    let free = import_folder(&lists().join("guest_bath")).unwrap().0;
    assert!(free.mappings.is_empty());
    assert!(recognize(&book("c.csv", b"Foo;Bar\n1;2\n").grids[0], &after, None, None).is_none());
}

const WISHES: &str = "Raum;Gegenstand;Budget;Entscheiden bis;Produkt;Lieferant;Menge;Einzelpreis;Lieferzeit;Status\n\
    Guest bath;Spiegel;150,00;24.12.2026;Spiegel 80 cm;Holz- und Möbelhandel;1;129,90 €;2 Wochen;gewählt\n\
    ;Handtuchhalter;60,00;;;;;;;\n\
    Küche;Spüle;400,00;13.01.2027;Spüle, Edelstahl;Küchenhandel;1;1.299,00 €;3-4 Wochen;\n\
    Küche;Spüle;;;Spüle, Granit;Küchenhandel;1;349,00 €;5 Wochen;\n\
    Guest bath;Tub;;;Steel tub 170 x 75;;1;1,00 €;;\n";

#[test]
fn selections_come_in_with_rooms_and_suppliers_only_when_told() {
    let project = guest_bath();
    let list = book("wishes.csv", WISHES.as_bytes());
    let grid = &list.grids[0];
    let setup = Setup::guess(grid, &project, None, None);
    assert_eq!(setup.into, MapInto::Selections);
    let reading = read::read(grid, &setup, project.settings.currency);
    assert!(reading.bad.is_empty(), "{:?}", reading.bad);
    let plan = |may| selections::plan(&project, &reading, None, may, "wishes.csv");
    let strict = plan(May::default());
    let bad: Vec<Option<usize>> = strict.bad.iter().map(|n| n.row).collect();
    assert_eq!(bad, [Some(3), Some(4), Some(5)], "{:?}", strict.bad);
    assert_eq!(strict.there.len(), 1, "the tub is there already");
    assert_eq!(strict.summary(), ["1 selection", "1 option"]);
    let free = plan(May { rooms: true, suppliers: true, fill_down: true });
    assert!(free.bad.is_empty(), "{:?}", free.bad);
    assert_eq!(free.summary(), ["1 room", "1 supplier", "3 selections", "3 options"]);
    let mapping = setup.to_mapping(grid, &project, None, project.next_id);
    let mut history = History::new(project.clone());
    history.apply(&free.action(&project, mapping, "wishes.csv").unwrap()).unwrap();
    let after = history.project().clone();
    let find = |name: &str| after.selections.iter().find(|s| s.name == name).unwrap();
    let mirror = find("Spiegel");
    assert_eq!(mirror.allowance, Money::new(Decimal::from(150)));
    assert_eq!(mirror.decide_on, Some("2026-12-24".parse().unwrap()));
    assert_eq!(mirror.choice().unwrap().parts[0].unit_price, Some(Money::new(Decimal::new(12_990, 2))));
    assert_eq!(find("Handtuchhalter").room, mirror.room, "the room of the row above");
    let sink = find("Spüle");
    assert_eq!(after.room(sink.room).unwrap().name, "Küche");
    assert_eq!(sink.options.len(), 2);
    assert_eq!(sink.options[0].parts[0].unit_price, Some(Money::new(Decimal::from(1299))));
    assert_eq!((sink.options[0].parts[0].lead_min, sink.options[0].parts[0].lead), (Some(3), Some(4)));
    assert_eq!(after.mappings.len(), 1);
    assert!(validate::document(&after).is_empty());
    assert!(history.undo() && **history.project() == project);
}

#[test]
fn odd_workbooks_are_read_as_far_as_they_say_something() {
    let project = guest_bath();
    let mut workbook = Workbook::new();
    let sheet = workbook.add_worksheet();
    // A heading over two columns, and one that takes two rows.
    sheet.merge_range(0, 0, 1, 0, "Artikel", &Format::new()).unwrap();
    sheet.merge_range(0, 1, 0, 2, "Preis", &Format::new()).unwrap();
    sheet.write(1, 1, "netto").unwrap();
    sheet.write(1, 2, "brutto").unwrap();
    sheet.write(2, 0, "FL-2040").unwrap();
    sheet.write_formula(2, 1, Formula::new("=20+20.55").set_result("40.55")).unwrap();
    sheet.write(3, 0, "SA-7090").unwrap();
    sheet.write_formula(3, 1, Formula::new("=1/0").set_result("#DIV/0!")).unwrap();
    sheet.write(4, 0, "SA-4060").unwrap();
    sheet.write_formula(4, 1, Formula::new("=70+0.1+0.2").set_result("70.30000000000001")).unwrap();
    sheet.write(6, 0, "Summe").unwrap();
    sheet.write(6, 1, 140.0).unwrap();
    let seen = look(&project, &book("list.xlsx", &workbook.save_to_buffer().unwrap()));
    assert_eq!(seen.setup.header, Some(2));
    assert_eq!(seen.grid.headings(Some(2)), ["Artikel", "Preis netto", "Preis brutto"]);
    assert_eq!(seen.setup.fields, [Some(MapField::Article), Some(MapField::UnitPrice), None]);
    let prices: Vec<&str> = seen.list.changes.iter().map(|c| c.new.as_str()).collect();
    assert_eq!(prices, ["40.55", "70.30"], "the result that was kept, as a spreadsheet shows it");
    assert_eq!(seen.reading.bad_rows.iter().copied().collect::<Vec<_>>(), [4]);
    assert_eq!(seen.reading.remarks.iter().map(|n| n.row).collect::<Vec<_>>(), [Some(7)], "the sum");
}

#[test]
fn what_is_too_large_or_no_list_is_refused_with_a_reason() {
    let refused =
        |name: &str, bytes: &[u8]| read_book(name, bytes, &Progress::new()).unwrap_err().to_string();
    let mut rows = "a,b\n".to_owned();
    for n in 0..100_000 {
        rows.push_str(&format!("{n},1\n"));
    }
    assert!(refused("l.csv", rows.as_bytes()).contains("more than 100000 rows"));
    let wide = vec!["x"; 300].join(",");
    assert!(refused("l.csv", wide.as_bytes()).contains("more than 256 columns"));
    let open = format!("a,b\n1,\"{}", "x\n".repeat(30_000));
    assert!(refused("l.csv", open.as_bytes()).contains("never closed"));
    let mut workbook = Workbook::new();
    let sheet = workbook.add_worksheet();
    sheet.write(0, 0, "a").unwrap();
    sheet.write(1_048_575, 16_383, "far away").unwrap();
    assert!(refused("l.xlsx", &workbook.save_to_buffer().unwrap()).contains("more than 256 columns"));
    assert!(refused("l.xls", b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1....").contains("save it as .xlsx"));
    assert!(refused("l.pdf", b"%PDF-1.7").contains("spreadsheet"));
    assert!(refused("l.csv", b"").contains("empty"));
    assert!(refused("l.csv", b"\n\n;;\n").contains("no rows"));
    assert!(refused("l.bin", b"a\0b\0c").contains("no text"));
    assert!(read_file(Path::new("/no/such/list.csv"), &Progress::new()).is_err());
    let stopped = Progress::new();
    stopped.cancel();
    assert!(read_book("l.csv", b"a,b\n1,2\n", &stopped).unwrap_err().to_string().contains("stopped"));
}

/// Nothing is written while there are bad rows, unless that is said; and the second list needs no mapping by hand.
#[test]
fn the_command_writes_all_or_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let project = folder.path().join("bath.ron");
    let (code, _, err) = run(&[&"import", &lists().join("guest_bath"), &"--out", &project]);
    assert_eq!((code, err.as_str()), (0, ""));
    let before = fs::read(&project).unwrap();
    let list = lists().join("preisliste_2026.csv");
    let with = |more: &[&str]| {
        let mut args: Vec<&dyn AsRef<std::ffi::OsStr>> = vec![&"import-list", &list, &"--into", &project];
        args.extend(more.iter().map(|m| m as &dyn AsRef<std::ffi::OsStr>));
        run(&args)
    };
    let (code, out, err) = with(&["--supplier", "fliesenhandel", "--preview"]);
    assert_eq!(code, 1, "{err}");
    assert!(out.contains("Einzelpreis = unit_price") && out.contains("columns, guessed"), "{out}");
    assert!(out.contains("tub_drain:unit_price row 12") && out.contains("74.90 -> 79.90"), "{out}");
    assert!(err.contains("row 16, column Einzelpreis") && err.contains("1 bad row"), "{err}");
    let (code, _, err) = with(&["--supplier", "fliesenhandel", "--accept", "all"]);
    assert_eq!(code, 1);
    assert!(err.contains("nothing was written") && err.contains("--skip-bad-rows"), "{err}");
    for wrong in [
        &["--supplier", "nobody", "--preview"][..],
        &["--supplier", "fliesenhandel"],
        &["--preview", "--map", "price=Einzelpreis"],
        &["--preview", "--map", "unit_price=Nirgends"],
        &["--preview", "--sheet", "Blatt"],
        &["--preview", "--header", "99"],
        &["--preview", "--accept", "all"],
        &["--accept", "everything"],
        &["--supplier", "fliesenhandel", "--skip-bad-rows", "--accept", "basin:pack"],
    ] {
        let (code, _, err) = with(wrong);
        assert_eq!(code, 2, "{wrong:?}: {err}");
    }
    assert_eq!(fs::read(&project).unwrap(), before, "nothing was written so far");
    // One change by name, then all that give no doubt.
    let (code, out, err) =
        with(&["--supplier", "fliesenhandel", "--skip-bad-rows", "--accept", "basin:unit_price"]);
    assert_eq!(code, 0, "{err}");
    assert!(out.contains("1 price from preisliste_2026.csv, written to"), "{out}");
    let (code, out, err) = with(&["--skip-bad-rows", "--accept", "all", "--add-to", "wall_tile"]);
    assert_eq!(code, 0, "{err}");
    assert!(out.contains("columns, remembered"), "{out}");
    assert!(out.contains("of Sanitär- und Fliesenhandel"), "the supplier is known by the headings: {out}");
    let (read, _) = needline::model::file::load(&project).unwrap();
    assert_eq!(part(&read, "basin").unit_price, Some(Money::new(Decimal::from(1049))));
    assert_eq!(
        part(&read, "tub_body").unit_price,
        Some(Money::new(Decimal::from(1189))),
        "ordered on other terms"
    );
    assert_eq!(part(&read, "tub_drain").unit_price, Some(Money::new(Decimal::new(7_990, 2))));
    assert_eq!(read.selections.iter().find(|s| s.key == "wall_tile").unwrap().options.len(), 2);
    assert_eq!(read.mappings.len(), 1);
    let (code, out, _) = with(&["--skip-bad-rows", "--accept", "all"]);
    assert_eq!(code, 0);
    assert!(out.contains("nothing to change"), "{out}");
}

#[test]
fn the_command_adds_selections() {
    let folder = tempfile::tempdir().unwrap();
    let project = folder.path().join("bath.ron");
    let list = folder.path().join("wishes.csv");
    fs::write(&list, WISHES).unwrap();
    run(&[&"import", &lists().join("guest_bath"), &"--out", &project]);
    let (code, _, err) = run(&[&"import-list", &list, &"--into", &project, &"--accept", &"all"]);
    assert_eq!(code, 1, "{err}");
    assert!(err.contains("row 4, column room: there is no room `Küche`"), "{err}");
    let other = folder.path().join("other.ron");
    let args: [&dyn AsRef<std::ffi::OsStr>; 11] = [
        &"import-list",
        &list,
        &"--into",
        &project,
        &"--accept",
        &"all",
        &"--create",
        &"rooms,suppliers",
        &"--fill-down",
        &"--out",
        &other,
    ];
    let (code, out, err) = run(&args);
    assert_eq!(code, 0, "{err}");
    assert!(out.contains("1 room, 1 supplier, 3 selections and 3 options from wishes.csv"), "{out}");
    let (read, _) = needline::model::file::load(&other).unwrap();
    assert_eq!(read.rooms.len(), 2);
}

/// The sheets of a project in one workbook, with numbers as numbers and dates as dates.
#[test]
fn a_workbook_of_sheets_is_the_project_of_the_folder() {
    let folder = tempfile::tempdir().unwrap();
    for (at, source) in [lists().join("guest_bath")].into_iter().chain(common::sample_folders()).enumerate() {
        let (wanted, _) = import_folder(&source).unwrap();
        let mut workbook = Workbook::new();
        let day = Format::new().set_num_format("yyyy-mm-dd");
        for sheet in export_sheets(&wanted) {
            let out = workbook.add_worksheet().set_name(&sheet.name).unwrap();
            for (column, name) in (0_u16..).zip(&sheet.columns) {
                out.write(0, column, name.as_str()).unwrap();
            }
            for (row, line) in (1_u32..).zip(&sheet.rows) {
                for (column, cell) in (0_u16..).zip(&line.cells) {
                    let date = cell.parse::<chrono::NaiveDate>().is_ok();
                    if date {
                        let date = ExcelDateTime::parse_from_str(cell).unwrap();
                        out.write_with_format(row, column, &date, &day).unwrap();
                    } else if let Ok(number) = cell.parse::<f64>()
                        && sheet.name != "settings"
                        && !matches!(sheet.columns[usize::from(column)].as_str(), "key" | "name" | "article")
                    {
                        out.write(row, column, number).unwrap();
                    } else if !cell.is_empty() {
                        out.write(row, column, cell.as_str()).unwrap();
                    }
                }
            }
        }
        let file = folder.path().join(format!("book {at}.xlsx"));
        workbook.save(&file).unwrap();
        let (read, notices) = import_path(&file).unwrap_or_else(|e| panic!("{e}"));
        assert!(notices.is_empty(), "{notices:?}");
        assert_eq!(read, wanted, "{}", source.display());
        let project = folder.path().join(format!("book {at}.ron"));
        let (code, _, err) = run(&[&"import", &file, &"--out", &project]);
        assert_eq!((code, err.as_str()), (0, ""));
    }
}

#[test]
fn faults_in_a_workbook_name_sheet_row_and_column() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("book.xlsx");
    let mut workbook = Workbook::new();
    let sheet = workbook.add_worksheet().set_name("Settings").unwrap();
    for (row, (key, value)) in (0_u32..).zip([("key", "value"), ("start", "2026-06-01")]) {
        sheet.write(row, 0, key).unwrap();
        sheet.write(row, 1, value).unwrap();
    }
    let sheet = workbook.add_worksheet().set_name("selections").unwrap();
    for (column, (heading, cell)) in (0_u16..).zip([("key", "tub"), ("room", "bath"), ("allowance", "much")])
    {
        sheet.write(0, column, heading).unwrap();
        sheet.write(1, column, cell).unwrap();
    }
    workbook.add_worksheet().set_name("Notes").unwrap().write(0, 0, "by hand").unwrap();
    workbook.save(&file).unwrap();
    let faults: Vec<String> =
        import_path(&file).unwrap_err().faults.iter().map(ToString::to_string).collect();
    assert_eq!(faults.len(), 2, "{faults:?}");
    assert!(
        faults[0].starts_with("book.xlsx, sheet selections row 2, column room: there is no room"),
        "{faults:?}"
    );
    assert!(faults[1].starts_with("book.xlsx, sheet selections row 2, column allowance: "), "{faults:?}");
    let (code, _, err) = run(&[&"import", &file, &"--out", &folder.path().join("x.ron")]);
    assert_eq!(code, 2);
    assert!(err.contains("nothing was written"), "{err}");
    assert!(!folder.path().join("x.ron").exists());
}

fn valid_workbook() -> Vec<u8> {
    let mut workbook = Workbook::new();
    let sheet = workbook.add_worksheet();
    for (row, (a, b)) in
        (0_u32..).zip([("Artikel", "Preis"), ("FL-2040", "12,50 €"), ("SA-7090", "1.234,00 €")])
    {
        sheet.write(row, 0, a).unwrap();
        sheet.write(row, 1, b).unwrap();
        sheet.write_formula(row, 2, Formula::new("=1+1").set_result("2")).unwrap();
    }
    workbook.save_to_buffer().unwrap()
}

/// Reads anything as far as it goes; whatever comes of it, the program is still there.
fn survive(name: &str, bytes: &[u8]) {
    let project = guest_bath();
    if let Ok(book) = read_book(name, bytes, &Progress::new()) {
        for grid in &book.grids {
            for into in [MapInto::Prices, MapInto::Selections] {
                let setup = Setup::guess(grid, &project, None, Some(into));
                let reading = read::read(grid, &setup, project.settings.currency);
                let list = changes::compare(&project, &reading, &Matching::default(), "list");
                let wish = Wish {
                    accepted: &|_| true,
                    additions: None,
                    supplier: None,
                    mapping: None,
                    file: "list",
                };
                if let Ok(Some(action)) = accept::action(&project, &reading, &list, wish) {
                    let _ = project.apply(&action);
                }
                let may = May { rooms: true, suppliers: true, fill_down: true };
                let plan = selections::plan(&project, &reading, None, may, "list");
                if let Some(action) = plan.action(&project, None, "list") {
                    let after = project.apply(&action).unwrap_or_else(|e| panic!("{e}"));
                    assert!(validate::document(&after).is_empty());
                }
            }
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    #[test]
    fn any_bytes_are_survived(bytes in proptest::collection::vec(any::<u8>(), 0..600)) {
        survive("any.csv", &bytes);
    }

    #[test]
    fn any_table_is_survived(
        cells in proptest::collection::vec(
            prop_oneof![
                "[0-9.,' €$-]{0,9}", "Artikel|Preis|Raum|Auswahl|Lieferzeit|Menge|Summe|FL-2040|tub_body",
                "[0-9]{1,2} (Wochen|weeks|Tage)", "[0-9]{1,2}[./][0-9]{1,2}[./]20[0-9]{2}", ".{0,12}",
            ],
            0..60,
        ),
        width in 1_usize..7,
        sign in prop_oneof![Just(';'), Just(','), Just('\t'), Just('|')],
    ) {
        let rows: Vec<String> = cells
            .chunks(width)
            .map(|row| row.iter().map(|c| format!("\"{}\"", c.replace('"', "\"\""))).collect::<Vec<_>>().join(&sign.to_string()))
            .collect();
        survive("any.csv", rows.join("\n").as_bytes());
    }

    #[test]
    fn broken_workbooks_are_survived(
        changes in proptest::collection::vec((any::<proptest::sample::Index>(), any::<u8>()), 1..20),
        cut in any::<proptest::sample::Index>(),
        cuts in any::<bool>(),
    ) {
        let mut bytes = valid_workbook();
        for (at, byte) in changes {
            let at = at.index(bytes.len());
            bytes[at] = byte;
        }
        if cuts {
            bytes.truncate(cut.index(bytes.len()));
        }
        survive("any.xlsx", &bytes);
    }

    /// What is accepted is changed, what is not stays; afterwards the list has just that left to say.
    #[test]
    fn just_what_is_accepted_is_done(picks in proptest::collection::vec(any::<bool>(), 32)) {
        let project = guest_bath();
        let list = book("l.csv", &fs::read(lists().join("preisliste_2026.csv")).unwrap());
        let seen = look(&project, &list);
        let accepted = |c: &Change| {
            seen.list.changes.iter().position(|k| k == c).is_some_and(|at| picks[at])
        };
        let wanted: Vec<Change> = seen.list.changes.iter().filter(|c| !accepted(c)).cloned().collect();
        let after = match seen.action(&project, &accepted) {
            Some(action) => project.apply(&action).unwrap(),
            None => project.clone(),
        };
        let left = look(&after, &list);
        let name = |c: &Change| (c.key.clone(), c.of);
        prop_assert_eq!(
            left.list.changes.iter().map(name).collect::<Vec<_>>(),
            wanted.iter().map(name).collect::<Vec<_>>()
        );
    }
}
