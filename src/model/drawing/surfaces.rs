//! Drawings of what covers floors and walls: tile by its pattern, planks, carpet, paint, trim.

use super::shape::Leg::{Arc, To};
use super::shape::Tone::{Body, Light, Metal, Plain, Second, Shade};
use super::shape::{GRID, Line, Point, Shape, Sketch, Tone};

/// Tones of pieces laid side by side: mostly the finish, no two rows alike.
fn mottled(row: i16, at: i16) -> Tone {
    match (row * 5 + at * 3) % 7 {
        1 => Light,
        4 => Shade,
        _ => Body,
    }
}

/// The side of the square that is tiled, and where it begins.
const FIELD: i16 = 168;
const FROM: i16 = 16;

/// Rows of tiles between joints, each row begun by a share of a tile before the field.
fn courses(wide: i16, high: i16, shifts: &[i16]) -> Vec<Shape> {
    let joint = 4;
    let mut sketch = Sketch::new().plate([FROM - 6, FROM - 6, FIELD + 12, FIELD + 12], 4, Plain);
    let (mut y, mut row) = (0, 0);
    while y + high <= FIELD {
        let shift = shifts[row as usize % shifts.len()];
        let (mut x, mut at) = (-shift, 0);
        while x < FIELD {
            let (left, right) = (x.max(0), (x + wide).min(FIELD));
            if right - left >= 4 {
                sketch = sketch.panel([FROM + left, FROM + y, right - left, high], 2, mottled(row, at));
            }
            x += wide + joint;
            at += 1;
        }
        y += high + joint;
        row += 1;
    }
    sketch.shapes()
}

pub(super) fn tile_grid() -> Vec<Shape> {
    courses(54, 53, &[0])
}

pub(super) fn tile_large() -> Vec<Shape> {
    courses(82, 39, &[0, 43])
}

pub(super) fn tile_bond() -> Vec<Shape> {
    courses(54, 17, &[0, 29])
}

pub(super) fn tile_stacked() -> Vec<Shape> {
    courses(54, 17, &[0])
}

pub(super) fn tile_mosaic() -> Vec<Shape> {
    courses(20, 20, &[0])
}

/// A hexagon that stands on a corner. Its half width is 866 thousandths of its radius (half the root of three).
fn hexagon(x: i16, y: i16, radius: i16) -> Vec<Point> {
    let half = (i32::from(radius) * 866 / 1000) as i16;
    vec![
        (x, y - radius),
        (x + half, y - radius / 2),
        (x + half, y + radius / 2),
        (x, y + radius),
        (x - half, y + radius / 2),
        (x - half, y - radius / 2),
    ]
}

pub(super) fn tile_hexagon() -> Vec<Shape> {
    let mut sketch = Sketch::new();
    // Rows of four, five, four, five, four around the middle.
    for row in -2..=2_i16 {
        let count = 5 - row.abs() % 2 - if row.abs() == 2 { 2 } else { 0 };
        for at in 0..count {
            let x = GRID / 2 + (2 * at - count + 1) * 180;
            let y = GRID / 2 + row * 312;
            // In a pattern of two colors every third one has the second.
            let tone =
                if (at + 3 * i16::from(row % 2 == 0) + row) % 3 == 0 { Second } else { mottled(row + 2, at) };
            sketch = sketch.piece(hexagon(x, y, 198), tone, Line::Edge);
        }
    }
    sketch.shapes()
}

pub(super) fn tile_penny() -> Vec<Shape> {
    let mut sketch = Sketch::new().plate([10, 10, 180, 180], 4, Plain);
    for row in 0..7_i16 {
        for at in 0..(7 - row % 2) {
            let tone = if (row + 2 * at) % 5 == 0 { Shade } else { mottled(row, at) };
            sketch = sketch.dial(25 + at * 25 + (row % 2) * 12, 26 + row * 25 - row, 11, tone);
        }
    }
    sketch.shapes()
}

pub(super) fn tile_herringbone() -> Vec<Shape> {
    // Planks of one by three laid at right angles, the whole turned by half a right angle: a step along either side of
    // a plank is a step down and to a side.
    let mut sketch = Sketch::new();
    let unit = 190;
    let turn = |a: i16, b: i16| (GRID / 2 + (a - b) * unit, GRID / 2 + (a + b) * unit);
    let inside = |points: &[Point]| {
        points.iter().all(|(x, y)| (80..=GRID - 80).contains(x) && (80..=GRID - 80).contains(y))
    };
    for line in -8..8_i16 {
        for at in -6..6_i16 {
            let (a, b) = (line + 3 * at, line - 3 * at);
            for (wide, high, from) in [(3, 1, (a, b)), (1, 3, (a - 1, b))] {
                let (a, b) = from;
                let corners =
                    vec![turn(a, b), turn(a + wide, b), turn(a + wide, b + high), turn(a, b + high)];
                if inside(&corners) {
                    let tone = if wide == 3 { mottled(line + 8, at + 6) } else { mottled(line + 9, at + 8) };
                    sketch = sketch.piece(corners, tone, Line::Edge);
                }
            }
        }
    }
    sketch.shapes()
}

pub(super) fn pebbles() -> Vec<Shape> {
    let stones: [[i16; 4]; 14] = [
        [38, 38, 24, 18],
        [90, 34, 22, 16],
        [144, 42, 26, 20],
        [64, 74, 26, 16],
        [118, 74, 22, 15],
        [168, 84, 14, 18],
        [32, 108, 18, 22],
        [84, 114, 28, 20],
        [140, 118, 22, 18],
        [44, 156, 26, 18],
        [102, 158, 26, 16],
        [154, 160, 24, 17],
        [28, 72, 12, 12],
        [172, 128, 10, 14],
    ];
    let mut sketch = Sketch::new().plate([10, 10, 180, 180], 6, Plain);
    for (at, stone) in stones.into_iter().enumerate() {
        sketch = sketch.oval(stone, mottled(at as i16, 2));
    }
    sketch.shapes()
}

pub(super) fn planks() -> Vec<Shape> {
    let mut sketch = Sketch::new().plate([12, 18, 176, 164], 3, Shade);
    for (row, joints) in
        [&[0_i16, 70, 176][..], &[0, 112, 176], &[0, 46, 136, 176], &[0, 92, 176], &[0, 128, 176]]
            .into_iter()
            .enumerate()
    {
        let y = 19 + 33 * row as i16;
        for (at, pair) in joints.windows(2).enumerate() {
            let (left, wide) = (12 + pair[0] + 1, pair[1] - pair[0] - 2);
            sketch = sketch
                .panel([left, y, wide, 30], 1, mottled(row as i16, at as i16 + 2))
                .fine(&[(left + 8, y + 10), (left + wide / 2, y + 12)])
                .fine(&[(left + wide / 3, y + 20), (left + wide - 6, y + 19)]);
        }
    }
    sketch.frame([12, 18, 176, 164], 3).shapes()
}

pub(super) fn carpet() -> Vec<Shape> {
    let mut sketch = Sketch::new().plate([14, 14, 172, 172], 8, Body);
    for row in 0..9_i16 {
        for at in 0..(9 - row % 2) {
            let (x, y) = (28 + at * 18 + (row % 2) * 9, 28 + row * 18);
            sketch = sketch.curve(&[Arc(x, y + 3, 6, 6, 180, 360)]);
        }
    }
    sketch.shapes()
}

pub(super) fn fabric() -> Vec<Shape> {
    let mut sketch = Sketch::new().plate([22, 22, 156, 156], 4, Body);
    for at in 0..6_i16 {
        sketch = sketch.patch([22 + 26 * at, 24, 12, 152], 0, Light);
    }
    for at in 0..6_i16 {
        sketch = sketch.fine(&[(24, 36 + 26 * at), (176, 36 + 26 * at)]);
    }
    sketch.frame([22, 22, 156, 156], 4).shapes()
}

pub(super) fn roll() -> Vec<Shape> {
    Sketch::new()
        .poly(&[(58, 150), (176, 150), (190, 176), (58, 176)], Light)
        .plate([58, 44, 122, 118], 4, Body)
        .patch([62, 124, 116, 34], 3, Shade)
        .oval([58, 103, 26, 59], Light)
        .oval([58, 103, 14, 34], Shade)
        .oval([58, 103, 6, 15], Plain)
        .shapes()
}

pub(super) fn paint() -> Vec<Shape> {
    // A strip of color off a roller.
    Sketch::new()
        .plate([22, 78, 136, 104], 6, Body)
        .patch([28, 84, 30, 92], 4, Light)
        .pipe(&[To(160, 46), To(178, 46), To(178, 110), To(150, 110), To(150, 128)], 7, Metal)
        .plate([22, 24, 136, 44], 8, Body)
        .patch([28, 54, 124, 9], 4, Shade)
        .tube(&[(150, 132), (150, 172)], 14, Plain)
        .shapes()
}

pub(super) fn wallpaper() -> Vec<Shape> {
    let mut sketch = Sketch::new().plate([34, 14, 132, 158], 2, Second);
    for (x, y) in [(58, 44), (100, 44), (142, 44), (79, 82), (121, 82), (58, 120), (100, 120), (142, 120)] {
        sketch = sketch
            .pool([x - 6, y, 8, 14], Body)
            .pool([x + 8, y + 6, 6, 11], Body)
            .fine(&[(x, y - 14), (x + 1, y + 20)]);
    }
    sketch
        .frame([34, 14, 132, 158], 2)
        .plate([28, 158, 144, 26], 12, Second)
        .oval([166, 171, 8, 12], Light)
        .shapes()
}

pub(super) fn wainscot() -> Vec<Shape> {
    let mut sketch = Sketch::new().plate([12, 14, 176, 172], 2, Plain).plate([12, 66, 176, 120], 0, Body);
    for x in [22, 77, 132] {
        sketch = sketch.panel([x, 86, 46, 68], 1, Shade).panel([x + 5, 91, 36, 58], 1, Body);
    }
    sketch.plate([8, 58, 184, 12], 3, Light).plate([12, 166, 176, 20], 1, Light).shapes()
}

pub(super) fn baseboard() -> Vec<Shape> {
    Sketch::new()
        .plate([12, 18, 176, 92], 0, Plain)
        .poly(&[(12, 154), (188, 154), (188, 180), (12, 180)], Metal)
        .plate([12, 96, 176, 60], 1, Body)
        .patch([13, 97, 174, 8], 1, Light)
        .fine(&[(12, 106), (188, 106)])
        .fine(&[(12, 114), (188, 114)])
        .plate([12, 142, 176, 14], 4, Shade)
        .shapes()
}

pub(super) fn casing() -> Vec<Shape> {
    Sketch::new()
        .plate([72, 72, 112, 112], 0, Plain)
        .poly(&[(20, 20), (72, 72), (72, 184), (20, 184)], Body)
        .poly(&[(20, 20), (184, 20), (184, 72), (72, 72)], Light)
        .fine(&[(34, 184), (34, 34), (184, 34)])
        .fine(&[(60, 184), (60, 60), (184, 60)])
        .shapes()
}

pub(super) fn nosing() -> Vec<Shape> {
    Sketch::new()
        .poly(&[(36, 92), (80, 48), (192, 48), (150, 92)], Body)
        .blob(&[To(36, 92), To(150, 92), To(150, 118), Arc(36, 105, 13, 13, 90, 270)], Light)
        .poly(&[(150, 92), (192, 48), (192, 72), (150, 118)], Shade)
        .poly(&[(44, 118), (140, 118), (140, 178), (44, 178)], Plain)
        .fine(&[(70, 82), (148, 60)])
        .fine(&[(96, 84), (170, 62)])
        .shapes()
}

pub(super) fn siding() -> Vec<Shape> {
    let mut sketch = Sketch::new();
    for row in 0..5_i16 {
        let y = 18 + 33 * row;
        let tone = if row % 2 == 0 { Body } else { Light };
        sketch = sketch.plate([22, y, 166, 34], 1, tone).patch([23, y + 26, 164, 7], 0, Shade);
    }
    sketch.plate([12, 14, 20, 172], 1, Light).shapes()
}

pub(super) fn drywall() -> Vec<Shape> {
    Sketch::new()
        .poly(&[(60, 22), (182, 22), (182, 164), (60, 164)], Shade)
        .poly(&[(42, 30), (164, 30), (164, 172), (42, 172)], Light)
        .plate([22, 38, 124, 142], 1, Body)
        .fine(&[(34, 38), (34, 180)])
        .fine(&[(134, 38), (134, 180)])
        .panel([58, 92, 52, 24], 2, Plain)
        .shapes()
}

pub(super) fn insulation() -> Vec<Shape> {
    let mut sketch = Sketch::new();
    for (row, y) in [28_i16, 80, 132].into_iter().enumerate() {
        sketch = sketch.plate([20, y, 160, 44], 16, if row == 1 { Light } else { Body });
        for x in [44_i16, 76, 108, 140] {
            sketch = sketch.curve(&[Arc(x, y + 22, 10, 9, 180, 360), Arc(x + 16, y + 22, 6, 7, 180, 0)]);
        }
    }
    sketch.shapes()
}

pub(super) fn bag() -> Vec<Shape> {
    Sketch::new()
        .poly(&[(46, 36), (154, 36), (164, 176), (36, 176)], Body)
        .plate([40, 24, 120, 16], 4, Light)
        .rows((50, 32), (58, 32), 9, (11, 0))
        .panel([62, 76, 76, 56], 3, Plain)
        .rows((72, 92), (128, 92), 3, (0, 12))
        .shapes()
}

pub(super) fn bucket() -> Vec<Shape> {
    Sketch::new()
        .curve(&[Arc(100, 62, 62, 46, 180, 360)])
        .poly(&[(36, 62), (164, 62), (152, 178), (48, 178)], Plain)
        .poly(&[(41, 100), (159, 100), (154, 150), (46, 150)], Body)
        .oval([100, 62, 66, 16], Metal)
        .oval([100, 63, 54, 11], Body)
        .shapes()
}
