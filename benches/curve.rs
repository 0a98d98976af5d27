//! How long cheaper or sooner takes with 150 open selections, beside a whole computation for each candidate in the same
//! run. Before anything is timed, each point is taken and computed anew, and must be what was said.

mod generate;

use divan::{Bencher, black_box};
use generate::AS_OF;
use needline::engine::compute;
use needline::engine::curve::{Question, action, curve};
use needline::model::{Action, Project};
use std::sync::Arc;

fn main() {
    let (made_up, sample) = (house(), sample());
    let all = Question::all_not_ordered(&sample);
    for (name, project, question) in
        [("made up", &made_up, question(&made_up)), ("the large sample", &sample, all)]
    {
        let as_of = project.settings.as_of.unwrap_or(AS_OF);
        let figures = compute(project, as_of);
        let found = curve(project, &figures, &question).unwrap_or_else(|e| panic!("{e}"));
        for point in found.points.iter().chain(found.fix.iter().map(|fix| &fix.point)) {
            let taken = action(project, &figures, point).and_then(|action| project.apply(&action));
            let after = compute(&taken.unwrap_or_else(|e| panic!("{e}")), as_of);
            assert_eq!(
                (after.forecast_finish, after.money.total.forecast),
                (Some(point.finish), point.total)
            );
        }
        let (open, points, fix) = (found.open, found.points.len(), found.fix.len());
        println!(
            "{name}: {open} open, {points} points, {fix} fix sets; each is what a fresh computation says"
        );
    }
    divan::main();
}

/// The large sample, in which countertops are templated on cabinets and rules tie the things of each bath together.
fn sample() -> Project {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/sample_projects/orchard_house.ron");
    needline::model::file::load(path.as_ref()).unwrap_or_else(|e| panic!("{e}")).0
}

/// 600 parts with nothing ordered.
fn house() -> Project {
    let mut project = generate::project(600, 60);
    for selection in Arc::make_mut(&mut project.selections) {
        for part in Arc::make_mut(selection).options.iter_mut().flat_map(|o| &mut o.parts) {
            (part.ordered_on, part.promised_on, part.received_on, part.installed_on) = Default::default();
        }
    }
    project
}

/// Up to 150 selections that have another candidate.
fn question(project: &Project) -> Question {
    let several = project.selections.iter().filter(|s| s.options.len() > 1).map(|s| s.id);
    Question { reopened: several.take(150).collect(), ..Question::default() }
}

#[divan::bench]
fn curve_of_150(bencher: Bencher<'_, '_>) {
    let project = house();
    let figures = compute(&project, AS_OF);
    let question = question(&project);
    bencher.bench_local(|| curve(black_box(&project), &figures, &question));
}

/// Everything of the large sample that is not ordered, open again.
#[divan::bench]
fn curve_of_the_large_sample(bencher: Bencher<'_, '_>) {
    let project = sample();
    let figures = compute(&project, project.settings.as_of.unwrap_or(AS_OF));
    let question = Question::all_not_ordered(&project);
    bencher.bench_local(|| curve(black_box(&project), &figures, &question));
}

/// A whole computation for each other candidate: the least that a search by whole computations would do.
#[divan::bench(sample_size = 1, sample_count = 5)]
fn each_candidate_computed(bencher: Bencher<'_, '_>) {
    let project = house();
    let question = question(&project);
    bencher.bench_local(|| {
        let mut finishes = Vec::new();
        for selection in question.reopened.iter().filter_map(|id| project.selection(*id)) {
            let live = selection.live_option().map(|o| o.id);
            for option in selection.options.iter().filter(|o| Some(o.id) != live) {
                let next = project.apply(&Action::Choose(option.id));
                finishes.push(next.map(|next| compute(&next, AS_OF).forecast_finish));
            }
        }
        finishes
    });
}
