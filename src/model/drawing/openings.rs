//! Drawings of doors, windows and lights.

use super::shape::Leg::{Arc, To};
use super::shape::Tone::{Body, Dark, Fitting, Glass, Glow, Light, Metal, Plain, Second, Shade};
use super::shape::{Shape, Sketch};

pub(super) fn door() -> Vec<Shape> {
    Sketch::new()
        .plate([46, 8, 108, 182], 1, Plain)
        .plate([54, 16, 92, 174], 1, Body)
        .panel([68, 30, 64, 62], 1, Shade)
        .panel([73, 35, 54, 52], 1, Light)
        .panel([68, 106, 64, 68], 1, Shade)
        .panel([73, 111, 54, 58], 1, Light)
        .disc(139, 102, 5, Metal)
        .shapes()
}

pub(super) fn glass_door() -> Vec<Shape> {
    Sketch::new()
        .plate([46, 8, 108, 182], 1, Plain)
        .plate([54, 16, 92, 174], 1, Body)
        .panel([68, 30, 64, 126], 1, Glass)
        .rows((84, 30), (84, 156), 3, (16, 0))
        .disc(139, 102, 5, Metal)
        .shapes()
}

pub(super) fn front_door() -> Vec<Shape> {
    Sketch::new()
        .plate([26, 8, 148, 182], 1, Plain)
        .plate([34, 16, 90, 174], 1, Body)
        .plate([130, 16, 36, 174], 1, Body)
        .panel([138, 28, 20, 150], 1, Glass)
        .panel([50, 30, 58, 36], 1, Glass)
        .panel([50, 78, 58, 40], 1, Shade)
        .panel([50, 130, 58, 44], 1, Shade)
        .tube(&[(116, 90), (116, 116)], 6, Metal)
        .shapes()
}

pub(super) fn patio_door() -> Vec<Shape> {
    Sketch::new()
        .plate([14, 16, 172, 168], 2, Second)
        .plate([22, 24, 78, 152], 1, Body)
        .plate([100, 24, 78, 152], 1, Body)
        .panel([32, 34, 58, 132], 1, Glass)
        .panel([110, 34, 58, 132], 1, Glass)
        .fine(&[(42, 96), (78, 48)])
        .fine(&[(120, 96), (156, 48)])
        .tube(&[(95, 92), (95, 116)], 5, Metal)
        .shapes()
}

pub(super) fn door_handle() -> Vec<Shape> {
    Sketch::new()
        .plate([40, 26, 46, 148], 12, Body)
        .patch([74, 34, 8, 132], 4, Shade)
        .tube(&[(63, 74), (166, 74)], 18, Body)
        .bar(&[(68, 70), (164, 70)], 4, Light)
        .disc(63, 74, 16, Light)
        .disc(63, 134, 9, Shade)
        .patch([61, 130, 4, 12], 1, Dark)
        .shapes()
}

pub(super) fn window() -> Vec<Shape> {
    Sketch::new()
        .plate([32, 14, 136, 164], 2, Second)
        .plate([40, 22, 120, 74], 1, Body)
        .panel([50, 32, 100, 54], 1, Glass)
        .plate([40, 96, 120, 74], 1, Body)
        .panel([50, 106, 100, 54], 1, Glass)
        .fine(&[(64, 76), (100, 38)])
        .fine(&[(64, 150), (100, 112)])
        .plate([22, 174, 156, 12], 2, Light)
        .shapes()
}

pub(super) fn awning_window() -> Vec<Shape> {
    Sketch::new()
        .plate([16, 34, 168, 124], 2, Second)
        .plate([26, 44, 148, 104], 1, Body)
        .panel([38, 56, 124, 80], 1, Glass)
        .fine(&[(56, 118), (104, 64)])
        .fine(&[(72, 124), (124, 64)])
        .plate([88, 138, 24, 8], 2, Metal)
        .plate([8, 156, 184, 12], 2, Light)
        .shapes()
}

pub(super) fn blind() -> Vec<Shape> {
    let mut sketch = Sketch::new().plate([30, 18, 140, 164], 1, Glass);
    for row in 0..7_i16 {
        let y = 34 + 15 * row;
        let tone = if row % 2 == 0 { Body } else { Light };
        sketch = sketch.panel([34, y, 132, 15], 1, tone);
    }
    sketch.plate([26, 18, 148, 17], 3, Shade).plate([32, 138, 136, 9], 3, Shade).shapes()
}

pub(super) fn pendant() -> Vec<Shape> {
    Sketch::new()
        .plate([76, 10, 48, 10], 3, Body)
        .tube(&[(100, 18), (100, 74)], 4, Shade)
        .plate([90, 68, 20, 18], 4, Fitting)
        .pool([100, 152, 40, 14], Glow)
        .blob(&[Arc(100, 148, 66, 64, 180, 360)], Body)
        .bulge(&[Arc(100, 146, 60, 58, 290, 350), To(128, 142)], Shade)
        .oval([100, 148, 66, 10], Glow)
        .shapes()
}

pub(super) fn drum_pendant() -> Vec<Shape> {
    Sketch::new()
        .plate([76, 10, 48, 10], 3, Metal)
        .tube(&[(100, 18), (100, 82)], 4, Metal)
        .plate([28, 82, 144, 74], 6, Body)
        .patch([148, 88, 18, 62], 3, Shade)
        .patch([34, 88, 14, 62], 3, Light)
        .oval([100, 156, 62, 8], Glow)
        .shapes()
}

pub(super) fn lantern() -> Vec<Shape> {
    Sketch::new()
        .ring(100, 26, 10)
        .tube(&[(100, 8), (100, 48)], 5, Body)
        .poly(&[(58, 68), (78, 44), (122, 44), (142, 68)], Body)
        .plate([62, 68, 76, 88], 1, Glass)
        .fine(&[(100, 68), (100, 156)])
        .pool([100, 124, 10, 18], Glow)
        .plate([94, 136, 12, 20], 1, Plain)
        .tube(&[(62, 70), (62, 156)], 5, Body)
        .tube(&[(138, 70), (138, 156)], 5, Body)
        .plate([54, 154, 92, 14], 3, Body)
        .shapes()
}

pub(super) fn chandelier() -> Vec<Shape> {
    let mut sketch = Sketch::new()
        .plate([80, 8, 40, 10], 3, Body)
        .tube(&[(66, 116), (100, 54)], 3, Body)
        .tube(&[(134, 116), (100, 54)], 3, Body)
        .tube(&[(100, 16), (100, 60)], 5, Body);
    for x in [28, 64, 100, 136, 172] {
        sketch = sketch.pool([x, 86, 9, 14], Glow).plate([x - 4, 96, 8, 26], 2, Plain);
    }
    sketch.tube(&[(18, 128), (182, 128)], 14, Body).bar(&[(22, 125), (178, 125)], 3, Light).shapes()
}

pub(super) fn sconce() -> Vec<Shape> {
    Sketch::new()
        .plate([46, 98, 24, 76], 10, Body)
        .pipe(&[To(58, 136), To(104, 136), Arc(104, 120, 16, 16, 90, 0), To(120, 96)], 9, Body)
        .disc(120, 66, 40, Glow)
        .dial(120, 66, 26, Plain)
        .plate([100, 98, 40, 13], 5, Body)
        .shapes()
}

pub(super) fn shaded_sconce() -> Vec<Shape> {
    Sketch::new()
        .plate([34, 92, 22, 76], 8, Fitting)
        .tube(&[(46, 130), (104, 130), (128, 96)], 8, Fitting)
        .disc(104, 130, 8, Light)
        .poly(&[(108, 36), (150, 36), (174, 96), (84, 96)], Body)
        .facet(&[(140, 40), (148, 40), (168, 92), (150, 92)], Shade)
        .oval([129, 97, 44, 7], Glow)
        .shapes()
}

pub(super) fn tube_sconce() -> Vec<Shape> {
    Sketch::new()
        .plate([82, 86, 36, 30], 6, Body)
        .plate([86, 22, 28, 156], 13, Glow)
        .plate([82, 16, 36, 18], 6, Body)
        .plate([82, 166, 36, 18], 6, Body)
        .plate([78, 92, 44, 16], 4, Body)
        .shapes()
}

pub(super) fn wall_lantern() -> Vec<Shape> {
    Sketch::new()
        .plate([26, 48, 22, 90], 6, Body)
        .pipe(&[To(38, 74), Arc(84, 74, 36, 40, 180, 360)], 8, Body)
        .poly(&[(76, 82), (98, 56), (142, 56), (164, 82)], Body)
        .poly(&[(82, 82), (158, 82), (148, 152), (92, 152)], Glass)
        .pool([120, 122, 11, 18], Glow)
        .plate([86, 150, 68, 13], 3, Body)
        .shapes()
}

pub(super) fn recessed() -> Vec<Shape> {
    Sketch::new()
        .plate([10, 40, 180, 34], 2, Plain)
        .facet(&[(66, 88), (134, 88), (180, 178), (20, 178)], Glow)
        .blob(&[To(48, 74), To(152, 74), Arc(100, 74, 52, 18, 0, 180)], Body)
        .oval([100, 84, 34, 6], Glow)
        .plate([38, 66, 124, 11], 4, Light)
        .shapes()
}

pub(super) fn ceiling_light() -> Vec<Shape> {
    Sketch::new()
        .plate([10, 40, 180, 14], 2, Plain)
        .plate([42, 54, 116, 18], 5, Fitting)
        .blob(&[To(34, 72), To(166, 72), Arc(100, 76, 66, 52, 0, 180)], Body)
        .bulge(&[Arc(100, 80, 50, 36, 10, 170)], Glow)
        .shapes()
}

pub(super) fn light_bar() -> Vec<Shape> {
    let mut sketch = Sketch::new().plate([14, 58, 172, 26], 8, Body).patch([18, 76, 164, 5], 2, Shade);
    for x in [46, 100, 154] {
        sketch = sketch
            .plate([x - 9, 82, 18, 16], 3, Body)
            .poly(&[(x - 12, 96), (x + 12, 96), (x + 24, 148), (x - 24, 148)], Glow);
    }
    sketch.shapes()
}

pub(super) fn strip_light() -> Vec<Shape> {
    Sketch::new()
        .facet(&[(30, 84), (170, 84), (192, 172), (8, 172)], Glow)
        .plate([10, 28, 180, 34], 2, Plain)
        .plate([26, 60, 148, 22], 4, Metal)
        .panel([32, 70, 136, 10], 4, Body)
        .shapes()
}

pub(super) fn ceiling_fan() -> Vec<Shape> {
    Sketch::new()
        .plate([84, 14, 32, 12], 4, Fitting)
        .tube(&[(100, 24), (100, 84)], 8, Fitting)
        .poly(&[(108, 96), (188, 82), (192, 100), (108, 110)], Body)
        .poly(&[(92, 96), (12, 82), (8, 100), (92, 110)], Body)
        .poly(&[(88, 108), (112, 108), (126, 148), (74, 148)], Light)
        .plate([74, 80, 52, 32], 12, Fitting)
        .blob(&[Arc(100, 112, 20, 14, 0, 180)], Glow)
        .shapes()
}

pub(super) fn exhaust_fan() -> Vec<Shape> {
    Sketch::new()
        .plate([22, 22, 156, 156], 10, Body)
        .rows((38, 42), (162, 42), 5, (0, 12))
        .rows((38, 110), (162, 110), 5, (0, 12))
        .disc(100, 100, 34, Light)
        .dial(100, 100, 22, Body)
        .spot(100, 100, 6, Shade)
        .shapes()
}
