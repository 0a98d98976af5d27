//! Work of decades and centuries: answers stay right, and cost what they cost near by. An engine that walked to them day
//! by day would need minutes for each test here.

mod support;

use chrono::Days;
use needline::engine;
use needline::model::dates::LAST_DAY;
use needline::model::{HolidayRule, Link, LinkId, LinkKind, Phase, PhaseId, Project};
use std::sync::Arc;
use support::{date, figures};

/// Phases one behind the other, each of so many days, on all weekdays named and without holidays.
fn chain(phases: u32, days: i32, weekdays: &str) -> Project {
    let mut project = Project::new("Chain", date("2026-01-05"));
    project.settings.weekdays = weekdays.parse().unwrap();
    project.settings.holidays.rule = HolidayRule::None;
    let made = (1..=phases).map(|i| Phase::new(PhaseId(i), &format!("p{i}"), "Work", days));
    project.phases = Arc::new(made.collect());
    let link = |i: u32| Link {
        id: LinkId(phases + i),
        before: PhaseId(i),
        after: PhaseId(i + 1),
        kind: LinkKind::FS,
        lag: 0,
        unit: Default::default(),
    };
    project.links = Arc::new((1..phases).map(link).collect());
    project.next_id = 2 * phases + 1;
    project.reindex();
    project
}

/// From a Monday on, n days of work of a week of w days end 7 (n - 1) / w calendar days later, when w goes into n - 1,
/// plus the days into the last week.
#[test]
fn a_chain_of_phases_ends_where_arithmetic_says() {
    for (phases, days, weekdays, worked) in [
        (20_000, 1, "Mon-Fri", 5),
        (40, 1_000, "Mon-Fri", 5),
        (5_000, 1, "Mon", 1),
        (8, 5_000, "Mon-Fri", 5),
        (2, 2_000, "Mon", 1),
        (12_000, 2, "Mon-Sun", 7),
    ] {
        let project = chain(phases, days, weekdays);
        let steps = u64::from(phases) * u64::try_from(days).unwrap() - 1;
        let finish = date("2026-01-05") + Days::new(steps / worked * 7 + steps % worked);
        let figures = figures(&project, "2026-01-05");
        assert_eq!(figures.plan_finish.map(|d| d.date()), Some(finish), "{phases} of {days}");
        assert_eq!(figures.forecast_finish, figures.plan_finish);
        assert!(engine::problems(&project, &figures).iter().all(|p| p.code != "beyond_2200"));
    }
}

#[test]
fn what_ends_beyond_the_year_2200_stops_there_and_is_told() {
    for (phases, days) in [(100_000, 1), (500, 5_000)] {
        let project = chain(phases, days, "Mon-Fri");
        let figures = figures(&project, "2026-01-05");
        assert_eq!(figures.plan_finish.map(|d| d.date()), Some(LAST_DAY));
        assert!(engine::problems(&project, &figures).iter().any(|p| p.code == "beyond_2200"));
    }
}

#[test]
fn a_start_in_the_last_year_or_a_hundred_years_of_closed_days_are_computed() {
    let mut late = chain(2_000, 1, "Mon-Fri");
    late.settings.start = date("2200-12-01");
    assert_eq!(figures(&late, "2026-01-05").plan_finish.map(|d| d.date()), Some(LAST_DAY));

    let mut closed = chain(2_000, 1, "Mon-Sun");
    closed.settings.closed = vec![needline::model::ClosedRange {
        from: date("2026-01-06"),
        to: date("2126-01-05"),
        why: String::new(),
    }];
    // One day before the pause, 1,999 from 2126-01-06 on.
    let finish = date("2126-01-06") + Days::new(1_998);
    assert_eq!(figures(&closed, "2026-01-05").plan_finish.map(|d| d.date()), Some(finish));
}
