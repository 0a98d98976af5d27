//! Simple drawings of things that are bought, for options without a picture: what kind of thing it is, in the color of
//! its finish. One description, which the window and the papers draw.

mod bath;
mod cabinets;
mod finish;
mod kitchen;
mod openings;
mod rough;
mod shape;
mod surfaces;
mod thing;

pub use finish::{colors_in_words, finish_words};
pub use shape::{Form, GRID, Line, Point, Shape, Tone};
pub use thing::Thing;

use crate::model::look::Rgb;
use crate::model::part::Part;
use crate::model::project::Project;
use crate::model::selection::{Selection, SelectionOption};
use crate::model::sold_in::Laying;
use rust_decimal::Decimal;

/// What stands for the color of a finish that is not known.
const NO_FINISH: Rgb = Rgb(0xcf, 0xcd, 0xc6);
const BLACK: Rgb = Rgb(0, 0, 0);
const WHITE: Rgb = Rgb(255, 255, 255);

/// A drawing of an option.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Drawing {
    /// What it shows.
    pub thing: Thing,
    /// The color of its finish, where one is known.
    pub color: Option<Rgb>,
    /// The second color of its finish, where it has one.
    pub second: Option<Rgb>,
}

impl Drawing {
    /// The drawing of an option: what it is by the words of its name, else of what it is an option for, else by the kind
    /// of thing that is bought, else by the category; in the colors of its finish.
    pub fn of(project: &Project, selection: &Selection, option: &SelectionOption) -> Drawing {
        let (color, second) = project.colors_of(option);
        Drawing { thing: thing(selection, option), color, second }
    }

    /// What it is of, for who cannot see it: `Drawing: tub, matte white`.
    pub fn told(&self, finish: &str) -> String {
        let finish = finish.trim();
        if finish.is_empty() {
            format!("Drawing: {}", self.thing.name())
        } else {
            format!("Drawing: {}, {finish}", self.thing.name())
        }
    }

    /// Its pieces, those behind first.
    pub fn shapes(&self) -> &'static [Shape] {
        self.thing.shapes()
    }

    /// What a piece is filled with.
    pub fn tone(&self, tone: Tone) -> Rgb {
        let body = self.color.unwrap_or(NO_FINISH);
        match tone {
            Tone::Body => body,
            Tone::Shade => shade(body),
            Tone::Light => {
                if is_dark(body) {
                    mix(body, WHITE, 26)
                } else {
                    mix(body, WHITE, 36)
                }
            }
            Tone::Second => self.second.unwrap_or_else(|| shade(body)),
            Tone::Fitting => self.second.unwrap_or(body),
            Tone::Dark => Rgb(0x3a, 0x3f, 0x45),
            Tone::Glass => Rgb(0xd3, 0xe3, 0xe8),
            Tone::Metal => Rgb(0xbf, 0xc3, 0xc6),
            Tone::Plain => Rgb(0xf1, 0xef, 0xe8),
            Tone::Glow => Rgb(0xf8, 0xe6, 0xb0),
        }
    }

    /// The fine lines within a piece: darker than it, or lighter where it is dark.
    pub fn fine(&self, ground: Option<Tone>) -> Rgb {
        let ground = self.tone(ground.unwrap_or(Tone::Body));
        if is_dark(ground) { mix(ground, WHITE, 45) } else { mix(ground, BLACK, 42) }
    }
}

/// So many hundredths on the way from one color to another.
fn mix(from: Rgb, to: Rgb, percent: u32) -> Rgb {
    let along = |a: u8, b: u8| ((u32::from(a) * (100 - percent) + u32::from(b) * percent + 50) / 100) as u8;
    Rgb(along(from.0, to.0), along(from.1, to.1), along(from.2, to.2))
}

/// Whether light lines stand out on a color better than dark ones.
fn is_dark(color: Rgb) -> bool {
    let [red, green, blue] = [color.0, color.1, color.2].map(u32::from);
    2126 * red + 7152 * green + 722 * blue < 90 * 10_000
}

fn shade(color: Rgb) -> Rgb {
    if is_dark(color) { mix(color, WHITE, 12) } else { mix(color, BLACK, 14) }
}

fn words(text: &str) -> Vec<&str> {
    text.split(|c: char| !c.is_alphanumeric()).filter(|w| !w.is_empty()).collect()
}

/// The part of a name that says what a thing is, before what it comes with or where it goes.
fn head(name: &str) -> &str {
    let ends = [",", "(", ";", " with ", " for ", " in ", " on ", " over ", " to "];
    let end = ends.iter().filter_map(|sign| name.find(sign)).min();
    end.and_then(|at| name.get(..at)).unwrap_or(name)
}

/// What a name tells: its head, else all of it.
fn in_name(name: &str) -> Option<Thing> {
    let name = name.to_lowercase();
    Thing::in_words(&words(head(&name))).or_else(|| Thing::in_words(&words(&name)))
}

fn thing(selection: &Selection, option: &SelectionOption) -> Thing {
    let by_goods = || option.parts.iter().find_map(|part| part.goods).map(Thing::of_goods);
    let found = in_name(&option.name)
        .or_else(|| in_name(&selection.name))
        .or_else(by_goods)
        .or_else(|| in_name(&selection.category))
        .unwrap_or(Thing::ANYTHING);
    if found.is_tile() { pattern(found, option) } else { found }
}

/// The pattern of tile: as its name says, else as it is laid, else by its size.
fn pattern(found: Thing, option: &SelectionOption) -> Thing {
    let text = format!("{} {}", option.name, option.finish).to_lowercase();
    let words = words(&text);
    for (word, name) in [
        ("herringbone", "herringbone tile"),
        ("hexagon", "hexagon tile"),
        ("penny", "penny tile"),
        ("pebble", "pebble tile"),
        ("mosaic", "mosaic tile"),
        ("stacked", "stacked tile"),
        ("brick", "running-bond tile"),
    ] {
        if words.contains(&word) {
            return Thing::named(name);
        }
    }
    if option.parts.iter().any(|part: &Part| part.laying == Some(Laying::Herringbone)) {
        return Thing::named("herringbone tile");
    }
    match size(&option.name) {
        Some((short, long)) if long >= short * Decimal::TWO && short >= Decimal::from(6) => {
            Thing::named("large tile")
        }
        Some((short, long)) if long >= short * Decimal::TWO => Thing::named("running-bond tile"),
        Some((_, long)) if long <= Decimal::from(3) => Thing::named("mosaic tile"),
        _ => found,
    }
}

/// The sides of a piece in a name, as `12 x 24`: the short one and the long one.
fn size(name: &str) -> Option<(Decimal, Decimal)> {
    let words: Vec<&str> = name.split([' ', ',']).filter(|w| !w.is_empty()).collect();
    words.windows(3).find_map(|three| match three {
        [a, "x", b] => {
            let (a, b): (Decimal, Decimal) = (a.parse().ok()?, b.parse().ok()?);
            (a > Decimal::ZERO && b > Decimal::ZERO).then(|| (a.min(b), a.max(b)))
        }
        _ => None,
    })
}

impl Project {
    /// The colors of an option's finish: what the user picked for it, else what its words bring to mind, else those of
    /// its name. The second one where the finish has two.
    pub fn colors_of(&self, option: &SelectionOption) -> (Option<Rgb>, Option<Rgb>) {
        let (first, second) = colors_in_words(&option.finish);
        let first = self.finish_color(&option.finish).or(first);
        (first.or_else(|| colors_in_words(&option.name).0), second)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn told(selection: &str, option: &str, finish: &str) -> &'static str {
        let start = chrono::NaiveDate::from_ymd_opt(2026, 6, 1).unwrap();
        let project = Project::new("p", start);
        let room = crate::model::RoomId(1);
        let mut slot = Selection::new(crate::model::SelectionId(1), room);
        slot.name = selection.to_owned();
        let mut own = SelectionOption::new(crate::model::OptionId(1), "o", option);
        own.finish = finish.to_owned();
        Drawing::of(&project, &slot, &own).thing.name()
    }

    /// Names as shops write them (common practice, no source): the thing itself, not what it is made of, comes with or
    /// stands in.
    #[test]
    fn names_tell_the_thing() {
        for (selection, option, expected) in [
            ("Tub", "Alcove tub, 60 in, acrylic", "tub"),
            ("Tub", "Freestanding oval tub, 60 in", "freestanding tub"),
            ("Tub filler", "Wall-mount tub filler", "tub filler"),
            ("", "Tub and shower set, 1.75 gpm", "shower set"),
            ("", "Fixed glass tub panel, 32 in", "shower glass"),
            ("", "Semi-frameless sliding door, 1/4 in", "shower glass"),
            ("", "Sliding patio door, 72 in", "patio door"),
            ("", "Two-panel interior door, solid core", "door"),
            ("", "Glass-panel interior door, 30 in", "glass door"),
            ("", "Base cabinets, inset doors", "base cabinet"),
            ("", "Wall-mount lavatory faucet, 1.2 gpm", "wall faucet"),
            ("", "Under-sink filter with faucet tap", "water filter"),
            ("", "Heat-pump water heater, 65 gal", "water heater"),
            ("", "Heat-pump dryer, ventless, 27 in", "dryer"),
            ("", "Panel-ready dishwasher, 24 in", "dishwasher"),
            ("", "Quiet fan with light, 80 cfm", "exhaust fan"),
            ("", "Ceiling fan, 52 in, with light", "ceiling fan"),
            ("", "Floating vanity shelf, 36 in", "shelf"),
            ("", "Awning window over sink, 48 x 42 in", "awning window"),
            ("", "Solid surface countertop with basin", "countertop"),
            ("Tub enclosure", "Curved rod and curtain", "curtain rod"),
            ("Kitchen sink", "The one from the yard", "sink"),
            ("Something", "The one from the yard", "thing"),
            ("", "", "thing"),
        ] {
            assert_eq!(told(selection, option, ""), expected, "{option}");
        }
    }

    #[test]
    fn tile_shows_its_pattern() {
        for (option, finish, expected) in [
            ("Porcelain tile, 12 x 12 in", "", "tile"),
            ("Porcelain tile, 12 x 24 in", "", "large tile"),
            ("Ceramic wall tile, 24 x 12 in", "", "large tile"),
            ("Ceramic wall tile, 3 x 6 in", "", "running-bond tile"),
            ("Ceramic wall tile, 3 x 12 in, stacked", "", "stacked tile"),
            ("Porcelain mosaic, 2 x 2 in", "", "mosaic tile"),
            ("Porcelain hexagon mosaic, 2 in", "", "hexagon tile"),
            ("Porcelain brick tile, 4 x 8 in, herringbone", "", "herringbone tile"),
            ("Wall tile, 3 x 9 in", "laid in herringbone", "herringbone tile"),
            ("Penny round mosaic", "", "penny tile"),
            ("Tile, 0 x 0 in", "", "tile"),
            ("Tile, -3 x 6 in", "", "tile"),
            ("Tile, 99999999999999999999999999999999999 x 1", "", "tile"),
        ] {
            assert_eq!(told("", option, finish), expected, "{option}");
        }
    }

    /// Every piece lies in the square, and what is filled has no corner that points inwards: the window fills no other.
    #[test]
    fn drawings_lie_in_their_square() {
        let mut pieces = 0;
        for thing in Thing::all() {
            let name = thing.name();
            assert!(!thing.shapes().is_empty(), "{name}");
            assert!(thing.shapes().iter().any(|s| s.line == Line::Edge), "{name} has no outline");
            for shape in thing.shapes() {
                pieces += 1;
                let around = |points: &[Point], by: i16| -> Vec<Point> {
                    points.iter().flat_map(|(x, y)| [(x - by, y - by), (x + by, y + by)]).collect()
                };
                let corners = match &shape.form {
                    Form::Box { at, size, round } => {
                        assert!(size.0 > 0 && size.1 > 0, "{name} {shape:?}");
                        assert!(*round >= 0, "{name} {shape:?}");
                        vec![*at, (at.0 + size.0, at.1 + size.1)]
                    }
                    Form::Oval { at, radius } => {
                        vec![(at.0 - radius.0, at.1 - radius.1), (at.0 + radius.0, at.1 + radius.1)]
                    }
                    Form::Outline(points) => {
                        assert!(points.len() >= 3, "{name}");
                        assert!(is_convex(points), "{name} {points:?}");
                        points.clone()
                    }
                    Form::Tube(points, width) => around(points, width / 2),
                    Form::Line(points) => points.clone(),
                };
                for (x, y) in corners {
                    assert!(
                        (0..=GRID).contains(&x) && (0..=GRID).contains(&y),
                        "{name}: {x} {y} of {shape:?}"
                    );
                }
            }
        }
        println!("{} things, {pieces} pieces", Thing::all().count());
    }

    /// All corners turn the same way, as far as whole steps of the grid allow.
    fn is_convex(points: &[Point]) -> bool {
        let n = points.len();
        let turn = |i: usize| {
            let [a, b, c] = [i, i + 1, i + 2].map(|at| points[at % n]);
            let along =
                |p: Point, q: Point| (f64::from(q.0) - f64::from(p.0), f64::from(q.1) - f64::from(p.1));
            let (u, v) = (along(a, b), along(b, c));
            (u.0 * v.1 - u.1 * v.0) / (u.0.hypot(u.1) * v.0.hypot(v.1)).max(1.0)
        };
        let turns: Vec<f64> = (0..n).map(turn).collect();
        turns.iter().all(|t| *t > -0.05) || turns.iter().all(|t| *t < 0.05)
    }
}
