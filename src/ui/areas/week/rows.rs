//! The rows of This week: dates with the lines under them.

use crate::engine::week::{Kind, Line};
use crate::engine::{Day, Figures};
use crate::exchange::outgoing::week::{WeekSheet, sheet};
use crate::model::Project;

/// How far the list looks, and what of it is shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Shown {
    /// How many days, the as-of day among them.
    pub days: i32,
    /// Lines of this kind alone.
    pub kind: Option<Kind>,
}

/// A row of the list.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Row {
    /// A date over its lines, or what is overdue, with how many lines there are.
    Date(Option<Day>, usize),
    /// A line, by its place.
    Line(usize),
}

/// The list as it is shown.
#[derive(Debug)]
pub struct WeekRows {
    /// All lines of the days, also of other kinds.
    pub sheet: WeekSheet,
    /// How many there are of each kind.
    pub counts: [usize; Kind::ALL.len()],
    /// How many are overdue, of all kinds.
    pub overdue: usize,
    /// Rows, each with how many dates stand above it.
    rows: Vec<(Row, usize)>,
    dates: usize,
    /// Places of the lines that are shown, in their order, each with its row.
    lines: Vec<(usize, usize)>,
}

impl WeekRows {
    /// Makes it.
    pub fn new(project: &Project, figures: &Figures, shown: Shown) -> WeekRows {
        let sheet = sheet(project, figures, shown.days);
        let mut counts = [0; Kind::ALL.len()];
        for line in &sheet.lines {
            counts[line.kind as usize] += 1;
        }
        let overdue = sheet.lines.iter().filter(|line| line.day < sheet.as_of).count();
        let mut rows = Vec::new();
        let (mut dates, mut first) = (0, 0);
        for (day, lines) in sheet.dates() {
            let wanted = |line: &Line| shown.kind.is_none_or(|kind| kind == line.kind);
            let own: Vec<usize> = (first..).zip(lines).filter(|(_, l)| wanted(l)).map(|(at, _)| at).collect();
            first += lines.len();
            if own.is_empty() {
                continue;
            }
            rows.push((Row::Date(day, own.len()), dates));
            dates += 1;
            rows.extend(own.into_iter().map(|at| (Row::Line(at), dates)));
        }
        let line = |(row, at): (usize, &(Row, usize))| match at.0 {
            Row::Line(line) => Some((line, row)),
            Row::Date(..) => None,
        };
        let lines = rows.iter().enumerate().filter_map(line).collect();
        WeekRows { sheet, counts, overdue, rows, dates, lines }
    }

    /// How many rows there are, dates among them.
    pub fn len(&self) -> usize {
        self.rows.len()
    }

    /// Whether nothing is shown.
    pub fn is_empty(&self) -> bool {
        self.rows.is_empty()
    }

    /// A row, and how many dates stand above it.
    pub fn row(&self, at: usize) -> Option<(Row, usize)> {
        self.rows.get(at).copied()
    }

    /// Points above a row, where dates and lines are so high.
    pub fn top(&self, at: usize, date: f32, line: f32) -> f32 {
        let dates = self.rows.get(at).map_or(self.dates, |(_, dates)| *dates);
        dates as f32 * date + (at - dates) as f32 * line
    }

    /// The rows that lie between two heights.
    pub fn between(&self, from: f32, to: f32, date: f32, line: f32) -> std::ops::Range<usize> {
        let at = |height: f32| self.place_of(height, date, line);
        at(from)..(at(to) + 1).min(self.len())
    }

    /// The row at a height.
    fn place_of(&self, height: f32, date: f32, line: f32) -> usize {
        let (mut low, mut high) = (0, self.len());
        while low + 1 < high {
            let middle = usize::midpoint(low, high);
            if self.top(middle, date, line) <= height {
                low = middle;
            } else {
                high = middle;
            }
        }
        low
    }

    /// How many lines are shown.
    pub fn shown(&self) -> usize {
        self.lines.len()
    }

    /// The line at a place among those shown, and its row.
    pub fn line(&self, place: usize) -> Option<(&Line, usize)> {
        let (at, row) = *self.lines.get(place)?;
        self.sheet.lines.get(at).map(|line| (line, row))
    }

    /// The place of a line by what keeps it apart from others; looked for at a place first, where it was the last time.
    pub fn find(&self, id: &str, place: usize) -> Option<usize> {
        let is = |place: usize| self.line(place).is_some_and(|(line, _)| line.id == id);
        if is(place) { Some(place) } else { (0..self.lines.len()).find(|place| is(*place)) }
    }

    /// What is to be done first.
    pub fn next(&self) -> Option<&Line> {
        self.sheet.lines.first()
    }
}
