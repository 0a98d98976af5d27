//! `swap`, `return` and `swaps` without a window: the scripted change of mind on the whole-house sample.

mod common;

use common::{run, sample_folders};
use serde_json::Value;
use std::fs;
use std::path::{Path, PathBuf};

fn house(folder: &Path) -> PathBuf {
    let sheets =
        sample_folders().into_iter().find(|f| f.ends_with("orchard_house")).expect("the sample is there");
    let file = folder.join("house.ron");
    assert_eq!(run(&[&"import", &sheets, &"--out", &file]).0, 0);
    file
}

fn figures(file: &Path) -> Value {
    let (code, out, err) = run(&[&"figures", &file]);
    assert_eq!((code, err.as_str()), (0, ""));
    serde_json::from_str(&out).unwrap()
}

const SWAP: [&str; 4] = ["--selection", "primary_bath_tub", "--to", "primary_bath_tub_stone"];

#[test]
fn preview_make_send_back_and_reverse() {
    let folder = tempfile::tempdir().unwrap();
    let file = house(folder.path());
    let [a, b, c, d] = SWAP;
    let before = fs::read(&file).unwrap();
    let was = figures(&file);

    let (code, out, err) = run(&[&"swap", &file, &a, &b, &c, &d, &"--preview"]);
    assert_eq!((code, err.as_str()), (0, ""));
    for line in [
        "forecast 267144.87 USD to 270233.67 USD, 3088.80 USD more",
        "send it back by 2026-10-30, 39 days left; restocking 193.50 USD, tax kept 14.03 USD, 1176.00 USD comes back",
        "finish 2027-02-11 to 2027-02-18, 4 working days later",
        "knock-on Rule \u{201c}Tub weight suits the floor\u{201d} is not met by ",
    ] {
        assert!(out.contains(line), "{line} is not in\n{out}");
    }
    assert_eq!(fs::read(&file).unwrap(), before, "a look writes nothing");
    let (code, out, _) = run(&[&"swap", &file, &a, &b, &c, &d, &"--preview", &"--json"]);
    let json: Value = serde_json::from_str(&out).unwrap();
    assert_eq!((code, &json["costs"], &json["finish_moves"]), (0, &Value::from("3088.80"), &Value::from(4)));
    assert_eq!(json["returns"][0]["restocking"], "193.50");

    let made = folder.path().join("made.ron");
    let why = "The oval one is too short";
    let (code, out, _) = run(&[&"swap", &file, &a, &b, &c, &d, &"--why", &why, &"--out", &made]);
    assert_eq!(code, 0);
    assert!(out.contains("made as primary_bath_tub_2026_09_21"), "{out}");
    let is = figures(&made);
    assert_eq!(
        (&is["money"]["forecast"], &is["forecast_finish"]),
        (&Value::from("270233.67"), &Value::from("2027-02-18"))
    );
    let log = is["swaps"].as_array().unwrap().last().unwrap();
    assert_eq!((&log["why"], &log["forecast_before"]), (&Value::from(why), &was["money"]["forecast"]));
    let returns = is["returns"].as_array().unwrap();
    let back = returns.iter().find(|r| r["part"] == "primary_bath_tub_oval").unwrap();
    assert_eq!((&back["state"], &back["send_by"]), (&Value::from("to_decide"), &Value::from("2026-10-30")));
    let (_, out, _) = run(&[&"check", &made]);
    assert_eq!(out.lines().filter(|l| l.contains("return_to_decide primary_bath_tub_oval")).count(), 1);

    // Sent back for the credit that was expected: what it cost is in the forecast, the rest is gone from it.
    let sent = folder.path().join("sent.ron");
    let part = ["--part", "primary_bath_tub_oval", "--state", "went-back", "--credit", "$1,176"];
    let args: Vec<&dyn AsRef<std::ffi::OsStr>> = [&"return" as &dyn AsRef<std::ffi::OsStr>, &made]
        .into_iter()
        .chain(part.iter().map(|p| p as _))
        .collect();
    assert_eq!(run(&[args.as_slice(), &[&"--out", &sent]].concat()).0, 0);
    assert_eq!(figures(&sent)["money"]["forecast"], "269057.67");

    let (code, out, _) =
        run(&[&"swap", &made, &"--reverse", &"primary_bath_tub_2026_09_21", &"--out", &made]);
    assert_eq!(code, 0, "the project's own file may be written over");
    assert!(out.contains("back in use Freestanding oval tub"), "{out}");
    let again = figures(&made);
    for key in ["money", "forecast_finish", "phases", "orders", "cash"] {
        assert_eq!(again[key], was[key], "{key} is as before");
    }
    let (code, out, _) = run(&[&"swaps", &made, &"--room", &"primary_bath"]);
    assert_eq!((code, out.lines().count()), (0, 3), "{out}");
    assert!(out.lines().next().unwrap().starts_with("on,room,selection,from,to,why,"));
    assert_eq!(run(&[&"swaps", &made]).1.lines().count(), 11, "the house has eight more");
}

#[test]
fn what_cannot_be_done_is_said_and_nothing_is_written() {
    let folder = tempfile::tempdir().unwrap();
    let file = house(folder.path());
    let other = folder.path().join("there.ron");
    fs::write(&other, "mine").unwrap();
    let [a, b, c, d] = SWAP;
    let cases: [(&[&str], &str); 14] = [
        (&[a, b, "--preview"], "--selection KEY and --to KEY"),
        (&[a, b, c, d], "--out FILE, or --preview"),
        (&[a, b, c, "gold", "--preview"], "no option `gold`; there are primary_bath_tub_oval"),
        (&[a, "bath", c, d, "--preview"], "no selection `bath`"),
        (&[a, b, c, "primary_bath_tub_oval", "--preview"], "the choice already"),
        (&["--reverse", "never", "--preview"], "no swap `never`; there are powder_fan_2026_07_13"),
        (&[a, b, c, d, "--preview", "--price", "template"], "KNOCKON=COST"),
        (&[a, b, c, d, "--preview", "--price", "template:template=5"], "no knock-on with a price"),
        (&[a, b, c, d, "--preview", "--keep", "house_beam"], "no ordered part of the choice"),
        (
            &[a, b, c, d, "--preview", "--send-back", "primary_bath_tub_oval=x"],
            "--send-back: `x` is no number",
        ),
        (&[a, b, c, d, "--preview", "--send-back", "primary_bath_tub_oval=1e5"], "`1e5` is no number"),
        (&[a, b, c, d, "--preview", "--send-back", "primary_bath_tub_oval=12,50"], "can be 12.50 or 1250"),
        (&[a, b, c, d, "--preview", "--price", "template:top=45 EUR"], "the project is in USD"),
        (&[a, b, a, b, "--preview"], "cannot be used multiple times"),
    ];
    for (args, message) in cases {
        let all: Vec<&dyn AsRef<std::ffi::OsStr>> = [&"swap" as &dyn AsRef<std::ffi::OsStr>, &file]
            .into_iter()
            .chain(args.iter().map(|a| a as _))
            .collect();
        let (code, _, err) = run(&all);
        assert_eq!(code, 2, "{args:?}");
        assert!(err.contains(message), "{args:?}: {err}");
    }
    let (code, _, err) = run(&[&"swap", &file, &a, &b, &c, &d, &"--out", &other]);
    assert_eq!((code, fs::read_to_string(&other).unwrap().as_str()), (2, "mine"), "{err}");
    let (code, _, err) =
        run(&[&"return", &file, &"--part", &"primary_bath_tub_oval", &"--state", &"kept", &"--out", &file]);
    assert_eq!(code, 2);
    assert!(err.contains("swap it first"), "{err}");
    assert_eq!(run(&[&"swaps", &file, &"--room", &"cellar"]).0, 2);
}
