//! The search. The pass of the forecast takes the latest of what it waits for, again and again, so a set of picks finishes
//! when the slowest of them would alone, once the days are given after which things are ordered (`waits`). So under each of
//! these days every group of selections that rules tie together has its own best sets by finish, and all groups together
//! finish with the latest of them. Where there are few combinations of everything, each is priced as a whole.

use super::rules::{Group, Rules, groups};
use super::scene::{Pick, STAY, Scene};
use super::sets::{Better, Item, Reached, Set, cheaper, fewer};
use super::waits::{Waits, When};
use super::{Curve, Fix, Point, Question, Refusal};
use crate::engine::calendar::Day;
use crate::model::Money;

/// Up to so many combinations of everything, each is priced as a whole.
const WHOLE: usize = 512;
/// Up to so many combinations are tried of what rules tie together.
const TOGETHER: usize = 20_000;
/// Up to so many combinations of days are gone through on which what picks wait for may end.
const DAYS: usize = 300_000;
/// Up to so many times a set of a group is looked at, under all of these days that make a difference.
const LOOKS: usize = 4_000_000;

/// The best sets by what they cost, and by how many changes they make.
struct Best {
    cheap: Reached,
    few: Reached,
}

impl Best {
    fn new() -> Best {
        Best { cheap: Reached::new(cheaper), few: Reached::new(fewer) }
    }
}

/// Finds the points and the fix sets.
pub fn search(scene: &mut Scene<'_>, question: &Question) -> Result<Curve, Refusal> {
    let open = scene.open.len();
    let every: Vec<usize> = (0..open).collect();
    let now_total = scene.total(&vec![STAY; open]);
    let whole = combinations(scene, &every).is_some_and(|all| all <= WHOLE);
    let best = if whole { each(scene, &every) } else { apart(scene, now_total)? };
    let (cheap, few) = (best.cheap.front(|set| set.cost), best.few.front(|set| set.made.len()));

    // Under a gate a selection of which nothing counts waits for the quickest of its candidates, which can be another with
    // others together. That is looked at, and not assumed.
    let full = |set: &Set| set.picks(open).into_iter().enumerate().collect::<Vec<_>>();
    if cheap.iter().chain(&few).any(|(day, set)| scene.finish(&full(set)) != *day) {
        return Err(Refusal::TooMany(scene.names(|n| scene.option(n, STAY).is_none())));
    }
    let mut points: Vec<Point> = Vec::new();
    for (day, set) in cheap {
        let point = scene.point(&set.picks(open), day);
        let fits = question.at_most.is_none_or(|most| point.total <= most);
        if fits && points.last().is_none_or(|last| point.total < last.total) {
            points.push(point);
        }
    }
    let now = Point { finish: scene.now, total: now_total, changes: Vec::new() };
    let mut fix = Vec::new();
    for (day, set) in few.into_iter().filter(|(day, _)| *day < now.finish) {
        let point = scene.point(&set.picks(open), day);
        if question.at_most.is_none_or(|most| point.total <= most) {
            fix.push(scene.fix(&set.picks(open), point));
        }
    }
    Ok(Curve { now, points, fix, open, whole })
}

/// How many combinations there are of some open selections.
fn combinations(scene: &Scene<'_>, of: &[usize]) -> Option<usize> {
    of.iter().try_fold(1_usize, |all, n| all.checked_mul(scene.open[*n].variants.len()))
}

/// The next combination; whether there is one.
fn advance(config: &mut [(usize, Pick)], scene: &Scene<'_>) -> bool {
    for (n, pick) in config.iter_mut().rev() {
        *pick += 1;
        if *pick < scene.open[*n].variants.len() {
            return true;
        }
        *pick = STAY;
    }
    false
}

/// Every combination of everything, each priced as a whole.
fn each(scene: &mut Scene<'_>, every: &[usize]) -> Best {
    let (rules, together) = (Rules::new(scene.project), vec![true; every.len()]);
    let mut best = Best::new();
    let mut config: Vec<(usize, Pick)> = every.iter().map(|n| (*n, STAY)).collect();
    loop {
        let picks: Vec<Pick> = config.iter().map(|(_, pick)| *pick).collect();
        if rules.judge(scene, &picks, &together).core {
            let finish = scene.finish(&config);
            let set = Set::new(&config, scene.total(&picks));
            best.cheap.put(finish, &set);
            best.few.put(finish, &set);
        }
        if !advance(&mut config, scene) {
            return best;
        }
    }
}

/// What may be picked for the core of a group, and for each of its leaves beside it.
struct Way {
    core: Vec<(usize, Pick)>,
    set: Set,
    leaves: Vec<Vec<(usize, Pick)>>,
}

/// Each group by itself, with the prices of its picks.
fn apart(scene: &mut Scene<'_>, now: Money) -> Result<Best, Refusal> {
    let Some(waits) = Waits::new(scene) else { return Err(scene.too_many_in_series()) };
    let prices: Vec<Vec<Money>> = (0..scene.open.len())
        .map(|n| (0..scene.open[n].variants.len()).map(|pick| scene.own_price(n, pick, now)).collect())
        .collect();
    let groups = groups(scene);
    let mut ways = Vec::new();
    for group in &groups {
        if combinations(scene, &group.core).is_none_or(|all| all > TOGETHER) {
            return Err(Refusal::TooMany(scene.names(|n| group.core.contains(&n))));
        }
        ways.push(ways_of(scene, group, &prices));
    }
    let sets: usize =
        ways.iter().flatten().map(|way| 1 + way.leaves.iter().map(Vec::len).sum::<usize>()).sum();
    if waits.combinations().is_none_or(|days| days > DAYS) {
        return Err(scene.too_many_in_series());
    }
    let one = |(n, own): (usize, &Vec<Money>)| -> Vec<Set> {
        own.iter().enumerate().map(|(pick, cost)| Set::new(&[(n, pick)], *cost)).collect()
    };
    let ones: Vec<Vec<Set>> = prices.iter().enumerate().map(one).collect();
    let house = House { waits: &waits, ones: &ones, groups: &groups, ways: &ways };
    let mut best = Best::new();
    let (mut when, mut looks) = (waits.first(), 0);
    loop {
        if let Some(base) = waits.base(&when).filter(|_| waits.is_tight(&when)) {
            looks += sets;
            if looks > LOOKS {
                return Err(scene.too_many_in_series());
            }
            house.under(&when, base, cheaper, &mut best.cheap);
            house.under(&when, base, fewer, &mut best.few);
        }
        if !waits.advance(&mut when) {
            return Ok(best);
        }
    }
}

fn ways_of(scene: &Scene<'_>, group: &Group, prices: &[Vec<Money>]) -> Vec<Way> {
    let rules = Rules::new(scene.project);
    let together: Vec<bool> = (0..scene.open.len()).map(|n| group.core.contains(&n)).collect();
    let mut core: Vec<(usize, Pick)> = group.core.iter().map(|n| (*n, STAY)).collect();
    let mut ways = Vec::new();
    loop {
        let cost = core.iter().map(|(n, pick)| prices[*n][*pick]).sum();
        let set = Set::new(&core, cost);
        let judge = rules.judge(scene, &set.picks(scene.open.len()), &together);
        if judge.core {
            let allowed = |n: &usize| {
                let picks = 0..scene.open[*n].variants.len();
                picks.filter(|pick| judge.leaf(scene, *n, *pick)).map(|pick| (*n, pick)).collect()
            };
            ways.push(Way { leaves: group.leaves.iter().map(allowed).collect(), core: core.clone(), set });
        }
        if !advance(&mut core, scene) {
            return ways;
        }
    }
}

/// What is searched once the groups and what each pick comes to are known.
struct House<'a> {
    waits: &'a Waits,
    /// By open selection and pick, the set of it alone.
    ones: &'a [Vec<Set>],
    groups: &'a [Group],
    /// By group.
    ways: &'a [Vec<Way>],
}

impl House<'_> {
    /// Puts the best sets of all groups together under days of what is waited for.
    fn under(&self, when: &When, base: Day, better: Better, reached: &mut Reached) {
        let fronts: Vec<Reached> =
            self.ways.iter().map(|ways| self.front(ways, when, base, better)).collect();
        let mut items: Vec<Item<'_>> =
            fronts.iter().enumerate().flat_map(|(slot, front)| front.items(slot)).collect();
        reached.sweep(&Set::default(), base, self.groups.len(), &mut items);
    }

    /// The best sets of a group.
    fn front(&self, ways: &[Way], when: &When, base: Day, better: Better) -> Reached {
        let mut reached = Reached::new(better);
        let mut items = Vec::new();
        for way in ways {
            let mut finishes = way.core.iter().map(|(n, pick)| self.waits.finish(*n, *pick, when));
            let Some(base) = finishes.try_fold(base, |last, own| Some(last.max(own?))) else { continue };
            items.clear();
            for (slot, picks) in way.leaves.iter().enumerate() {
                items.extend(picks.iter().filter_map(|(n, pick)| {
                    let finish = self.waits.finish(*n, *pick, when)?;
                    Some(Item { finish, slot, set: &self.ones[*n][*pick] })
                }));
            }
            reached.sweep(&way.set, base, way.leaves.len(), &mut items);
        }
        reached
    }
}

impl Scene<'_> {
    /// The names of some open selections.
    fn names(&self, is_meant: impl Fn(usize) -> bool) -> Vec<String> {
        let meant = (0..self.open.len()).filter(|n| is_meant(*n));
        meant.map(|n| self.project.selections[self.open[n].at].name.clone()).collect()
    }

    fn too_many_in_series(&mut self) -> Refusal {
        let mut waits = Vec::new();
        for n in 0..self.open.len() {
            waits.push((0..self.open[n].variants.len()).any(|pick| !self.waits_for(n, pick).is_empty()));
        }
        Refusal::TooMany(self.names(|n| waits[n]))
    }

    /// A fix set with what each of its changes wins alone.
    fn fix(&mut self, picks: &[Pick], point: Point) -> Fix {
        let won = |scene: &Scene<'_>, day: Day| -scene.figures.finish_moves(Some(day)).unwrap_or(0);
        let mut alone = Vec::new();
        for n in (0..picks.len()).filter(|n| picks[*n] != STAY) {
            let mut one: Vec<(usize, Pick)> = (0..picks.len()).map(|n| (n, STAY)).collect();
            one[n].1 = picks[n];
            let day = self.finish(&one);
            alone.push(won(self, day));
        }
        Fix { days: won(self, point.finish), point, alone }
    }
}
