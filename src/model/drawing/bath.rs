//! Drawings of what stands in a bath, and of what brings water.

use super::shape::Leg::{Arc, To};
use super::shape::Tone::{Body, Dark, Fitting, Glass, Light, Metal, Plain, Shade};
use super::shape::{Shape, Sketch};

pub(super) fn tub() -> Vec<Shape> {
    Sketch::new()
        .pipe(&[To(158, 84), To(158, 52), Arc(148, 52, 10, 10, 0, -180), To(138, 58)], 8, Metal)
        .plate([24, 88, 152, 70], 9, Body)
        .patch([27, 132, 146, 23], 7, Shade)
        .plate([10, 80, 180, 17], 8, Light)
        .shapes()
}

pub(super) fn freestanding_tub() -> Vec<Shape> {
    Sketch::new()
        .pipe(&[To(160, 168), To(160, 46), Arc(148, 46, 12, 12, 0, -180), To(136, 56)], 8, Metal)
        .plate([64, 150, 72, 16], 4, Shade)
        .blob(&[To(20, 80), To(180, 80), Arc(128, 80, 52, 78, 0, 90), Arc(72, 80, 52, 78, 90, 180)], Body)
        .bulge(&[Arc(128, 80, 49, 74, 40, 90), Arc(72, 80, 49, 74, 90, 140)], Shade)
        .plate([10, 72, 180, 15], 7, Light)
        .shapes()
}

pub(super) fn toilet() -> Vec<Shape> {
    Sketch::new()
        .plate([56, 28, 88, 66], 8, Body)
        .plate([50, 18, 100, 15], 6, Light)
        .tube(&[(66, 46), (78, 46)], 6, Metal)
        .poly(&[(80, 146), (120, 146), (130, 184), (70, 184)], Shade)
        .blob(&[Arc(100, 114, 46, 46, 0, 180)], Body)
        .oval([100, 112, 50, 18], Light)
        .oval([100, 112, 32, 10], Glass)
        .shapes()
}

pub(super) fn wall_toilet() -> Vec<Shape> {
    Sketch::new()
        .plate([66, 24, 68, 36], 4, Metal)
        .fine(&[(100, 30), (100, 54)])
        .blob(&[To(54, 104), To(146, 104), Arc(100, 116, 46, 52, 0, 180)], Body)
        .bulge(&[Arc(100, 120, 40, 44, 30, 150)], Shade)
        .oval([100, 104, 52, 19], Light)
        .oval([100, 104, 33, 10], Glass)
        .shapes()
}

pub(super) fn shower_set() -> Vec<Shape> {
    let mut sketch = Sketch::new();
    for (x, y) in [(42, 74), (58, 74), (74, 74), (90, 74)] {
        sketch = sketch.fine(&[(x, y), (x - 3, y + 34)]).fine(&[(x - 4, y + 46), (x - 6, y + 70)]);
    }
    sketch
        .pipe(&[To(170, 30), To(84, 30), Arc(84, 46, 16, 16, 270, 180)], 9, Body)
        .plate([28, 50, 80, 16], 7, Body)
        .patch([34, 60, 68, 4], 2, Shade)
        .plate([162, 16, 12, 28], 4, Shade)
        .disc(146, 122, 34, Body)
        .disc(146, 122, 20, Light)
        .tube(&[(146, 122), (146, 162)], 10, Body)
        .shapes()
}

pub(super) fn shower_glass() -> Vec<Shape> {
    Sketch::new()
        .plate([30, 18, 58, 164], 2, Glass)
        .plate([88, 18, 82, 164], 2, Glass)
        .fine(&[(40, 92), (74, 44)])
        .fine(&[(46, 106), (78, 62)])
        .fine(&[(122, 84), (158, 34)])
        .fine(&[(128, 98), (160, 54)])
        .plate([160, 40, 16, 18], 2, Fitting)
        .plate([160, 142, 16, 18], 2, Fitting)
        .tube(&[(100, 86), (100, 124)], 7, Fitting)
        .shapes()
}

pub(super) fn sink() -> Vec<Shape> {
    Sketch::new()
        .plate([16, 58, 168, 118], 14, Body)
        .plate([28, 72, 144, 94], 18, Shade)
        .panel([38, 82, 124, 74], 14, Body)
        .disc(100, 119, 12, Metal)
        .spot(100, 119, 5, Dark)
        .pipe(&[To(100, 66), To(100, 40), Arc(100, 40, 1, 1, 180, 360), To(100, 92)], 10, Metal)
        .disc(100, 64, 9, Metal)
        .shapes()
}

pub(super) fn basin() -> Vec<Shape> {
    Sketch::new()
        .pipe(&[To(100, 92), To(100, 40), Arc(112, 40, 12, 12, 180, 360), To(124, 56)], 9, Metal)
        .plate([12, 150, 176, 18], 3, Plain)
        .blob(&[Arc(100, 88, 74, 62, 0, 180)], Body)
        .bulge(&[Arc(100, 92, 64, 54, 40, 140)], Shade)
        .oval([100, 88, 76, 17], Light)
        .oval([100, 90, 60, 10], Shade)
        .shapes()
}

pub(super) fn faucet() -> Vec<Shape> {
    Sketch::new()
        .pipe(&[To(92, 162), To(92, 74), Arc(122, 74, 30, 30, 180, 360), To(152, 94)], 15, Body)
        .plate([144, 88, 16, 20], 3, Shade)
        .tube(&[(92, 132), (56, 118)], 10, Body)
        .disc(92, 132, 11, Light)
        .plate([70, 158, 44, 12], 4, Body)
        .plate([24, 170, 152, 12], 3, Plain)
        .shapes()
}

pub(super) fn wall_faucet() -> Vec<Shape> {
    let mut sketch = Sketch::new();
    for x in [44, 156] {
        sketch = sketch
            .tube(&[(x - 20, 86), (x + 20, 86)], 9, Body)
            .tube(&[(x, 66), (x, 106)], 9, Body)
            .disc(x, 86, 12, Light);
    }
    sketch
        .plate([78, 66, 44, 40], 12, Body)
        .pipe(&[To(100, 86), To(100, 142)], 20, Body)
        .plate([90, 138, 20, 10], 3, Shade)
        .disc(100, 86, 14, Light)
        .shapes()
}

pub(super) fn tub_filler() -> Vec<Shape> {
    Sketch::new()
        .pipe(&[To(82, 176), To(82, 48), Arc(112, 48, 30, 26, 180, 360), To(142, 62)], 13, Body)
        .tube(&[(82, 104), (58, 104), (58, 150)], 8, Shade)
        .plate([50, 118, 16, 40], 6, Light)
        .disc(82, 104, 13, Light)
        .plate([60, 174, 44, 10], 4, Body)
        .shapes()
}

pub(super) fn valve() -> Vec<Shape> {
    Sketch::new()
        .tube(&[(18, 100), (182, 100)], 20, Body)
        .tube(&[(100, 22), (100, 178)], 20, Body)
        .plate([58, 58, 84, 84], 14, Body)
        .disc(100, 100, 30, Shade)
        .disc(100, 100, 13, Light)
        .shapes()
}

pub(super) fn shut_off() -> Vec<Shape> {
    Sketch::new()
        .tube(&[(14, 130), (186, 130)], 22, Body)
        .plate([42, 110, 24, 40], 4, Shade)
        .plate([134, 110, 24, 40], 4, Shade)
        .plate([72, 100, 56, 60], 8, Body)
        .plate([92, 72, 16, 30], 3, Shade)
        .plate([50, 54, 100, 20], 9, Light)
        .shapes()
}

pub(super) fn air_gap() -> Vec<Shape> {
    Sketch::new()
        .plate([70, 46, 60, 82], 16, Body)
        .patch([112, 62, 14, 62], 6, Shade)
        .plate([82, 80, 36, 10], 5, Dark)
        .plate([20, 126, 160, 14], 3, Plain)
        .plate([86, 140, 28, 38], 3, Shade)
        .rows((86, 150), (114, 150), 3, (0, 9))
        .shapes()
}

pub(super) fn pipe() -> Vec<Shape> {
    Sketch::new()
        .pipe(&[To(18, 50), To(110, 50), Arc(110, 90, 40, 40, 270, 360), To(150, 184)], 16, Body)
        .pipe(&[To(18, 84), To(96, 84), Arc(96, 104, 20, 20, 270, 360), To(116, 184)], 16, Fitting)
        .pipe(&[To(18, 118), To(62, 118), Arc(62, 138, 20, 20, 270, 360), To(82, 184)], 16, Light)
        .shapes()
}

pub(super) fn filter() -> Vec<Shape> {
    Sketch::new()
        .tube(&[(24, 58), (176, 58)], 12, Metal)
        .plate([64, 72, 72, 108], 16, Body)
        .patch([116, 78, 14, 94], 7, Shade)
        .plate([54, 44, 92, 32], 8, Light)
        .panel([76, 108, 36, 40], 3, Plain)
        .shapes()
}

pub(super) fn mirror() -> Vec<Shape> {
    Sketch::new()
        .plate([38, 16, 124, 168], 6, Body)
        .panel([50, 28, 100, 144], 3, Glass)
        .fine(&[(66, 92), (106, 46)])
        .fine(&[(70, 112), (130, 44)])
        .shapes()
}

pub(super) fn round_mirror() -> Vec<Shape> {
    Sketch::new()
        .disc(100, 100, 82, Body)
        .dial(100, 100, 70, Glass)
        .fine(&[(66, 100), (106, 54)])
        .fine(&[(72, 118), (130, 52)])
        .shapes()
}

pub(super) fn mirror_cabinet() -> Vec<Shape> {
    Sketch::new()
        .plate([22, 28, 156, 144], 4, Body)
        .panel([32, 38, 66, 124], 2, Glass)
        .panel([102, 38, 66, 124], 2, Glass)
        .fine(&[(42, 92), (82, 48)])
        .fine(&[(114, 92), (154, 48)])
        .tube(&[(94, 118), (94, 142)], 4, Metal)
        .tube(&[(106, 118), (106, 142)], 4, Metal)
        .shapes()
}

pub(super) fn towel_bar() -> Vec<Shape> {
    Sketch::new()
        .plate([52, 62, 70, 116], 3, Plain)
        .rows((52, 158), (122, 158), 2, (0, 7))
        .tube(&[(26, 60), (174, 60)], 10, Body)
        .disc(26, 60, 16, Body)
        .disc(26, 60, 7, Light)
        .disc(174, 60, 16, Body)
        .disc(174, 60, 7, Light)
        .shapes()
}

pub(super) fn towel_warmer() -> Vec<Shape> {
    let mut sketch = Sketch::new();
    for y in [46, 74, 102, 130, 158] {
        sketch = sketch.tube(&[(50, y), (150, y)], 9, Body);
    }
    sketch.tube(&[(50, 20), (50, 180)], 12, Body).tube(&[(150, 20), (150, 180)], 12, Body).shapes()
}

pub(super) fn curtain_rod() -> Vec<Shape> {
    let mut sketch = Sketch::new().plate([30, 46, 96, 138], 2, Plain);
    for x in [46, 62, 78, 94, 110] {
        sketch = sketch.fine(&[(x, 50), (x - 2, 180)]);
    }
    for x in [36, 58, 80, 102, 120] {
        sketch = sketch.ring(x, 38, 8);
    }
    sketch
        .tube(&[(20, 32), (180, 32)], 10, Body)
        .plate([10, 18, 12, 28], 4, Body)
        .plate([178, 18, 12, 28], 4, Body)
        .shapes()
}

pub(super) fn niche() -> Vec<Shape> {
    Sketch::new()
        .plate([14, 14, 172, 172], 2, Plain)
        .rows((14, 57), (186, 57), 3, (0, 43))
        .plate([48, 36, 104, 128], 2, Body)
        .panel([58, 46, 84, 108], 1, Shade)
        .panel([58, 100, 84, 8], 0, Light)
        .plate([72, 70, 18, 30], 4, Light)
        .plate([100, 60, 14, 40], 5, Plain)
        .shapes()
}
