//! Checks of the house in use: days without a room or a service, more than there is floor for, and what can no longer go
//! back when it is used.

use super::Found;
use crate::engine::effect::{join, part_name};
use crate::engine::in_use::{Closing, Full, Out, Outage};
use crate::engine::without;
use crate::model::words::count;
use crate::model::{Severity, Subject, Use};

/// Days ahead in which the end of the days for a return is a warning, of something that came.
const SOON: i32 = 14;

/// Things that a message names of those that lie stored.
const MOST_NAMED: usize = 3;

impl Found<'_> {
    pub(super) fn in_use(&mut self) {
        let figures = self.figures;
        self.upside_down();
        for outage in &figures.in_use.out {
            match outage.what {
                Out::Use(of) => self.without_use(of, outage),
                Out::Service(_) => self.without_service(outage),
                // Those who named the room know it; nobody is short of it.
                Out::Room(_) => {}
            }
        }
        if let Some(stored) = &figures.in_use.stored {
            stored.full.iter().for_each(|full| self.full(full));
        }
        figures.in_use.closing.iter().for_each(|closing| self.closing(closing));
    }

    /// Rows whose last phase ends before their first begins, in plan and forecast.
    fn upside_down(&mut self) {
        let (project, figures) = (self.project, self.figures);
        for (row, days) in project.out_of_use.iter().zip(&figures.in_use.rows) {
            if !days.known || days.plan.is_some() || days.forecast.is_some() {
                continue;
            }
            let name = |id| project.phase(id).map_or("a phase", |p| p.name.as_str());
            let message = format!(
                "{} is out of use from the start of {} to the finish of {}, which ends before that start; name them the \
                 other way around",
                row.what(project),
                name(row.from_phase),
                name(row.last_phase())
            );
            let key = project.phase(row.from_phase).map_or("", |p| p.key.as_str());
            self.add(Severity::Warning, "out_upside_down", Subject::Phase(row.from_phase), key, message);
        }
    }

    /// The days from the as-of day on, how many they are, and how the plan had them where that differs.
    fn days_without(&self, outage: &Outage) -> Option<String> {
        let as_of = self.figures.as_of;
        let currency = self.project.settings.currency;
        let ahead = without::ahead(&outage.forecast, as_of);
        if ahead.is_empty() {
            return None;
        }
        let days = |spans: &[_]| without::days(spans).plain(currency);
        let planned = without::ahead(&outage.plan, as_of);
        let plan = match () {
            () if planned == ahead => String::new(),
            () if planned.is_empty() => ", and in the plan on none".to_owned(),
            () => format!(", in the plan {}", days(&planned)),
        };
        let total = count(ahead.iter().map(|span| span.days()).sum::<i32>(), "day");
        let what = without::what(self.project, outage.what);
        Some(format!("{what} {}, {total}{plan}", days(&ahead)))
    }

    /// The work that the rows of an outage name.
    fn taken_by(&self, outage: &Outage) -> String {
        let project = self.project;
        let name = |id| project.phase(id).map_or("a phase", |p| p.name.as_str());
        let rows = outage.rows.iter().filter_map(|at| project.out_of_use.get(*at));
        let words = rows.map(|row| match row.to_phase.filter(|to| *to != row.from_phase) {
            None => format!("during {}", name(row.from_phase)),
            Some(to) => format!("from {} to {}", name(row.from_phase), name(to)),
        });
        join(&words.collect::<Vec<_>>())
    }

    fn without_use(&mut self, of: Use, outage: &Outage) {
        let project = self.project;
        let Some(days) = self.days_without(outage) else { return };
        let rooms: Vec<_> = project.rooms.iter().filter(|room| room.used_as == of).collect();
        let Some(first) = rooms.first() else { return };
        let names: Vec<String> = rooms.iter().map(|room| room.name.clone()).collect();
        let word = of.word();
        let what = match rooms.len() {
            1 => format!(
                "{} is the only {word}, and it is out of use {}; see what keeps this work apart, or arrange for \
                 another {word} on these days",
                first.name,
                self.taken_by(outage)
            ),
            _ => format!(
                "{} are out of use at once; do one after the other by a link between their work, see what keeps them \
                 apart, or arrange for another {word} on these days",
                join(&names)
            ),
        };
        let message = format!("{days}: {what}");
        self.add(Severity::Warning, "days_without", Subject::Room(first.id), &first.key, message);
    }

    fn without_service(&mut self, outage: &Outage) {
        let project = self.project;
        let Some(days) = self.days_without(outage) else { return };
        let first = outage.rows.first().and_then(|at| project.out_of_use.get(*at));
        let Some(phase) = first.and_then(|row| project.phase(row.from_phase)) else { return };
        let message = format!(
            "{days}: it is out {}; ask the trade to have it back each evening, see what keeps this work apart, or \
             arrange for another on these days",
            self.taken_by(outage)
        );
        self.add(Severity::Warning, "days_without", Subject::Phase(phase.id), &phase.key, message);
    }

    fn full(&mut self, full: &Full) {
        let (project, figures) = (self.project, self.figures);
        let Some(floor) = project.settings.storage else { return };
        let unit = project.settings.units.area();
        let most = &full.most;
        let named = most.parts.iter().take(MOST_NAMED).filter_map(|at| part_name(project, figures, *at));
        let mut names: Vec<String> = named.collect();
        if most.parts.len() > names.len() {
            names.push(count(most.parts.len() - names.len(), "other thing"));
        }
        let unknown = match most.unknown {
            0 => String::new(),
            1 => " at least, as 1 thing has no size".to_owned(),
            n => format!(" at least, as {n} things have no size"),
        };
        let days = if full.days.from == full.days.to {
            format!("on {}", full.days.from)
        } else {
            format!("from {} to {}, worst on {}", full.days.from, full.days.to, most.on)
        };
        let message = format!(
            "storage is over full {days}: {} of {} {unit}{unknown}: {}; have some of it brought later, \
             or find more room",
            most.area.normalize(),
            floor.normalize(),
            join(&names)
        );
        self.add(Severity::Warning, "storage_full", Subject::Project, &project.settings.name, message);
    }

    fn closing(&mut self, closing: &Closing) {
        let (project, figures) = (self.project, self.figures);
        let Some(f) = figures.parts.get(closing.part) else { return };
        let (Some((_, _, part)), Some(name)) =
            (project.part(f.id), part_name(project, figures, closing.part))
        else {
            return;
        };
        let phase = part.phase.and_then(|id| project.phase(id)).map_or("its phase", |p| p.name.as_str());
        let Closing { came, last, used, on_site, .. } = *closing;
        let arrives = if on_site { "came" } else { "comes" };
        let (severity, what) = if last < figures.as_of {
            let what = format!(
                "could go back until {last}, and {phase} uses it on {used}; open it and look now, since what is found then \
                 cannot be changed"
            );
            (Severity::Note, what)
        } else {
            let what = format!(
                "{arrives} on {came} and can go back until {last}, before {phase} uses it on {used}; open it and check it \
                 by then, or ask for a later delivery or longer terms"
            );
            let soon = on_site && last.since(figures.as_of) <= SOON;
            (if soon { Severity::Warning } else { Severity::Note }, what)
        };
        self.add(severity, "return_closes", Subject::Part(f.id), &part.key, format!("{name} {what}"));
    }
}
