//! Working days against the statute's holidays and numpy's documented answers.

mod support;

use needline::engine::Day;
use needline::engine::calendar::{Calendar, DayRule, DayTable, HolidayTable};
use needline::engine::holidays::us_federal;
use needline::model::{ClosedRange, HolidayRule, Holidays, Weekdays};
use proptest::prelude::*;
use support::*;

/// A table with its holidays, to ask through a [`Calendar`].
struct Table(DayTable, HolidayTable);

impl Table {
    fn new(
        weekdays: Weekdays,
        rule: HolidayRule,
        own: &[&str],
        closed: &[(&str, &str)],
        span: [&str; 2],
    ) -> Table {
        let holidays = Holidays { rule, own: own.iter().map(|d| date(d)).collect() };
        let holidays = HolidayTable::new(&holidays, day(span[0]), day(span[1]));
        let closed: Vec<ClosedRange> = closed
            .iter()
            .map(|(from, to)| ClosedRange { from: date(from), to: date(to), why: String::new() })
            .collect();
        Table(DayTable::new(DayRule::new(weekdays, true, &closed), &holidays), holidays)
    }

    fn ask(&self) -> Calendar<'_> {
        Calendar::new(&self.0, &self.1)
    }
}

const DECADE: [&str; 2] = ["2008-01-01", "2031-12-31"];

fn federal() -> Table {
    Table::new(Weekdays::MON_TO_FRI, HolidayRule::UsFederal, &[], &[], DECADE)
}

fn weekdays(text: &str) -> Table {
    Table::new(text.parse().unwrap(), HolidayRule::None, &[], &[], DECADE)
}

fn observed(year: i32) -> Vec<String> {
    let mut days: Vec<Day> = us_federal(year).collect();
    days.sort();
    days.iter().map(Day::to_string).collect()
}

/// Source of the rule: 5 U.S.C. 6103 as quoted by the 6th Circuit, <https://www.ca6.uscourts.gov/federal-holidays>.
/// Dates recomputed with python `holidays` 0.109.
#[test]
fn observed_federal_holidays() {
    let of = |year: i32, rest: [&str; 11]| -> Vec<String> {
        rest.iter().map(|d| if d.len() > 5 { (*d).to_owned() } else { format!("{year}-{d}") }).collect()
    };
    let rows = [
        (
            2026,
            [
                "01-01", "01-19", "02-16", "05-25", "06-19", "07-03", "09-07", "10-12", "11-11", "11-26",
                "12-25",
            ],
        ),
        (
            2027,
            [
                "01-01", "01-18", "02-15", "05-31", "06-18", "07-05", "09-06", "10-11", "11-11", "11-25",
                "12-24",
            ],
        ),
        (
            2028,
            [
                "2027-12-31",
                "01-17",
                "02-21",
                "05-29",
                "06-19",
                "07-04",
                "09-04",
                "10-09",
                "11-10",
                "11-23",
                "12-25",
            ],
        ),
    ];
    for (year, expected) in rows {
        assert_eq!(observed(year), of(year, expected), "{year}");
    }
}

/// Source: a copy of the 2009 list of the Office of Personnel Management,
/// <https://medicaltranscriptionnepal.blogspot.com/2009/05/2009-federal-holidays.html>.
#[test]
fn printed_list_of_2009() {
    let days = observed(2009);
    for listed in ["2009-01-19", "2009-02-16", "2009-05-25", "2009-07-03", "2009-10-12", "2009-11-26"] {
        assert!(days.iter().any(|d| d == listed), "{listed} not in {days:?}");
    }
    assert!(!days.iter().any(|d| d == "2009-07-04"), "a Saturday is observed the Friday before");
}

/// Weekdays and working days of a year; 2027 also loses New Year 2028. Recomputed with numpy and `holidays` 0.109.
#[test]
fn working_days_of_a_year() {
    let (plain, kept) = (weekdays("Mon-Fri"), federal());
    for (year, all, working) in [(2026, 261, 250), (2027, 261, 249), (2028, 260, 250)] {
        let (from, to) = (day(&format!("{year}-01-01")), day(&format!("{}-01-01", year + 1)));
        assert_eq!(plain.ask().count(from, to), all, "{year}");
        assert_eq!(kept.ask().count(from, to), working, "{year}");
    }
}

/// Source: <https://numpy.org/doc/2.1/reference/generated/numpy.busday_offset.html> and `busday_count`; also run with
/// numpy 2.4.6. `offset` rolls forward for n >= 0 and backward for n < 0; numpy's other combinations are written with
/// `index` and `index_back`.
#[test]
fn documented_numpy_examples() {
    let week = weekdays("Mon-Fri");
    let week = week.ask();
    assert_eq!(week.offset(day("2011-10-01"), 0), day("2011-10-03"));
    // roll='forward' before a step back: from the index rolled forward.
    let march = day("2012-03-01");
    assert_eq!(week.day(week.index(march) - 1), day("2012-02-29"));
    assert_eq!(week.offset(march, -1), day("2012-02-29"), "a working day rolls nowhere");
    assert_eq!(weekdays("Wed").ask().offset(day("2011-01-01"), 2), day("2011-01-19"));
    assert_eq!(weekdays("Sun").ask().offset(day("2012-05-01"), 1), day("2012-05-13"));
    assert_eq!(week.offset(day("2011-03-20"), 0), day("2011-03-21"));
    assert_eq!(week.offset(day("2011-03-22"), 0), day("2011-03-22"));
    // roll='backward' before a step forward: from the index rolled back.
    assert_eq!(week.day(week.index_back(day("2011-03-20")) + 1), day("2011-03-21"));
    assert_eq!(week.day(week.index_back(day("2011-03-22")) + 1), day("2011-03-23"));
    assert_eq!(week.count(day("2011-01-01"), day("2011-02-01")), 21);
    assert_eq!(week.count(day("2011-01-01"), day("2012-01-01")), 260);
    assert_eq!(weekdays("Sat").ask().count(day("2011-01-01"), day("2012-01-01")), 53);
}

/// Recomputed with numpy and the observed holidays above.
#[test]
fn offsets_over_holidays() {
    let kept = federal();
    let kept = kept.ask();
    for (from, n, to) in [
        ("2026-07-02", 1, "2026-07-06"),
        ("2026-06-01", 20, "2026-06-30"),
        ("2026-12-24", 1, "2026-12-28"),
        ("2026-12-30", 2, "2027-01-04"),
        ("2027-06-17", 1, "2027-06-21"),
        ("2027-12-23", 5, "2028-01-03"),
        ("2026-07-04", 0, "2026-07-06"),
        ("2026-06-01", 10, "2026-06-15"),
        ("2026-09-08", -1, "2026-09-04"),
        ("2026-11-25", 2, "2026-11-30"),
        ("2027-03-01", -60, "2026-12-01"),
        ("2027-07-02", 1, "2027-07-06"),
        ("2028-11-09", 1, "2028-11-13"),
    ] {
        assert_eq!(kept.offset(day(from), n), day(to), "{from} {n:+}");
    }
    assert_eq!(kept.roll_back(day("2026-07-04")), day("2026-07-02"));
    assert_eq!(kept.count(day("2026-07-01"), day("2026-07-08")), 4);
    assert_eq!(weekdays("Mon-Fri").ask().count(day("2026-07-08"), day("2026-07-01")), -5);
}

/// New Year 2201 is outside the years computed with and closes nothing.
#[test]
fn the_last_days_there_are() {
    let kept = federal();
    let kept = kept.ask();
    let last = day("2200-12-31");
    assert_eq!(last.weekday_index(), 2, "a Wednesday");
    assert!(kept.is_open(last), "no holiday falls on it");
    assert_eq!(kept.offset(last, 500), last, "it stops there");
    assert_eq!(kept.offset(day("1900-01-01"), -500), day("1900-01-01"));
    assert_eq!(Day::from(date("2500-01-01")), last);
    assert_eq!(last.plus(i32::MAX), last);
}

/// No weekday is worked at all: the answer is the end of time, at once.
#[test]
fn an_empty_week_ends() {
    let never = DayRule::new(Weekdays::MON_TO_FRI, true, &[]).only_on("Sun".parse().unwrap());
    let holidays = HolidayTable::new(&Holidays::default(), day("2026-01-01"), day("2026-12-31"));
    let table = DayTable::new(never, &holidays);
    let never = Calendar::new(&table, &holidays);
    assert_eq!(never.roll_forward(day("2026-05-05")), day("2200-12-31"));
    assert_eq!(never.roll_back(day("2026-05-05")), day("1900-01-01"));
    assert_eq!(never.count(day("1950-01-01"), day("2150-01-01")), 0);
}

const OWN: [&str; 3] = ["2026-06-24", "2027-03-30", "2025-01-15"];
const CLOSED: [(&str, &str); 3] =
    [("2026-06-08", "2026-06-12"), ("2024-12-20", "2025-01-06"), ("2027-08-01", "2027-08-31")];

fn stretch(weekdays: Weekdays, rule: HolidayRule, span: [&str; 2]) -> Table {
    Table::new(weekdays, rule, &OWN, &CLOSED, span)
}

fn any_week() -> impl Strategy<Value = Weekdays> {
    (1_u8..128).prop_map(|bits| {
        let digits: String = (0..7).map(|i| if bits >> i & 1 == 1 { '1' } else { '0' }).collect();
        digits.parse().unwrap()
    })
}

fn any_rule() -> impl Strategy<Value = HolidayRule> {
    prop_oneof![Just(HolidayRule::UsFederal), Just(HolidayRule::None)]
}

proptest! {
    /// Beyond the table the same answers as inside a longer one, and the same as walking day by day.
    #[test]
    fn beyond_the_table_nothing_changes(
        week in any_week(),
        rule in any_rule(),
        from in 0_i32..2200,
        span in 0_i32..700,
        n in -400_i32..400,
    ) {
        let short = stretch(week, rule, ["2026-06-05", "2026-06-26"]);
        let long = stretch(week, rule, ["2010-01-01", "2045-12-31"]);
        let (short, long) = (short.ask(), long.ask());
        let from = day("2024-01-01").plus(from);
        let to = from.plus(span);
        prop_assert_eq!(short.offset(from, n), long.offset(from, n));
        prop_assert_eq!(short.roll_forward(from), long.roll_forward(from));
        prop_assert_eq!(short.roll_back(from), long.roll_back(from));
        prop_assert_eq!(short.is_open(from), long.is_open(from));
        prop_assert_eq!(short.count(from, to), long.count(from, to));
        let walked = (0..span).filter(|k| long.is_open(from.plus(*k))).count() as i32;
        prop_assert_eq!(long.count(from, to), walked);
        prop_assert_eq!(long.count(to, from), -walked);
    }

    /// `offset` as numpy defines it, by walking: roll first, then step over open days.
    #[test]
    fn offset_is_roll_and_steps(week in any_week(), rule in any_rule(), from in 0_i32..2200, n in -60_i32..60) {
        let table = stretch(week, rule, DECADE);
        let table = table.ask();
        let from = day("2024-01-01").plus(from);
        let step = if n >= 0 { 1 } else { -1 };
        let next_open = |mut at: Day| {
            while !table.is_open(at) {
                at = at.plus(step);
            }
            at
        };
        let walked = (0..n.abs()).fold(next_open(from), |at, _| next_open(at.plus(step)));
        prop_assert_eq!(table.offset(from, n), walked);
    }

    /// Index and day are inverse to each other on open days, and between open days index rolls forward.
    #[test]
    fn index_and_day_are_inverse(week in any_week(), rule in any_rule(), from in 0_i32..9000) {
        let table = stretch(week, rule, ["2020-01-01", "2028-12-31"]);
        let table = table.ask();
        let at = day("2012-01-01").plus(from);
        let rolled = table.roll_forward(at);
        prop_assert!(rolled >= at && table.is_open(rolled));
        prop_assert_eq!(table.index(rolled), table.index(at));
        let back = table.roll_back(at);
        prop_assert!(back <= at && table.is_open(back));
        prop_assert_eq!(rolled == back, table.is_open(at));
        prop_assert_eq!(table.index(rolled) - table.index(back), i32::from(!table.is_open(at)));
    }
}

proptest! {
    /// A table of a few years answers as one of all years does, however far away the day is.
    #[test]
    fn far_from_a_table_answers_are_those_of_a_table_of_all_days(
        bits in 1..128_u8,
        federal in any::<bool>(),
        closed in prop::collection::vec((0..109_000_i32, 0..9_000_i32), 0..6),
        days in prop::collection::vec(0..109_938_i32, 1..20),
        indices in prop::collection::vec(-90_000..90_000_i32, 1..20),
    ) {
        let set: String = (0..7).map(|i| if bits >> i & 1 == 1 { '1' } else { '0' }).collect();
        let rule = if federal { HolidayRule::UsFederal } else { HolidayRule::None };
        let at = |n: i32| Day::first().plus(n).to_string();
        let closed: Vec<(String, String)> = closed.iter().map(|(from, n)| (at(*from), at(from + n))).collect();
        let closed: Vec<(&str, &str)> = closed.iter().map(|(from, to)| (from.as_str(), to.as_str())).collect();
        let table = |span| Table::new(set.parse().unwrap(), rule, &["2150-03-03"], &closed, span);
        let (near, all) = (table(["2026-01-01", "2029-12-31"]), table(["1900-01-01", "2200-12-31"]));
        let (near, all) = (near.ask(), all.ask());
        let first = all.index(day("2026-01-01"));
        for n in days {
            let day = Day::first().plus(n);
            prop_assert_eq!(near.index(day), all.index(day) - first, "{}", day);
            prop_assert_eq!(near.is_open(day), all.is_open(day), "{}", day);
        }
        for index in indices {
            prop_assert_eq!(near.day(index), all.day(index + first), "{}", index);
        }
    }
}
