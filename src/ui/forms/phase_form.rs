//! The form of a phase: durations, actual dates, what it follows, and the visits of the inspector.

use super::fields;
use crate::model::caution;
use crate::model::ids::key_from_name;
use crate::model::visit::Outcome;
use crate::model::{
    Action, Attempt, Hazard, LagUnit, Link, LinkId, LinkKind, Phase, PhaseId, PhaseKind, PhaseRole, Project,
    Work,
};
use crate::ui::theme::Tokens;
use crate::ui::widgets::cautions::caution_text;
use crate::ui::widgets::drop_down::{drop_down, one_of};
use crate::ui::widgets::pieces;
use egui::Ui;

/// A phase with the links that lead to it.
pub struct PhaseForm {
    old: Option<Phase>,
    name: String,
    trade: String,
    kind: PhaseKind,
    work: Option<Work>,
    role: PhaseRole,
    days: String,
    days_min: String,
    days_max: String,
    not_before: String,
    actual_start: String,
    actual_finish: String,
    days_left: String,
    links: Vec<LinkRow>,
    attempts: Vec<AttemptRow>,
    hazards: Option<Vec<Hazard>>,
    own_work: bool,
    fail_pct: String,
    correct_days: String,
}

struct LinkRow {
    id: Option<LinkId>,
    before: Option<PhaseId>,
    kind: LinkKind,
    lag: String,
    unit: LagUnit,
}

struct AttemptRow {
    date: String,
    result: Outcome,
    note: String,
    correct_by: String,
}

impl PhaseForm {
    /// Opens the form; `None` when the phase is gone.
    pub fn new(project: &Project, id: Option<PhaseId>) -> Option<PhaseForm> {
        let old = match id {
            Some(id) => Some(project.phase(id)?.clone()),
            None => None,
        };
        let p = old.clone().unwrap_or_else(|| Phase::new(PhaseId(0), "", "", None));
        let links = project
            .links
            .iter()
            .filter(|l| Some(l.after) == id)
            .map(|l| LinkRow {
                id: Some(l.id),
                before: Some(l.before),
                kind: l.kind,
                lag: l.lag.to_string(),
                unit: l.unit,
            })
            .collect();
        Some(PhaseForm {
            name: p.name,
            trade: p.trade,
            kind: p.kind,
            work: p.work,
            role: p.role,
            days: fields::shown(p.days),
            days_min: fields::shown(p.days_min),
            days_max: fields::shown(p.days_max),
            not_before: fields::shown(p.not_before),
            actual_start: fields::shown(p.actual_start),
            actual_finish: fields::shown(p.actual_finish),
            days_left: fields::shown(p.days_left),
            links,
            attempts: p
                .attempts
                .iter()
                .map(|a| AttemptRow {
                    date: a.date.to_string(),
                    result: a.outcome(),
                    note: a.note.clone(),
                    correct_by: fields::shown(a.correct_by),
                })
                .collect(),
            hazards: p.hazards,
            own_work: p.own_work,
            fail_pct: fields::shown(p.fail_pct),
            correct_days: fields::shown(p.correct_days),
            old,
        })
    }

    /// Draws the fields.
    pub fn ui(&mut self, ui: &mut Ui, project: &Project, tokens: &Tokens) {
        fields::text(ui, "Name", &mut self.name);
        fields::text(ui, "Trade", &mut self.trade);
        ui.checkbox(&mut self.own_work, "I do this work myself, without a price");
        fields::choice(ui, "Kind", &mut self.kind, &fields::words(&PhaseKind::ALL));
        self.work_ui(ui);
        let roles = [
            ("nothing in particular", PhaseRole::Plain),
            ("its parts end up behind the wall", PhaseRole::InWall),
            ("it closes the walls", PhaseRole::CoverUp),
            ("it measures for countertops", PhaseRole::Template),
        ];
        fields::choice(ui, "What it settles", &mut self.role, &fields::words(&roles));
        fields::text(ui, "Working days", &mut self.days);
        fields::text(ui, "Shortest", &mut self.days_min);
        fields::text(ui, "Longest", &mut self.days_max);
        fields::date(ui, "Not before", &mut self.not_before);
        fields::section(ui, tokens, "How it went");
        fields::date(ui, "Begun on", &mut self.actual_start);
        fields::text_hint(ui, "Days left", &mut self.days_left, "from the as-of day on, once begun");
        fields::date(ui, "Last day worked", &mut self.actual_finish);
        if self.kind == PhaseKind::Inspection || !self.attempts.is_empty() {
            self.attempts_ui(ui, tokens);
        }
        if self.kind == PhaseKind::Inspection {
            fields::text_hint(
                ui,
                "Chance that a visit fails, percent",
                &mut self.fail_pct,
                "not said when empty",
            );
            fields::text_hint(ui, "Working days for corrections", &mut self.correct_days, "3");
        }
        self.links_ui(ui, project, tokens);
        self.hazards_ui(ui, project, tokens);
    }

    /// What is done, or looked at; picking it settles what it does to choices where nothing was said of that.
    fn work_ui(&mut self, ui: &mut Ui) {
        let told = Work::guess(&self.name).map_or("not said", Work::title);
        let mut kinds = vec![(format!("as the name tells: {told}"), None)];
        kinds.extend(Work::ALL.iter().map(|(_, work)| (work.title().to_owned(), Some(*work))));
        let before = self.work;
        fields::choice(ui, "Kind of work", &mut self.work, &kinds);
        if let Some(work) = self.work.filter(|_| self.work != before)
            && self.role.is_plain()
            && self.kind == PhaseKind::Work
        {
            self.role = work.role();
        }
    }

    /// What can hurt: as goes with the kind of work, or as ticked.
    fn hazards_ui(&mut self, ui: &mut Ui, project: &Project, tokens: &Tokens) {
        fields::section(ui, tokens, "What can hurt here");
        let mut phase = Phase::new(PhaseId(0), "", &self.name, 0);
        (phase.work, phase.kind, phase.hazards) = (self.work, self.kind, self.hazards.clone());
        let now = caution::hazards_of(&phase);
        let mut guessed = self.hazards.is_none();
        if ui.checkbox(&mut guessed, "as goes with the kind of work").changed() {
            self.hazards = (!guessed).then(|| now.clone());
        }
        ui.horizontal_wrapped(|ui| {
            for (_, hazard) in Hazard::ALL {
                let mut ticked = now.contains(&hazard);
                if ui.checkbox(&mut ticked, hazard.title()).changed() {
                    let all = Hazard::ALL.iter().map(|(_, h)| *h);
                    let is = |h: &Hazard| if *h == hazard { ticked } else { now.contains(h) };
                    self.hazards = Some(all.filter(is).collect());
                }
            }
        });
        for found in caution::of_phase(&phase, project.settings.year_built) {
            ui.add_space(4.0);
            caution_text(ui, tokens, &found);
        }
    }

    fn attempts_ui(&mut self, ui: &mut Ui, tokens: &Tokens) {
        fields::section(ui, tokens, "Visits of the inspector: day, what to correct, by when");
        let mut gone = None;
        for (i, row) in self.attempts.iter_mut().enumerate() {
            ui.push_id(("attempt", i), |ui| {
                ui.horizontal(|ui| {
                    ui.add(egui::TextEdit::singleline(&mut row.date).desired_width(80.0))
                        .on_hover_text("Day of the visit");
                    one_of(ui, "Result of the visit", 80.0, &mut row.result, Attempt::RESULTS);
                    ui.add(egui::TextEdit::singleline(&mut row.note).desired_width(120.0))
                        .on_hover_text("What to correct");
                    ui.add(egui::TextEdit::singleline(&mut row.correct_by).desired_width(80.0))
                        .on_hover_text("Corrected by");
                    if pieces::icon_button(ui, lucide_icons::Icon::Trash2, "Remove visit").clicked() {
                        gone = Some(i);
                    }
                });
            });
        }
        if let Some(i) = gone {
            self.attempts.remove(i);
        }
        if pieces::link(ui, tokens, "+ add a visit").clicked() {
            self.attempts.push(AttemptRow {
                date: String::new(),
                result: Outcome::Passed,
                note: String::new(),
                correct_by: String::new(),
            });
        }
    }

    fn links_ui(&mut self, ui: &mut Ui, project: &Project, tokens: &Tokens) {
        fields::section(ui, tokens, "Waits for: phase, which ends, lag, counted in");
        let mut gone = None;
        for (i, row) in self.links.iter_mut().enumerate() {
            ui.push_id(("link", i), |ui| {
                ui.horizontal(|ui| {
                    let own = self.old.as_ref().map(|o| o.id);
                    let others = project.phases.iter().filter(|p| Some(p.id) != own);
                    let all = others.map(|p| (p.name.as_str(), Some(p.id)));
                    let none = row.before.is_none().then_some(("pick a phase", None));
                    one_of(
                        ui,
                        "The phase that comes first",
                        170.0,
                        &mut row.before,
                        none.into_iter().chain(all),
                    )
                    .on_hover_text("The phase that comes first");
                    let word = LinkKind::ALL.iter().find(|(_, k)| *k == row.kind).map_or("", |(w, _)| w);
                    drop_down(ui, "Which ends are tied", word, 50.0, |ui| {
                        let helps =
                            ["finish to start", "start to start", "finish to finish", "start to finish"];
                        for ((word, kind), help) in LinkKind::ALL.into_iter().zip(helps) {
                            ui.selectable_value(&mut row.kind, kind, format!("{word}, {help}"));
                        }
                    })
                    .on_hover_text("Which ends are tied");
                    ui.add(egui::TextEdit::singleline(&mut row.lag).desired_width(36.0))
                        .on_hover_text("Lag in days");
                    one_of(ui, "Unit of the lag", 72.0, &mut row.unit, LagUnit::ALL)
                        .on_hover_text("Working days, or calendar days for what cures or dries");
                    if pieces::icon_button(ui, lucide_icons::Icon::Trash2, "Remove link").clicked() {
                        gone = Some(i);
                    }
                });
            });
        }
        if let Some(i) = gone {
            self.links.remove(i);
        }
        if pieces::link(ui, tokens, "+ add a link").clicked() {
            self.links.push(LinkRow {
                id: None,
                before: None,
                kind: LinkKind::FS,
                lag: "0".to_owned(),
                unit: LagUnit::Working,
            });
        }
    }

    /// The change the form asks for: the phase and its links as one step.
    ///
    /// # Errors
    /// What is wrong with which field.
    pub fn action(&self, project: &Project) -> Result<Action, String> {
        let name = fields::required("Name", &self.name)?;
        let mut next_id = project.next_id;
        let (id, key) = match &self.old {
            Some(old) => (old.id, old.key.clone()),
            None => {
                next_id += 1;
                (
                    PhaseId(project.next_id),
                    key_from_name(&name, project.phases.iter().map(|p| p.key.as_str())),
                )
            }
        };
        if self.kind != PhaseKind::Inspection && !self.attempts.is_empty() {
            let why =
                "Kind: visits of the inspector are recorded; remove them below, or keep it an inspection";
            return Err(why.to_owned());
        }
        let visit = |row: &AttemptRow| {
            Ok(Attempt {
                date: fields::day("Day of the visit", &row.date)?.ok_or("Day of the visit: write a date")?,
                passed: row.result == Outcome::Passed,
                booked: row.result == Outcome::Booked,
                note: row.note.trim().to_owned(),
                correct_by: fields::day("Corrected by", &row.correct_by)?,
            })
        };
        // What concerns visits goes with them.
        let visits = self.kind == PhaseKind::Inspection;
        let fail_pct = Some(self.fail_pct.trim()).filter(|text| visits && !text.is_empty());
        let fail_pct =
            fail_pct.map(|text| fields::percent("Chance that a visit fails, percent", text)).transpose()?;
        let correct_days = if visits { self.correct_days.as_str() } else { "" };
        let attempts = self.attempts.iter().map(visit).collect::<Result<_, String>>()?;
        let known = project.phase(id).cloned();
        let phase = Phase {
            id,
            key,
            name: name.clone(),
            trade: self.trade.trim().to_owned(),
            kind: self.kind,
            work: self.work,
            role: self.role,
            days: fields::working_days("Working days", &self.days)?,
            days_min: fields::working_days("Shortest", &self.days_min)?,
            days_max: fields::working_days("Longest", &self.days_max)?,
            not_before: fields::day("Not before", &self.not_before)?,
            actual_start: fields::day("Begun on", &self.actual_start)?,
            actual_finish: fields::day("Last day worked", &self.actual_finish)?,
            days_left: fields::working_days("Days left", &self.days_left)?,
            attempts,
            hazards: self.hazards.clone(),
            own_work: self.own_work,
            fail_pct,
            correct_days: fields::working_days("Working days for corrections", correct_days)?,
            ..known.unwrap_or_else(|| Phase::new(id, "", "", None))
        };
        let kept: Vec<LinkId> = self.links.iter().filter_map(|row| row.id).collect();
        let mut actions = vec![Action::PutPhase(phase)];
        actions.extend(
            project
                .links
                .iter()
                .filter(|l| l.after == id && !kept.contains(&l.id))
                .map(|l| Action::RemoveLink(l.id)),
        );
        for row in &self.links {
            let before = row.before.ok_or("Waits for: pick a phase, or remove the link")?;
            let link_id = row.id.unwrap_or_else(|| {
                next_id += 1;
                LinkId(next_id - 1)
            });
            actions.push(Action::PutLink(Link {
                id: link_id,
                before,
                after: id,
                kind: row.kind,
                lag: fields::whole("Lag", &row.lag)?.unwrap_or(0),
                unit: row.unit,
            }));
        }
        let verb = if self.old.is_some() { "edit" } else { "add" };
        Ok(Action::Batch { label: format!("{verb} {name}"), actions })
    }
}
