//! Where the keyboard is: a ring around what has it, and a key that goes from zone to zone of the window.

use crate::ui::theme::Tokens;
use crate::ui::widgets::pieces;
use egui::{Context, Event, Id, Key, Modifiers, Rect, Role, Sense, Stroke, StrokeKind, Ui, WidgetInfo};

/// Points of the ring, and of the gap between it and what it is around (WCAG 2.2, 2.4.13: two points thick).
const RING: f32 = 2.0;
const GAP: f32 = 2.0;

/// A zone as it was drawn last: its name and where it lies.
type Zone = (&'static str, Rect);

fn place(what: &str) -> Id {
    Id::unique(("focus", what))
}

/// Draws the ring. It is seen while the keyboard is used, and not after a click, which shows by itself where it went. To
/// be called when all is drawn.
pub fn ring(ctx: &Context, tokens: &Tokens) {
    let (by_key, by_pointer) = ctx.input(|i| {
        let key = i
            .events
            .iter()
            .any(|e| matches!(e, Event::Key { pressed: true, .. } | Event::AccessKitActionRequest(_)));
        (key, i.pointer.any_pressed())
    });
    let shown = ctx.data_mut(|d| {
        let shown = d.get_temp_mut_or_insert_with(place("shown"), || true);
        *shown = (*shown || by_key) && !by_pointer;
        *shown
    });
    let Some(own) = pieces::focused(ctx) else { return };
    if !shown || !own.interact_rect.is_positive() {
        return;
    }
    let screen = ctx.content_rect().shrink(RING);
    let around = own.interact_rect.expand(GAP).intersect(screen);
    // Over what lies beside it, in its own layer, so that a window above stays above.
    let painter = ctx.layer_painter(own.layer_id);
    painter.rect_stroke(around, 5.0, Stroke::new(RING, tokens.accent), StrokeKind::Outside);
}

/// Reads the key that goes to the next zone, or with Shift to the one before. To be called before anything is drawn.
pub fn read_keys(ctx: &Context) {
    let zones: Vec<Zone> = ctx.data_mut(|d| d.remove_temp(place("zones"))).unwrap_or_default();
    let by = ctx.input_mut(|i| {
        if i.consume_key(Modifiers::SHIFT, Key::F6) {
            Some(zones.len().saturating_sub(1))
        } else {
            i.consume_key(Modifiers::NONE, Key::F6).then_some(1)
        }
    });
    let Some(by) = by.filter(|_| !zones.is_empty()) else { return };
    let focused = pieces::focused(ctx).map(|own| own.rect.center());
    let now = focused.and_then(|at| zones.iter().position(|(_, rect)| rect.contains(at)));
    // Where nothing has the keyboard, the first of them gets it; backward, the last.
    let next = match now {
        Some(now) => (now + by) % zones.len(),
        None if by == 1 => 0,
        None => zones.len() - 1,
    };
    if let Some((name, _)) = zones.get(next) {
        ctx.data_mut(|d| d.insert_temp(place("to"), *name));
    }
}

/// Notes a zone and takes the keyboard for it where it was asked to. It is no stop of Tab, which goes on to what is in it.
pub fn zone(ui: &mut Ui, name: &'static str) {
    let rect = ui.max_rect().intersect(ui.clip_rect());
    let id = Id::unique(("zone", name));
    let ctx = ui.ctx().clone();
    let wanted = ctx.data_mut(|d| {
        d.get_temp_mut_or_default::<Vec<Zone>>(place("zones")).push((name, rect));
        let wanted = d.get_temp::<&'static str>(place("to")) == Some(name);
        if wanted {
            d.remove_temp::<&'static str>(place("to"));
        }
        wanted
    });
    if wanted || ctx.memory(|m| m.has_focus(id)) {
        let own = ui.interact(rect, id, Sense::focusable_noninteractive());
        own.widget_info(|| WidgetInfo::labeled(Role::Group, true, name));
        if wanted {
            own.request_focus();
        }
    }
}
