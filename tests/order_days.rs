//! Days to place orders together, against all ways to do it on small cases.

mod support;

use needline::engine::early::{self, Window};
use needline::engine::order_days::{OpenLine, Suggestion, suggest, suggestions};
use needline::engine::orders::freight;
use needline::engine::{Day, problems};
use needline::model::*;
use proptest::prelude::*;
use rust_decimal::Decimal;
use support::*;

fn supplier(flat: i64, pct: i64, free_over: Option<i64>, min_order: Option<i64>) -> Supplier {
    let whole = |n: i64| Money::new(Decimal::from(n));
    let mut supplier = Supplier::new(SupplierId(1), "s", "Harbor Tile Supply");
    supplier.freight.flat = whole(flat);
    supplier.freight.pct = Decimal::from(pct);
    supplier.freight.free_over = free_over.map(whole);
    supplier.min_order = min_order.map(whole);
    supplier
}

fn line(part: usize, goods: i64, first: i32, last: i32) -> OpenLine {
    let day = |n: i32| day("2026-09-21").plus(n);
    OpenLine {
        part,
        goods: Money::new(Decimal::from(goods)),
        units: Decimal::ONE,
        first: day(first),
        last: Some(day(last.max(first))),
    }
}

/// Orders below the smallest, and freight, of lines placed as these groups say.
fn cost(supplier: &Supplier, groups: &[Vec<OpenLine>]) -> (usize, Money) {
    let (mut below, mut sum) = (0, Money::ZERO);
    for group in groups.iter().filter(|g| !g.is_empty()) {
        let goods: Money = group.iter().map(|l| l.goods).sum();
        let units = group.iter().map(|l| l.units).sum();
        below += usize::from(supplier.min_order.is_some_and(|min| goods < min));
        sum = sum.plus(freight(supplier, goods, units, Currency::USD));
    }
    (below, sum)
}

/// The least cost of all ways to part lines into orders that can be placed: there is a day that is no line's last day
/// behind it and no line's first day before it.
fn least(supplier: &Supplier, lines: &[OpenLine]) -> (usize, Money) {
    fn go(
        supplier: &Supplier,
        left: &[OpenLine],
        groups: &mut Vec<Vec<OpenLine>>,
        best: &mut Option<(usize, Money)>,
    ) {
        let Some((line, rest)) = left.split_first() else {
            let can =
                |g: &Vec<OpenLine>| g.iter().map(|l| l.first).max() <= g.iter().filter_map(|l| l.last).min();
            if groups.iter().all(can) {
                let cost = cost(supplier, groups);
                if best.is_none_or(|known| cost < known) {
                    *best = Some(cost);
                }
            }
            return;
        };
        for at in 0..groups.len() {
            groups[at].push(*line);
            go(supplier, rest, groups, best);
            groups[at].pop();
        }
        groups.push(vec![*line]);
        go(supplier, rest, groups, best);
        groups.pop();
    }
    let mut best = None;
    go(supplier, lines, &mut Vec::new(), &mut best);
    best.unwrap()
}

/// The same over orders of lines with neighboring last days.
fn least_of_neighbors(supplier: &Supplier, lines: &[OpenLine]) -> (usize, Money) {
    let mut sorted = lines.to_vec();
    sorted.sort_by_key(|l| (l.last, l.first, l.part));
    let classes: Vec<Vec<OpenLine>> =
        sorted.chunk_by(|a, b| (a.first, a.last) == (b.first, b.last)).map(<[_]>::to_vec).collect();
    let cuts = classes.len().saturating_sub(1);
    (0..1_u32 << cuts)
        .filter_map(|cut| {
            let mut groups: Vec<Vec<OpenLine>> = vec![Vec::new()];
            for (i, class) in classes.iter().enumerate() {
                if i > 0 && (cut >> (i - 1)) & 1 == 1 {
                    groups.push(Vec::new());
                }
                groups.last_mut().unwrap().extend(class);
            }
            let can =
                |g: &Vec<OpenLine>| g.iter().map(|l| l.first).max() <= g.iter().filter_map(|l| l.last).min();
            groups.iter().all(can).then(|| cost(supplier, &groups))
        })
        .min()
        .unwrap()
}

fn found(supplier: &Supplier, s: &Suggestion) -> (usize, Money) {
    let below = s.orders.iter().filter(|o| o.below_minimum.is_some()).count();
    let freight = s.orders.iter().map(|o| o.freight).sum();
    let _ = supplier;
    (below, freight)
}

fn any_supplier() -> impl Strategy<Value = Supplier> {
    let maybe = |n: std::ops::Range<i64>| proptest::option::of(n);
    (0_i64..120, prop_oneof![Just(0_i64), 1_i64..9], maybe(100..900), maybe(50..600))
        .prop_map(|(flat, pct, free, min)| supplier(flat, pct, free, min))
}

fn any_lines(decided: bool) -> impl Strategy<Value = Vec<OpenLine>> {
    let first = if decided { (0_i32..30).boxed() } else { Just(0).boxed() };
    proptest::collection::vec((0_i64..500, first, 0_i32..30), 1..7).prop_map(|lines| {
        lines.into_iter().enumerate().map(|(at, (goods, first, last))| line(at, goods, first, last)).collect()
    })
}

fn assert_sound(supplier: &Supplier, lines: &[OpenLine], s: &Suggestion) {
    let mut seen: Vec<usize> = s.orders.iter().flat_map(|o| o.parts.iter().copied()).collect();
    seen.sort_unstable();
    assert_eq!(seen, (0..lines.len()).collect::<Vec<_>>(), "each line is ordered once");
    for order in &s.orders {
        let day = order.day.unwrap();
        for part in &order.parts {
            let line = lines[*part];
            assert!(line.first <= day, "before it can be decided");
            assert!(Some(day) <= line.last, "past its order-by");
        }
        let goods: Money = order.parts.iter().map(|p| lines[*p].goods).sum();
        assert_eq!(goods, order.goods);
        assert_eq!(order.ships_free, supplier.freight.free_over.is_some_and(|t| goods >= t));
    }
    assert!(s.orders.windows(2).all(|w| w[0].day <= w[1].day));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    /// Where everything can be decided today, nothing beats it but for the cents that rounding may give or take.
    #[test]
    fn no_way_is_cheaper(supplier in any_supplier(), lines in any_lines(false)) {
        let s = suggest(0, &supplier, lines.clone(), Currency::USD);
        assert_sound(&supplier, &lines, &s);
        let (below, freight) = found(&supplier, &s);
        let (least_below, least) = least(&supplier, &lines);
        prop_assert_eq!(below, least_below);
        prop_assert!(freight <= least.plus(Money::new(Decimal::new(lines.len() as i64, 2))), "{:?} {:?}", freight, least);
    }

    /// With days to decide on, it is the cheapest way to make orders of lines with neighboring last days, and never
    /// worse than each line on its own last day.
    #[test]
    fn neighbors_are_placed_best(supplier in any_supplier(), lines in any_lines(true)) {
        let s = suggest(0, &supplier, lines.clone(), Currency::USD);
        assert_sound(&supplier, &lines, &s);
        prop_assert_eq!(found(&supplier, &s), least_of_neighbors(&supplier, &lines));
        let mut sorted = lines.clone();
        sorted.sort_by_key(|l| l.last);
        let apart: Vec<Vec<OpenLine>> = sorted.chunk_by(|a, b| a.last == b.last).map(<[_]>::to_vec).collect();
        let (apart_below, freight) = cost(&supplier, &apart);
        prop_assert_eq!((s.apart, s.apart_below), (apart.len(), apart_below));
        prop_assert!(found(&supplier, &s) <= (apart_below, freight));
        let together: Money = s.orders.iter().map(|o| o.freight).sum();
        prop_assert_eq!(s.saves, freight.less(together));
    }
}

/// Goods of 300 and 250 with freight 95 free above 500: together on the earlier last day they ship free.
#[test]
fn two_lines_ship_free_together() {
    let supplier = supplier(95, 0, Some(500), None);
    let lines = vec![line(0, 300, 0, 7), line(1, 250, 0, 20)];
    let s = suggest(0, &supplier, lines, Currency::USD);
    assert_eq!(s.saves, money("190"));
    assert_eq!(s.orders.len(), 1);
    assert_eq!(s.orders[0].day, Some(day("2026-09-28")));
    assert!(s.orders[0].ships_free && s.orders[0].sooner && s.helps());
    // The second cannot be decided in time: nothing to suggest.
    let lines = vec![line(0, 300, 0, 7), line(1, 250, 8, 20)];
    assert!(!suggest(0, &supplier, lines, Currency::USD).helps());
    // A line that waits for nothing keeps its own day when nothing is won by ordering it sooner.
    let supplier = self::supplier(0, 5, None, None);
    let lines = vec![line(0, 300, 0, 7), line(1, 250, 0, 20)];
    let s = suggest(0, &supplier, lines, Currency::USD);
    assert_eq!(s.orders.len(), 2);
    assert!(!s.helps());
}

/// In a project: leads, order-by days and the day to decide on come from the figures.
#[test]
fn suggestions_of_a_project() {
    let mut p = project("2026-09-21");
    add_phases(&mut p, [("rough", 20, ""), ("tile", 30, "rough"), ("trim", 10, "tile")]);
    let supplier = add_supplier(&mut p, |s| {
        s.freight.flat = money("95");
        s.freight.free_over = Some(money("500"));
        s.min_order = Some(money("200"));
    });
    let phases = p.phases.clone();
    let mut parts = Vec::new();
    for (n, price) in [(1, "300"), (2, "250"), (2, "80")] {
        parts.push(add_part(&mut p, |part| {
            (part.supplier, part.phase) = (Some(supplier), Some(phases[n].id));
            (part.unit_price, part.lead) = (Some(money(price)), Some(14));
        }));
    }
    let f = figures(&p, "2026-09-21");
    let s = &suggestions(&p, &f.parts, &f.days, f.as_of)[0];
    assert_eq!(s.saves, money("190"));
    assert_eq!(s.orders[0].day, part(&f, parts[0]).order_by);
    assert_eq!(s.orders[0].parts.len(), 3);
    // The first of the others would come long before its phase: fourteen calendar days and the weekend at most from the
    // order, counted here by the days themselves.
    let stands = |return_days: Option<u32>| {
        let mut p = p.clone();
        std::sync::Arc::make_mut(&mut p.suppliers)[0].return_days = return_days;
        let f = figures(&p, "2026-09-21");
        early::early(&p, &f, &suggestions(&p, &f.parts, &f.days, f.as_of)[0].orders[0]).unwrap()
    };
    let longest = f.index.of(parts[1].0).unwrap().max(f.index.of(parts[2].0).unwrap());
    let need = f.parts[longest].need_date.unwrap();
    let comes = s.orders[0].day.unwrap().plus(14);
    let unknown = stands(None);
    assert!((need.since(comes) - 3..=need.since(comes)).contains(&unknown.stands), "{unknown:?}");
    assert_eq!(unknown.ordered, f.parts[unknown.part].order_by.unwrap().since(s.orders[0].day.unwrap()));
    assert_eq!(unknown.window, Window::Unknown);
    assert!(matches!(stands(Some(3)).window, Window::EndsBefore(day) if day < need));
    assert_eq!(stands(Some(365)).window, Window::Holds);
    // Decided later than the first must be ordered: the other two go together, free freight is out of reach.
    for id in &parts[1..] {
        let selection = p.part(*id).unwrap().0.id;
        edit_selection(&mut p, selection, |s| s.decide_on = Some(date("2026-11-02")));
    }
    let f = figures(&p, "2026-09-21");
    assert!(suggestions(&p, &f.parts, &f.days, f.as_of).is_empty());
    // Ordered ones are no longer asked for, and an order below the smallest is said.
    let placed = p.apply(&Action::MarkOrdered(parts[..2].to_vec(), Some(date("2026-09-21")))).unwrap();
    let f = figures(&placed, "2026-09-21");
    assert!(suggestions(&placed, &f.parts, &f.days, f.as_of).is_empty());
    assert!(problems(&placed, &f).iter().any(|p| p.code == "below_minimum" && p.message.contains("120.00")));
    let _: Day = f.as_of;
}
