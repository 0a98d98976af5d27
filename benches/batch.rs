//! What accepting 1,000 prices of a list costs in a project of 10,000 parts, beside the same done by walking the
//! document for each of them. Both must come to the same document.

#[allow(dead_code)]
mod generate;

use divan::{Bencher, black_box};
use needline::model::{Action, Money, OptionId, Part, Project};
use rust_decimal::Decimal;
use std::sync::Arc;

fn main() {
    let (project, changes) = list();
    assert!(project.apply(&batch(&changes)) == Ok(walked(&project, &changes)), "both ways must agree");
    divan::main();
}

/// A project as it is opened, and a new price for each tenth of its parts.
fn list() -> (Project, Vec<(OptionId, Part)>) {
    let project = generate::project(10_000, 500);
    let parts = project.all_parts().step_by(10);
    let changes = parts.map(|(_, option, part)| {
        let unit_price = part.unit_price.map(|price| price.plus(Money::new(Decimal::ONE)));
        (option.id, Part { unit_price, ..part.clone() })
    });
    let changes = changes.collect();
    (project, changes)
}

fn batch(changes: &[(OptionId, Part)]) -> Action {
    let actions = changes.iter().map(|(option, part)| Action::PutPart(*option, part.clone())).collect();
    Action::Batch { label: "prices".to_owned(), actions }
}

/// For each part the document is walked as often as without an index: for its supplier, its phase, a part with its key,
/// the order it is in, its option, and the selection that is changed.
fn walked(project: &Project, changes: &[(OptionId, Part)]) -> Project {
    let mut next = project.clone();
    for (option, part) in changes {
        let known = next.suppliers.iter().any(|s| Some(s.id) == part.supplier)
            && next.phases.iter().any(|p| Some(p.id) == part.phase)
            && !next.all_parts().any(|(_, _, p)| p.key == part.key && p.id != part.id)
            && !next.orders.iter().any(|o| o.parts.contains(&part.id))
            && next.selections.iter().flat_map(|s| &s.options).any(|o| o.id == *option);
        assert!(known, "the made-up project is sound");
        let selections = Arc::make_mut(&mut next.selections);
        let holds = selections.iter_mut().find(|s| s.options.iter().any(|o| o.id == *option));
        let options = holds.into_iter().flat_map(|s| &mut Arc::make_mut(s).options);
        options.flat_map(|o| &mut o.parts).filter(|p| p.id == part.id).for_each(|p| p.clone_from(part));
    }
    next
}

#[divan::bench]
fn accept_1_000_of_10_000(bencher: Bencher<'_, '_>) {
    let (project, changes) = list();
    let action = batch(&changes);
    bencher.bench_local(|| project.apply(black_box(&action)));
}

#[divan::bench]
fn accept_1_000_of_10_000_by_walking(bencher: Bencher<'_, '_>) {
    let (project, changes) = list();
    bencher.bench_local(|| walked(&project, black_box(&changes)));
}
