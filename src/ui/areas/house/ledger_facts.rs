//! What lists show of each selection, worked out once for a revision: nothing walks all parts while a frame is drawn.

use crate::engine::money::Columns;
use crate::engine::{Day, Figures};
use crate::model::{Part, Project, Selection, SelectionOption};
use crate::ui::standing::{SOON, Standing};
use crate::ui::widgets::need_line::OpenWay;
use std::collections::HashMap;

/// What the ledger needs to know of a selection to sort, group, filter and draw its row.
#[derive(Debug, Clone, Copy)]
pub struct RowFact {
    /// Where it stands.
    pub standing: Standing,
    /// Position of the part that counts and has the least time; none while nothing counts.
    pub tightest: Option<u32>,
    /// Position of the one part that counts, when there is exactly one.
    pub sole: Option<u32>,
    /// Position of its room.
    pub room: u32,
    /// Position of its category in [`Facts::categories`].
    pub category: u32,
    /// Position of the supplier of the tightest part.
    pub supplier: Option<u32>,
    /// Position of the phase that needs the tightest part; of a candidate's while undecided.
    pub phase: Option<u32>,
    /// While nothing counts: when its candidates would come.
    pub open: Option<OpenWay>,
    /// Chosen or leaned to, with a part that is not ordered.
    pub to_order: bool,
    /// With a part that counts, is ordered and has not come.
    pub on_way: bool,
}

/// When the candidates of a selection would come of which nothing counts.
fn open_way(selection: &Selection, figures: &Figures, own: &crate::engine::SelectionFigures) -> OpenWay {
    let mut parts = figures.parts_of(own).iter();
    let (mut need, mut arrivals): (Option<Day>, Option<(Day, Day)>) = (None, None);
    for option in &selection.options {
        let (mut last, mut known) = (None, true);
        for f in parts.by_ref().take(option.parts.len()) {
            need = [need, f.need_date].into_iter().flatten().min();
            known &= f.expected.is_some();
            last = last.max(f.expected);
        }
        // One of which nobody knows when it comes is nowhere on the axis.
        if let Some(day) = last.filter(|_| known) {
            arrivals = Some(arrivals.map_or((day, day), |(a, b)| (a.min(day), b.max(day))));
        }
    }
    OpenWay { need, arrivals, order_by: own.order_by }
}

/// Arrival and need of a part on the row of its phase.
#[derive(Debug, Clone, Copy)]
pub struct PhaseMark {
    /// Position of the part.
    pub part: u32,
    /// Expected.
    pub arrival: Day,
    /// Needed.
    pub need: Day,
    /// Expected after it is needed.
    pub late: bool,
    /// Ordered.
    pub ordered: bool,
}

/// Open and late selections of a room.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct RoomCounts {
    /// With nothing that counts.
    pub open: i32,
    /// With a late part.
    pub late: i32,
}

/// Facts of all selections of a document on a day.
#[derive(Debug, Default)]
pub struct Facts {
    /// By selection.
    pub rows: Vec<RowFact>,
    /// Categories in order of appearance.
    pub categories: Vec<String>,
    /// By room.
    pub rooms: Vec<RoomCounts>,
    /// Selections with nothing that counts.
    pub undecided: i32,
    /// By phase: the parts that count and have not come.
    pub marks: Vec<Vec<PhaseMark>>,
    /// By phase: positions of all parts that count, those first that are needed first.
    pub parts_of_phase: Vec<Vec<u32>>,
    /// By room: positions of the phases in which something of it is used, in the order they come.
    pub phases_of_room: Vec<Vec<u32>>,
    /// By supplier: positions of the parts that count and are not ordered.
    pub to_order_of: Vec<Vec<u32>>,
    /// Phases by when they come.
    pub phase_order: Vec<usize>,
    /// By phase: its place in that order.
    pub phase_ranks: Vec<usize>,
    /// First and last day of the calendar of phases, as far as phases reach.
    pub phase_span: Option<(Day, Day)>,
}

impl Facts {
    /// Works them out.
    pub fn new(project: &Project, figures: &Figures) -> Facts {
        let mut facts = Facts {
            rooms: vec![RoomCounts::default(); project.rooms.len()],
            marks: vec![Vec::new(); project.phases.len()],
            parts_of_phase: vec![Vec::new(); project.phases.len()],
            phases_of_room: vec![Vec::new(); project.rooms.len()],
            to_order_of: vec![Vec::new(); project.suppliers.len()],
            phase_order: phase_order(project, figures),
            phase_span: phase_span(figures),
            rows: Vec::with_capacity(project.selections.len()),
            ..Facts::default()
        };
        facts.phase_ranks = vec![0; facts.phase_order.len()];
        for (rank, at) in facts.phase_order.iter().enumerate() {
            if let Some(slot) = facts.phase_ranks.get_mut(*at) {
                *slot = rank;
            }
        }
        let mut known: HashMap<&str, u32> = HashMap::new();
        for (selection, own) in project.selections.iter().zip(&figures.selections) {
            let next = facts.categories.len() as u32;
            let category = *known.entry(&selection.category).or_insert(next);
            if category == next {
                facts.categories.push(selection.category.clone());
            }
            let room = figures.index.of(selection.room.0).unwrap_or(0) as u32;
            let open = own.live.is_none();
            if let Some(counts) = facts.rooms.get_mut(room as usize) {
                counts.open += i32::from(open);
                counts.late += i32::from(own.late);
            }
            facts.undecided += i32::from(open);
            let row = facts.row(selection, figures, own, room, category);
            facts.rows.push(row);
        }
        let ranks = &facts.phase_ranks;
        for list in &mut facts.phases_of_room {
            list.sort_by_key(|at| (ranks.get(*at as usize), *at));
            list.dedup();
        }
        for list in &mut facts.parts_of_phase {
            list.sort_by_key(|at| {
                let f = figures.parts.get(*at as usize);
                (f.is_some_and(|f| f.on_site), !f.is_some_and(|f| f.late), f.and_then(|f| f.need_date))
            });
        }
        facts
    }

    fn row(
        &mut self,
        selection: &Selection,
        figures: &Figures,
        own: &crate::engine::SelectionFigures,
        room: u32,
        category: u32,
    ) -> RowFact {
        let mut tightest: Option<((bool, i32), usize)> = None;
        let (mut live, mut sole, mut first_phase) = (0, None, None);
        let (mut to_order, mut on_way) = (false, false);
        for (i, f) in figures.parts_of(own).iter().enumerate() {
            let at = own.first_part + i;
            first_phase = first_phase.or(f.phase);
            if let Some((list, phase)) = self.phases_of_room.get_mut(room as usize).zip(f.phase) {
                list.push(phase);
            }
            if !f.live {
                continue;
            }
            live += 1;
            sole = Some(at as u32);
            let (ordered, came) = (f.placed.is_some(), f.on_site);
            to_order |= !ordered;
            let seller = f.supplier.filter(|_| !ordered);
            if let Some(list) = seller.and_then(|supplier| self.to_order_of.get_mut(supplier as usize)) {
                list.push(at as u32);
            }
            on_way |= ordered && !came;
            let spare = f.spare_days().unwrap_or(i32::MAX);
            if tightest.is_none_or(|(least, _)| (came, spare) < least) {
                tightest = Some(((came, spare), at));
            }
            if let Some(list) = f.phase.and_then(|phase| self.parts_of_phase.get_mut(phase as usize)) {
                list.push(at as u32);
            }
            if let (false, Some(phase), Some((need, arrival))) = (came, f.phase, f.need_date.zip(f.expected))
            {
                let mark = PhaseMark { part: at as u32, arrival, need, late: f.late, ordered };
                if let Some(list) = self.marks.get_mut(phase as usize) {
                    list.push(mark);
                }
            }
        }
        let tight = tightest.and_then(|(_, at)| figures.parts.get(at));
        RowFact {
            standing: Standing::of(selection, figures, own),
            tightest: tightest.map(|(_, at)| at as u32),
            sole: sole.filter(|_| live == 1),
            room,
            category,
            supplier: tight.and_then(|f| f.supplier),
            phase: tight.map_or(first_phase, |f| f.phase),
            open: own.live.is_none().then(|| open_way(selection, figures, own)),
            to_order,
            on_way,
        }
    }

    /// How many selections of the rooms picked fit each filter is asked of this.
    pub fn is_soon(own: &crate::engine::SelectionFigures) -> bool {
        own.days_in_hand.is_some_and(|days| days <= SOON)
    }
}

/// Positions of phases by their first day, those without one last.
fn phase_order(project: &Project, figures: &Figures) -> Vec<usize> {
    let mut rows: Vec<usize> = (0..project.phases.len()).collect();
    rows.sort_by_key(|i| {
        let start = figures.phases.get(*i).and_then(|p| p.early_start);
        (start.map_or((1, None), |d| (0, Some(d))), *i)
    });
    rows
}

/// From the first day of any phase to the last of the forecast.
fn phase_span(figures: &Figures) -> Option<(Day, Day)> {
    let first = figures.phases.iter().filter_map(|p| p.early_start).min()?;
    Some((first, figures.forecast_finish.unwrap_or(first)))
}

/// The part at a position among all parts, with its selection and option.
pub fn part_at<'a>(
    project: &'a Project,
    figures: &Figures,
    at: usize,
) -> Option<(&'a Selection, &'a SelectionOption, &'a Part)> {
    let f = figures.parts.get(at)?;
    let selection = project.selections.get(f.selection as usize)?;
    let own = figures.selections.get(f.selection as usize)?;
    let mut rest = at.checked_sub(own.first_part)?;
    for option in &selection.options {
        match option.parts.get(rest) {
            Some(part) => return Some((selection, option, part)),
            None => rest -= option.parts.len(),
        }
    }
    None
}

/// Everything people may search a selection by, in lower case, one text a selection.
pub fn search_texts(project: &Project) -> Vec<String> {
    let rooms: HashMap<_, &str> = project.rooms.iter().map(|r| (r.id, r.name.as_str())).collect();
    let suppliers: HashMap<_, &str> = project.suppliers.iter().map(|s| (s.id, s.name.as_str())).collect();
    let phases: HashMap<_, &str> = project.phases.iter().map(|p| (p.id, p.name.as_str())).collect();
    let text = |selection: &Selection| {
        let mut text = format!("{} {} {}", selection.name, selection.category, selection.notes);
        let mut add = |more: &str| {
            text.push(' ');
            text.push_str(more);
        };
        add(rooms.get(&selection.room).copied().unwrap_or(""));
        for option in &selection.options {
            add(&option.name);
            add(&option.finish);
            for part in &option.parts {
                add(&part.name);
                add(&part.key);
                add(part.supplier.and_then(|id| suppliers.get(&id).copied()).unwrap_or(""));
                add(part.phase.and_then(|id| phases.get(&id).copied()).unwrap_or(""));
            }
        }
        text.to_lowercase()
    };
    project.selections.iter().map(|s| text(s)).collect()
}

/// The columns of several selections, summed.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct GroupSums {
    /// How many selections.
    pub rows: i32,
    /// Of these late.
    pub late: i32,
    /// Of these without a choice.
    pub open: i32,
    /// Their columns.
    pub money: Columns,
    /// Fewest days in hand, the order-by day they are counted to, and the first order day where that is behind it.
    pub first: Option<(i32, Day, Option<Day>)>,
}

impl GroupSums {
    /// Adds a selection.
    pub fn add(&mut self, own: &crate::engine::SelectionFigures) {
        self.rows += 1;
        self.late += i32::from(own.late);
        self.open += i32::from(own.live.is_none());
        self.money += own.money;
        self.first =
            match (self.first, own.days_in_hand.zip(own.order_by).map(|(n, by)| (n, by, own.waits_from))) {
                (Some(a), Some(b)) => Some(a.min(b)),
                (a, b) => a.or(b),
            };
    }
}
