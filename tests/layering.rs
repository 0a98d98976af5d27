//! Tidiness of the sources: what each layer may name, and how files begin.

use std::fs;
use std::path::{Path, PathBuf};

/// Longest source file, in lines.
const MOST_LINES: usize = 500;

/// Every source file with its path under `src` and its text.
fn sources() -> Vec<(String, String)> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut found = Vec::new();
    let mut folders: Vec<PathBuf> = vec![root.clone()];
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(&folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else if path.extension().is_some_and(|e| e == "rs") {
                let name = path.strip_prefix(&root).unwrap().to_string_lossy().replace('\\', "/");
                found.push((name, fs::read_to_string(&path).unwrap()));
            }
        }
    }
    assert!(found.len() > 20, "the sources were not found");
    found
}

/// Code without comments, up to the tests at the end of the file.
fn code(text: &str) -> impl Iterator<Item = (usize, &str)> {
    text.lines()
        .enumerate()
        .take_while(|(_, line)| !line.starts_with("#[cfg(test)]"))
        .map(|(n, line)| (n + 1, line.split("//").next().unwrap_or(line)))
}

/// Whether `word` stands in the line by itself: `f64` in `as f64`, not in `half64`.
fn names(line: &str, word: &str) -> bool {
    let inside = |c: char| c.is_alphanumeric() || c == '_';
    line.match_indices(word).any(|(at, _)| {
        let before = line[..at].chars().next_back().is_none_or(|c| !inside(c));
        let after = line[at + word.len()..].chars().next().is_none_or(|c| !inside(c));
        before && after
    })
}

/// Places in files under `within` that name one of the words.
fn offenses(within: &[&str], except: &str, words: &[&str], sources: &[(String, String)]) -> Vec<String> {
    let mut found = Vec::new();
    for (name, text) in sources {
        if !within.iter().any(|w| name.starts_with(w)) || (!except.is_empty() && name.starts_with(except)) {
            continue;
        }
        for (n, line) in code(text) {
            for word in words.iter().filter(|word| names(line, word)) {
                found.push(format!("src/{name}:{n}: {word}"));
            }
        }
    }
    found
}

const PURE: [&str; 2] = ["model/", "engine/"];
const NOTHING: Vec<String> = Vec::new();

#[test]
fn model_and_engine_know_no_window_and_no_clock() {
    let words = ["egui", "eframe", "SystemTime::now", "Local::now", "Utc::now", "Instant::now"];
    assert_eq!(offenses(&PURE, "", &words, &sources()), NOTHING);
}

#[test]
fn nothing_makes_a_connection() {
    let words = ["std::net", "TcpStream", "UdpSocket", "ToSocketAddrs"];
    assert_eq!(offenses(&[""], "", &words, &sources()), NOTHING);
}

#[test]
fn only_the_project_file_touches_the_disk() {
    assert_eq!(offenses(&PURE, "model/file/", &["std::fs", "fs::"], &sources()), NOTHING);
}

/// What files of a folder may not name. A top folder knows only those before it, and so do the folders of the window.
const LAYERS: [(&str, &[&str]); 13] = [
    ("model/", &["crate::engine", "crate::exchange", "crate::commands", "crate::ui"]),
    ("engine/", &["crate::exchange", "crate::commands", "crate::ui"]),
    ("exchange/", &["crate::commands", "crate::ui", "egui", "eframe"]),
    ("exchange/typed/", &["exchange::incoming", "exchange::outgoing", "exchange::sheets"]),
    ("exchange/sheets/", &["exchange::outgoing"]),
    ("exchange/incoming/", &["exchange::outgoing", "exchange::sheets"]),
    ("commands/", &["crate::ui", "egui", "eframe"]),
    ("ui/", &["crate::commands"]),
    ("ui/theme/", &["crate::engine", "crate::exchange", "crate::ui"]),
    ("ui/widgets/", &["ui::forms", "ui::areas", "ui::card", "shell::app"]),
    ("ui/forms/", &["ui::areas", "ui::card", "shell::app"]),
    ("ui/areas/", &["ui::card", "shell::app"]),
    ("ui/card/", &["shell::app"]),
];

fn layers(sources: &[(String, String)]) -> Vec<String> {
    let mut found = offenses(&[""], "", &["super::super"], sources);
    for (name, text) in sources {
        // A group would hide what is named in it.
        found.extend(
            code(text).filter(|(_, l)| l.contains("crate::{")).map(|(n, _)| format!("src/{name}:{n}: group")),
        );
    }
    for (folder, words) in LAYERS {
        found.extend(offenses(&[folder], "", words, sources));
    }
    found
}

#[test]
fn layers_know_only_those_before_them() {
    let sources = sources();
    assert_eq!(layers(&sources), NOTHING);
    for (folder, _) in LAYERS {
        assert!(sources.iter().any(|(name, _)| name.starts_with(folder)), "there is no src/{folder}");
    }
}

/// Colors are named in the theme. That none is made elsewhere is a lint (`clippy.toml`), which cannot see constants.
#[test]
fn only_the_theme_names_colors() {
    assert_eq!(named_colors(&sources()), NOTHING);
}

fn named_colors(sources: &[(String, String)]) -> Vec<String> {
    let mut found = Vec::new();
    for (name, text) in sources.iter().filter(|(name, _)| !name.starts_with("ui/theme/")) {
        for (n, line) in code(text) {
            let named = line
                .split("Color32::")
                .skip(1)
                .any(|rest| rest.starts_with(|c: char| c.is_ascii_uppercase()));
            if named {
                found.push(format!("src/{name}:{n}"));
            }
        }
    }
    found
}

/// The folders of the engine, each knowing only those before it.
const ENGINE: [(&str, &[&str]); 10] = [
    ("engine/index", &["index"]),
    ("engine/columns", &["columns"]),
    ("engine/calendar/", &["calendar", "days", "holidays"]),
    ("engine/plan/", &["plan", "corrections", "network", "reach"]),
    (
        "engine/buying/",
        &[
            "buying",
            "deliveries",
            "lead",
            "order_days",
            "orders",
            "own_orders",
            "parts",
            "returns",
            "takeoff",
        ],
    ),
    ("engine/gates/", &["gates"]),
    ("engine/forecast", &["forecast"]),
    ("engine/money/", &["money", "cash", "payments"]),
    ("engine/figures", &["figures", "Figures", "compute"]),
    ("engine/swap/", &["swap", "fits", "walls"]),
];

#[test]
fn nouns_of_the_engine_do_not_go_round_in_circles() {
    let sources = sources();
    for (at, (folder, _)) in ENGINE.iter().enumerate() {
        let above = ENGINE[at + 1..].iter().flat_map(|(_, modules)| *modules);
        let words: Vec<String> =
            above.flat_map(|m| [format!("engine::{m}"), format!("super::{m}")]).collect();
        let words: Vec<&str> = words.iter().map(String::as_str).collect();
        assert_eq!(offenses(&[folder], "", &words, &sources), NOTHING);
    }
}

#[test]
fn no_binary_floats_in_figures() {
    // What makes trees of documents names them to refuse them.
    assert_eq!(offenses(&PURE, "model/tree/", &["f32", "f64"], &sources()), NOTHING);
}

#[test]
fn every_file_says_what_it_is_and_is_short() {
    let mut found = Vec::new();
    for (name, text) in sources() {
        if !text.starts_with("//! ") {
            found.push(format!("src/{name}: does not begin with a //! line"));
        }
        let lines = text.lines().count();
        if lines > MOST_LINES {
            found.push(format!("src/{name}: {lines} lines"));
        }
    }
    assert_eq!(found, NOTHING);
}

/// The checks above find what they look for.
#[test]
fn the_checks_can_fail() {
    let bad =
        [("engine/x.rs".to_owned(), "//! X\nlet a = 1.0_f64 as f64; // f32\n#[cfg(test)]\nf32\n".to_owned())];
    assert_eq!(offenses(&PURE, "", &["f32", "f64"], &bad), ["src/engine/x.rs:2: f64"]);
    assert_eq!(offenses(&PURE, "engine/", &["f64"], &bad), NOTHING);
    assert!(names("use egui::Ui;", "egui") && !names("my_egui", "egui"));
    for (folder, words) in LAYERS {
        for word in words {
            let bad = [(format!("{folder}x.rs"), format!("//! X\nuse {word}::y;\n"))];
            assert_eq!(layers(&bad), [format!("src/{folder}x.rs:2: {word}")], "{folder} names {word}");
        }
    }
    for (line, expected) in [("a(Color32::RED)", 1), ("a(Color32::from_gray(3))", 0), ("// Color32::RED", 0)]
    {
        let source = [("ui/x.rs".to_owned(), line.to_owned())];
        assert_eq!(named_colors(&source).len(), expected, "{line}");
    }
    let group = [("ui/x.rs".to_owned(), "use crate::{model, ui};\n".to_owned())];
    assert_eq!(layers(&group).len(), 1);
}
