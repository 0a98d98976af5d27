//! What the pages of What if remember.

use super::asked::Asked;
use super::question::Limits;
use super::sides::Answer;
use crate::engine::curve::{Change, Curve, Question, Refusal, Told};
use crate::engine::risk::{Hangs, Risk, Run};
use crate::model::AlternativeId;
use crate::model::history::Revision;
use chrono::NaiveDate;
use std::sync::Arc;

/// A page of the area.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Page {
    /// How sure a day and an amount are.
    #[default]
    Risk,
    /// The best trades between total and finish.
    Curve,
    /// Alternatives side by side.
    Sides,
}

impl Page {
    /// All, with their names.
    pub const ALL: [(Page, &'static str); 3] =
        [(Page::Risk, "What may come"), (Page::Curve, "Cheaper or sooner"), (Page::Sides, "Side by side")];
}

/// The document and day that an answer is about.
pub type Key = (Revision, NaiveDate);

/// State of the area.
#[derive(Debug, Clone, Default)]
pub struct WhatIf {
    /// The page shown.
    pub page: Page,
    /// What may come.
    pub risk: RiskPage,
    /// Cheaper or sooner.
    pub curve: CurvePage,
    /// Alternatives side by side.
    pub sides: SidesPage,
}

/// Alternatives side by side.
#[derive(Debug, Clone, Default)]
pub struct SidesPage {
    /// What each comes to.
    pub asked: Asked<Key, Answer>,
    /// The name of a new one, as typed.
    pub name: String,
    /// The name that is being changed.
    pub naming: Option<(AlternativeId, String)>,
}

impl WhatIf {
    /// Whether a question of a page is being worked on.
    pub fn is_going(&self) -> bool {
        self.risk.asked.made().is_some()
            || self.curve.asked.made().is_some()
            || self.sides.asked.made().is_some()
    }
}

/// What may come.
#[derive(Debug, Clone)]
pub struct RiskPage {
    /// How many trials are made, and how.
    pub run: Run,
    /// The trials.
    pub asked: Asked<(Key, Run), Risk>,
    /// The day that is read off the picture of the finish, by its place.
    pub day: Option<usize>,
    /// The amount that is read off the picture of the total, in percent of the trials.
    pub amount: Option<usize>,
    /// All rows of the table are shown.
    pub all: bool,
    /// Rows of the table, and the trials they were made from.
    pub rows: Option<(Arc<Risk>, Arc<[Hangs]>)>,
}

/// Trials that are made when the page is first opened.
const TRIALS: u32 = 10_000;

impl Default for RiskPage {
    fn default() -> RiskPage {
        RiskPage {
            run: Run::new(TRIALS, 1),
            asked: Asked::default(),
            day: None,
            amount: None,
            all: false,
            rows: None,
        }
    }
}

/// What the changes of a point do, each alone; why not where one cannot be made.
pub type Changes = Arc<[(Change, Result<Told, String>)]>;

/// Cheaper or sooner.
#[derive(Debug, Clone, Default)]
pub struct CurvePage {
    /// What may be changed.
    pub limits: Limits,
    /// The answer.
    pub asked: Asked<(Key, Question), Result<Curve, Refusal>>,
    /// The point that is picked, from the soonest on.
    pub picked: Option<usize>,
    /// What the changes of a point do, and the document and point they were worked out for.
    pub told: Option<(Key, Vec<Change>, Changes)>,
}
