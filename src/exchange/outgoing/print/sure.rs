//! How sure the finish and the total are: for a lender, or for whoever pays with the owner. Shares of many trials by day
//! and by amount, what the finish hangs on, and the risks that were listed.

use super::words::{count, date, maybe_day, money};
use super::{Block, Cell, Paper, Table, TableColumn, TableRow};
use crate::engine::risk::{Risk, Run, Watch, simulate};
use crate::engine::{Day, Figures};
use crate::model::{self, Currency, Money, Project};
use rust_decimal::Decimal;

/// Trials that are made for a paper, and what their numbers hang on: as on the page when it is first opened.
const TRIALS: (u32, u64) = (10_000, 1);

/// Rows of what the finish hangs on.
const MOST: usize = 10;

/// Rows of days.
const DAYS: i32 = 12;

/// The paper.
pub fn paper(project: &Project, figures: &Figures) -> Paper {
    let made = simulate(project, figures, Run::new(TRIALS.0, TRIALS.1), &Watch::default());
    let (facts, blocks) = made.map_or_else(Default::default, |risk| told(project, figures, &risk));
    Paper {
        title: "How sure the finish and the total are".to_owned(),
        project: project.settings.name.clone(),
        as_of: figures.as_of.date(),
        facts,
        blocks,
        wide: false,
        units: project.settings.units,
    }
}

/// A share in percent; what is not quite none or all is not said to be.
pub fn percent(share: Decimal) -> String {
    let hundred = (share * Decimal::ONE_HUNDRED).round();
    if hundred.is_zero() && !share.is_zero() {
        "under 1%".to_owned()
    } else if hundred == Decimal::ONE_HUNDRED && share < Decimal::ONE {
        "over 99%".to_owned()
    } else {
        format!("{}%", hundred.normalize())
    }
}

/// Chance, days and money of a listed risk.
pub fn risk_words(project: &Project, risk: &model::Risk) -> String {
    let currency = project.settings.currency;
    let mut words = vec![format!("{}% likely", risk.chance_pct.normalize())];
    if let Some(likely) = risk.days_likely {
        let (least, most) = (risk.days_min.unwrap_or(likely), risk.days_max.unwrap_or(likely));
        let days = count(usize::try_from(most).unwrap_or(0), "working day");
        let days = if least == most { days } else { format!("{least} to {days}") };
        let phase = risk.phase.and_then(|id| project.phase(id)).map_or("", |p| p.name.as_str());
        words.push(format!("{days} in {phase}"));
    }
    if let Some(likely) = risk.cost_likely {
        let (least, most) = (risk.cost_min.unwrap_or(likely), risk.cost_max.unwrap_or(likely));
        let least = if least == most { String::new() } else { format!("{} to ", money(least, currency)) };
        words.push(format!("{least}{} {currency}", money(most, currency)));
    }
    words.join(", ")
}

fn told(project: &Project, figures: &Figures, risk: &Risk) -> (Vec<(String, String)>, Vec<Block>) {
    let currency = project.settings.currency;
    let amount = |m| format!("{} {currency}", money(m, currency));
    let money = &figures.money;
    let enough = money.total.allowance.plus(money.contingency);
    let target = project.settings.target_finish.map(Day::from);
    let mut facts = vec![
        ("Forecast finish".to_owned(), maybe_day(figures.forecast_finish)),
        ("Target".to_owned(), target.map_or("none".to_owned(), |day| date(day.date()))),
        ("Forecast total".to_owned(), amount(money.total.forecast)),
        ("Allowances and contingency".to_owned(), amount(enough)),
    ];
    if let Some(trials) = risk.in_target {
        facts.push(("Target met in".to_owned(), format!("{} of trials", percent(risk.share(trials)))));
    }
    facts.push((
        "Contingency enough in".to_owned(),
        format!("{} of trials", percent(risk.share(risk.in_contingency))),
    ));
    let mut blocks = vec![Block::Text(format!(
        "Each of {} trials takes days of work, lead times, visits of inspectors, prices that are open and listed risks as \
         they may turn out, between the least and the most that was said. What many trials keep to is sure to that degree.",
        risk.trials
    ))];
    if let Some(table) = days(risk) {
        blocks.push(Block::Heading("Finish".to_owned()));
        blocks.push(Block::Table(table));
    }
    blocks.push(Block::Heading("Total".to_owned()));
    blocks.push(Block::Table(amounts(risk, currency)));
    if let Some(table) = hangs(project, figures, risk) {
        blocks.push(Block::Heading("What the finish hangs on".to_owned()));
        blocks.push(Block::Table(table));
    }
    if !project.risks.is_empty() {
        blocks.push(Block::Heading("Risks".to_owned()));
        let mut table = Table::new(vec![
            TableColumn::text("What may happen", 50),
            TableColumn::text("How likely, and what then", 60),
        ]);
        let row = |own: &model::Risk| {
            TableRow::line(vec![Cell::new(own.what.as_str()), Cell::new(risk_words(project, own))])
        };
        table.rows.extend(project.risks.iter().map(row));
        blocks.push(Block::Table(table));
    }
    if money.total.is_least() {
        blocks.push(Block::Note("What nobody has said a price of is in none of these totals.".to_owned()));
    }
    blocks.push(Block::Note(
        "These are chances and no promises: they rest on what was said of each thing, drawn independently of each other."
            .to_owned(),
    ));
    (facts, blocks)
}

/// Days at even steps from the first trial that is finished to the last, with the share finished by then.
fn days(risk: &Risk) -> Option<Table> {
    let (own, first, last) = (risk.finish.as_ref()?, risk.by_day.first()?.0, risk.by_day.last()?.0);
    let mut table = Table::new(vec![
        TableColumn::text("Finished by", 40),
        TableColumn::number("Share of trials", 24),
        TableColumn::text("", 46),
    ]);
    let step = (last.since(first) / (DAYS - 1)).max(1);
    let mut rows: Vec<Day> = (0..DAYS).map(|n| first.plus(n * step)).take_while(|day| *day < last).collect();
    rows.extend([own.p50, own.p80, own.p90, last]);
    rows.sort_unstable();
    rows.dedup();
    for day in rows {
        let named = [(own.p50, "half of them"), (own.p80, "8 in 10"), (own.p90, "9 in 10")];
        let words: Vec<&str> = named.iter().filter(|(own, _)| *own == day).map(|(_, words)| *words).collect();
        let row = vec![
            Cell::new(maybe_day(Some(day))),
            Cell::new(percent(risk.finished_by(day))),
            Cell::new(words.join(", ")),
        ];
        table.rows.push(TableRow::line(row));
    }
    Some(table)
}

/// What each tenth of the trials comes to at most.
fn amounts(risk: &Risk, currency: Currency) -> Table {
    let mut table = Table::new(vec![
        TableColumn::text("Share of trials", 40),
        TableColumn::number("Total no more than", 30),
    ]);
    for tenth in 1..=10_usize {
        let rank = (tenth * risk.totals.len()).div_ceil(10).max(1) - 1;
        let most: Money = risk.totals.get(rank).copied().unwrap_or_default();
        let words = match tenth {
            5 => "half of them".to_owned(),
            10 => "all of them".to_owned(),
            n => format!("{n} in 10"),
        };
        let row = vec![Cell::new(words), Cell::new(format!("{} {currency}", money(most, currency)))];
        table.rows.push(TableRow::line(row));
    }
    table
}

fn hangs(project: &Project, figures: &Figures, risk: &Risk) -> Option<Table> {
    let rows = risk.hangs(project, figures);
    let mut table = Table::new(vec![
        TableColumn::text("What", 56),
        TableColumn::number("Sets the finish in", 24),
        TableColumn::number("A week's wait costs", 26),
        TableColumn::text("Order by", 24),
    ]);
    for own in rows.iter().take(MOST) {
        let wait = own.week_costs.filter(|days| !days.is_zero());
        table.rows.push(TableRow::line(vec![
            Cell::new(own.name.as_str()),
            Cell::new(percent(risk.share(own.fixing))),
            Cell::new(wait.map_or(String::new(), |days| count(days.normalize(), "working day"))),
            Cell::new(own.order_by.map_or(String::new(), |day| date(day.date()))),
        ]));
    }
    (!rows.is_empty()).then_some(table)
}
