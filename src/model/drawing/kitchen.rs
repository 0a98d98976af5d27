//! Drawings of appliances, and of what heats, cools and cleans.

use super::shape::Leg::{Arc, To};
use super::shape::Tone::{Body, Dark, Glass, Glow, Light, Metal, Plain, Shade};
use super::shape::{Shape, Sketch};

pub(super) fn oven() -> Vec<Shape> {
    Sketch::new()
        .plate([26, 22, 148, 156], 4, Body)
        .panel([34, 30, 132, 28], 2, Dark)
        .spot(52, 44, 6, Metal)
        .spot(148, 44, 6, Metal)
        .patch([78, 38, 44, 12], 2, Glow)
        .tube(&[(44, 76), (156, 76)], 8, Light)
        .panel([44, 92, 112, 70], 4, Dark)
        .fine(&[(60, 140), (96, 104)])
        .fine(&[(76, 144), (116, 104)])
        .shapes()
}

pub(super) fn range() -> Vec<Shape> {
    let mut sketch = Sketch::new()
        .plate([24, 46, 152, 132], 4, Body)
        .plate([20, 34, 160, 14], 3, Dark)
        .tube(&[(44, 92), (156, 92)], 8, Light)
        .panel([44, 106, 112, 52], 4, Dark);
    for x in [46, 73, 100, 127, 154] {
        sketch = sketch.disc(x, 66, 8, Light);
    }
    sketch
        .tube(&[(44, 28), (86, 28)], 6, Dark)
        .tube(&[(114, 28), (156, 28)], 6, Dark)
        .fine(&[(60, 148), (92, 114)])
        .shapes()
}

pub(super) fn cooktop() -> Vec<Shape> {
    Sketch::new()
        .plate([10, 44, 180, 112], 8, Body)
        .ring(50, 76, 18)
        .ring(50, 124, 18)
        .ring(150, 76, 18)
        .ring(150, 124, 18)
        .ring(100, 92, 28)
        .ring(100, 92, 14)
        .ring(50, 76, 8)
        .ring(50, 124, 8)
        .ring(150, 76, 8)
        .ring(150, 124, 8)
        .bar(&[(80, 142), (120, 142)], 4, Light)
        .shapes()
}

pub(super) fn gas_cooktop() -> Vec<Shape> {
    let mut sketch = Sketch::new().plate([10, 44, 180, 112], 6, Body);
    for (x, y) in [(48, 76), (48, 120), (152, 76), (152, 120), (100, 90)] {
        sketch = sketch
            .disc(x, y, 12, Shade)
            .spot(x, y, 6, Dark)
            .bar(&[(x - 20, y), (x + 20, y)], 4, Dark)
            .bar(&[(x, y - 18), (x, y + 18)], 4, Dark);
    }
    for x in [80, 93, 107, 120] {
        sketch = sketch.dial(x, 144, 5, Metal);
    }
    sketch.shapes()
}

pub(super) fn hood() -> Vec<Shape> {
    Sketch::new()
        .plate([72, 14, 56, 84], 2, Body)
        .patch([114, 18, 10, 78], 1, Shade)
        .poly(&[(72, 96), (128, 96), (182, 138), (18, 138)], Body)
        .plate([14, 138, 172, 20], 3, Light)
        .patch([50, 152, 40, 5], 2, Glow)
        .patch([110, 152, 40, 5], 2, Glow)
        .dial(86, 146, 3, Dark)
        .dial(100, 146, 3, Dark)
        .dial(114, 146, 3, Dark)
        .shapes()
}

pub(super) fn refrigerator() -> Vec<Shape> {
    Sketch::new()
        .plate([42, 10, 116, 178], 5, Body)
        .edge(&[(42, 124), (158, 124)])
        .edge(&[(100, 10), (100, 124)])
        .patch([146, 16, 8, 104], 3, Shade)
        .tube(&[(92, 62), (92, 112)], 6, Light)
        .tube(&[(108, 62), (108, 112)], 6, Light)
        .tube(&[(66, 136), (134, 136)], 6, Light)
        .shapes()
}

pub(super) fn dishwasher() -> Vec<Shape> {
    Sketch::new()
        .plate([32, 166, 136, 16], 0, Dark)
        .plate([26, 22, 148, 146], 4, Body)
        .panel([34, 30, 132, 22], 2, Shade)
        .spot(50, 41, 4, Glow)
        .bar(&[(118, 41), (152, 41)], 4, Dark)
        .tube(&[(48, 68), (152, 68)], 8, Light)
        .patch([160, 60, 8, 100], 3, Shade)
        .shapes()
}

pub(super) fn washer() -> Vec<Shape> {
    Sketch::new()
        .plate([28, 16, 144, 168], 8, Body)
        .panel([38, 24, 48, 20], 3, Light)
        .dial(120, 34, 8, Metal)
        .spot(146, 34, 4, Glow)
        .fine(&[(28, 52), (172, 52)])
        .disc(100, 114, 52, Light)
        .disc(100, 114, 38, Dark)
        .bulge(&[Arc(100, 114, 34, 34, 10, 170)], Glass)
        .shapes()
}

pub(super) fn dryer() -> Vec<Shape> {
    Sketch::new()
        .plate([28, 16, 144, 168], 8, Body)
        .dial(56, 34, 8, Metal)
        .panel([84, 26, 72, 16], 3, Dark)
        .fine(&[(28, 52), (172, 52)])
        .disc(100, 114, 52, Light)
        .disc(100, 114, 38, Shade)
        .rows((84, 98), (116, 98), 5, (0, 8))
        .shapes()
}

pub(super) fn laundry_stack() -> Vec<Shape> {
    let mut sketch = Sketch::new();
    for (y, inside) in [(8, Shade), (101, Dark)] {
        sketch = sketch
            .plate([46, y, 108, 91], 6, Body)
            .fine(&[(46, y + 18), (154, y + 18)])
            .dial(66, y + 9, 5, Metal)
            .spot(140, y + 9, 3, Glow)
            .disc(100, y + 54, 31, Light)
            .disc(100, y + 54, 22, inside);
    }
    sketch.shapes()
}

pub(super) fn microwave() -> Vec<Shape> {
    Sketch::new()
        .plate([14, 46, 172, 108], 6, Body)
        .panel([26, 58, 108, 84], 4, Dark)
        .fine(&[(44, 120), (88, 72)])
        .tube(&[(142, 64), (142, 136)], 6, Light)
        .patch([152, 62, 24, 14], 2, Glow)
        .dial(164, 96, 7, Metal)
        .dial(164, 120, 7, Metal)
        .shapes()
}

pub(super) fn disposer() -> Vec<Shape> {
    Sketch::new()
        .plate([58, 20, 84, 14], 4, Metal)
        .plate([76, 32, 48, 24], 2, Shade)
        .tube(&[(134, 84), (168, 84), (168, 120)], 14, Metal)
        .plate([54, 54, 92, 56], 12, Body)
        .plate([60, 108, 80, 68], 16, Shade)
        .patch([70, 120, 14, 42], 6, Light)
        .shapes()
}

pub(super) fn water_heater() -> Vec<Shape> {
    Sketch::new()
        .tube(&[(80, 8), (80, 30)], 8, Metal)
        .tube(&[(120, 8), (120, 30)], 8, Metal)
        .plate([60, 178, 12, 12], 1, Dark)
        .plate([128, 178, 12, 12], 1, Dark)
        .plate([52, 22, 96, 158], 18, Body)
        .patch([126, 34, 16, 136], 8, Shade)
        .fine(&[(52, 66), (148, 66)])
        .panel([72, 86, 40, 28], 3, Plain)
        .rows((66, 34), (134, 34), 4, (0, 7))
        .shapes()
}

pub(super) fn tankless() -> Vec<Shape> {
    Sketch::new()
        .plate([84, 8, 32, 22], 2, Metal)
        .tube(&[(76, 158), (76, 190)], 8, Metal)
        .tube(&[(100, 158), (100, 190)], 8, Metal)
        .tube(&[(124, 158), (124, 190)], 8, Metal)
        .plate([46, 26, 108, 136], 8, Body)
        .patch([134, 34, 12, 120], 5, Shade)
        .panel([74, 118, 44, 22], 3, Dark)
        .shapes()
}

pub(super) fn heat_pump() -> Vec<Shape> {
    Sketch::new()
        .plate([30, 168, 24, 14], 1, Dark)
        .plate([146, 168, 24, 14], 1, Dark)
        .plate([16, 34, 168, 136], 6, Body)
        .disc(84, 102, 54, Shade)
        .ring(84, 102, 42)
        .ring(84, 102, 30)
        .ring(84, 102, 18)
        .bar(&[(84, 50), (84, 154)], 3, Light)
        .bar(&[(32, 102), (136, 102)], 3, Light)
        .disc(84, 102, 8, Light)
        .rows((152, 54), (174, 54), 11, (0, 9))
        .shapes()
}

pub(super) fn duct() -> Vec<Shape> {
    Sketch::new()
        .pipe(&[To(32, 60), To(98, 60), Arc(98, 104, 44, 44, 270, 360), To(142, 168)], 58, Body)
        .curve(&[To(48, 32), To(48, 88)])
        .curve(&[To(74, 32), To(74, 88)])
        .fine(&[(100, 89), (112, 33)])
        .fine(&[(114, 100), (156, 62)])
        .curve(&[To(114, 132), To(170, 132)])
        .curve(&[To(114, 156), To(170, 156)])
        .shapes()
}
