//! Computed figures of the document on screen, kept until the document or the as-of day changes.

use super::areas::buying::rows::{BuyingRows, Shown};
use super::areas::house::ledger_facts::{self, Facts};
use super::areas::signoffs::handover;
use super::areas::week::rows::{self as week_rows, WeekRows};
use crate::engine::effect;
use crate::engine::fits::{self, Verdict};
use crate::engine::log::{self, Story};
use crate::engine::order_days::{self, Suggestion};
use crate::engine::risk;
use crate::engine::without::{self, Changed};
use crate::engine::{self, Day, Figures};
use crate::model::history::Revision;
use crate::model::{
    Action, KeptPhase, KeptPlan, Money, OptionId, PhaseId, Problem, Project, QuoteId, Severity,
};
use chrono::NaiveDate;
use std::cell::{OnceCell, RefCell};
use std::collections::HashMap;
use std::sync::Arc;

/// What the finish and the total would become.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Preview {
    /// Forecast finish.
    pub finish: Option<Day>,
    /// Working days lost to deliveries.
    pub days_lost: Option<i32>,
    /// Forecast total.
    pub forecast: Money,
    /// Whether it is the least it can be, since not all has a price.
    pub least: bool,
    /// Forecast of the selection itself, with what was ordered for another option.
    pub selection: Money,
    /// Goods, freight and tax of the option alone.
    pub option: Money,
}

/// A preview; what the latest part of the option would do to the finish, in words, where one is late; and how the days
/// without a room or a service would change.
#[derive(Clone)]
struct Foreseen {
    preview: Preview,
    effect: Option<Arc<str>>,
    without: Arc<[Changed]>,
    /// Phases that would be on other days, by their position, with these days.
    moved: Arc<[(usize, (Day, Day))]>,
}

/// A phase, and the day before which it would not begin.
type Dropped = (PhaseId, Option<NaiveDate>);

/// What a bar that is let go would make of the days and the total.
#[derive(Debug, Clone)]
pub struct Dropping {
    /// Finish and total.
    pub preview: Preview,
    /// How the days without a room or a service would change.
    pub without: Arc<[Changed]>,
    moved: Arc<[(usize, (Day, Day))]>,
}

impl Dropping {
    /// The days on which the phase at a position would be, where they are others.
    pub fn ghost(&self, phase: usize) -> Option<(Day, Day)> {
        days_of(&self.moved, phase)
    }
}

/// The days of the phase at a position, among those that move.
fn days_of(moved: &[(usize, (Day, Day))], phase: usize) -> Option<(Day, Day)> {
    let found = moved.binary_search_by_key(&phase, |(at, _)| *at).ok()?;
    moved.get(found).map(|(_, days)| *days)
}

/// Figures and problems of one document and one as-of day, and previews asked for so far.
pub struct Derived {
    key: (Revision, NaiveDate),
    /// All figures.
    pub figures: Arc<Figures>,
    /// All problems, errors first.
    pub problems: Arc<Vec<Problem>>,
    /// How many problems are errors, and how many warnings.
    pub problem_counts: (usize, usize),
    previews: RefCell<HashMap<OptionId, Option<Foreseen>>>,
    bid_previews: RefCell<HashMap<QuoteId, Option<Preview>>>,
    dropped: RefCell<HashMap<Dropped, Option<Dropping>>>,
    effects: RefCell<HashMap<usize, Option<Arc<str>>>>,
    fits: RefCell<HashMap<OptionId, Arc<[Verdict]>>>,
    facts: OnceCell<Facts>,
    stories: OnceCell<Vec<OnceCell<Story>>>,
    kept_phases: OnceCell<Vec<Option<KeptPhase>>>,
    search_texts: OnceCell<Vec<String>>,
    order_by_sure: OnceCell<Vec<Option<Day>>>,
    suggestions: OnceCell<Vec<Suggestion>>,
    loose: OnceCell<Vec<usize>>,
    buying: RefCell<Option<(Shown, Arc<BuyingRows>)>>,
    week: RefCell<Option<(week_rows::Shown, Arc<WeekRows>)>>,
    in_house: OnceCell<Arc<handover::Rows>>,
    approver: OnceCell<Option<String>>,
}

impl Derived {
    /// Computes everything for a document.
    pub fn new(project: &Project, revision: Revision, as_of: NaiveDate) -> Derived {
        Derived::of(project, engine::compute(project, as_of), revision, as_of)
    }

    /// The same, where the figures are computed already.
    pub fn of(project: &Project, figures: Figures, revision: Revision, as_of: NaiveDate) -> Derived {
        let problems = engine::problems(project, &figures);
        let count = |severity| problems.iter().filter(|p| p.severity == severity).count();
        Derived {
            key: (revision, as_of),
            figures: Arc::new(figures),
            problem_counts: (count(Severity::Error), count(Severity::Warning)),
            problems: Arc::new(problems),
            fits: RefCell::default(),
            previews: RefCell::default(),
            bid_previews: RefCell::default(),
            dropped: RefCell::default(),
            effects: RefCell::default(),
            facts: OnceCell::new(),
            stories: OnceCell::new(),
            kept_phases: OnceCell::new(),
            search_texts: OnceCell::new(),
            order_by_sure: OnceCell::new(),
            suggestions: OnceCell::new(),
            loose: OnceCell::new(),
            buying: RefCell::default(),
            week: RefCell::default(),
            in_house: OnceCell::new(),
            approver: OnceCell::new(),
        }
    }

    /// What lists show of each selection, worked out when first asked for.
    pub fn facts(&self, project: &Project) -> &Facts {
        self.facts.get_or_init(|| Facts::new(project, &self.figures))
    }

    /// What led from a kept plan to now, by its place among them.
    pub fn story(&self, project: &Project, plan: usize) -> Option<&Story> {
        let plans = &project.kept_plans;
        let stories = self.stories.get_or_init(|| vec![OnceCell::new(); plans.len()]);
        let story = || plans.get(plan).map(|own| log::story(project, &self.figures, own));
        let known = stories.get(plan)?;
        if known.get().is_none() {
            // Each plan when it is first looked at: the head needs one of them only.
            known.set(story()?).ok();
        }
        known.get()
    }

    /// What led from the plan agreed on to now, with that plan.
    pub fn agreed<'a>(&'a self, project: &'a Project) -> Option<(&'a KeptPlan, &'a Story)> {
        project.agreed_plan().zip(self.story(project, project.kept_plans.len().checked_sub(1)?))
    }

    /// Where the phase at a position stood in the plan agreed on.
    pub fn kept_phase(&self, project: &Project, at: usize) -> Option<&KeptPhase> {
        let kept = self.kept_phases.get_or_init(|| {
            let plan = project.agreed_plan().filter(|plan| !plan.phases.is_empty());
            let of =
                |plan: &KeptPlan| project.phases.iter().map(|phase| plan.phase(phase.id).copied()).collect();
            plan.map_or(Vec::new(), of)
        });
        kept.get(at)?.as_ref()
    }

    /// What each selection is searched by, in lower case.
    pub fn search_texts(&self, project: &Project) -> &[String] {
        self.search_texts.get_or_init(|| ledger_facts::search_texts(project))
    }

    /// The last day to order what counts of the selection at a position, as surely as the project asks for; worked out when
    /// it is first shown.
    pub fn order_by_sure(&self, project: &Project, at: usize) -> Option<Day> {
        let days = self.order_by_sure.get_or_init(|| {
            (0..project.selections.len()).map(|at| risk::order_by_sure(project, &self.figures, at)).collect()
        });
        *days.get(at)?
    }

    /// What to place together.
    pub fn suggestions(&self, project: &Project) -> &[Suggestion] {
        self.suggestions.get_or_init(|| {
            let f = &self.figures;
            order_days::suggestions(project, &f.parts, &f.days, f.as_of)
        })
    }

    /// Positions of ordered parts that are no longer wanted and of which nothing is noted.
    pub fn loose(&self, project: &Project) -> &[usize] {
        self.loose.get_or_init(|| engine::returns::loose(project, &self.figures.parts))
    }

    /// The list of Buying, made again when something else of it is shown.
    pub fn buying(&self, project: &Project, shown: &Shown) -> Arc<BuyingRows> {
        let mut kept = self.buying.borrow_mut();
        if let Some((for_what, rows)) = kept.as_ref()
            && for_what == shown
        {
            return rows.clone();
        }
        let rows = Arc::new(BuyingRows::new(project, &self.figures, self.suggestions(project), shown));
        *kept = Some((shown.clone(), rows.clone()));
        rows
    }

    /// What is to be done in the next days, made again when something else of it is shown.
    pub fn week(&self, project: &Project, shown: week_rows::Shown) -> Arc<WeekRows> {
        let mut kept = self.week.borrow_mut();
        if let Some((for_what, rows)) = kept.as_ref()
            && *for_what == shown
        {
            return rows.clone();
        }
        let rows = Arc::new(WeekRows::new(project, &self.figures, shown));
        *kept = Some((shown, rows.clone()));
        rows
    }

    /// Whether this was computed for that document and day.
    pub fn is_for(&self, revision: Revision, as_of: NaiveDate) -> bool {
        self.key == (revision, as_of)
    }

    /// The document and day it was computed for.
    pub fn key(&self) -> (Revision, NaiveDate) {
        self.key
    }

    /// What the rules say of an option, worked out when first asked for.
    pub fn fits(&self, project: &Project, option: OptionId) -> Arc<[Verdict]> {
        let mut known = self.fits.borrow_mut();
        known.entry(option).or_insert_with(|| fits::of_option(project, option).into()).clone()
    }

    /// The figures as they would be with an option as the choice.
    pub fn preview(&self, project: &Project, option: OptionId) -> Option<Preview> {
        self.foreseen(project, option).map(|foreseen| foreseen.preview)
    }

    /// The figures as they would be with a bid accepted.
    pub fn bid_preview(&self, project: &Project, quote: QuoteId) -> Option<Preview> {
        let mut previews = self.bid_previews.borrow_mut();
        *previews.entry(quote).or_insert_with(|| {
            let figures = engine::preview(project, &Action::AcceptQuote(quote), self.key.1).ok()?;
            let leveled = project.quote(quote)?.leveled();
            Some(Preview {
                finish: figures.forecast_finish,
                days_lost: figures.days_lost,
                forecast: figures.money.total.forecast,
                least: figures.money.total.is_least(),
                selection: leveled,
                option: leveled,
            })
        })
    }

    /// What is in the house, for its warranties and manuals.
    pub fn in_house(&self, project: &Project) -> Arc<handover::Rows> {
        self.in_house.get_or_init(|| Arc::new(handover::rows(project, &self.figures))).clone()
    }

    /// Who approved of something last; each option on the card asks.
    pub fn approver(&self, project: &Project) -> Option<&str> {
        self.approver.get_or_init(|| project.approver().map(str::to_owned)).as_deref()
    }

    /// What the late part at a position does to the finish, in words.
    pub fn effect_of(&self, project: &Project, part: usize) -> Option<Arc<str>> {
        let mut effects = self.effects.borrow_mut();
        let effect = effects.entry(part);
        effect.or_insert_with(|| effect::words(project, &self.figures, part).map(Arc::from)).clone()
    }

    /// What the latest part of an option would do to the finish as the choice, in words, where one is late.
    pub fn effect(&self, project: &Project, option: OptionId) -> Option<Arc<str>> {
        self.foreseen(project, option).and_then(|foreseen| foreseen.effect)
    }

    /// How the days without a room or a service would change with an option as the choice; nothing where nothing is ever
    /// out of use.
    pub fn without(&self, project: &Project, option: OptionId) -> Arc<[Changed]> {
        if project.out_of_use.is_empty() {
            return Arc::default();
        }
        self.foreseen(project, option).map_or(Arc::default(), |foreseen| foreseen.without)
    }

    /// The days on which the phase at a position would be with an option as the choice, where they are others.
    pub fn ghost(&self, project: &Project, option: OptionId, phase: usize) -> Option<(Day, Day)> {
        days_of(&self.foreseen(project, option)?.moved, phase)
    }

    /// What would become of all days and the total if a phase were not to begin before a day.
    pub fn dropped(&self, project: &Project, phase: PhaseId, day: Option<NaiveDate>) -> Option<Dropping> {
        let mut known = self.dropped.borrow_mut();
        let dropping = known.entry((phase, day)).or_insert_with(|| {
            let next = project.apply(&Action::SetNotBefore(phase, day)).ok()?;
            let after = engine::compute(&next, self.key.1);
            Some(Dropping {
                preview: Preview {
                    finish: after.forecast_finish,
                    days_lost: after.days_lost,
                    forecast: after.money.total.forecast,
                    least: after.money.total.is_least(),
                    selection: Money::ZERO,
                    option: Money::ZERO,
                },
                without: without::changes((project, &self.figures), (&next, &after)).into(),
                moved: self.moved(&after),
            })
        });
        dropping.clone()
    }

    /// Phases that are on other days in other figures of the same phases, by their position, with these days.
    fn moved(&self, after: &Figures) -> Arc<[(usize, (Day, Day))]> {
        let days = |f: &engine::PhaseFigures| f.forecast_start.zip(f.forecast_finish);
        let phases = after.phases.iter().zip(&self.figures.phases).enumerate();
        phases
            .filter(|(_, (new, now))| days(new) != days(now))
            .filter_map(|(at, (new, _))| Some((at, days(new)?)))
            .collect()
    }

    fn foreseen(&self, project: &Project, option: OptionId) -> Option<Foreseen> {
        let mut previews = self.previews.borrow_mut();
        let foreseen = previews.entry(option).or_insert_with(|| {
            let (selection, candidate) = project.option(option).map(|(s, o)| (s.id, o))?;
            let figures = engine::preview(project, &Action::Choose(option), self.key.1).ok()?;
            let late = figures.selection(selection).and_then(|own| {
                let own = (own.first_part..own.end_part).map(|at| (at, &figures.parts[at]));
                let late = own.filter(|(_, f)| f.live && f.late && !f.on_site);
                late.max_by_key(|(_, f)| f.spare_days().map_or(0, |days| -days)).map(|(at, _)| at)
            });
            let changed = project.apply(&Action::Choose(option)).ok()?;
            let effect = late.and_then(|at| effect::words(&changed, &figures, at)).map(Arc::from);
            let without = without::changes((project, &self.figures), (&changed, &figures)).into();
            let preview = Preview {
                finish: figures.forecast_finish,
                days_lost: figures.days_lost,
                forecast: figures.money.total.forecast,
                least: figures.money.total.is_least(),
                selection: figures.selection(selection)?.money.forecast,
                option: figures.option_total(candidate),
            };
            let moved = self.moved(&figures);
            Some(Foreseen { preview, effect, without, moved })
        });
        foreseen.clone()
    }
}
