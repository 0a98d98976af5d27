//! Made-up projects of any size, the same for the same size: layers of phases with random links back, suppliers with
//! terms, and selections of which about half the parts are ordered.

use chrono::{Duration, NaiveDate};
use needline::model::*;
use rust_decimal::Decimal;
use std::sync::Arc;

/// The day the figures are computed for, a while after the start.
pub const AS_OF: NaiveDate = match NaiveDate::from_ymd_opt(2026, 6, 24) {
    Some(day) => day,
    None => NaiveDate::MIN,
};

/// A generator of numbers (splitmix64), for projects that are the same on every run.
struct Random(u64);

impl Random {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// From 0 to below `n`.
    fn below(&mut self, n: u64) -> u64 {
        self.next() % n
    }

    fn chance(&mut self, percent: u64) -> bool {
        self.below(100) < percent
    }

    fn cents(&mut self, most: u64) -> Money {
        Money::new(Decimal::new(self.below(most) as i64, 2))
    }

    fn day(&mut self, from: NaiveDate, days: u64) -> NaiveDate {
        from + Duration::days(self.below(days) as i64)
    }
}

/// A project with so many parts and phases.
pub fn project(parts: usize, phases: usize) -> Project {
    let start = AS_OF - Duration::days(23);
    let mut p = Project::new("Made up", start);
    let mut random = Random(parts as u64 * 31 + phases as u64);
    p.settings.hold = 1;
    p.settings.target_finish = Some(start + Duration::days(400));
    p.settings.closed = vec![ClosedRange {
        from: AS_OF + Duration::days(40),
        to: AS_OF + Duration::days(50),
        why: String::new(),
    }];
    add_phases(&mut p, phases, &mut random);
    add_suppliers(&mut p, (parts / 400).clamp(15, 200), &mut random);
    add_rooms(&mut p, (parts / 60).clamp(8, 60), &mut random);
    add_selections(&mut p, parts, &mut random);
    p.reindex();
    p
}

fn add_phases(p: &mut Project, count: usize, random: &mut Random) {
    let width = (count / 20).clamp(3, 12);
    let mut phases: Vec<Phase> = Vec::with_capacity(count);
    let mut links = Vec::new();
    for i in 0..count {
        let id = PhaseId(p.fresh_id());
        let mut phase =
            Phase::new(id, &format!("phase_{i}"), &format!("Phase {i}"), 1 + random.below(6) as i32);
        match random.below(20) {
            0 => (phase.kind, phase.days) = (PhaseKind::Milestone, Some(0)),
            1 => (phase.kind, phase.days) = (PhaseKind::Inspection, Some(1)),
            _ => {}
        }
        if i < width {
            phase.actual_start = Some(p.settings.start);
            if i % 2 == 0 && phase.kind == PhaseKind::Work {
                phase.actual_finish = Some(p.settings.start + Duration::days(9));
            } else if phase.kind == PhaseKind::Work {
                phase.days_left = Some(3);
            } else {
                phase.actual_start = None;
            }
        }
        let layer = i / width;
        if layer > 0 {
            for _ in 0..1 + random.below(3) {
                let back = if random.chance(80) { 1 } else { 1 + random.below(layer.min(4) as u64) as usize };
                let before =
                    phases[((layer - back) * width + random.below(width as u64) as usize).min(i - 1)].id;
                let (kind, lag, unit) = match random.below(20) {
                    0 | 1 => (LinkKind::SS, 2, LagUnit::Working),
                    2 => (LinkKind::FF, 1, LagUnit::Working),
                    3 | 4 => (LinkKind::FS, 3, LagUnit::Elapsed),
                    5 => (LinkKind::FS, -1, LagUnit::Working),
                    _ => (LinkKind::FS, 0, LagUnit::Working),
                };
                links.push(Link { id: LinkId(p.fresh_id()), before, after: id, kind, lag, unit });
            }
        }
        phases.push(phase);
    }
    p.phases = Arc::new(phases);
    p.links = Arc::new(links);
}

fn add_suppliers(p: &mut Project, count: usize, random: &mut Random) {
    let mut suppliers = Vec::with_capacity(count);
    for i in 0..count {
        let id = SupplierId(p.fresh_id());
        let mut s = Supplier::new(id, &format!("supplier_{i}"), &format!("Supplier {i}"));
        s.ship_days = random.below(8) as u32;
        s.tax_pct = Decimal::new(random.below(1000) as i64, 2);
        s.deposit_pct = Decimal::from(random.below(3) * 25);
        s.freight.taxed = random.chance(30);
        match random.below(4) {
            0 => s.freight.flat = Money::new(Decimal::from(45)),
            1 => s.freight.pct = Decimal::from(6),
            2 => s.freight.free_over = Some(Money::new(Decimal::from(500))),
            _ => s.freight.per_item = Money::new(Decimal::new(125, 2)),
        }
        if random.chance(20) {
            s.delivery_weekdays = Some(Weekdays::of(&[chrono::Weekday::Tue, chrono::Weekday::Fri]));
        }
        if random.chance(20) {
            s.weekdays = s.weekdays.with(chrono::Weekday::Sat, true);
        }
        if random.chance(30) {
            let from = random.day(AS_OF, 120);
            s.closed = vec![ClosedRange { from, to: from + Duration::days(10), why: String::new() }];
        }
        suppliers.push(s);
    }
    p.suppliers = Arc::new(suppliers);
}

fn add_rooms(p: &mut Project, count: usize, random: &mut Random) {
    let mut rooms = Vec::with_capacity(count);
    for i in 0..count {
        let id = RoomId(p.fresh_id());
        let side = |random: &mut Random| Decimal::new(60 + random.below(150) as i64, 1);
        let door =
            Opening { kind: OpeningKind::Door, width: Decimal::from(3), height: Decimal::from(7), count: 1 };
        rooms.push(Room {
            id,
            key: format!("room_{i}"),
            name: format!("Room {i}"),
            level: String::new(),
            shape: Shape::Rectangle { length: side(random), width: side(random) },
            height: Decimal::from(8),
            openings: vec![door],
            used_as: Use::default(),
        });
    }
    p.rooms = Arc::new(rooms);
}

/// Selections of three parts: two of the choice, and one of a candidate.
fn add_selections(p: &mut Project, parts: usize, random: &mut Random) {
    let mut selections = Vec::with_capacity(parts / 3);
    let mut made = 0;
    while made < parts {
        let id = SelectionId(p.fresh_id());
        let room = p.rooms[random.below(p.rooms.len() as u64) as usize].id;
        let decided = random.chance(85);
        let mut options = Vec::with_capacity(2);
        for (count, state) in [(2, OptionState::Chosen), (1, OptionState::Candidate)] {
            let id = OptionId(p.fresh_id());
            let state = if decided { state } else { OptionState::Candidate };
            let count = count.min(parts - made);
            let own = (0..count).map(|_| part(p, state == OptionState::Chosen, random)).collect();
            made += count;
            let (key, name) = (format!("option_{}", id.0), format!("Option {}", id.0));
            options.push(SelectionOption { state, parts: own, ..SelectionOption::new(id, &key, &name) });
        }
        selections.push(Arc::new(Selection {
            id,
            key: format!("selection_{}", id.0),
            room,
            category: ["Tile", "Fixtures", "Lighting", "Doors", "Paint"][random.below(5) as usize].to_owned(),
            name: format!("Selection {}", id.0),
            allowance: random.cents(200_000),
            specs: Vec::new(),
            decide_on: random.chance(20).then(|| random.day(AS_OF, 60)),
            notes: String::new(),
            options,
        }));
    }
    p.selections = Arc::new(selections);
}

fn part(p: &mut Project, chosen: bool, random: &mut Random) -> Part {
    let id = PartId(p.fresh_id());
    let mut part = Part::new(id, &format!("part_{}", id.0), &format!("Part {}", id.0));
    part.phase = Some(p.phases[random.below(p.phases.len() as u64) as usize].id);
    part.supplier = Some(p.suppliers[random.below(p.suppliers.len() as u64) as usize].id);
    part.at = if random.chance(15) { NeededAt::Finish } else { NeededAt::Start };
    part.unit_price = Some(random.cents(90_000));
    part.discount_pct = if random.chance(30) { Decimal::new(75, 1) } else { Decimal::ZERO };
    (part.lead, part.lead_unit) = match random.below(3) {
        0 => (Some(3 + random.below(40) as u32), LeadUnit::Days),
        1 => (Some(1 + random.below(10) as u32), LeadUnit::Weeks),
        _ => (Some(2 + random.below(30) as u32), LeadUnit::Working),
    };
    if random.chance(30) {
        part.quantity = ["floor", "walls", "baseboard", "walls/350*2"][random.below(4) as usize]
            .parse()
            .unwrap_or_default();
        part.waste_pct = Decimal::TEN;
        part.pack = Some(Decimal::new(176, 1));
    } else {
        part.quantity = Quantity::Fixed(Decimal::from(1 + random.below(6)));
    }
    if chosen && random.chance(85) {
        let ordered = random.day(AS_OF - Duration::days(80), 80);
        part.ordered_on = Some(ordered);
        match random.below(4) {
            0 => part.received_on = Some((ordered + Duration::days(20)).min(AS_OF)),
            1 => part.promised_on = Some(ordered + Duration::days(45)),
            _ => {}
        }
        part.paid = random.cents(20_000);
    }
    part
}
