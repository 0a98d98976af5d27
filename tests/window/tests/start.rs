//! The start page: what it offers to somebody who has nothing yet.

#![cfg(feature = "gui")]

mod support;

use egui::Key;
use needline::ui::shell::samples::SAMPLES;
use support::{button_from, command, press, program_on, read, samples, says};

/// Every sample comes with the program, the same as its file, and is nobody's file: it opens saved, and when it was
/// changed, saving asks where it is to go.
#[test]
fn samples_come_with_the_program() {
    let files = ["orchard_house.ron", "hall_bath.ron", "walls_open.ron"];
    assert_eq!(
        SAMPLES.len(),
        std::fs::read_dir(samples())
            .unwrap()
            .filter(|entry| {
                entry.as_ref().unwrap().path().extension().is_some_and(|ending| ending == "ron")
            })
            .count(),
        "each file has its sample"
    );
    for (sample, file) in SAMPLES.iter().zip(files) {
        let mut program = program_on("2030-01-01");
        press(&mut program, sample.name);
        assert_eq!(program.state().project(), Some(&read(&samples().join(file))), "{}", sample.name);
        assert!(says(&program, sample.name));
        assert!(!says(&program, &format!("{} \u{2022}", sample.name)), "nothing is unsaved");
        let day = program.state().figures().unwrap().as_of;
        assert_eq!(
            Some(day.date()),
            program.state().project().unwrap().settings.as_of,
            "its own day, whatever today is"
        );
        command(&mut program, Key::W);
        button_from(&program, "New project");
    }
}

/// The first button of whoever has no project opens the largest.
#[test]
fn the_first_look_is_at_the_largest() {
    let mut program = program_on("2030-01-01");
    press(&mut program, "Look at a sample");
    let selections = program.state().project().unwrap().selections.len();
    for sample in SAMPLES {
        assert!(sample.read().unwrap().selections.len() <= selections, "{}", sample.name);
    }
}
