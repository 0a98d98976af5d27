//! Where the days and the money went since a plan was agreed on: for a lender, or for whoever pays with the owner. The
//! steps by cause, the lines of the log, and the money of each room.

use super::words::{date, maybe_day, money};
use super::{Block, Cell, Paper, Step, Steps, Table, TableColumn, TableRow};
use crate::engine::log::{self, RoomMoved, Story, Told};
use crate::engine::{Day, Figures};
use crate::model::words::{moved, moved_money};
use crate::model::{Currency, KeptPlan, Money, Project};

/// Steps that are drawn; the last is the sum of the others.
const MOST: usize = 14;

/// The paper, of the plan kept last.
pub fn paper(project: &Project, figures: &Figures) -> Paper {
    let (facts, blocks) = match project.agreed_plan() {
        Some(plan) => told(project, figures, plan),
        None => (
            Vec::new(),
            vec![Block::Text(
                "No plan is kept yet that could be compared with what is forecast now.".to_owned(),
            )],
        ),
    };
    Paper {
        title: "Since the plan agreed".to_owned(),
        project: project.settings.name.clone(),
        as_of: figures.as_of.date(),
        facts,
        blocks,
        wide: false,
        units: project.settings.units,
    }
}

fn told(project: &Project, figures: &Figures, plan: &KeptPlan) -> (Vec<(String, String)>, Vec<Block>) {
    let currency = project.settings.currency;
    let story = log::story(project, figures, plan);
    let amount = |m| format!("{} {currency}", money(m, currency));
    let facts = vec![
        (plan.name.clone(), format!("kept {}", date(plan.on))),
        ("Finish then".to_owned(), maybe_day(plan.finish.map(Day::from))),
        ("Finish now".to_owned(), maybe_day(figures.forecast_finish)),
        ("Moved by".to_owned(), story.days.map_or("no finish to compare".to_owned(), days_words)),
        ("Total then".to_owned(), amount(plan.total)),
        ("Total now".to_owned(), amount(figures.money.total.forecast)),
    ];
    let mut blocks = Vec::new();
    if story.causes.is_empty() {
        blocks.push(Block::Text("Neither finish nor total is another than agreed.".to_owned()));
    } else {
        blocks.push(Block::Heading("By cause".to_owned()));
        blocks.push(Block::Steps(steps(project, &story, currency)));
    }
    if !story.lines.is_empty() {
        blocks.push(Block::Heading("What moved it".to_owned()));
        blocks.push(Block::Table(lines(&story, currency)));
    }
    blocks.push(Block::Heading("Money by room".to_owned()));
    blocks.push(Block::Table(rooms(project, &story, currency)));
    blocks.push(Block::Note(
        "Working days are those of the project. Each line begins where the one before it ends, so the lines add up to \
         the day and the cent. Causes were guessed from what was done, and corrected where somebody knew better."
            .to_owned(),
    ));
    (facts, blocks)
}

fn days_words(days: i32) -> String {
    moved(days, "working day").unwrap_or_else(|| "as agreed".to_owned())
}

/// How much more or less, in words; nothing for nothing.
fn money_words(moved: Money, currency: Currency) -> String {
    moved_money(moved, |amount| money(amount, currency)).unwrap_or_default()
}

fn steps(project: &Project, story: &Story, currency: Currency) -> Steps {
    let steps = story.steps(MOST).into_iter().map(|step| Step {
        name: Story::name_of(project, &step),
        before: step.days_before,
        by: step.moved.days,
        words: if step.moved.days == 0 { String::new() } else { days_words(step.moved.days) },
        more: money_words(step.moved.money, currency),
    });
    Steps { steps: steps.collect() }
}

fn lines(story: &Story, currency: Currency) -> Table {
    let mut table = Table::new(vec![
        TableColumn::text("On", 18),
        TableColumn::text("What was done", 42),
        TableColumn::text("Cause", 17),
        TableColumn::number("Days", 18),
        TableColumn::number("Money", 18),
    ]);
    let row = |told: &Told| {
        let days = match (told.days, told.line.finish_before, told.line.finish_after) {
            (0, Some(_), None) => "no finish".to_owned(),
            (0, ..) => String::new(),
            (n, ..) => days_words(n).replace("working ", ""),
        };
        TableRow::line(vec![
            Cell::new(date(told.line.on)),
            Cell::new(told.line.what.as_str()),
            Cell::new(told.line.cause.word()),
            Cell::new(days),
            Cell::new(money_words(told.money, currency)),
        ])
    };
    table.rows.extend(story.lines.iter().map(row));
    table.rows.push(TableRow::sum(vec![
        Cell::new("Since then"),
        Cell::default(),
        Cell::default(),
        Cell::new(story.days.map_or(String::new(), |days| days_words(days).replace("working ", ""))),
        Cell::new(if story.money.is_zero() {
            "as agreed".to_owned()
        } else {
            money_words(story.money, currency)
        }),
    ]));
    table
}

fn rooms(project: &Project, story: &Story, currency: Currency) -> Table {
    let mut table = Table::new(vec![
        TableColumn::text("Room", 40),
        TableColumn::number("Then", 20),
        TableColumn::number("Now", 20),
        TableColumn::number("", 20),
    ]);
    let row = |room: &RoomMoved| {
        let name = room.room.and_then(|id| project.room(id)).map(|room| room.name.as_str());
        TableRow::line(vec![
            Cell::new(name.unwrap_or("No room: trades, permits, extras")),
            Cell::new(room.agreed.map_or("not in it".to_owned(), |m| money(m, currency))),
            Cell::new(money(room.now, currency)),
            Cell::new(money_words(room.money(), currency)),
        ])
    };
    table.rows.extend(story.rooms.iter().map(row));
    table
}
