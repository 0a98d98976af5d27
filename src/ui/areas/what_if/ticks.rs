//! Places on the scales of pictures: days that begin months or weeks, and round amounts.

use crate::engine::Day;
use crate::model::Money;
use chrono::{Datelike, Months};
use rust_decimal::Decimal;

/// Days from one to another with their names: first days of months; Mondays where `span` days are few, all where it is less
/// than two weeks.
pub fn days(from: Day, to: Day, span: i32) -> Vec<(Day, String)> {
    let dated = |day: Day| (day, day.date().format("%b %-d").to_string());
    if span < 14 {
        return (0..=to.since(from)).map(|day| dated(from.plus(day))).collect();
    }
    if span < 75 {
        let monday = from.plus(7 - from.date().weekday().num_days_from_monday() as i32);
        return (0..).map(|week| monday.plus(week * 7)).take_while(|day| *day <= to).map(dated).collect();
    }
    let Some(first) = from.date().with_day(1) else { return Vec::new() };
    let month = |n: u32| first.checked_add_months(Months::new(n)).map(Day::from);
    let named = |day: Day| {
        let name = day.date().format(if day.date().month() == 1 { "%Y" } else { "%b" }).to_string();
        (day, name)
    };
    (1..1_200).map_while(month).take_while(|day| *day <= to).map(named).collect()
}

/// Round amounts from a little below the least to a little above the most, about six of them.
pub fn amounts(least: Option<Money>, most: Option<Money>) -> Vec<Money> {
    let (Some(least), Some(most)) = (least, most) else { return Vec::new() };
    let (least, most) = (least.amount(), most.amount());
    let step = round_step((most - least) / Decimal::from(6));
    let first = (least / step).floor() * step - step * Decimal::TEN;
    (0..30).map(|n| Money::new(first + step * Decimal::from(n))).filter(|m| !m.is_negative()).collect()
}

/// The least of 1, 2 and 5 times a power of ten that is no less than a width.
fn round_step(width: Decimal) -> Decimal {
    let mut ten = Decimal::ONE;
    loop {
        for times in [1, 2, 5] {
            let step = ten * Decimal::from(times);
            if step >= width {
                return step;
            }
        }
        match ten.checked_mul(Decimal::TEN) {
            Some(more) if more <= Decimal::from(10_i64.pow(15)) => ten = more,
            _ => return ten,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(text: &str) -> Day {
        Day::from(text.parse::<chrono::NaiveDate>().expect("a date"))
    }

    #[test]
    fn few_days_are_told_by_weeks_and_many_by_months() {
        let names = |all: Vec<(Day, String)>| all.into_iter().map(|(_, name)| name).collect::<Vec<_>>();
        let weeks = days(day("2027-01-26"), day("2027-02-15"), 20);
        assert_eq!(weeks[0].0, day("2027-02-01"));
        assert_eq!(names(weeks), ["Feb 1", "Feb 8", "Feb 15"]);
        assert_eq!(names(days(day("2026-10-15"), day("2027-02-20"), 120)), ["Nov", "Dec", "2027", "Feb"]);
    }

    #[test]
    fn amounts_stand_at_round_steps_around_what_there_is() {
        let money = |n: i64| Money::new(n.into());
        let all = amounts(Some(money(261_300)), Some(money(289_900)));
        assert!(all.windows(2).all(|pair| pair[1].less(pair[0]) == money(5_000)));
        assert!(all.contains(&money(265_000)) && all.contains(&money(290_000)));
        assert_eq!(amounts(Some(money(5)), Some(money(5))).first(), Some(&money(0)));
        assert!(amounts(None, None).is_empty());
    }
}
