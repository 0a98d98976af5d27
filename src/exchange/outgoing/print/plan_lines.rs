//! The floor of a room fitted into a box of a paper: its outline, and where the length of each wall stands.

use super::FloorPlan;
use rust_decimal::prelude::ToPrimitive;

/// A floor in a box.
#[derive(Debug, Clone, PartialEq)]
pub struct Fitted {
    /// Its corners.
    pub points: Vec<[f32; 2]>,
    /// The middle of each length, with its words. Walls that are too short on paper for theirs have none.
    pub labels: Vec<([f32; 2], String)>,
}

/// Fits a floor into the box with an upper left corner and a size; lengths are written outside of the walls, in letters so
/// many points high. Nothing where there is no floor.
pub fn fitted(plan: &FloorPlan, at: [f32; 2], size: [f32; 2], letters: f32) -> Option<Fitted> {
    let corners: Vec<[f64; 2]> =
        plan.corners.iter().map(|(x, y)| Some([x.to_f64()?, y.to_f64()?])).collect::<Option<_>>()?;
    let least = |k: usize| corners.iter().map(|c| c[k]).fold(f64::INFINITY, f64::min);
    let most = |k: usize| corners.iter().map(|c| c[k]).fold(f64::NEG_INFINITY, f64::max);
    let (left, top, wide, high) = (least(0), least(1), most(0) - least(0), most(1) - least(1));
    if corners.len() < 3 || !(wide > 0.0 && high > 0.0) {
        return None;
    }
    // Room for the lengths outside of the walls.
    let (side, above) = (letters * 4.6, letters * 1.9);
    let room = [f64::from(size[0] - 2.0 * side), f64::from(size[1] - 2.0 * above)];
    let scale = (room[0] / wide).min(room[1] / high);
    let from = [
        f64::from(at[0] + size[0] / 2.0) - wide * scale / 2.0,
        f64::from(at[1] + size[1] / 2.0) - high * scale / 2.0,
    ];
    let place =
        |c: &[f64; 2]| [(from[0] + (c[0] - left) * scale) as f32, (from[1] + (c[1] - top) * scale) as f32];
    let points: Vec<[f32; 2]> = corners.iter().map(place).collect();
    let n = points.len();
    let next = |i: usize| points[(i + 1) % n];
    // Which way round the corners go says which side of a wall is outside.
    let turn: f32 = (0..n).map(|i| points[i][0] * next(i)[1] - next(i)[0] * points[i][1]).sum();
    let mut labels = Vec::new();
    for (i, words) in plan.walls.iter().enumerate().take(n) {
        let (a, b) = (points[i], next(i));
        let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
        let long = dx.hypot(dy);
        if long < letters * 2.2 {
            continue;
        }
        let out = if turn >= 0.0 { [dy / long, -dx / long] } else { [-dy / long, dx / long] };
        let off = out[0].abs() * letters * 2.1 + out[1].abs() * letters * 0.75 + letters * 0.35;
        let middle = [(a[0] + b[0]) / 2.0 + out[0] * off, (a[1] + b[1]) / 2.0 + out[1] * off];
        labels.push((middle, words.clone()));
    }
    Some(Fitted { points, labels })
}

#[cfg(test)]
mod tests {
    use super::*;
    use rust_decimal::Decimal;

    /// A floor keeps its shape and stays in its box, whichever way round its corners go.
    #[test]
    fn a_floor_keeps_its_shape() {
        let ell = [(0, 0), (16, 0), (16, 8), (6, 8), (6, 12), (0, 12)];
        for turned in [false, true] {
            let mut corners: Vec<(Decimal, Decimal)> =
                ell.iter().map(|(x, y)| (Decimal::from(*x - 40), Decimal::from(*y + 7))).collect();
            if turned {
                corners.reverse();
            }
            let walls = vec!["10 ft".to_owned(); 6];
            let plan = FloorPlan { corners, walls, measures: Vec::new() };
            let fit = fitted(&plan, [50.0, 60.0], [300.0, 200.0], 8.0).unwrap();
            for [x, y] in fit.points.iter().chain(fit.labels.iter().map(|(at, _)| at)) {
                assert!((50.0..=350.0).contains(x) && (60.0..=260.0).contains(y), "{x} {y}");
            }
            let long = |i: usize| {
                let (a, b) = (fit.points[i], fit.points[(i + 1) % 6]);
                (b[0] - a[0]).hypot(b[1] - a[1])
            };
            let (scale, first) = if turned { (long(4) / 16.0, 4) } else { (long(0) / 16.0, 0) };
            assert!((long((first + 1) % 6) / scale - if turned { 12.0 } else { 8.0 }).abs() < 1e-3);
            assert_eq!(fit.labels.len(), 6);
        }
        for corners in [vec![], vec![(Decimal::ONE, Decimal::ONE); 4]] {
            let plan = FloorPlan { corners, walls: Vec::new(), measures: Vec::new() };
            assert_eq!(fitted(&plan, [0.0, 0.0], [300.0, 200.0], 8.0), None);
        }
    }
}
