//! How long a project of 10,000 parts takes to open and to save, and how much memory it holds open.
//!
//! The memory is that of this process, as the system counts it (Linux), with the document, its figures and two hundred
//! steps that can be undone. What was measured stands in README.md here.

#[allow(dead_code)]
mod generate;

use divan::{Bencher, black_box};
use generate::AS_OF;
use needline::engine::compute;
use needline::model::file::{from_text, load, save, to_text};
use needline::model::{Action, Money, PartId};
use rust_decimal::Decimal;
use std::path::{Path, PathBuf};

const SIZE: (usize, usize) = (10_000, 500);

fn main() {
    memory();
    divan::main();
}

/// Opens a project, edits it and keeps what can be undone, and prints the memory at each step.
fn memory() {
    let Ok(text) = to_text(&generate::project(SIZE.0, SIZE.1)) else {
        panic!("it cannot be written as text")
    };
    let path = PathBuf::from("made_up.ron");
    let before = resident();
    let Ok(mut project) = from_text(&text, &path) else { panic!("the made-up project cannot be read") };
    let mut figures = compute(&project, AS_OF);
    let open = resident();
    let ids: Vec<PartId> = project.all_parts().map(|(_, _, part)| part.id).collect();
    let mut steps = Vec::new();
    for (turn, id) in ids.iter().step_by(ids.len() / 200).enumerate() {
        let action = Action::SetPaid(*id, Money::new(Decimal::from(turn as u32)));
        let next = project.apply(&action).unwrap_or_else(|e| panic!("{e}"));
        figures = compute(&next, AS_OF);
        steps.push(std::mem::replace(&mut project, next));
    }
    let edited = resident();
    println!(
        "memory, {} parts: {} MB of text; {} MB before, {} MB open with all figures, {} MB after {} edits kept for undo",
        ids.len(),
        text.len() / 1_000_000,
        mb(before),
        mb(open),
        mb(edited),
        steps.len()
    );
    black_box((figures, steps));
}

/// Resident memory in kB; nothing where the system does not say.
fn resident() -> Option<u64> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find(|line| line.starts_with("VmRSS:"))?;
    line.split_whitespace().nth(1)?.parse().ok()
}

fn mb(kb: Option<u64>) -> String {
    kb.map_or("?".to_owned(), |kb| (kb / 1000).to_string())
}

fn place() -> PathBuf {
    std::env::temp_dir().join(format!("needline_bench_{}.ron", std::process::id()))
}

#[divan::bench]
fn open_10_000(bencher: Bencher<'_, '_>) {
    let path = place();
    if let Err(error) = save(&generate::project(SIZE.0, SIZE.1), &path, None) {
        panic!("{error}");
    }
    bencher.bench_local(|| load(black_box(&path)));
    remove(&path);
}

#[divan::bench]
fn save_10_000(bencher: Bencher<'_, '_>) {
    let (project, path) = (generate::project(SIZE.0, SIZE.1), place());
    bencher.bench_local(|| save(black_box(&project), &path, None));
    remove(&path);
}

/// The file and the ones kept before it.
fn remove(path: &Path) {
    let _ = std::fs::remove_file(path);
    for n in 1..10 {
        let _ = std::fs::remove_file(format!("{}.{n}.bak", path.display()));
    }
}
