//! Why this date? The chain that fixes it in words, from the end back to the as-of day, each step a link to its place.

use super::areas::house::ledger_facts::part_at;
use super::format;
use super::session::Session;
use super::theme::tokens::{space, type_size};
use super::view::{Outbox, View};
use super::widgets::{floating, marks, pieces};
use crate::engine::Day;
use crate::engine::lead;
use crate::engine::why::{self, Cause, DayOff, Delivery, RestsOn, Step};
use crate::model::{LagUnit, LinkKind, NeededAt, PartId, PhaseId, Subject};
use egui::{RichText, ScrollArea, Sense, Ui, vec2};

/// Which date is asked about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WhyTarget {
    /// The forecast finish of the whole work.
    Finish,
    /// The dates of a phase.
    Phase(PhaseId),
    /// The need date and the arrival of a part.
    Part(PartId),
}

/// A line of the answer: what it says and where it leads.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// A heading has the name of a thing; other lines stand under it.
    pub heading: bool,
    /// The words.
    pub text: String,
    /// Where a click leads.
    pub subject: Option<Subject>,
    /// It says what costs days.
    pub costs: bool,
}

fn line(text: String, subject: Option<Subject>) -> Line {
    Line { heading: false, text, subject, costs: false }
}

/// The date that is asked about.
pub fn asked(view: &View<'_>, target: WhyTarget) -> Option<Day> {
    match target {
        WhyTarget::Finish => view.figures.forecast_finish,
        WhyTarget::Phase(id) => view.figures.phase(id)?.forecast_start,
        WhyTarget::Part(id) => view.figures.part(id).and_then(|f| f.need_date.or(f.expected)),
    }
}

/// The answer in lines.
pub fn lines(view: &View<'_>, target: WhyTarget) -> Vec<Line> {
    let (project, figures) = (view.project, view.figures);
    match target {
        WhyTarget::Finish => {
            let Some(last) = why::last_phase(project, figures) else { return Vec::new() };
            let mut lines = Vec::new();
            if let Some(plan) = figures.plan_finish {
                let lost = figures.days_lost.unwrap_or(0);
                let words = match lost {
                    0 => format!("Deliveries cost no day: without them it would be {} too.", day(view, plan)),
                    n => format!(
                        "Without waiting for deliveries it would be {}: {} lost.",
                        day(view, plan),
                        format::count(n, "working day")
                    ),
                };
                lines.push(Line { costs: lost > 0, ..line(words, None) });
            }
            lines.extend(chain(view, last));
            lines
        }
        WhyTarget::Phase(id) => figures.index.of(id.0).map_or(Vec::new(), |at| chain(view, at)),
        WhyTarget::Part(id) => part_lines(view, id),
    }
}

fn chain(view: &View<'_>, phase: usize) -> Vec<Line> {
    let steps = why::chain(view.project, view.figures, phase);
    steps.iter().flat_map(|step| step_lines(view, step)).collect()
}

fn day(view: &View<'_>, day: Day) -> String {
    format::day(day, view.as_of())
}

fn step_lines(view: &View<'_>, step: &Step) -> Vec<Line> {
    let Some(phase) = view.project.phases.get(step.phase) else { return Vec::new() };
    let subject = Some(Subject::Phase(phase.id));
    let span = match (step.first, step.last) {
        (Some(first), Some(last)) if first == last => day(view, first),
        (Some(first), Some(last)) => {
            format!(
                "{} to {}, {}",
                day(view, first),
                day(view, last),
                format::count(view.figures.days_of(step.phase), "working day")
            )
        }
        _ => "no dates".to_owned(),
    };
    let mut lines = vec![Line { heading: true, ..line(format!("{}, {span}", phase.name), subject) }];
    lines.extend(cause_lines(view, step, &step.cause));
    let also = step.also.iter().filter(|c| matches!(c, Cause::Link { .. } | Cause::NotBefore(_)));
    for cause in also {
        for mut more in cause_lines(view, step, cause).into_iter().take(1) {
            more.text = format!("and as much: {}", more.text);
            lines.push(more);
        }
    }
    lines.extend(step.skipped.iter().map(|off| line(off_words(view, off), Some(Subject::Project))));
    lines
}

fn off_words(view: &View<'_>, off: &DayOff) -> String {
    let near = view.as_of();
    let when = if off.from == off.to {
        day(view, off.from)
    } else {
        format!("{} to {}", format::day_short(off.from, near), format::day_short(off.to, near))
    };
    if off.crew {
        return format!("{when}: {}", off.why);
    }
    let closed = view.project.settings.closed.iter().any(|r| (r.from..=r.to).contains(&off.from.date()));
    match (off.why.as_str(), closed) {
        ("", true) => format!("closed {when}"),
        ("", false) => format!("holiday {when}"),
        (why, _) => format!("closed {when}: {why}"),
    }
}

fn cause_lines(view: &View<'_>, step: &Step, cause: &Cause) -> Vec<Line> {
    let Some(phase) = view.project.phases.get(step.phase) else { return Vec::new() };
    let own = Some(Subject::Phase(phase.id));
    match *cause {
        Cause::AsOf => vec![line(format!("can begin on the as-of day, {}", day(view, view.as_of())), own)],
        Cause::ProjectStart => {
            let start = Day::from(view.project.settings.start);
            vec![line(format!("the work starts {}", day(view, start)), Some(Subject::Project))]
        }
        Cause::NotBefore(on) => vec![line(format!("is not to begin before {}", day(view, on)), own)],
        Cause::Permit(at, on) => {
            let Some(permit) = view.project.permits.get(at) else { return Vec::new() };
            let words = match permit.issued_on {
                Some(_) => format!("waits for {}, issued {}", permit.name, day(view, on)),
                None => format!("waits for {}, which is not issued; nobody knows the day", permit.name),
            };
            vec![Line { costs: permit.issued_on.is_none(), ..line(words, Some(Subject::Permit(permit.id))) }]
        }
        Cause::Booked(on) => vec![line(format!("the visit is booked for {}", day(view, on)), own)],
        Cause::FailedInspection(failed, due) => {
            let wait = format::count(view.project.settings.reinspect_wait as i32, "working day");
            let failed = day(view, failed);
            let words = match due {
                Some(due) => format!(
                    "failed {failed}; the corrections are done or due {}, then {wait} to wait for the next visit",
                    day(view, due)
                ),
                None => format!("failed {failed}, then {wait} to wait for the next visit"),
            };
            vec![Line { costs: true, ..line(words, own) }]
        }
        Cause::Corrected(before) => {
            let wait = format::count(view.project.settings.reinspect_wait as i32, "working day");
            let Some(fix) = view.project.phases.get(before) else { return Vec::new() };
            let words = format!("waits for the corrections in {}, then {wait} for the next visit", fix.name);
            vec![line(words, Some(Subject::Phase(fix.id)))]
        }
        Cause::Link { link, before, kind, lag, unit } => {
            let name = view.project.phases.get(before).map_or("", |p| p.name.as_str());
            vec![line(link_words(name, kind, lag, unit), Some(Subject::Link(link)))]
        }
        Cause::Delivery { part, days } => {
            let mut lines = delivery_lines(view, part);
            if let Some(first) = lines.first_mut() {
                first.costs = true;
                first.text = format!("{}: costs {}", first.text, format::count(days, "working day"));
            }
            lines
        }
        Cause::Gate { gate, days, .. } => {
            let Some(gate) = view.project.gates.get(gate) else { return Vec::new() };
            let words = format!("{} is not ready: costs {}", gate.name, format::count(days, "working day"));
            vec![Line { costs: true, ..line(words, Some(Subject::Gate(gate.id))) }]
        }
        Cause::UnderWay => {
            let left = phase
                .days_left
                .map_or(String::new(), |n| format!(", {} left", format::count(n, "working day")));
            vec![line(format!("has begun{left}"), own)]
        }
        Cause::Done => vec![line("is done".to_owned(), own)],
        Cause::NoDates => vec![Line { costs: true, ..line("waits in a circle of links".to_owned(), own) }],
    }
}

/// A link in words: `when Grout is done, and 2 calendar days later`.
pub fn link_words(before: &str, kind: LinkKind, lag: i32, unit: LagUnit) -> String {
    let tie = match kind {
        LinkKind::FS => format!("begins when {before} is done"),
        LinkKind::SS => format!("begins with {before}"),
        LinkKind::FF => format!("is done no earlier than {before}"),
        LinkKind::SF => format!("is done no earlier than {before} begins"),
    };
    let unit = match unit {
        LagUnit::Working => "working day",
        LagUnit::Elapsed => "calendar day",
    };
    match lag {
        0 => tie,
        n if n > 0 => format!("{tie}, and {} later", format::count(n, unit)),
        n => format!("{tie}, less {}", format::count(-n, unit)),
    }
}

/// How a part comes to its arrival.
fn delivery_lines(view: &View<'_>, at: usize) -> Vec<Line> {
    let Some((selection, _, part)) = part_at(view.project, view.figures, at) else { return Vec::new() };
    let subject = Some(Subject::Part(part.id));
    let mut lines = Vec::new();
    let Some(way) = why::delivery(view.project, view.figures, at, part, selection.decide_on) else {
        return lines;
    };
    let of = if part.name == selection.name {
        selection.name.clone()
    } else {
        format!("{} of {}", part.name, selection.name)
    };
    lines.push(line(format!("{of} arrives {}", day(view, way.arrival)), subject));
    lines.push(line(way_words(view, part, &way), subject));
    let hold = view.figures.parts.get(at).map_or(0, |f| f.hold);
    if hold > 0 {
        let words = format!("and is held {} to be checked before use", format::count(hold, "working day"));
        lines.push(line(words, subject));
    }
    lines
}

fn way_words(view: &View<'_>, part: &crate::model::Part, way: &Delivery) -> String {
    let from = part
        .supplier
        .and_then(|id| view.project.supplier(id))
        .map_or(String::new(), |s| format!(" from {}", s.name));
    let ordered = if part.is_ordered() { "ordered" } else { "ordered at the earliest" };
    match way.rests_on {
        RestsOn::Received => "it has come".to_owned(),
        RestsOn::Promised => format!("promised{from} for that day"),
        RestsOn::Missing => "what is still missing of it is expected that day".to_owned(),
        RestsOn::Overdue => {
            "it was due before and has not come, so the next receiving day is taken".to_owned()
        }
        RestsOn::Lead => {
            let mut words = format!("{ordered} {}{from}", day(view, way.order));
            if let Some(after) = way.after.and_then(|at| view.project.phases.get(at)) {
                words.push_str(&format!(", after {}", after.name));
            }
            if way.taken != way.order {
                words.push_str(&format!(", taken {}", day(view, way.taken)));
            }
            words.push_str(&format!(
                ", {}, ready {}",
                match lead::counted(view.project, part).filter(|_| part.lead.is_none()) {
                    Some(typical) => {
                        format!("typically {}, nobody has said", format::lead(typical.count, typical.unit))
                    }
                    None => format!("{} to make", format::lead_of(part)),
                },
                day(view, way.ready)
            ));
            if way.ship_days > 0 {
                words.push_str(&format!(", {} on the road", format::count(way.ship_days, "day")));
            }
            if way.waits {
                words.push_str(&format!(", received {}", day(view, way.arrival)));
            }
            words
        }
    }
}

fn part_lines(view: &View<'_>, id: PartId) -> Vec<Line> {
    let Some(at) = view.figures.index.of(id.0) else { return Vec::new() };
    let Some(f) = view.figures.parts.get(at).filter(|f| f.id == id) else { return Vec::new() };
    let Some((selection, _, part)) = part_at(view.project, view.figures, at) else { return Vec::new() };
    let subject = Some(Subject::Part(id));
    let mut lines = Vec::new();
    let phase = f.phase.map(|p| p as usize).filter(|p| *p < view.project.phases.len());
    if let (Some(need), Some(phase)) = (f.need_date, phase) {
        let name = &view.project.phases[phase].name;
        let figures = &view.figures.phases[phase];
        let (edge, on) = match f.at {
            NeededAt::Start => ("begins", figures.early_start),
            NeededAt::Finish => ("ends", figures.early_finish),
        };
        lines.push(Line { heading: true, ..line(format!("Needed {}", day(view, need)), subject) });
        let on = on.map_or(String::new(), |d| day(view, d));
        let hold = match f.hold {
            0 => "no hold".to_owned(),
            n => format!("less a hold of {}", format::count(n, "working day")),
        };
        lines.push(line(
            format!("{name} {edge} {on} in the plan, {hold}"),
            Some(Subject::Phase(view.project.phases[phase].id)),
        ));
    } else {
        lines.push(line("No phase needs it yet, so there is no need date.".to_owned(), subject));
    }
    let arrives = match f.arrival {
        Some(arrival) => day(view, arrival),
        None => format::expected(f, view.as_of()),
    };
    lines.push(Line { heading: true, ..line(format!("Arrives {arrives}"), subject) });
    if let Some(way) = why::delivery(view.project, view.figures, at, part, selection.decide_on) {
        lines.push(line(way_words(view, part, &way), subject));
    }
    if let (Some(by), false) = (f.order_by, f.placed.is_some()) {
        lines.push(Line { heading: true, ..line(format!("Order by {}", day(view, by)), subject) });
        lines.push(line(
            "the last open day of the supplier on which an order still arrives when needed".to_owned(),
            subject,
        ));
        if let Some(from) = f.waits_from() {
            let after = part.order_after.and_then(|id| view.project.phase(id));
            let after = after.map_or(String::new(), |p| format!(": it waits for {}", p.name));
            lines.push(line(format!("it cannot be ordered before {}{after}", day(view, from)), subject));
        } else if let Some(safe) = f.last_safe_order {
            lines.push(line(format!("ordered after {} it moves the finish", day(view, safe)), subject));
        }
    }
    if let Some(phase) = phase {
        lines.push(Line { heading: true, ..line("What sets the phase".to_owned(), None) });
        lines.extend(chain(view, phase));
    }
    lines
}

/// The name of the window.
pub const WINDOW: &str = "why";

/// Draws the window while a date is asked about.
pub fn window(ctx: &egui::Context, view: &View<'_>, session: &mut Session, out: &mut Outbox) {
    let Some(target) = session.why else { return };
    let Some(asked) = asked(view, target) else {
        session.why = None;
        return;
    };
    let mut open = true;
    let title = match target {
        WhyTarget::Finish => format!("Why {}?", day(view, asked)),
        WhyTarget::Phase(id) => {
            let name = view.project.phase(id).map_or("", |p| p.name.as_str());
            format!("Why {} for {name}?", day(view, asked))
        }
        WhyTarget::Part(id) => {
            let name = view.project.part(id).map_or("", |(_, _, p)| p.name.as_str());
            format!("Why {} for {name}?", day(view, asked))
        }
    };
    let height = ctx.content_rect().height() - 170.0;
    let own = egui::Window::new(&title)
        .id(egui::Id::unique(WINDOW))
        .default_width(470.0)
        .default_pos(egui::pos2(210.0, 76.0))
        .default_height(height)
        .max_height(height);
    floating::show(ctx, own, &title, &mut open, |ui| {
        pieces::muted(
            ui,
            view.tokens,
            "From the end back to what depends on nothing else. Each line leads to its place.",
        );
        ScrollArea::vertical().max_height(height - 70.0).show(ui, |ui| {
            ui.spacing_mut().item_spacing.y = 0.0;
            ui.spacing_mut().interact_size.y = pieces::LEAST;
            ui.spacing_mut().button_padding.y = 0.0;
            for (i, line) in lines(view, target).iter().enumerate() {
                ui.push_id(i, |ui| draw(ui, view, line, i == 0, out));
            }
        });
    });
    if !open {
        session.why = None;
    }
}

fn draw(ui: &mut Ui, view: &View<'_>, line: &Line, first: bool, out: &mut Outbox) {
    let tokens = view.tokens;
    if line.heading && !first {
        ui.add_space(space::S + 2.0);
    }
    ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing.x = 5.0;
        if !line.heading {
            ui.add_space(14.0);
        }
        if line.costs {
            let (mark, _) = ui.allocate_exact_size(vec2(12.0, 16.0), Sense::hover());
            marks::triangle(ui.painter(), mark.center(), tokens.late);
        }
        let tone = match (line.costs, line.heading) {
            (true, _) => tokens.late,
            (false, true) => tokens.text,
            _ => tokens.muted,
        };
        let text = if line.heading {
            pieces::strong(&line.text, type_size::BODY).color(tone)
        } else {
            RichText::new(&line.text).color(tone)
        };
        match line.subject {
            Some(subject) => {
                let button = ui.add(egui::Button::new(text).frame(false).wrap());
                if button.on_hover_cursor(egui::CursorIcon::PointingHand).clicked() {
                    out.show(subject);
                }
            }
            None => {
                ui.add(egui::Label::new(text).wrap());
            }
        }
    });
}
