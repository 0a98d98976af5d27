//! Cheaper or sooner as JSON.

use super::figures::{FiguresJson, Names};
use crate::engine::Figures;
use crate::engine::curve::{self, Change, Curve, Fix, Point, Refusal, Told};
use crate::model::{OptionId, Project};
use serde::Serialize;
use std::collections::BTreeMap;

/// The answer; without one, why.
#[derive(Debug, Default, Serialize)]
pub(super) struct CurveJson {
    curve: Vec<PointJson>,
    fix: Vec<FixJson>,
    #[serde(skip_serializing_if = "Option::is_none")]
    curve_of: Option<CurveOfJson>,
    #[serde(skip_serializing_if = "Option::is_none")]
    curve_refused: Option<String>,
}

/// A set of changes with what it reaches.
#[derive(Debug, Serialize)]
struct PointJson {
    finish: String,
    total: String,
    changes: Vec<ChangeJson>,
}

/// Another option, with what it does alone. The last three are null where it cannot be made alone.
#[derive(Debug, Serialize)]
struct ChangeJson {
    selection: String,
    from: Option<String>,
    to: String,
    cost: Option<String>,
    days: Option<i32>,
    knock_ons: Option<Vec<String>>,
}

/// The fewest changes that win some days.
#[derive(Debug, Serialize)]
struct FixJson {
    #[serde(flatten)]
    point: PointJson,
    wins: i32,
    alone: Vec<i32>,
    text: String,
}

/// How the answer was found.
#[derive(Debug, Serialize)]
struct CurveOfJson {
    open: usize,
    priced_whole: bool,
    finish: String,
    total: String,
}

impl FiguresJson {
    /// The figures with the points of cheaper or sooner, or with why there are none.
    #[must_use]
    pub fn with_curve(
        self,
        project: &Project,
        figures: &Figures,
        found: &Result<Curve, Refusal>,
    ) -> FiguresJson {
        let found = match found {
            Ok(found) => found,
            Err(why) => {
                let curve_refused = Some(why.to_string());
                return self.and_curve(CurveJson { curve_refused, ..CurveJson::default() });
            }
        };
        let names = Names::new(project);
        let mut tell = Teller { names: &names, project, figures, known: BTreeMap::new() };
        let points = found.points.iter().map(|p| tell.point(p)).collect();
        let mut fix = |fix: &Fix| FixJson {
            point: tell.point(&fix.point),
            wins: fix.days,
            alone: fix.alone.clone(),
            text: curve::fix_words(project, fix),
        };
        let fix = found.fix.iter().map(&mut fix).collect();
        let of = CurveOfJson {
            open: found.open,
            priced_whole: found.whole,
            finish: found.now.finish.to_string(),
            total: names.money_text(found.now.total),
        };
        self.and_curve(CurveJson { curve: points, fix, curve_of: Some(of), curve_refused: None })
    }
}

/// What a change does alone is worked out once, however many points make it.
struct Teller<'a> {
    names: &'a Names<'a>,
    project: &'a Project,
    figures: &'a Figures,
    known: BTreeMap<OptionId, Option<Told>>,
}

impl Teller<'_> {
    fn point(&mut self, point: &Point) -> PointJson {
        PointJson {
            finish: point.finish.to_string(),
            total: self.names.money_text(point.total),
            changes: point.changes.iter().map(|change| self.change(change)).collect(),
        }
    }

    fn change(&mut self, change: &Change) -> ChangeJson {
        let (project, figures, names) = (self.project, self.figures, self.names);
        let told = self.known.entry(change.to).or_insert_with(|| curve::told(project, figures, change).ok());
        let told = told.as_ref();
        ChangeJson {
            selection: names.selection_key(change.selection),
            from: change.from.map(|id| names.option_key(id)),
            to: names.option_key(change.to),
            cost: told.map(|told| names.money_text(told.costs)),
            days: told.and_then(|told| told.days),
            knock_ons: told.map(|told| told.knock_ons.iter().map(|k| k.text.clone()).collect()),
        }
    }
}
