//! How a choice is drawn everywhere, explained on an example: on the start page, and where it is first met.

use super::{marks, pieces};
use crate::ui::theme::tokens::{space, type_size};
use crate::ui::theme::{self, Tokens};
use egui::{Align2, Label, Rangef, Rect, Sense, Stroke, Ui, pos2, vec2};

/// Draws the example with what each mark of it means. True once it was understood.
pub fn explained(ui: &mut Ui, tokens: &Tokens) -> bool {
    let mut understood = false;
    egui::Frame::new().fill(tokens.picked).corner_radius(8).inner_margin(10).show(ui, |ui| {
        ui.label(pieces::strong("How to read a choice", type_size::BODY));
        self::ui(ui, tokens);
        ui.add_space(space::S);
        for words in [
            "The upright line is the day a thing must be on site: the start of the work that needs it, less the \
             days you want it to lie there first.",
            "The bar runs from its order to its arrival, the thin line over it from the shortest to the longest \
             lead time. What reaches over the upright line is late.",
            "The flag is the last day on which an order still comes in time; the dashed line is today.",
        ] {
            ui.add(Label::new(words).wrap());
        }
        ui.add_space(space::S);
        understood = ui.button("Understood").clicked();
    });
    ui.add_space(space::M);
    understood
}

/// How a choice is drawn everywhere: two made-up vanities on one axis, one in time and one late.
pub fn ui(ui: &mut Ui, tokens: &Tokens) {
    let size = vec2(ui.available_width().min(540.0), 122.0);
    let (rect, response) = ui.allocate_exact_size(size, Sense::hover());
    let told = "An example: the bar of a choice runs from its order to its arrival. One ends before the upright line, \
                the day it is needed, and is in time; the other reaches over it and is late.";
    response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Image, true, told));
    let painter = ui.painter_at(rect);
    painter.rect(rect, 8.0, tokens.card, Stroke::new(1.0, tokens.line), egui::StrokeKind::Inside);
    let x = |share: f32| rect.left() + 130.0 + share * (rect.width() - 150.0);
    let small = theme::regular(type_size::SMALL);
    let say = |at, align, words: &str, color| painter.text(at, align, words, small.clone(), color);
    let (today, need, top) = (x(0.04), x(0.62), rect.top() + 28.0);
    let upright = Rangef::new(top, rect.bottom() - 8.0);
    say(pos2(today, top - 10.0), Align2::CENTER_CENTER, "today", tokens.muted);
    say(pos2(need, top - 10.0), Align2::CENTER_CENTER, "needed", tokens.text);
    say(pos2(x(0.3), top - 10.0), Align2::CENTER_CENTER, "order by", tokens.soon);
    painter.extend(egui::Shape::dashed_line(
        &[pos2(today, upright.min), pos2(today, upright.max)],
        Stroke::new(1.0, tokens.muted),
        2.0,
        2.0,
    ));
    painter.vline(need, upright, Stroke::new(2.0, tokens.need));
    let bar = |from: f32, to: f32, y: f32, color| {
        let rect = Rect::from_min_max(pos2(from, y - 5.0), pos2(to, y + 5.0));
        painter.rect_filled(rect, 2.0, color);
        rect
    };
    let rows = [
        (48.0, "In stock", "12 days in hand", 0.36, tokens.good),
        (90.0, "Made to order", "9 days late: holds the work", 0.86, tokens.late),
    ];
    for (down, name, words, arrives, tone) in rows {
        let y = rect.top() + down;
        let left = pos2(rect.left() + 14.0, y);
        painter.text(left, Align2::LEFT_CENTER, name, theme::strong(type_size::BODY), tokens.text);
        bar(today, x(arrives).min(need), y, tokens.bar);
        if x(arrives) > need {
            let over = Rect::from_min_max(pos2(need, y - 5.0), pos2(x(arrives), y + 5.0));
            marks::hatch(&painter, over, tokens.late_fill);
        } else {
            // The last day on which the order still comes in time.
            marks::flag(&painter, pos2(x(0.3), y + 5.0), 16.0, tokens.flag, tokens.need);
        }
        say(pos2(today + 6.0, y + 15.0), Align2::LEFT_CENTER, words, tone);
    }
}
