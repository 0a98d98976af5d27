//! The pieces that drawings of things are made of: boxes, ovals, outlines, tubes and lines on a square grid, each with a
//! tone. Whole numbers, so that the window and the papers draw the same.

/// Steps of the grid from one side of the square to the other.
pub const GRID: i16 = 2000;
/// Drawings are thought out on a square of 200 by 200; the grid is finer for the sake of curves.
const STEP: i16 = 10;

/// A point of the grid: to the right and down from the upper left.
pub type Point = (i16, i16);

/// What a piece is filled with, beside the color of the finish.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Tone {
    /// The color of the finish.
    Body,
    /// The finish turned from the light.
    Shade,
    /// The finish in the light.
    Light,
    /// The second color of the finish, as the black of black and white; else the finish turned from the light.
    Second,
    /// The second color of the finish, else the finish itself: the hinges of a shower door.
    Fitting,
    /// A hole, or dark glass.
    Dark,
    /// Clear glass, water.
    Glass,
    /// Bright metal of no finish in particular.
    Metal,
    /// What the thing hangs or lies on: a wall, a card, mortar.
    Plain,
    /// Light that burns.
    Glow,
}

impl Tone {
    /// All.
    pub const ALL: [Tone; 10] = [
        Tone::Body,
        Tone::Shade,
        Tone::Light,
        Tone::Second,
        Tone::Fitting,
        Tone::Dark,
        Tone::Glass,
        Tone::Metal,
        Tone::Plain,
        Tone::Glow,
    ];
}

/// The line around or along a piece.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Line {
    /// None.
    None,
    /// An outline, which can be told from the ground.
    Edge,
    /// A fine line within the thing: a joint, a grain.
    Fine,
}

/// The form of a piece.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Form {
    /// An upright box with round corners.
    Box {
        /// Upper left corner.
        at: Point,
        /// Width and height.
        size: Point,
        /// Radius of its corners.
        round: i16,
    },
    /// An upright oval.
    Oval {
        /// Its middle.
        at: Point,
        /// Half of its width and of its height.
        radius: Point,
    },
    /// A closed outline. One that is filled has no corner that points inwards.
    Outline(Vec<Point>),
    /// A round bar along points.
    Tube(Vec<Point>, i16),
    /// A line along points, with nothing in it.
    Line(Vec<Point>),
}

/// A piece of a drawing.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Shape {
    /// Its form.
    pub form: Form,
    /// What it is filled with; nothing where only its line is drawn.
    pub fill: Option<Tone>,
    /// Its line.
    pub line: Line,
}

/// A piece of a way along which something is drawn.
#[derive(Debug, Clone, Copy)]
pub(super) enum Leg {
    /// To a point.
    To(i16, i16),
    /// Along an oval: its middle, half of its width and height, from and to an angle in steps of five degrees. Zero is to
    /// the right, 90 is down.
    Arc(i16, i16, i16, i16, i16, i16),
}

/// Ten thousand times the sine of 0 to 90 degrees in steps of five; the engine and the model know no binary floats.
const SINES: [i32; 19] = [
    0, 872, 1736, 2588, 3420, 4226, 5000, 5736, 6428, 7071, 7660, 8192, 8660, 9063, 9397, 9659, 9848, 9962,
    10000,
];

fn sine(degrees: i16) -> i32 {
    let turn = degrees.rem_euclid(360);
    let (turn, sign) = if turn >= 180 { (turn - 180, -1) } else { (turn, 1) };
    let turn = if turn > 90 { 180 - turn } else { turn };
    sign * SINES[(turn / 5) as usize]
}

/// The points of a way on the grid.
pub(super) fn way(legs: &[Leg]) -> Vec<Point> {
    let mut points = Vec::new();
    for leg in legs {
        match *leg {
            Leg::To(x, y) => points.push((x * STEP, y * STEP)),
            Leg::Arc(x, y, wide, high, from, to) => {
                let steps = ((to - from).abs() / 10).max(1);
                for at in 0..=steps {
                    // In steps of five degrees, which the table has.
                    let angle = (from + (to - from) * at / steps) / 5 * 5;
                    let along = |middle: i16, radius: i16, sine: i32| {
                        middle * STEP + (i32::from(radius * STEP) * sine / 10_000) as i16
                    };
                    points.push((along(x, wide, sine(angle + 90)), along(y, high, sine(angle))));
                }
            }
        }
    }
    points.dedup();
    points
}

fn straight(points: &[(i16, i16)]) -> Vec<Point> {
    points.iter().map(|(x, y)| (x * STEP, y * STEP)).collect()
}

/// A drawing in the making, on a square of 200 by 200.
#[derive(Debug, Default)]
pub(super) struct Sketch(Vec<Shape>);

impl Sketch {
    pub fn new() -> Sketch {
        Sketch::default()
    }

    /// The pieces, those behind first.
    pub fn shapes(self) -> Vec<Shape> {
        self.0
    }

    fn add(mut self, form: Form, fill: Option<Tone>, line: Line) -> Sketch {
        self.0.push(Shape { form, fill, line });
        self
    }

    fn boxed(self, [x, y, wide, high]: [i16; 4], round: i16, fill: Option<Tone>, line: Line) -> Sketch {
        let form =
            Form::Box { at: (x * STEP, y * STEP), size: (wide * STEP, high * STEP), round: round * STEP };
        self.add(form, fill, line)
    }

    /// A box with its outline: left, top, width, height, and the radius of its corners.
    pub fn plate(self, sides: [i16; 4], round: i16, tone: Tone) -> Sketch {
        self.boxed(sides, round, Some(tone), Line::Edge)
    }

    /// A box without a line.
    pub fn patch(self, sides: [i16; 4], round: i16, tone: Tone) -> Sketch {
        self.boxed(sides, round, Some(tone), Line::None)
    }

    /// A box with a fine line.
    pub fn panel(self, sides: [i16; 4], round: i16, tone: Tone) -> Sketch {
        self.boxed(sides, round, Some(tone), Line::Fine)
    }

    /// The outline of a box.
    pub fn frame(self, sides: [i16; 4], round: i16) -> Sketch {
        self.boxed(sides, round, None, Line::Edge)
    }

    fn oval_of(self, [x, y, wide, high]: [i16; 4], fill: Option<Tone>, line: Line) -> Sketch {
        self.add(Form::Oval { at: (x * STEP, y * STEP), radius: (wide * STEP, high * STEP) }, fill, line)
    }

    /// An oval with its outline: its middle, half of its width and of its height.
    pub fn oval(self, sides: [i16; 4], tone: Tone) -> Sketch {
        self.oval_of(sides, Some(tone), Line::Edge)
    }

    /// A circle with its outline.
    pub fn disc(self, x: i16, y: i16, radius: i16, tone: Tone) -> Sketch {
        self.oval([x, y, radius, radius], tone)
    }

    /// A circle without a line.
    pub fn spot(self, x: i16, y: i16, radius: i16, tone: Tone) -> Sketch {
        self.oval_of([x, y, radius, radius], Some(tone), Line::None)
    }

    /// A circle with a fine line.
    pub fn dial(self, x: i16, y: i16, radius: i16, tone: Tone) -> Sketch {
        self.oval_of([x, y, radius, radius], Some(tone), Line::Fine)
    }

    /// An oval without a line.
    pub fn pool(self, sides: [i16; 4], tone: Tone) -> Sketch {
        self.oval_of(sides, Some(tone), Line::None)
    }

    /// A fine circle with nothing in it.
    pub fn ring(self, x: i16, y: i16, radius: i16) -> Sketch {
        self.oval_of([x, y, radius, radius], None, Line::Fine)
    }

    /// An outline that is filled.
    pub fn poly(self, points: &[(i16, i16)], tone: Tone) -> Sketch {
        self.add(Form::Outline(straight(points)), Some(tone), Line::Edge)
    }

    /// A filled outline without a line.
    pub fn facet(self, points: &[(i16, i16)], tone: Tone) -> Sketch {
        self.add(Form::Outline(straight(points)), Some(tone), Line::None)
    }

    /// A filled outline with a fine line, in steps of the grid.
    pub fn piece(self, points: Vec<Point>, tone: Tone, line: Line) -> Sketch {
        self.add(Form::Outline(points), Some(tone), line)
    }

    /// A filled outline along a way.
    pub fn blob(self, legs: &[Leg], tone: Tone) -> Sketch {
        self.add(Form::Outline(way(legs)), Some(tone), Line::Edge)
    }

    /// The same without a line.
    pub fn bulge(self, legs: &[Leg], tone: Tone) -> Sketch {
        self.add(Form::Outline(way(legs)), Some(tone), Line::None)
    }

    /// A round bar with its outline.
    pub fn tube(self, points: &[(i16, i16)], width: i16, tone: Tone) -> Sketch {
        self.add(Form::Tube(straight(points), width * STEP), Some(tone), Line::Edge)
    }

    /// A round bar without an outline.
    pub fn bar(self, points: &[(i16, i16)], width: i16, tone: Tone) -> Sketch {
        self.add(Form::Tube(straight(points), width * STEP), Some(tone), Line::None)
    }

    /// A round bar along a way, with its outline.
    pub fn pipe(self, legs: &[Leg], width: i16, tone: Tone) -> Sketch {
        self.add(Form::Tube(way(legs), width * STEP), Some(tone), Line::Edge)
    }

    /// A line as strong as an outline.
    pub fn edge(self, points: &[(i16, i16)]) -> Sketch {
        self.add(Form::Line(straight(points)), None, Line::Edge)
    }

    /// A fine line.
    pub fn fine(self, points: &[(i16, i16)]) -> Sketch {
        self.add(Form::Line(straight(points)), None, Line::Fine)
    }

    /// A fine line along a way.
    pub fn curve(self, legs: &[Leg]) -> Sketch {
        self.add(Form::Line(way(legs)), None, Line::Fine)
    }

    /// Fine lines side by side: from the first to the second point, so many, each a step from the last.
    pub fn rows(mut self, from: (i16, i16), to: (i16, i16), count: i16, step: (i16, i16)) -> Sketch {
        for n in 0..count {
            let by = |p: (i16, i16)| (p.0 + step.0 * n, p.1 + step.1 * n);
            self = self.fine(&[by(from), by(to)]);
        }
        self
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The table holds the sines that the processor gives, to its last digit.
    #[test]
    fn sines_are_those_of_the_processor() {
        for degrees in (-720_i16..=720).step_by(5) {
            let exact = f64::from(degrees).to_radians().sin() * 10_000.0;
            assert!((f64::from(sine(degrees)) - exact).abs() <= 0.51, "{degrees}");
        }
    }

    /// Points of an arc lie on it, as far as whole steps of the grid allow.
    #[test]
    fn arcs_lie_on_their_ovals() {
        for (from, to) in [(0, 90), (180, 360), (270, 90), (45, 45)] {
            let points = way(&[Leg::Arc(100, 90, 50, 50, from, to)]);
            for (x, y) in &points {
                let away = (f64::from(*x) - 1000.0).hypot(f64::from(*y) - 900.0);
                assert!((away - 500.0).abs() <= 2.0, "{x} {y}: {away}");
            }
            let end = f64::from(to).to_radians();
            let (x, y) = *points.last().unwrap();
            assert!((f64::from(x) - 1000.0 - 500.0 * end.cos()).abs() <= 2.0, "{x}");
            assert!((f64::from(y) - 900.0 - 500.0 * end.sin()).abs() <= 2.0, "{y}");
        }
    }
}
