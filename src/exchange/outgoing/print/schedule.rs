//! When each phase is worked on, what holds it, and what must be on site by when.

use super::words::{count, date, joined, maybe_date, maybe_day, quantity};
use super::{Block, Cell, Paper, Table, TableColumn, TableRow, calendar};
use crate::engine::in_use::Span;
use crate::engine::{Day, Figures, specs, without};
use crate::model::{NeededAt, Phase, PhaseKind, Project};

/// The paper.
pub fn paper(project: &Project, figures: &Figures) -> Paper {
    let mut facts = vec![("Forecast finish".to_owned(), maybe_day(figures.forecast_finish))];
    if let Some(days) = figures.days_lost.filter(|days| *days > 0) {
        facts.push(("Lost to deliveries".to_owned(), count(i64::from(days), "working day")));
    }
    if let Some(target) = project.settings.target_finish {
        facts.push(("Target finish".to_owned(), date(target)));
    }
    if figures.assumed.phases > 0 {
        facts.push(("Phases without days".to_owned(), figures.assumed.phases.to_string()));
    }
    // The picture of it all stands first.
    let mut blocks: Vec<Block> = calendar::of(project, figures).map(Block::Calendar).into_iter().collect();
    blocks.extend([
        Block::Heading("Phases".to_owned()),
        Block::Table(phases(project, figures)),
        Block::Note(
            "Forecast: the plan with deliveries as they are expected. Float: working days a phase can slip before \
             the finish moves. The need date of a part is the day it must be on site; after it the phase waits."
                .to_owned(),
        ),
        Block::Heading("What must be on site".to_owned()),
        Block::Table(needs(project, figures)),
    ]);
    let out = days_without(project, figures);
    if !out.rows.is_empty() {
        blocks.push(Block::Heading("Days without a room or a service".to_owned()));
        blocks.push(Block::Table(out));
        blocks.push(Block::Note(
            "From the first day of the work that takes it to the last, days off between them too. A use is missed when \
             every room of it is out of use."
                .to_owned(),
        ));
    }
    let known = known(project, figures);
    if !known.rows.is_empty() {
        blocks.push(Block::Heading("What must be known".to_owned()));
        blocks.push(Block::Table(known));
    }
    Paper {
        title: "Schedule with need dates".to_owned(),
        project: project.settings.name.clone(),
        as_of: figures.as_of.date(),
        facts,
        blocks,
        wide: true,
        units: project.settings.units,
    }
}

/// What is missed, on which days in the plan and in the forecast, and the work that takes it away.
fn days_without(project: &Project, figures: &Figures) -> Table {
    let mut table = Table::new(vec![
        TableColumn::text("What", 24),
        TableColumn::text("Plan", 34),
        TableColumn::text("Forecast", 34),
        TableColumn::text("For", 60),
    ]);
    let name = |id| project.phase(id).map_or("", |p: &Phase| p.name.as_str());
    for outage in &figures.in_use.out {
        let days = |spans: &[Span]| match spans {
            [] => "on no day".to_owned(),
            spans => without::days(spans).shown(|day| date(day.date()), |_| String::new()),
        };
        let rows = outage.rows.iter().filter_map(|at| project.out_of_use.get(*at));
        let work: Vec<String> = rows
            .map(|row| match row.to_phase.filter(|to| *to != row.from_phase) {
                None => format!("{}: {}", row.what(project), name(row.from_phase)),
                Some(to) => format!("{}: {} to {}", row.what(project), name(row.from_phase), name(to)),
            })
            .collect();
        table.rows.push(TableRow::line(vec![
            Cell::new(without::what(project, outage.what)),
            Cell::new(days(&outage.plan)),
            Cell::new(days(&outage.forecast)),
            Cell::with(String::new(), work.join("\n")),
        ]));
    }
    table
}

/// What a phase is now, in words.
pub fn state(phase: &Phase) -> String {
    match (phase.finished_on(), phase.visits().max_by_key(|a| a.date)) {
        (Some(day), _) if phase.kind == PhaseKind::Inspection => format!("passed {}", date(day)),
        (Some(day), _) => format!("done {}", date(day)),
        (None, Some(last)) => format!("failed {}", date(last.date)),
        (None, None) => match phase.actual_start {
            Some(day) => format!("begun {}", date(day)),
            None => String::new(),
        },
    }
}

fn phases(project: &Project, figures: &Figures) -> Table {
    let mut table = Table::new(vec![
        TableColumn::text("Phase", 34),
        TableColumn::text("Plan: first day", 18),
        TableColumn::text("last day", 18),
        TableColumn::text("Forecast: first day", 18),
        TableColumn::text("last day", 18),
        TableColumn::number("Float", 9),
        TableColumn::text("Held by", 34),
    ]);
    let keys: Vec<String> = project
        .all_parts()
        .map(|(selection, _, part)| joined(&[&selection.name, &part.name], ": "))
        .collect();
    let mut rows: Vec<(Option<Day>, TableRow)> = Vec::new();
    for (phase, f) in project.phases.iter().zip(&figures.phases) {
        let kind = if phase.kind == PhaseKind::Work { "" } else { PhaseKind::ALL[phase.kind as usize].0 };
        let held: Vec<String> = f
            .held_by
            .iter()
            .filter_map(|h| {
                let name = keys.get(h.part)?;
                let days = if h.days > 0 { count(i64::from(h.days), "working day") } else { String::new() };
                Some(joined(&[name, &days], ", "))
            })
            .collect();
        let float = match f.total_float {
            Some(n) if f.critical => Cell::with(n.to_string(), "critical"),
            Some(n) => Cell::new(n.to_string()),
            None => Cell::default(),
        };
        let row = TableRow::line(vec![
            Cell::with(phase.name.clone(), joined(&[who(project, phase), kind, &state(phase)], ", ")),
            Cell::new(maybe_day(f.early_start)),
            Cell::new(maybe_day(f.early_finish)),
            Cell::new(maybe_day(f.forecast_start)),
            Cell::new(maybe_day(f.forecast_finish)),
            float,
            Cell::with(String::new(), held.join("\n")),
        ]);
        rows.push((f.forecast_start, row));
    }
    // As they come; those without a day stand at the end, the others of a day in the order of the project.
    rows.sort_by_key(|(day, _)| day.map_or((1, None), |d| (0, Some(d))));
    table.rows = rows.into_iter().map(|(_, row)| row).collect();
    table
}

/// The crew of a phase, else its trade.
pub fn who<'a>(project: &'a Project, phase: &'a Phase) -> &'a str {
    let crew = phase.crew.and_then(|id| project.crew(id));
    crew.map_or(phase.trade.as_str(), |crew| crew.name.as_str())
}

fn needs(project: &Project, figures: &Figures) -> Table {
    let mut table = Table::new(vec![
        TableColumn::text("Needed", 21),
        TableColumn::text("Part", 38),
        TableColumn::text("Room", 19),
        TableColumn::text("Phase", 25),
        TableColumn::text("Supplier", 21),
        TableColumn::text("Order by", 21),
        TableColumn::text("Expected", 21),
    ]);
    let mut rows: Vec<(Day, TableRow)> = Vec::new();
    for ((selection, _, part), f) in project.all_parts().zip(&figures.parts) {
        let Some(need) = f.need_date.filter(|_| f.live && !f.built_in) else { continue };
        let phase = f.phase.and_then(|p| project.phases.get(p as usize)).map_or("", |p| p.name.as_str());
        let supplier = f.supplier.and_then(|s| project.suppliers.get(s as usize));
        let amount = f.takeoff_error.is_none().then_some(f.quantity_to_buy);
        let state = if f.on_site {
            "on site"
        } else if f.is_assumed() {
            "typically; nobody has said"
        } else if f.late {
            if f.placed.is_some() { "ordered, late" } else { "if ordered now, late" }
        } else if f.placed.is_some() {
            "ordered"
        } else {
            "if ordered now"
        };
        let words = |words: &str, day: Option<Day>| {
            day.map_or(String::new(), |day| format!("{words} {}", date(day.date())))
        };
        let order_by = match f.placed {
            Some(_) => Cell::new("ordered"),
            None => Cell::with(
                maybe_day(f.order_by),
                joined(&[&words("not before", f.orderable_from), &words("ask by", f.ask_by)], "\n"),
            ),
        };
        let at = if part.at == NeededAt::Finish { "by its last day" } else { "" };
        let row = TableRow::line(vec![
            Cell::new(date(need.date())),
            Cell::with(joined(&[&selection.name, &part.name], ": "), quantity(amount, &part.unit)),
            Cell::new(project.room(selection.room).map_or("", |r| r.name.as_str())),
            Cell::with(phase, at),
            Cell::new(supplier.map_or("", |s| s.name.as_str())),
            order_by,
            Cell::with(maybe_date(f.expected.map(|d| d.date())), state),
        ]);
        rows.push((need, row));
    }
    rows.sort_by_key(|(need, _)| *need);
    table.rows = rows.into_iter().map(|(_, row)| row).collect();
    table
}

/// What of the selections must be known, by when and for whom; what was told stands there too, to be held to it.
fn known(project: &Project, figures: &Figures) -> Table {
    let mut table = Table::new(vec![
        TableColumn::text("Known by", 21),
        TableColumn::text("What", 40),
        TableColumn::text("Of", 26),
        TableColumn::text("For", 34),
        TableColumn::text("Told", 40),
    ]);
    let facts = figures.spec_facts(project);
    let mut rows: Vec<(Option<Day>, TableRow)> = Vec::new();
    for (selection, own) in project.selections.iter().zip(&figures.selections) {
        for spec in &selection.specs {
            let Some((waits, day)) = facts.known_by(spec) else { continue };
            // What is built in needs not be told any more.
            if spec.is_open() && own.decide.open == 0 {
                continue;
            }
            let told = match spec.told_on {
                None => String::new(),
                Some(on) => {
                    let what = spec.told.as_ref().map_or(String::new(), ToString::to_string);
                    joined(&[&spec.told_to, &date(on), &what], ", ")
                }
            };
            let option = selection.live_option();
            let contradicted = option.and_then(|o| specs::contradiction_words(project, spec, o));
            let row = TableRow::line(vec![
                Cell::new(maybe_day(day)),
                Cell::new(spec.what.clone()),
                Cell::new(selection.name.clone()),
                Cell::new(specs::waits_words(project, figures, waits)),
                Cell::with(told, contradicted.unwrap_or_default()),
            ]);
            rows.push((day, row));
        }
    }
    rows.sort_by_key(|(day, _)| day.map_or((1, None), |d| (0, Some(d))));
    table.rows = rows.into_iter().map(|(_, row)| row).collect();
    table
}
