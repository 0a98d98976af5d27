//! The inspections: when they are due, what stands before each, what was said at each visit, and room to sign.
//!
//! [`conditions`] is the one place that says what must be true before an inspection.

use super::schedule::state;
use super::words::{count, date, joined, maybe_date, maybe_day};
use super::{Block, Cell, Paper, Table, TableColumn, TableRow};
use crate::engine::gates::condition_text;
use crate::engine::{Day, Figures};
use crate::model::{Phase, PhaseKind, Project};

/// Who decides what is inspected and done.
pub const NOTE: &str = "Local code and the inspector decide what is inspected, when, and what must stay open to view. \
    Electrical, gas and structural work is for licensed trades; no wall is closed before its inspections are passed.";

/// Something that must be true before an inspection.
pub struct Condition {
    /// What.
    pub what: String,
    /// More about it.
    pub more: String,
    /// How it stands, in words.
    pub state: String,
    /// Whether it is true.
    pub met: bool,
}

/// The paper.
pub fn paper(project: &Project, figures: &Figures) -> Paper {
    let inspections: Vec<(usize, &Phase)> =
        project.phases.iter().enumerate().filter(|(_, p)| p.kind == PhaseKind::Inspection).collect();
    let passed = inspections.iter().filter(|(_, p)| p.finished_on().is_some()).count();
    let mut blocks = Vec::new();
    if inspections.is_empty() {
        blocks.push(Block::Text("The project has no inspections.".to_owned()));
    }
    for (at, phase) in &inspections {
        blocks.push(Block::Heading(phase.name.clone()));
        blocks.push(Block::Text(standing(figures, *at, phase)));
        let conditions = conditions(project, figures, *at);
        if !conditions.is_empty() {
            blocks.push(Block::Table(before(&conditions)));
        }
        blocks.push(Block::Table(visits(phase)));
        let asked = corrections(project, phase, figures.as_of);
        if !asked.rows.is_empty() {
            blocks.push(Block::Table(asked));
        }
    }
    blocks.push(Block::Note(NOTE.to_owned()));
    Paper {
        title: "Inspections".to_owned(),
        project: project.settings.name.clone(),
        as_of: figures.as_of.date(),
        facts: vec![
            ("Inspections".to_owned(), inspections.len().to_string()),
            ("Passed".to_owned(), passed.to_string()),
            ("Open".to_owned(), (inspections.len() - passed).to_string()),
        ],
        blocks,
        wide: false,
        units: project.settings.units,
    }
}

fn standing(figures: &Figures, at: usize, phase: &Phase) -> String {
    let now = state(phase);
    if phase.finished_on().is_some() {
        return joined(&[&phase.trade, &now], ", ");
    }
    let due = figures.phases.get(at).map_or_else(|| maybe_date(None), |f| maybe_day(f.forecast_start));
    joined(&[&phase.trade, &now, &format!("expected {due}")], ", ")
}

/// What must be true before an inspection: the phases it follows, finished; the parts it needs, on site; and the
/// conditions of its gates.
pub fn conditions(project: &Project, figures: &Figures, at: usize) -> Vec<Condition> {
    let Some(phase) = project.phases.get(at) else { return Vec::new() };
    let mut conditions = Vec::new();
    for link in project.links.iter().filter(|l| l.after == phase.id && l.kind.from_finish()) {
        let Some(before) = project.phase(link.before) else { continue };
        let now = state(before);
        let expected = figures.phase(before.id).map(|f| maybe_day(f.forecast_finish));
        conditions.push(Condition {
            what: before.name.clone(),
            more: before.trade.clone(),
            met: before.finished_on().is_some(),
            state: match before.finished_on() {
                Some(_) => now,
                None => joined(&[&now, &format!("expected {}", expected.unwrap_or_default())], ", "),
            },
        });
    }
    for ((selection, _, part), f) in project.all_parts().zip(&figures.parts) {
        if f.live && f.phase.is_some_and(|p| p as usize == at) {
            let came = f.arrival.filter(|_| f.on_site).map(|d| d.date());
            conditions.push(Condition {
                what: joined(&[&selection.name, &part.name], ": "),
                more: project.room(selection.room).map_or(String::new(), |room| room.name.clone()),
                met: came.is_some(),
                state: match came {
                    Some(day) => format!("on site since {}", date(day)),
                    None => f
                        .expected
                        .map_or("no day known".to_owned(), |d| format!("expected {}", date(d.date()))),
                },
            });
        }
    }
    for (gate, f) in project.gates.iter().zip(&figures.gates).filter(|(_, f)| f.phase == Some(at)) {
        for (n, condition) in gate.conditions.iter().enumerate() {
            let lacks: Vec<String> = f
                .of(n)
                .map(|m| {
                    let day =
                        m.expected.map_or(String::new(), |day| format!("expected {}", date(day.date())));
                    joined(&[&m.text(project, gate), &m.who(project, gate), &day], ", ")
                })
                .collect();
            conditions.push(Condition {
                what: condition_text(project, condition),
                more: joined(&[&gate.name, &gate.source], ", "),
                met: lacks.is_empty(),
                state: lacks.join("\n"),
            });
        }
    }
    conditions
}

fn before(conditions: &[Condition]) -> Table {
    let mut table = Table::new(vec![
        TableColumn::frame("Seen", 12),
        TableColumn::text("Before it", 50),
        TableColumn::text("Done", 10),
        TableColumn::text("How it stands", 50),
    ]);
    for condition in conditions {
        table.rows.push(TableRow::line(vec![
            Cell::default(),
            Cell::with(condition.what.clone(), condition.more.clone()),
            Cell::new(if condition.met { "yes" } else { "no" }),
            Cell::new(condition.state.clone()),
        ]));
    }
    table
}

/// What the inspector wants put right: by whom, in which phase, by when, and whether it is done.
fn corrections(project: &Project, phase: &Phase, as_of: Day) -> Table {
    let mut table = Table::new(vec![
        TableColumn::frame("Seen", 12),
        TableColumn::text("Correct", 50),
        TableColumn::text("By whom", 30),
        TableColumn::text("Due", 24),
        TableColumn::text("Done", 24),
    ]);
    let mut asked: Vec<_> = project.corrections.iter().filter(|c| c.phase == phase.id).collect();
    asked.sort_by_key(|c| (c.found, c.id));
    for c in asked {
        let fix = c.fix_phase.and_then(|id| project.phase(id)).map_or("", |p| p.name.as_str());
        table.rows.push(TableRow::line(vec![
            Cell::default(),
            Cell::with(c.what.clone(), format!("found {}", date(c.found))),
            Cell::new(joined(&[&c.trade, fix], ", ")),
            Cell::new(c.due.map_or(String::new(), date)),
            Cell::new(match (c.done, c.due.map(Day::from).filter(|due| *due < as_of)) {
                (Some(done), _) => date(done),
                (None, Some(due)) => format!("no, {} overdue", count(as_of.since(due), "day")),
                (None, None) => "no".to_owned(),
            }),
        ]));
    }
    table
}

/// The visits there were, and a row for one to come while it is not passed.
fn visits(phase: &Phase) -> Table {
    let mut table = Table::new(vec![
        TableColumn::text("Visit", 24),
        TableColumn::text("Result", 14),
        TableColumn::text("What was said", 50),
        TableColumn::text("Correct by", 24),
        TableColumn::frame("Signed", 20),
    ]);
    let mut attempts: Vec<_> = phase.attempts.iter().collect();
    attempts.sort_by_key(|a| a.date);
    for attempt in attempts {
        table.rows.push(TableRow::line(vec![
            Cell::new(date(attempt.date)),
            Cell::new(attempt.word()),
            Cell::new(attempt.note.clone()),
            Cell::new(attempt.correct_by.map_or(String::new(), date)),
            Cell::default(),
        ]));
    }
    if phase.finished_on().is_none() {
        table.rows.push(TableRow::line(vec![Cell::default(); 5]));
    }
    table
}
