//! What moved is seen to move: a bar slides from where it was, with a ghost left behind, and a figure that changed glows
//! once. It can be switched off, and then everything is at once where it belongs.

use crate::ui::theme::Tokens;
use egui::{Context, Id, Rect, Ui, emath};
use std::hash::Hash;

/// Seconds a bar slides, and a figure glows.
const SLIDE: f64 = 0.5;
const GLOW: f64 = 1.2;

/// Whether things move, and which document they belong to: what another one had at the same place is no movement.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Motion {
    /// Things move.
    pub on: bool,
    /// A number for each document that was opened.
    pub document: u64,
}

fn place() -> Id {
    Id::unique("motion")
}

/// To be said before each frame.
pub fn set(ctx: &Context, motion: Motion) {
    ctx.data_mut(|d| d.insert_temp(place(), motion));
}

fn current(ctx: &Context) -> Motion {
    ctx.data(|d| d.get_temp(place())).unwrap_or_default()
}

/// Where something is while it slides.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Slid {
    /// Where its beginning is drawn now.
    pub now: f32,
    /// Where it began and ended before, while it slides.
    pub from: Option<(f32, f32)>,
}

#[derive(Debug, Clone, Copy)]
struct Way {
    before: (f32, f32),
    to: (f32, f32),
    since: f64,
}

/// Slides something to where it belongs; the first time it is there at once.
pub fn slide(ctx: &Context, id: impl Hash + std::fmt::Debug, to: (f32, f32)) -> Slid {
    let motion = current(ctx);
    if !motion.on {
        return Slid { now: to.0, from: None };
    }
    let id = Id::unique(("slide", motion.document, id));
    let time = ctx.input(|i| i.time);
    let way = ctx.data_mut(|d| {
        let way = d.get_temp_mut_or_insert_with(id, || Way { before: to, to, since: time - SLIDE });
        if way.to != to {
            *way = Way { before: way.to, to, since: time };
        }
        *way
    });
    let share = ((time - way.since) / SLIDE).clamp(0.0, 1.0) as f32;
    if share >= 1.0 {
        return Slid { now: to.0, from: None };
    }
    ctx.request_repaint();
    // Quick at first, and slow where it comes to rest.
    let eased = 1.0 - (1.0 - share).powi(3);
    Slid { now: emath::lerp(way.before.0..=to.0, eased), from: Some(way.before) }
}

/// Lets a figure glow once when it is no longer what it was. To be called before the figure is drawn.
pub fn glow(ui: &Ui, tokens: &Tokens, id: impl Hash + std::fmt::Debug, figure: &str, rect: Rect) {
    let ctx = ui.ctx();
    let motion = current(ctx);
    if !motion.on {
        return;
    }
    let id = Id::unique(("glow", motion.document, id));
    let time = ctx.input(|i| i.time);
    let shown = egui::util::hash(figure);
    let since = ctx.data_mut(|d| {
        let known = d.get_temp_mut_or_insert_with(id, || (shown, time - GLOW));
        if known.0 != shown {
            *known = (shown, time);
        }
        known.1
    });
    let left = 1.0 - ((time - since) / GLOW).clamp(0.0, 1.0) as f32;
    if left <= 0.0 {
        return;
    }
    ctx.request_repaint();
    // Faint, so that the figure is read as before.
    ui.painter().rect_filled(rect.expand(2.0), 4.0, tokens.accent.gamma_multiply(0.22 * left));
}
