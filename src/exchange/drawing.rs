//! Drawings of things as points: for the window and for pages, which know outlines and lines only.

use crate::model::drawing::{Form, GRID};

/// Points of a quarter of a round corner.
const CORNER: i32 = 5;
/// Points of a whole oval.
const AROUND: i32 = 40;

/// A form as points from 0 to 1, to the right and down.
#[derive(Debug, Clone, PartialEq)]
pub struct Traced {
    /// Its points in order.
    pub points: Vec<[f32; 2]>,
    /// The last one leads to the first.
    pub closed: bool,
    /// How wide the bar along them is; nothing for what is no bar.
    pub width: f32,
}

fn share(step: i16) -> f32 {
    f32::from(step) / f32::from(GRID)
}

/// The points around a form, or along it.
pub fn traced(form: &Form) -> Traced {
    let all = |points: &[(i16, i16)]| points.iter().map(|(x, y)| [share(*x), share(*y)]).collect();
    match form {
        Form::Box { at, size, round } => {
            let [x, y, wide, high] = [at.0, at.1, size.0, size.1].map(share);
            let round = share(*round).min(wide / 2.0).min(high / 2.0);
            let (right, bottom) = (x + wide, y + high);
            if round <= 0.0 {
                let points = vec![[x, y], [right, y], [right, bottom], [x, bottom]];
                return Traced { points, closed: true, width: 0.0 };
            }
            let middles = [
                (x + round, y + round),
                (right - round, y + round),
                (right - round, bottom - round),
                (x + round, bottom - round),
            ];
            let mut points = Vec::new();
            for (quarter, (middle_x, middle_y)) in (2..).zip(middles) {
                for step in 0..=CORNER {
                    let turn = (quarter as f32 + step as f32 / CORNER as f32) * std::f32::consts::FRAC_PI_2;
                    points.push([middle_x + round * turn.cos(), middle_y + round * turn.sin()]);
                }
            }
            Traced { points, closed: true, width: 0.0 }
        }
        Form::Oval { at, radius } => {
            let [x, y, wide, high] = [at.0, at.1, radius.0, radius.1].map(share);
            let turn = |step: i32| step as f32 / AROUND as f32 * std::f32::consts::TAU;
            let point = |step| [x + wide * turn(step).cos(), y + high * turn(step).sin()];
            Traced { points: (0..AROUND).map(point).collect(), closed: true, width: 0.0 }
        }
        Form::Outline(points) => Traced { points: all(points), closed: true, width: 0.0 },
        Form::Tube(points, width) => Traced { points: all(points), closed: false, width: share(*width) },
        Form::Line(points) => Traced { points: all(points), closed: false, width: 0.0 },
    }
}

/// How strong lines are in a drawing so many points wide: the outline, and the fine ones.
pub fn line_widths(side: f32) -> (f32, f32) {
    let edge = (side * 0.0125).clamp(0.7, 1.8);
    (edge, edge * 0.6)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::drawing::Thing;

    /// What is traced lies in the square as well, and a box and an oval keep their size.
    #[test]
    fn traces_lie_in_the_square() {
        for thing in Thing::all() {
            for shape in thing.shapes() {
                let traced = traced(&shape.form);
                let by = traced.width / 2.0;
                for [x, y] in &traced.points {
                    let inside = |v: f32| v - by >= -1e-4 && v + by <= 1.0 + 1e-4;
                    assert!(inside(*x) && inside(*y), "{} {x} {y}", thing.name());
                }
                let most = |at: usize| traced.points.iter().map(|p| p[at]).fold(f32::MIN, f32::max);
                if let Form::Box { at, size, .. } = &shape.form {
                    assert!((most(0) - share(at.0 + size.0)).abs() < 1e-4, "{}", thing.name());
                    assert!((most(1) - share(at.1 + size.1)).abs() < 1e-4, "{}", thing.name());
                }
                if let Form::Oval { at, radius } = &shape.form {
                    assert!((most(0) - share(at.0 + radius.0)).abs() < 1e-4, "{}", thing.name());
                    assert!((most(1) - share(at.1 + radius.1)).abs() < 1e-4, "{}", thing.name());
                }
            }
        }
    }
}
