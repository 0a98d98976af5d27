//! Drawings of cabinets, shelves, and the tops and pulls on them.

use super::shape::Tone::{Body, Dark, Glass, Light, Metal, Plain, Second, Shade};
use super::shape::{Shape, Sketch};

/// A door with a flat panel in a frame.
fn door(sketch: Sketch, [x, y, wide, high]: [i16; 4]) -> Sketch {
    let rail = (wide / 6).clamp(6, 12);
    sketch.panel([x, y, wide, high], 1, Light).panel(
        [x + rail, y + rail, wide - 2 * rail, high - 2 * rail],
        1,
        Body,
    )
}

/// The front of a drawer with a pull.
fn drawer(sketch: Sketch, [x, y, wide, high]: [i16; 4]) -> Sketch {
    let (middle, half) = (x + wide / 2, wide / 6);
    let pull = [(middle - half, y + high / 3), (middle + half, y + high / 3)];
    sketch.panel([x, y, wide, high], 1, Light).bar(&pull, 5, Metal)
}

pub(super) fn base_cabinet() -> Vec<Shape> {
    let mut sketch = Sketch::new()
        .plate([32, 158, 136, 18], 0, Dark)
        .plate([22, 40, 156, 122], 2, Body)
        .plate([14, 28, 172, 13], 2, Plain);
    sketch = drawer(sketch, [29, 48, 69, 26]);
    sketch = drawer(sketch, [102, 48, 69, 26]);
    sketch = door(sketch, [29, 79, 69, 76]);
    door(sketch, [102, 79, 69, 76]).spot(91, 92, 4, Metal).spot(109, 92, 4, Metal).shapes()
}

pub(super) fn wall_cabinet() -> Vec<Shape> {
    let sketch = Sketch::new().plate([22, 38, 156, 124], 2, Body);
    let sketch = door(sketch, [29, 45, 69, 110]);
    door(sketch, [102, 45, 69, 110]).spot(91, 142, 4, Metal).spot(109, 142, 4, Metal).shapes()
}

pub(super) fn drawers() -> Vec<Shape> {
    let mut sketch = Sketch::new()
        .plate([26, 162, 148, 16], 0, Dark)
        .plate([16, 42, 168, 122], 2, Body)
        .plate([8, 30, 184, 13], 2, Plain);
    for (x, y, high) in
        [(23, 50, 28), (102, 50, 28), (23, 82, 36), (102, 82, 36), (23, 122, 36), (102, 122, 36)]
    {
        sketch = drawer(sketch, [x, y, 75, high]);
    }
    sketch.shapes()
}

pub(super) fn tall_cabinet() -> Vec<Shape> {
    let sketch = Sketch::new().plate([56, 176, 88, 12], 0, Dark).plate([48, 12, 104, 166], 2, Body);
    let sketch = door(sketch, [54, 18, 44, 92]);
    let sketch = door(sketch, [102, 18, 44, 92]);
    let sketch = door(sketch, [54, 115, 44, 57]);
    door(sketch, [102, 115, 44, 57]).spot(93, 98, 3, Metal).spot(107, 98, 3, Metal).shapes()
}

pub(super) fn vanity() -> Vec<Shape> {
    let mut sketch = Sketch::new()
        .tube(&[(100, 62), (100, 42), (112, 42), (112, 48)], 7, Metal)
        .tube(&[(32, 150), (32, 182)], 9, Shade)
        .tube(&[(168, 150), (168, 182)], 9, Shade)
        .plate([24, 72, 152, 84], 2, Body)
        .plate([16, 60, 168, 13], 3, Plain);
    sketch = drawer(sketch, [31, 80, 66, 32]);
    sketch = drawer(sketch, [103, 80, 66, 32]);
    sketch = drawer(sketch, [31, 117, 66, 32]);
    drawer(sketch, [103, 117, 66, 32]).shapes()
}

pub(super) fn shelves() -> Vec<Shape> {
    Sketch::new()
        .plate([24, 20, 152, 160], 2, Shade)
        .plate([32, 28, 136, 44], 1, Light)
        .plate([32, 80, 136, 42], 1, Light)
        .plate([32, 130, 136, 42], 1, Light)
        .plate([42, 40, 10, 32], 1, Plain)
        .plate([53, 36, 12, 36], 1, Metal)
        .plate([66, 44, 9, 28], 1, Plain)
        .disc(138, 58, 14, Plain)
        .plate([104, 100, 44, 10], 1, Metal)
        .plate([108, 110, 48, 12], 1, Plain)
        .plate([46, 142, 34, 30], 6, Plain)
        .plate([24, 20, 152, 8], 2, Body)
        .plate([24, 172, 152, 8], 2, Body)
        .plate([24, 72, 152, 8], 1, Body)
        .plate([24, 122, 152, 8], 1, Body)
        .shapes()
}

pub(super) fn shelf() -> Vec<Shape> {
    Sketch::new()
        .plate([12, 92, 176, 26], 3, Body)
        .patch([14, 110, 172, 6], 2, Shade)
        .plate([36, 118, 12, 34], 2, Metal)
        .plate([152, 118, 12, 34], 2, Metal)
        .fine(&[(24, 100), (112, 100)])
        .fine(&[(96, 105), (176, 105)])
        .oval([100, 80, 40, 12], Plain)
        .shapes()
}

pub(super) fn closet() -> Vec<Shape> {
    let mut sketch = Sketch::new()
        .plate([18, 18, 164, 164], 2, Shade)
        .plate([26, 40, 92, 142], 1, Light)
        .plate([124, 40, 50, 64], 1, Light)
        .tube(&[(28, 56), (116, 56)], 6, Metal);
    for (x, long) in [(40, 66), (58, 84), (76, 60), (94, 74)] {
        sketch = sketch.poly(&[(x - 2, 62), (x + 8, 62), (x + 12, 62 + long), (x - 6, 62 + long)], Plain);
    }
    sketch = drawer(sketch, [124, 108, 50, 22]);
    sketch = drawer(sketch, [124, 132, 50, 22]);
    sketch = drawer(sketch, [124, 156, 50, 22]);
    sketch.plate([18, 18, 164, 10], 2, Body).plate([124, 70, 50, 6], 1, Body).shapes()
}

pub(super) fn pull_out() -> Vec<Shape> {
    let mut sketch = Sketch::new().tube(&[(44, 20), (44, 180)], 9, Body);
    for y in [42, 76, 110, 144, 176] {
        sketch = sketch
            .tube(&[(44, y), (160, y)], 6, Body)
            .tube(&[(44, y - 16), (160, y - 16)], 4, Body)
            .rows((62, y - 15), (62, y - 2), 6, (18, 0));
    }
    sketch.tube(&[(160, 20), (160, 180)], 9, Body).shapes()
}

pub(super) fn roll_out() -> Vec<Shape> {
    let mut sketch = Sketch::new().plate([22, 18, 156, 164], 2, Plain);
    for y in [34, 84, 134] {
        sketch = sketch
            .poly(&[(40, y), (160, y), (172, y + 18), (28, y + 18)], Shade)
            .plate([28, y + 18, 144, 18], 2, Body)
            .bar(&[(84, y + 27), (116, y + 27)], 5, Metal);
    }
    sketch.shapes()
}

pub(super) fn desk() -> Vec<Shape> {
    let mut sketch = Sketch::new()
        .plate([112, 84, 64, 98], 1, Body)
        .tube(&[(26, 86), (26, 180)], 9, Shade)
        .plate([12, 72, 176, 13], 2, Light)
        .plate([12, 26, 176, 10], 2, Body)
        .plate([36, 36, 8, 30], 1, Plain);
    for y in [92, 122, 152] {
        sketch = drawer(sketch, [118, y, 52, 25]);
    }
    sketch.shapes()
}

pub(super) fn bench() -> Vec<Shape> {
    let mut sketch = Sketch::new().plate([14, 18, 172, 24], 2, Body);
    for x in [40, 80, 120, 160] {
        sketch = sketch.tube(&[(x, 30), (x, 52)], 7, Metal);
    }
    sketch = sketch.plate([18, 126, 164, 56], 2, Body);
    for x in [26, 79, 132] {
        sketch = sketch.panel([x, 134, 42, 42], 2, Shade);
    }
    sketch.plate([10, 112, 180, 15], 3, Light).shapes()
}

pub(super) fn countertop() -> Vec<Shape> {
    Sketch::new()
        .poly(&[(8, 112), (58, 66), (192, 66), (150, 112)], Body)
        .poly(&[(150, 112), (192, 66), (192, 86), (150, 134)], Shade)
        .poly(&[(8, 112), (150, 112), (150, 134), (8, 134)], Light)
        .bar(&[(38, 100), (70, 92), (88, 96), (124, 78)], 2, Second)
        .bar(&[(70, 92), (92, 74)], 2, Second)
        .bar(&[(112, 106), (140, 92), (164, 84)], 2, Second)
        .shapes()
}

pub(super) fn pulls() -> Vec<Shape> {
    Sketch::new()
        .plate([40, 44, 16, 24], 3, Shade)
        .plate([144, 44, 16, 24], 3, Shade)
        .tube(&[(24, 66), (176, 66)], 17, Body)
        .bar(&[(28, 62), (172, 62)], 4, Light)
        .disc(100, 136, 34, Body)
        .dial(100, 136, 24, Light)
        .spot(92, 128, 7, Plain)
        .shapes()
}

pub(super) fn glass_cabinet() -> Vec<Shape> {
    Sketch::new()
        .plate([22, 38, 156, 124], 2, Body)
        .panel([29, 45, 69, 110], 1, Light)
        .panel([102, 45, 69, 110], 1, Light)
        .panel([40, 56, 47, 88], 1, Glass)
        .panel([113, 56, 47, 88], 1, Glass)
        .fine(&[(40, 100), (87, 100)])
        .fine(&[(113, 100), (160, 100)])
        .spot(91, 142, 4, Metal)
        .spot(109, 142, 4, Metal)
        .shapes()
}
