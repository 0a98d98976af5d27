//! Drawings of what is behind walls, of wires and what hangs on them, and of odds and ends.

use super::shape::Leg::{Arc, To};
use super::shape::Tone::{Body, Dark, Fitting, Glow, Light, Metal, Plain, Shade};
use super::shape::{Shape, Sketch};

pub(super) fn outlet() -> Vec<Shape> {
    let mut sketch = Sketch::new().plate([52, 16, 96, 168], 10, Body);
    for y in [34, 108] {
        sketch = sketch
            .panel([68, y, 64, 60], 20, Light)
            .patch([84, y + 14, 5, 18], 1, Dark)
            .patch([111, y + 14, 5, 18], 1, Dark)
            .spot(100, y + 46, 5, Dark);
    }
    sketch.dial(100, 101, 4, Metal).shapes()
}

pub(super) fn outlet_box() -> Vec<Shape> {
    Sketch::new()
        .plate([20, 30, 160, 128], 6, Body)
        .panel([34, 44, 132, 100], 3, Shade)
        .tube(&[(68, 62), (68, 94)], 12, Metal)
        .tube(&[(132, 62), (132, 94)], 12, Metal)
        .plate([52, 70, 32, 10], 4, Metal)
        .plate([116, 70, 32, 10], 4, Metal)
        .disc(100, 122, 13, Dark)
        .tube(&[(100, 158), (100, 186)], 18, Plain)
        .shapes()
}

pub(super) fn electrical_panel() -> Vec<Shape> {
    let mut sketch = Sketch::new()
        .plate([44, 12, 112, 176], 4, Body)
        .panel([56, 26, 88, 148], 2, Shade)
        .plate([84, 32, 32, 20], 2, Dark);
    for row in 0..7_i16 {
        for x in [64, 102] {
            sketch = sketch.panel([x, 60 + 15 * row, 34, 12], 1, Dark).patch(
                [x + 12, 63 + 15 * row, 10, 6],
                1,
                Plain,
            );
        }
    }
    sketch.shapes()
}

pub(super) fn wire() -> Vec<Shape> {
    Sketch::new()
        .disc(94, 98, 74, Body)
        .ring(94, 98, 62)
        .ring(94, 98, 52)
        .disc(94, 98, 40, Plain)
        .pipe(&[Arc(94, 98, 68, 68, 40, 80), To(150, 176), To(186, 176)], 11, Body)
        .shapes()
}

pub(super) fn thermostat() -> Vec<Shape> {
    Sketch::new()
        .disc(100, 100, 80, Body)
        .disc(100, 100, 60, Dark)
        .curve(&[Arc(100, 100, 48, 48, 150, 390)])
        .bar(&[(80, 104), (92, 86), (92, 116)], 6, Glow)
        .bar(&[(108, 86), (122, 86), (122, 116), (108, 116), (108, 86)], 6, Glow)
        .shapes()
}

pub(super) fn alarm() -> Vec<Shape> {
    Sketch::new()
        .disc(100, 100, 80, Body)
        .dial(100, 100, 58, Light)
        .rows((62, 84), (138, 84), 4, (0, 11))
        .dial(100, 100, 12, Body)
        .spot(132, 136, 5, Fitting)
        .shapes()
}

pub(super) fn doorbell() -> Vec<Shape> {
    Sketch::new()
        .plate([62, 20, 76, 160], 34, Body)
        .disc(100, 72, 24, Shade)
        .disc(100, 72, 13, Glow)
        .rows((82, 124), (118, 124), 4, (0, 9))
        .shapes()
}

pub(super) fn heat_mat() -> Vec<Shape> {
    let mut legs = vec![To(30, 180)];
    for at in 0..4 {
        let x = 40 + 36 * at;
        legs.extend([To(x - 10, 40), Arc(x, 40, 10, 10, 180, 360), To(x + 10, 160)]);
        if at < 3 {
            legs.push(Arc(x + 18, 160, 8, 8, 180, 0));
        }
    }
    Sketch::new().plate([14, 16, 172, 168], 4, Plain).pipe(&legs, 6, Body).shapes()
}

pub(super) fn lumber() -> Vec<Shape> {
    let mut sketch = Sketch::new();
    for (x, y) in [(24, 128), (74, 128), (124, 128), (48, 84), (98, 84), (74, 40)] {
        let tone = if (x + y) % 3 == 0 { Light } else { Body };
        sketch = sketch
            .poly(&[(x, y), (x + 16, y - 16), (x + 64, y - 16), (x + 48, y)], Shade)
            .poly(&[(x + 48, y), (x + 64, y - 16), (x + 64, y + 24), (x + 48, y + 40)], Shade)
            .plate([x, y, 48, 40], 1, tone)
            .curve(&[Arc(x + 24, y + 40, 14, 16, 180, 360)])
            .curve(&[Arc(x + 24, y + 40, 7, 8, 180, 360)]);
    }
    sketch.shapes()
}

pub(super) fn beam() -> Vec<Shape> {
    Sketch::new()
        .plate([26, 100, 26, 84], 1, Shade)
        .plate([148, 100, 26, 84], 1, Shade)
        .plate([8, 50, 184, 52], 1, Body)
        .rows((8, 60), (192, 60), 4, (0, 10))
        .plate([24, 92, 30, 26], 2, Metal)
        .plate([146, 92, 30, 26], 2, Metal)
        .spot(33, 105, 3, Dark)
        .spot(45, 105, 3, Dark)
        .spot(155, 105, 3, Dark)
        .spot(167, 105, 3, Dark)
        .shapes()
}

pub(super) fn railing() -> Vec<Shape> {
    let mut sketch = Sketch::new();
    for at in 0..6_i16 {
        let (x, y) = (36 + 26 * at, 160 - 16 * at);
        sketch = sketch.tube(&[(x, y - 66), (x, y + 6)], 6, Plain);
    }
    sketch
        .tube(&[(14, 182), (186, 76)], 9, Plain)
        .tube(&[(14, 104), (186, 12)], 15, Body)
        .bar(&[(18, 98), (182, 10)], 3, Light)
        .shapes()
}

pub(super) fn stairs() -> Vec<Shape> {
    let mut sketch = Sketch::new();
    for at in 0..5_i16 {
        let (x, y) = (16 + 34 * at, 152 - 32 * at);
        sketch = sketch.plate([x, y, 184 - x, 34], 0, Plain).plate([x - 4, y - 4, 46, 9], 2, Body);
    }
    sketch.shapes()
}

pub(super) fn mailbox() -> Vec<Shape> {
    Sketch::new()
        .plate([36, 70, 128, 104], 6, Body)
        .poly(&[(30, 74), (44, 48), (156, 48), (170, 74)], Light)
        .panel([64, 100, 72, 12], 3, Dark)
        .bar(&[(84, 132), (84, 156)], 6, Plain)
        .bar(&[(100, 132), (112, 132), (112, 144), (100, 156), (112, 156)], 5, Plain)
        .shapes()
}

pub(super) fn box_of_something() -> Vec<Shape> {
    Sketch::new()
        .poly(&[(100, 96), (174, 62), (174, 144), (100, 182)], Shade)
        .poly(&[(26, 62), (100, 96), (100, 182), (26, 144)], Body)
        .poly(&[(26, 62), (100, 28), (174, 62), (100, 96)], Light)
        .fine(&[(63, 45), (137, 79), (137, 100)])
        .shapes()
}
