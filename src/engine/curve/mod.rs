//! Cheaper or sooner: the best trades between forecast total and forecast finish that other choices would give.
#![doc = include_str!("../../../assets/manual/curve.md")]

mod reach;
mod rules;
mod scene;
mod search;
mod sets;
mod take;
mod waits;

use super::calendar::Day;
use super::figures::Figures;
use crate::model::{Money, OptionId, Project, RoomId, SelectionId};
use scene::Scene;
use std::fmt;

pub use take::{Told, action, change_words, fix_words, make, told};

/// What is asked.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Question {
    /// Selections with a choice that may be changed all the same.
    pub reopened: Vec<SelectionId>,
    /// Rooms in which nothing is changed.
    pub keep: Vec<RoomId>,
    /// Only candidates of which everything is here by a day.
    pub here_by: Option<Day>,
    /// Only candidates in the finish that counts now, where one does and says it.
    pub same_finish: bool,
    /// Only points whose total is no more than an amount.
    pub at_most: Option<Money>,
}

impl Question {
    /// Everything that is not ordered yet may be changed.
    pub fn all_not_ordered(project: &Project) -> Question {
        let ordered = |id: SelectionId| {
            let choice = project.selection(id).and_then(|s| s.choice());
            choice.is_some_and(|o| o.parts.iter().any(crate::model::Part::is_ordered))
        };
        let reopened = project.selections.iter().map(|s| s.id).filter(|id| !ordered(*id)).collect();
        Question { reopened, ..Question::default() }
    }
}

/// Another option in the place of what counts now.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Change {
    /// What is decided.
    pub selection: SelectionId,
    /// What counts now; `None` where nothing does.
    pub from: Option<OptionId>,
    /// The choice then.
    pub to: OptionId,
}

/// A set of changes with what it reaches.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Point {
    /// The forecast finish.
    pub finish: Day,
    /// The forecast total.
    pub total: Money,
    /// The fewest changes that reach it, in the order of the document.
    pub changes: Vec<Change>,
}

/// The smallest set of changes that wins some days.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fix {
    /// What it reaches.
    pub point: Point,
    /// Working days by which the finish is sooner than now.
    pub days: i32,
    /// By change, the working days it would win without the others.
    pub alone: Vec<i32>,
}

/// The answer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Curve {
    /// What is forecast now.
    pub now: Point,
    /// From the soonest to the cheapest: each later one is cheaper.
    pub points: Vec<Point>,
    /// From the most days to the fewest.
    pub fix: Vec<Fix>,
    /// How many selections were looked at.
    pub open: usize,
    /// Whether every combination was priced as a whole. Else choices were compared by their own prices, and freight and
    /// tax of whole orders were worked out for the points.
    pub whole: bool,
}

impl Curve {
    /// The cheapest point that finishes by a day.
    pub fn by(&self, day: Day) -> Option<&Point> {
        self.points.iter().rev().find(|point| point.finish <= day)
    }
}

/// Why there is no answer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Refusal {
    /// There is no forecast finish.
    NoFinish,
    /// Nothing is open, or nothing open has another candidate whose price and days are known.
    NothingOpen,
    /// Too many choices hang together to try them all; their names.
    TooMany(Vec<String>),
}

impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Refusal::NoFinish => write!(f, "there is no forecast finish to compare; add phases first"),
            Refusal::NothingOpen => write!(
                f,
                "nothing is open: no selection without a choice has another candidate whose prices and lead times are all known"
            ),
            Refusal::TooMany(names) => write!(
                f,
                "too many choices hang together to try them all: {}; decide some of them first, or keep their rooms",
                names.join(", ")
            ),
        }
    }
}

impl std::error::Error for Refusal {}

/// Finds the best trades. `figures` are those of the project on the as-of day.
///
/// # Errors
/// As [`Refusal`] says.
pub fn curve(project: &Project, figures: &Figures, question: &Question) -> Result<Curve, Refusal> {
    let mut scene = Scene::new(project, figures, question).ok_or(Refusal::NoFinish)?;
    if scene.open.is_empty() {
        return Err(Refusal::NothingOpen);
    }
    search::search(&mut scene, question)
}
