//! How long a full recompute takes, beside a direct computation of the same figures in the same run.
//!
//! Before anything is timed both are checked to agree. What was measured stands in README.md here.

mod generate;
mod naive;

use divan::{Bencher, black_box};
use generate::AS_OF;
use needline::engine::{Day, Figures, compute};
use needline::model::{Action, Money, PartId, Project};
use rust_decimal::Decimal;

/// Parts and phases.
const SIZES: [(usize, usize); 4] = [(600, 60), (1_000, 100), (10_000, 500), (100_000, 2_000)];
const NAIVE_SIZES: [(usize, usize); 3] = [SIZES[0], SIZES[1], SIZES[2]];

fn main() {
    for size in NAIVE_SIZES {
        let project = generate::project(size.0, size.1);
        agree(&project, &compute(&project, AS_OF), &naive::compute(&project, AS_OF));
    }
    divan::main();
}

/// Both ways give the same finish days, arrivals, order-by days and sums.
fn agree(project: &Project, figures: &Figures, naive: &naive::Naive) {
    assert_eq!(figures.plan_finish.map(Day::date), naive.plan_finish, "plan finish");
    assert_eq!(figures.forecast_finish.map(Day::date), naive.forecast_finish, "forecast finish");
    assert_eq!(figures.money.total.forecast.amount(), naive.forecast_total, "forecast");
    for ((_, _, part), shown) in project.all_parts().zip(&figures.parts) {
        let dates =
            (shown.arrival.date(), shown.order_by.map(Day::date), shown.last_safe_order.map(Day::date));
        assert_eq!(dates, naive.parts[&part.key], "{}: arrival, order-by, last safe order", part.key);
    }
    let sum = |key: &str| naive.sums.get(key).copied().unwrap_or(Decimal::ZERO);
    for (room, columns) in project.rooms.iter().zip(&figures.money.by_room) {
        assert_eq!(columns.forecast.amount(), sum(&room.key), "{}", room.key);
    }
    for (supplier, columns) in project.suppliers.iter().zip(&figures.money.by_supplier) {
        assert_eq!(columns.forecast.amount(), sum(&supplier.key), "{}", supplier.key);
    }
    for (phase, columns) in project.phases.iter().zip(&figures.money.by_phase) {
        assert_eq!(columns.forecast.amount(), sum(&phase.key), "{}", phase.key);
    }
    let ordered = project.all_parts().filter(|(_, _, p)| p.is_ordered()).count();
    let parts = figures.parts.len();
    println!(
        "{parts} parts ({ordered} ordered, {} orders), {} phases, {} suppliers: plan {:?}, forecast {:?}, {}; both ways agree",
        figures.orders.len(),
        project.phases.len(),
        project.suppliers.len(),
        naive.plan_finish,
        naive.forecast_finish,
        naive.forecast_total
    );
}

#[divan::bench(args = SIZES)]
fn engine(bencher: Bencher<'_, '_>, (parts, phases): (usize, usize)) {
    let project = generate::project(parts, phases);
    bencher.bench_local(|| compute(black_box(&project), AS_OF));
}

#[divan::bench(args = NAIVE_SIZES, sample_size = 1, sample_count = 5)]
fn naive_reference(bencher: Bencher<'_, '_>, (parts, phases): (usize, usize)) {
    let project = generate::project(parts, phases);
    bencher.bench_local(|| naive::compute(black_box(&project), AS_OF));
}

/// One edit of one part in the middle of 10,000, to new figures of everything.
#[divan::bench]
fn edit_one_part_of_10_000(bencher: Bencher<'_, '_>) {
    let project = generate::project(10_000, 500);
    let action = Action::SetPaid(middle(&project), Money::new(Decimal::ONE_HUNDRED));
    bencher.bench_local(|| {
        let next = black_box(&project).apply(&action).unwrap_or_else(|_| project.clone());
        compute(&next, AS_OF)
    });
}

/// The edit alone.
#[divan::bench]
fn apply_one_part_of_10_000(bencher: Bencher<'_, '_>) {
    let project = generate::project(10_000, 500);
    let action = Action::SetPaid(middle(&project), Money::new(Decimal::ONE_HUNDRED));
    bencher.bench_local(|| black_box(&project).apply(&action));
}

fn middle(project: &Project) -> PartId {
    let parts: Vec<PartId> = project.all_parts().map(|(_, _, part)| part.id).collect();
    parts[parts.len() / 2]
}
