//! Drawings of options without a picture: every option of the samples is drawn as what it is, and can be seen. Finish boards and
//! room sheets say what the sheets say, read here by their own plain code.

mod common;

use common::{run, sample_folders};
use needline::engine;
use needline::exchange::import_folder;
use needline::exchange::outgoing::print::{
    Block, Board, BoardCard, BoardTile, Look, Paper, PaperKind, html, pdf, room_sheet,
};
use needline::model::drawing::{Drawing, Thing, Tone};
use needline::model::{Project, Rgb};
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

/// Options of the samples that are drawn as a box, each with the reason.
const BOXES: &[(&str, &str)] = &[];

/// What may stand for options of a category, as whoever wrote the samples sorted them: the category knows nothing of the
/// words that tell a drawing. Categories that hold all sorts of things are not listed.
const CATEGORIES: &[(&str, &[&str])] = &[
    ("Countertop", &["countertop"]),
    ("Paint", &["paint", "wallpaper", "bucket"]),
    ("Flooring", &["floor planks", "carpet", "roll", "stair nosing"]),
    ("Insulation", &["insulation", "roll", "bucket"]),
    ("Drywall", &["boards"]),
    (
        "Tile",
        &[
            "tile",
            "large tile",
            "running-bond tile",
            "stacked tile",
            "hexagon tile",
            "herringbone tile",
            "penny tile",
            "mosaic tile",
            "pebble tile",
            "countertop",
            "bag of mortar",
            "bucket",
            "roll",
            "niche",
        ],
    ),
    (
        "Lighting",
        &[
            "pendant",
            "drum pendant",
            "lantern",
            "chandelier",
            "sconce",
            "shaded sconce",
            "tube sconce",
            "wall lantern",
            "recessed light",
            "ceiling light",
            "light bar",
            "strip light",
            "ceiling fan",
        ],
    ),
    (
        "Appliance",
        &[
            "oven",
            "range",
            "cooktop",
            "gas cooktop",
            "refrigerator",
            "dishwasher",
            "washer",
            "dryer",
            "washer and dryer",
            "microwave",
            "disposer",
        ],
    ),
    (
        "Cabinetry",
        &[
            "base cabinet",
            "bench",
            "wall cabinet",
            "glass cabinet",
            "drawers",
            "tall cabinet",
            "vanity",
            "shelves",
            "shelf",
            "closet",
            "pull-out",
            "roll-out trays",
            "desk",
        ],
    ),
    (
        "Plumbing fixture",
        &[
            "tub",
            "freestanding tub",
            "toilet",
            "wall-hung toilet",
            "shower set",
            "sink",
            "basin",
            "faucet",
            "wall faucet",
            "tub filler",
            "air gap",
            "water filter",
            "outlet box",
        ],
    ),
    (
        "Bath accessory",
        &[
            "shower glass",
            "curtain rod",
            "mirror",
            "round mirror",
            "mirror cabinet",
            "towel bar",
            "towel warmer",
        ],
    ),
    ("Door and window", &["door", "glass door", "front door", "patio door", "window", "awning window"]),
];

fn samples() -> Vec<(PathBuf, Project)> {
    sample_folders()
        .into_iter()
        .map(|f| (f.clone(), import_folder(&f).unwrap_or_else(|e| panic!("{e}")).0))
        .collect()
}

#[test]
fn every_option_of_the_samples_is_drawn_as_what_it_is() {
    let (mut options, mut drawn, mut colored, mut sorted) = (0, BTreeSet::new(), 0, 0);
    let mut wrong = Vec::new();
    for (_, project) in samples() {
        for selection in project.selections.iter() {
            for option in &selection.options {
                let drawing = Drawing::of(&project, selection, option);
                let name = drawing.thing.name();
                options += 1;
                drawn.insert(name);
                colored += usize::from(drawing.color.is_some());
                let boxed = BOXES.iter().any(|(key, _)| *key == option.key);
                if boxed != (drawing.thing == Thing::ANYTHING) {
                    wrong.push(format!("{} ({}) is drawn as {name}", option.name, option.key));
                }
                if let Some((_, fitting)) = CATEGORIES.iter().find(|(known, _)| *known == selection.category)
                {
                    sorted += 1;
                    if !fitting.contains(&name) {
                        wrong.push(format!("{}: {} is drawn as {name}", selection.category, option.name));
                    }
                }
            }
        }
    }
    println!(
        "{options} options, {} things, {colored} with a color, {sorted} held to their category",
        drawn.len()
    );
    assert_eq!(wrong, Vec::<String>::new());
    assert!(drawn.len() >= 25 && Thing::all().count() >= 25, "{drawn:?}");
    assert!(colored * 10 >= options * 9, "{colored} of {options}");
}

/// No two things look the same.
#[test]
fn drawings_differ() {
    let all: Vec<Thing> = Thing::all().collect();
    for (at, one) in all.iter().enumerate() {
        for other in &all[..at] {
            assert_ne!(one.shapes(), other.shapes(), "{} and {}", one.name(), other.name());
        }
    }
}

/// Relative luminance and contrast as WCAG 2.2 defines them.
fn contrast(a: Rgb, b: Rgb) -> f64 {
    let luminance = |color: Rgb| {
        let channel = |c: u8| {
            let c = f64::from(c) / 255.0;
            if c <= 0.04045 { c / 12.92 } else { ((c + 0.055) / 1.055).powf(2.4) }
        };
        0.2126 * channel(color.0) + 0.7152 * channel(color.1) + 0.0722 * channel(color.2)
    };
    let (a, b) = (luminance(a), luminance(b));
    (a.max(b) + 0.05) / (a.min(b) + 0.05)
}

/// WCAG 2.2, 1.4.11: what is needed to tell a graphic has 3 to 1. Outlines on paper have it whatever the finish; fine lines
/// within a thing only go along, and are held to be seen at all.
#[test]
fn outlines_are_seen_whatever_the_finish() {
    let drawing = Drawing { thing: Thing::ANYTHING, color: Some(Rgb(255, 255, 255)), second: None };
    let text = html::html(&paper_of_one(drawing));
    let strokes: BTreeSet<&str> = text.split("stroke=\"#").skip(1).filter_map(|rest| rest.get(..6)).collect();
    assert!(strokes.len() >= 2, "{strokes:?}");
    let best = strokes.iter().map(|hex| contrast(format!("#{hex}").parse().unwrap(), Rgb(255, 255, 255)));
    assert!(best.fold(0.0, f64::max) >= 3.0);
    let mut tried = 0;
    for step in 0..=16_u8 {
        for tint in [(255, 255, 255), (255, 180, 90), (90, 140, 255)] {
            let part = |c: u32| (c * u32::from(step) / 16) as u8;
            let color = Rgb(part(tint.0), part(tint.1), part(tint.2));
            let drawing = Drawing { thing: Thing::ANYTHING, color: Some(color), second: None };
            for tone in Tone::ALL {
                let found = contrast(drawing.fine(Some(tone)), drawing.tone(tone));
                assert!(found >= 1.5, "{color} {tone:?}: {found:.2}");
                tried += 1;
            }
        }
    }
    println!("{tried} tones with their fine lines");
}

/// A board of one option with a drawing.
fn paper_of_one(drawing: Drawing) -> Paper {
    let tile = BoardTile {
        look: Look::Drawing(drawing),
        told: "drawing".to_owned(),
        name: "one".to_owned(),
        swatch: drawing.color,
        finish: "white".to_owned(),
        more: Vec::new(),
    };
    let card = BoardCard { title: "one".to_owned(), state: String::new(), open: false, tiles: vec![tile] };
    Paper {
        title: "one".to_owned(),
        project: "p".to_owned(),
        as_of: chrono::NaiveDate::from_ymd_opt(2026, 1, 5).unwrap(),
        facts: Vec::new(),
        blocks: vec![Block::Board(Board { cards: vec![card] })],
        wide: false,
        units: needline::model::Units::Us,
    }
}

/// Rows of a sheet by heading, read by a reader that is not the program's.
fn sheet(folder: &Path, name: &str) -> Vec<BTreeMap<String, String>> {
    let mut reader = csv::Reader::from_path(folder.join(format!("{name}.csv"))).unwrap();
    reader.deserialize().map(|row| row.unwrap()).collect()
}

/// The text of a page without its tags.
fn plain(markup: &str) -> String {
    let text: String = markup
        .split('<')
        .map(|piece| piece.split_once('>').map_or(piece, |(_, text)| text))
        .collect::<Vec<_>>()
        .join(" ");
    let unescaped =
        text.replace("&lt;", "<").replace("&gt;", ">").replace("&quot;", "\"").replace("&#39;", "'");
    unescaped.replace("&amp;", "&").split_whitespace().collect::<Vec<_>>().join(" ")
}

fn pages(paper: &Paper) -> usize {
    assert!(pdf::pdf(paper).unwrap().starts_with(b"%PDF-"));
    pdf::laid_out(paper).unwrap().pages.len()
}

/// Each room's part of a page, by the heading it begins with.
fn rooms_of(page: &str) -> Vec<(String, String)> {
    let parts = page.split("<h2>").skip(1).map(|part| part.split_once("</h2>").expect("a heading"));
    parts.map(|(head, rest)| (plain(head), rest.to_owned())).collect()
}

/// A board has a card for each selection of the sheets, with the option that is chosen or leaned to, or all candidates.
#[test]
fn boards_show_what_the_sheets_say() {
    let (mut cards, mut open, mut boards) = (0, 0, 0);
    for (folder, project) in samples() {
        let figures = engine::compute(&project, project.settings.as_of.unwrap_or(project.settings.start));
        let paper = PaperKind::Board.make(&project, &figures, None);
        let page = html::html(&paper);
        assert!(!page.contains("http") && !page.contains("src="), "it needs nothing else");
        let (selections, options) = (sheet(&folder, "selections"), sheet(&folder, "options"));
        let rooms: Vec<_> = sheet(&folder, "rooms")
            .into_iter()
            .filter(|room| selections.iter().any(|s| s["room"] == room["key"]))
            .collect();
        let shown = rooms_of(&page);
        assert_eq!(shown.len(), rooms.len());
        assert!(pages(&paper) >= rooms.len(), "each room begins a page");
        for (room, (head, body)) in rooms.iter().zip(&shown) {
            boards += 1;
            assert!(head.starts_with(&room["name"]), "{head}");
            let sections: Vec<&str> = body.split("<section class=\"card").skip(1).collect();
            let own: Vec<_> = selections.iter().filter(|s| s["room"] == room["key"]).collect();
            assert_eq!(sections.len(), own.len(), "{head}");
            for (section, selection) in sections.into_iter().zip(own) {
                cards += 1;
                let text = plain(&format!("<section{section}"));
                assert!(text.contains(&selection["name"]), "{text}");
                let all: Vec<_> = options.iter().filter(|o| o["selection"] == selection["key"]).collect();
                let of = |word: &str| all.iter().filter(|o| o["state"] == word).copied().collect::<Vec<_>>();
                let (chosen, leaning) = (of("chosen"), of("leaning"));
                let expected = if !chosen.is_empty() {
                    chosen
                } else if !leaning.is_empty() {
                    assert!(text.contains("not chosen yet"), "{text}");
                    leaning
                } else {
                    open += 1;
                    assert!(section.starts_with(" open\"") && text.contains("open: "), "{text}");
                    all
                };
                assert_eq!(section.matches("<svg ").count(), expected.len(), "{text}");
                for option in expected {
                    assert!(text.contains(&option["name"]), "{text}");
                    let finish = option.get("finish").map_or("", String::as_str);
                    assert!(text.contains(finish), "{text}");
                    assert!(section.contains("aria-label=\"Drawing: "), "{text}");
                }
            }
        }
    }
    println!("{boards} boards, {cards} cards, {open} open");
    assert!(open > 0);
}

/// Sizes of rectangular rooms are worked out from the sheets by hand; the phases of a room are those that its parts name.
#[test]
fn room_sheets_say_what_the_sheets_say() {
    let (mut sizes, mut phases_seen, mut large) = (0, 0, 0);
    for (folder, project) in samples() {
        let figures = engine::compute(&project, project.settings.as_of.unwrap_or(project.settings.start));
        let paper = PaperKind::Rooms.make(&project, &figures, None);
        let page = html::html(&paper);
        let rooms = sheet(&folder, "rooms");
        let shown = rooms_of(&page);
        assert_eq!(shown.len(), rooms.len());
        let (selections, options) = (sheet(&folder, "selections"), sheet(&folder, "options"));
        // A room of up to fifteen selections stands on its page; a larger one, in letters that can be read, on two.
        for room in project.rooms.iter() {
            let own = selections.iter().filter(|s| s["room"] == room.key).count();
            let pages = pages(&room_sheet::paper(&project, &figures, Some(room.id)));
            assert!(pages <= if own <= 15 { 1 } else { 2 }, "{}: {own} on {pages} pages", room.name);
            large += usize::from(pages > 1);
        }
        let (parts, phases) = (sheet(&folder, "parts"), sheet(&folder, "phases"));
        for (room, (head, body)) in rooms.iter().zip(&shown) {
            let text = plain(body);
            assert!(head.starts_with(&room["name"]), "{head}");
            let number = |column: &str| room.get(column).and_then(|n| n.parse::<f64>().ok()).unwrap_or(0.0);
            let polygon = room.get("polygon").is_some_and(|p| !p.is_empty());
            if let (false, true) = (polygon, number("length") > 0.0) {
                let floor = format!("Floor {} sq ft", number("length") * number("width"));
                let around = format!("Around the room {} ft", 2.0 * (number("length") + number("width")));
                for words in [floor, around, format!("Ceiling height {} ft", number("height"))] {
                    assert!(text.contains(&words), "{head}: {words} in {text}");
                }
                assert_eq!(
                    body.matches(&format!(">{} ft</text>", number("length"))).count()
                        + body.matches(&format!(">{} ft</text>", number("width"))).count(),
                    if number("length") == number("width") { 8 } else { 4 },
                    "{head}"
                );
                sizes += 1;
            }
            for selection in selections.iter().filter(|s| s["room"] == room["key"]) {
                assert!(text.contains(&selection["name"]), "{head}: {}", selection["name"]);
                let own: Vec<_> = options.iter().filter(|o| o["selection"] == selection["key"]).collect();
                let live = own
                    .iter()
                    .find(|o| o["state"] == "chosen")
                    .or(own.iter().find(|o| o["state"] == "leaning"));
                let counted = |option: &str| live.is_none_or(|live| live["key"] == option);
                for part in parts
                    .iter()
                    .filter(|p| own.iter().any(|o| o["key"] == p["option"]) && counted(&p["option"]))
                {
                    if let Some(phase) = phases.iter().find(|p| p["key"] == part["phase"]) {
                        assert!(text.contains(&phase["name"]), "{head}: {}", phase["name"]);
                        phases_seen += 1;
                    }
                }
            }
        }
    }
    println!("{sizes} rooms measured, {phases_seen} phases of parts, {large} on two pages");
    assert!(sizes > 0 && phases_seen > 0);
}

/// The program from outside: an odd project gives boards and sheets in both forms, and names nobody's markup.
#[test]
fn boards_and_sheets_by_command() {
    let folder = tempfile::tempdir().unwrap();
    let (sheets, file, out) =
        (folder.path().join("sheets"), folder.path().join("odd.ron"), folder.path().join("out"));
    fs::create_dir(&sheets).unwrap();
    let long = "many words ".repeat(80);
    for (name, text) in [
        ("settings", "key,value\nname,Odd\nstart,2026-06-01\nunits,metric\n".to_owned()),
        (
            "rooms",
            "key,name,length,width,height,polygon\na,<b>Attic</b>,4,3,2.4,\nb,\"Bent, room\",,,2.5,\"0 0; 5 0; 5 2; 2 2; 2 4; 0 4\"\nc,Nothing,,,,\n"
                .to_owned(),
        ),
        ("phases", "key,name,days\np,Set things,2\n".to_owned()),
        (
            "selections",
            "key,room,category,name,allowance\ns,a,Odd,\"A \"\"thing\"\" & more\",1\nt,b,Tile,Tile,1\nu,b,Odd,Empty,1\n".to_owned(),
        ),
        (
            "options",
            format!(
                "selection,key,name,finish,state\ns,o,\"{long}\",<script>,chosen\n{}",
                (0..60).map(|n| format!("t,t{n},\"Tile {n} x 0\",\"red; blue, {n}\",candidate\n")).collect::<String>()
            ),
        ),
        ("parts", "option,key,name,phase,quantity,unit\no,op,Part,p,2,each\nt1,tp,Part,p,3,sq m\n".to_owned()),
    ] {
        fs::write(sheets.join(format!("{name}.csv")), text).unwrap();
    }
    let (code, printed, err) = run(&[&"import", &sheets, &"--out", &file]);
    assert_eq!(code, 0, "{printed}{err}");
    let (code, printed, err) = run(&[
        &"print",
        &file,
        &"--as-of",
        &"2026-06-01",
        &"--out",
        &out,
        &"--paper",
        &"room_sheets,finish_board",
        &"--format",
        &"pdf,html",
    ]);
    assert_eq!((code, err.as_str()), (0, ""), "{printed}");
    let board = fs::read_to_string(out.join("finish_board.html")).unwrap();
    assert!(!board.contains("<script") && !board.contains("<b>Attic"), "nothing becomes markup");
    let text = plain(&board);
    assert_eq!(text.matches("many words").count(), 80);
    assert!(text.contains("open: 60 candidates") && text.contains("open: no candidate yet"));
    (0..60).for_each(|n| assert!(text.contains(&format!("Tile {n} x 0")), "{n}"));
    let sheet = plain(&fs::read_to_string(out.join("room_sheets.html")).unwrap());
    assert!(sheet.contains("14 sq m") && sheet.contains("not measured"), "{sheet}");
    for name in ["finish_board.pdf", "room_sheets.pdf"] {
        assert!(fs::read(out.join(name)).unwrap().starts_with(b"%PDF-"), "{name}");
    }
}
