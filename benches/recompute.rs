//! How long a full recompute takes, beside a direct computation of the same figures in the same run.
//!
//! Before anything is timed both are checked to agree. What was measured stands in README.md here.

mod generate;
mod naive;

use divan::{Bencher, black_box};
use generate::AS_OF;
use needline::engine::{Day, Figures, compute, log};
use needline::model::{
    Action, Cause, LeadUnit, LogLine, Money, Part, PartId, Project, Selection, Standing, Supplier,
};
use rust_decimal::{Decimal, RoundingStrategy};

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
        let dates = (
            shown.arrival.unwrap().date(),
            shown.order_by.map(Day::date),
            shown.last_safe_order.map(Day::date),
        );
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

/// The decimal multiplications and roundings of all parts and nothing else, in the way decimals are usually multiplied:
/// quantity with its waste, amount less discount, tax of the line, and deposit.
#[divan::bench(args = SIZES)]
fn decimals_alone(bencher: Bencher<'_, '_>, (parts, phases): (usize, usize)) {
    let project = generate::project(parts, phases);
    let figures = compute(&project, AS_OF);
    let lines: Vec<[Decimal; 6]> = project
        .all_parts()
        .zip(&figures.parts)
        .map(|((_, _, part), f)| {
            let supplier = part.supplier.and_then(|id| project.supplier(id));
            let terms = |of: fn(&Supplier) -> Decimal| supplier.map_or(Decimal::ZERO, of);
            let (tax, deposit) = (terms(|s| s.tax_pct), terms(|s| s.deposit_pct));
            [
                f.quantity_to_buy,
                part.waste(),
                part.unit_price.unwrap_or_default().amount(),
                part.discount_pct,
                tax,
                deposit,
            ]
        })
        .collect();
    bencher.bench_local(|| black_box(&lines).iter().map(decimals).sum::<Decimal>());
}

fn decimals([quantity, waste, price, discount, tax, deposit]: &[Decimal; 6]) -> Decimal {
    let hundredth = Decimal::new(1, 2);
    let cents = |d: Decimal| d.round_dp_with_strategy(2, RoundingStrategy::MidpointAwayFromZero);
    let bought = quantity * (Decimal::ONE + waste * hundredth);
    let amount = cents(bought * price * (Decimal::ONE - discount * hundredth));
    let tax = cents((amount * tax * hundredth).trunc_with_scale(3));
    amount + tax + cents((amount + tax) * deposit * hundredth)
}

/// One edit of one part, back and forth, from the document before it to new figures of everything.
#[divan::bench(args = EDITS)]
fn edit(bencher: Bencher<'_, '_>, (parts, phases, edit): (usize, usize, Edit)) {
    let mut project = generate::project(parts, phases);
    let actions = edit.there_and_back(&project);
    let mut turn = 0;
    bencher.bench_local(|| {
        turn += 1;
        let next = black_box(&project).apply(&actions[turn % 2]).unwrap_or_else(|e| panic!("{e}"));
        let before = std::mem::replace(&mut project, next);
        // The document before stays in the list of what can be undone.
        (before, compute(&project, AS_OF))
    });
}

/// The same where a plan is kept, with as many lines of the log: each edit adds its own. It is to be held against the edit
/// of the price above.
#[divan::bench(args = [(600, 60, 0), (600, 60, 5_000), (10_000, 500, 5_000)])]
fn edit_with_log(bencher: Bencher<'_, '_>, (parts, phases, lines): (usize, usize, usize)) {
    let mut project = generate::project(parts, phases);
    let mut figures = compute(&project, AS_OF);
    let keep = log::keep(&project, &figures, "Agreed");
    project = project.apply(&keep).unwrap_or_else(|e| panic!("{e}"));
    let actions = Edit::Price.there_and_back(&project);
    let mut turn = 0;
    let mut one = |project: &mut Project, figures: &mut Figures| {
        turn += 1;
        let taken = log::take(project, figures, &actions[turn % 2]).unwrap_or_else(|e| panic!("{e}"));
        *figures = taken.figures.unwrap_or_else(|| compute(&taken.project, AS_OF));
        std::mem::replace(project, taken.project)
    };
    while project.log.len() < lines {
        one(&mut project, &mut figures);
    }
    bencher.bench_local(|| one(&mut project, &mut figures));
}

/// What led from the plan to now, over a log of 5,000 lines: once a revision, and only where it is looked at.
#[divan::bench]
fn story_of_5_000_lines(bencher: Bencher<'_, '_>) {
    let mut project = generate::project(600, 60);
    let figures = compute(&project, AS_OF);
    project = project.apply(&log::keep(&project, &figures, "Agreed")).unwrap_or_else(|e| panic!("{e}"));
    let mut stands = log::standing(&figures);
    let lines = (0..5_000).map(|n| {
        let after = Standing { total: stands.total.plus(Money::new(Decimal::from(n % 7))), ..stands };
        let line = LogLine::new(AS_OF, "a price", Cause::ALL[n % 10].1, stands, after);
        stands = after;
        Action::AddLine(Box::new(line))
    });
    let all = Action::Batch { label: String::new(), actions: lines.collect() };
    project = project.apply(&all).unwrap_or_else(|e| panic!("{e}"));
    bencher.bench_local(|| log::story(black_box(&project), &figures, &project.kept_plans[0]));
}

const EDITS: [(usize, usize, Edit); 10] = [
    (600, 60, Edit::Payment),
    (600, 60, Edit::Price),
    (600, 60, Edit::Lead),
    (600, 60, Edit::Order),
    (600, 60, Edit::Choice),
    (10_000, 500, Edit::Payment),
    (10_000, 500, Edit::Price),
    (10_000, 500, Edit::Lead),
    (10_000, 500, Edit::Order),
    (10_000, 500, Edit::Choice),
];

/// Edits of one part.
#[derive(Debug, Clone, Copy)]
enum Edit {
    Payment,
    Price,
    Lead,
    Order,
    Choice,
}

impl Edit {
    fn there_and_back(self, project: &Project) -> [Action; 2] {
        // A part in the middle that counts and is not ordered, of a selection with another option.
        let open = |s: &Selection| {
            let choice = s.choice()?;
            let other = s.options.iter().find(|o| o.id != choice.id)?;
            choice.parts.iter().find(|p| !p.is_ordered()).map(|p| (choice.id, p.clone(), other.id))
        };
        let half = project.selections.len() / 2;
        let found = project.selections.iter().skip(half).find_map(|s| open(s));
        let (option, part, other) = found.unwrap_or_else(|| panic!("no open part"));
        let put = |edit: &dyn Fn(&mut Part)| {
            let mut part = part.clone();
            edit(&mut part);
            Action::PutPart(option, part)
        };
        match self {
            Edit::Payment => [0, 100].map(|paid| Action::SetPaid(part.id, Money::new(Decimal::from(paid)))),
            Edit::Price => {
                [777, 888].map(|price| put(&|p| p.unit_price = Some(Money::new(Decimal::from(price)))))
            }
            Edit::Lead => [5, 120].map(|days| put(&|p| (p.lead, p.lead_unit) = (Some(days), LeadUnit::Days))),
            Edit::Order => [None, Some(AS_OF)].map(|on| Action::MarkOrdered(vec![part.id], on)),
            Edit::Choice => [option, other].map(Action::Choose),
        }
    }
}

/// The edit of the document alone.
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
