//! What led from a kept plan to now: the lines with their days and money, summed by cause, and the money by room.

use super::{pending, standing};
use crate::engine::calendar::Day;
use crate::engine::figures::Figures;
use crate::model::{Cause, KeptPlan, LogLine, Money, Project, RoomId, SelectionId};
use chrono::NaiveDate;
use std::sync::Arc;

/// What led from a kept plan to now.
#[derive(Debug, Clone)]
pub struct Story {
    /// Its lines, in the order in which they were made; pending ones last.
    pub lines: Vec<Told>,
    /// The sums by cause, those of most days first, then of most money.
    pub causes: Vec<Moved>,
    /// Working days from its finish to the forecast finish; negative is sooner. `None` while one of them has no day.
    pub days: Option<i32>,
    /// The forecast total less its total.
    pub money: Money,
    /// The money of each room, and of no room.
    pub rooms: Vec<RoomMoved>,
}

/// A line with what it moved.
#[derive(Debug, Clone)]
pub struct Told {
    /// Its place in the log; `None` while it is pending.
    pub at: Option<usize>,
    /// The line.
    pub line: Arc<LogLine>,
    /// Working days by which it moved the finish, of the project's calendar as it is now. What leads to no day moves by
    /// none, and the line that leads back to one by all of it.
    pub days: i32,
    /// By what it moved the total.
    pub money: Money,
}

/// The sum of a cause.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Moved {
    /// The cause.
    pub cause: Cause,
    /// The selection that was waited for, where it is a delivery.
    pub selection: Option<SelectionId>,
    /// Working days.
    pub days: i32,
    /// Money.
    pub money: Money,
}

/// The money of a room in the kept plan and now.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct RoomMoved {
    /// The room; `None` for what belongs to no room.
    pub room: Option<RoomId>,
    /// Its forecast in the plan; `None` for a room that came later.
    pub agreed: Option<Money>,
    /// Its forecast now.
    pub now: Money,
}

/// A step on the way from the plan to now: a cause, and where it leads from and to. Each begins where the one before it
/// ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Step {
    /// What moved.
    pub moved: Moved,
    /// How many causes it is the sum of; one but where there is no room for all.
    pub causes: usize,
    /// Working days after the plan, before it.
    pub days_before: i32,
    /// Money more than in the plan, before it.
    pub money_before: Money,
}

impl Story {
    /// The steps from the plan to now, of which the last is the sum of all for which there is no room.
    pub fn steps(&self, room: usize) -> Vec<Step> {
        steps(&self.causes, room)
    }

    /// The name of a step: what was waited for, else the cause.
    pub fn name_of(project: &Project, step: &Step) -> String {
        let selection = step.moved.selection.and_then(|id| project.selection(id));
        match (step.causes, selection) {
            (2.., _) => format!("{} others", step.causes),
            (_, Some(selection)) => selection.name.clone(),
            _ => step.moved.cause.several().to_owned(),
        }
    }

    /// By what the finish moved, in words: `sign-offs 9, Base cabinets 7`. Of more than three causes the rest is one sum.
    pub fn days_by_cause(&self, project: &Project) -> String {
        // What moved only the money is not counted among the others.
        let moved: Vec<Moved> = self.causes.iter().filter(|moved| moved.days != 0).copied().collect();
        let signed = |days: i32| if days < 0 { format!("\u{2212}{}", -days) } else { days.to_string() };
        let words = steps(&moved, 4)
            .into_iter()
            .filter(|step| step.moved.days != 0)
            .map(|step| format!("{} {}", Story::name_of(project, &step), signed(step.moved.days)));
        words.collect::<Vec<_>>().join(", ")
    }
}

/// The steps of these causes.
fn steps(causes: &[Moved], room: usize) -> Vec<Step> {
    let (mut days, mut money) = (0, Money::ZERO);
    let own = if causes.len() > room { room.saturating_sub(1) } else { room };
    let mut steps: Vec<Step> = Vec::new();
    for (at, moved) in causes.iter().enumerate() {
        match steps.get_mut(own).filter(|_| at > own) {
            Some(rest) => {
                (rest.moved.cause, rest.moved.selection) = (Cause::Other, None);
                rest.moved.days += moved.days;
                rest.moved.money = rest.moved.money.plus(moved.money);
                rest.causes += 1;
            }
            None => steps.push(Step { moved: *moved, causes: 1, days_before: days, money_before: money }),
        }
        (days, money) = (days + moved.days, money.plus(moved.money));
    }
    steps
}

impl RoomMoved {
    /// By what it moved.
    pub fn money(&self) -> Money {
        self.now.less(self.agreed.unwrap_or_default())
    }
}

/// Tells what led from a plan to now.
pub fn story(project: &Project, figures: &Figures, plan: &KeptPlan) -> Story {
    let work = figures.days.work();
    // The last day that the finish was known for: working days between days add up, and no day is between nothing.
    let mut reached = plan.finish;
    let days = |from: Option<NaiveDate>, to: Option<NaiveDate>| {
        let (from, to) = from.zip(to)?;
        Some(work.count(Day::from(from).plus(1), Day::from(to).plus(1)))
    };
    let mut told = |at: Option<usize>, line: Arc<LogLine>| {
        let moved = days(reached, line.finish_after).unwrap_or(0);
        reached = line.finish_after.or(reached);
        let money = line.total_after.less(line.total_before);
        Told { at, line, days: moved, money }
    };
    let first = plan.lines as usize;
    let stored = project.log.iter().enumerate().skip(first);
    let mut lines: Vec<Told> = stored.map(|(at, line)| told(Some(at), line.clone())).collect();
    lines.extend(pending(project, figures).into_iter().map(|line| told(None, Arc::new(line))));
    let now = standing(figures);
    Story {
        causes: causes(&lines),
        days: days(plan.finish, now.finish),
        money: now.total.less(plan.total),
        rooms: rooms(project, figures, plan),
        lines,
    }
}

/// What is noted on a day of what went on before it wins back what seemed to have been lost by then: days that passed are
/// days lost only where nothing of the kind makes up for them.
const NOTED: [Cause; 4] = [Cause::Trade, Cause::Delivery, Cause::SignOff, Cause::Correction];

fn causes(lines: &[Told]) -> Vec<Moved> {
    let mut sums: Vec<Moved> = Vec::new();
    let mut add = |cause: Cause, selection: Option<SelectionId>, days: i32, money: Money| match sums
        .iter_mut()
        .find(|sum| (sum.cause, sum.selection) == (cause, selection))
    {
        Some(sum) => (sum.days, sum.money) = (sum.days + days, sum.money.plus(money)),
        None => sums.push(Moved { cause, selection, days, money }),
    };
    // The days that passed up to a day, less those won back on it.
    let mut passed: Option<(NaiveDate, i32)> = None;
    for told in lines {
        let (on, cause) = (told.line.on, told.line.cause);
        let selection = told.line.selection.filter(|_| cause == Cause::Delivery);
        let mut own = told.days;
        match &mut passed {
            Some((day, left)) if *day == on && NOTED.contains(&cause) && own < 0 => {
                let back = (-own).min(*left);
                add(Cause::TimePassed, None, -back, Money::ZERO);
                (own, *left) = (own + back, *left - back);
            }
            _ if cause == Cause::TimePassed => passed = Some((on, own.max(0))),
            _ => {}
        }
        add(cause, selection, own, told.money);
    }
    // What went and came back is no step.
    sums.retain(|sum| sum.days != 0 || !sum.money.is_zero());
    sums.sort_by_key(|sum| std::cmp::Reverse((sum.days.abs(), sum.money.abs())));
    sums
}

fn rooms(project: &Project, figures: &Figures, plan: &KeptPlan) -> Vec<RoomMoved> {
    let by_room = &figures.money.by_room;
    let mut rooms: Vec<RoomMoved> = (project.rooms.iter().zip(by_room))
        .map(|(room, columns)| RoomMoved {
            room: Some(room.id),
            agreed: plan.room(room.id),
            now: columns.forecast,
        })
        .collect();
    // Also the money of rooms that are gone.
    let agreed = plan.total.less(rooms.iter().filter_map(|r| r.agreed).sum());
    let now = figures.money.total.forecast.less(rooms.iter().map(|r| r.now).sum());
    if !agreed.is_zero() || !now.is_zero() {
        rooms.push(RoomMoved { room: None, agreed: Some(agreed), now });
    }
    rooms
}
