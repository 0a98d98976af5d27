//! Names of months along an axis of days, on paper and in the window.

use chrono::{Datelike, NaiveDate};

/// Points between two names.
const GAP: f32 = 6.0;

/// The names of months at their places, as many as have room before an end, evenly: where one would be dropped for width,
/// so is every other one like it. A month that has begun before its place has a name where the next one leaves room.
pub fn thinned(all: &[(f32, NaiveDate)], end: f32, wide: impl Fn(&str) -> f32) -> Vec<(f32, String)> {
    // Every so many months, with the whole year or two digits of it.
    let steps = [1, 2, 3, 4, 6, 12, 24, 60, 120, 600].into_iter();
    let tries = steps.flat_map(|step| [(step, "%b %Y"), (step, "%b '%y")]);
    let mut last = Vec::new();
    for (step, january) in tries {
        let is_named = |date: &NaiveDate| (date.year() * 12 + date.month0() as i32) % step == 0;
        let mut names: Vec<(f32, f32, String, bool)> = Vec::new();
        for (x, date) in all.iter().filter(|(_, date)| is_named(date)) {
            let form = if date.month() == 1 { january } else { "%b" };
            let words = date.format(form).to_string();
            names.push((*x, wide(&words), words, date.day() > 1));
        }
        // What has begun says its month only where the next one leaves room, and only while all are named.
        let begun = names.first().is_some_and(|name| name.3);
        let tight = names.len() > 1 && names[0].0 + names[0].1 + GAP > names[1].0;
        if begun && (tight || step > 1) {
            names.remove(0);
        }
        // At the right edge a year stands a little before its place, and any other name is not there.
        if let Some((x, width, words, _)) = names.last_mut()
            && *x + *width > end
        {
            if words.len() > 3 {
                *x = end - *width;
            } else {
                names.pop();
            }
        }
        let fits = names.windows(2).all(|two| two[0].0 + two[0].1 + GAP <= two[1].0);
        last = names.into_iter().map(|(x, _, words, _)| (x, words)).collect();
        if fits {
            break;
        }
    }
    last
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Places of months from one on, so many points each, and the names of those that are shown in letters of six points.
    fn names(from: (i32, u32), months: u32, each: f32) -> Vec<String> {
        let first = NaiveDate::from_ymd_opt(from.0, from.1, 1).unwrap();
        let place = |n: u32| (n as f32 * each, first.checked_add_months(chrono::Months::new(n)).unwrap());
        let all: Vec<(f32, NaiveDate)> = (0..months).map(place).collect();
        let shown = thinned(&all, months as f32 * each, |words| words.len() as f32 * 6.0);
        shown.into_iter().map(|(_, words)| words).collect()
    }

    #[test]
    fn months_are_thinned_evenly_and_a_january_keeps_its_year() {
        let from = (2026, 10);
        assert_eq!(names(from, 6, 60.0), ["Oct", "Nov", "Dec", "Jan 2027", "Feb", "Mar"]);
        assert_eq!(
            names(from, 6, 50.0),
            ["Oct", "Nov", "Dec", "Jan '27", "Feb", "Mar"],
            "short before dropped"
        );
        assert_eq!(names(from, 6, 30.0), ["Nov", "Jan 2027", "Mar"], "every second one");
        assert_eq!(names(from, 7, 16.0), ["Oct", "Jan 2027"], "every third one");
        assert_eq!(names(from, 4, 12.0), ["Jan 2027"], "at the edge it stands before its place");
        for (months, each) in [(48, 3.0), (240, 1.0)] {
            let shown = names(from, months, each);
            assert!(!shown.is_empty() && shown.iter().all(|name| name.starts_with("Jan")), "{shown:?}");
        }
    }

    #[test]
    fn a_month_that_has_begun_is_named_where_there_is_room() {
        let date = |m, d| NaiveDate::from_ymd_opt(2026, m, d).unwrap();
        let wide = |words: &str| words.len() as f32 * 6.0;
        let shown = thinned(&[(0.0, date(8, 31)), (4.0, date(9, 1)), (60.0, date(10, 1))], 200.0, wide);
        assert_eq!(shown, [(4.0, "Sep".to_owned()), (60.0, "Oct".to_owned())]);
        let shown = thinned(&[(0.0, date(8, 11)), (40.0, date(9, 1))], 200.0, wide);
        assert_eq!(shown, [(0.0, "Aug".to_owned()), (40.0, "Sep".to_owned())]);
    }
}
