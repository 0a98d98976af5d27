//! The columns of Buying: where each figure of a part stands, on one line, or on two where one has no room for its name.

use crate::ui::view::View;
use crate::ui::widgets::pieces;
use egui::{Rect, Sense, Ui, UiBuilder, pos2, vec2};

/// Points a line of figures is high.
pub(super) const ROW: f32 = 30.0;
/// What the second line of a part adds to that.
pub(super) const SECOND: f32 = 26.0;
/// Points below which a name and all figures have no room on one line.
const ONE_LINE: f32 = 1020.0;
/// Points kept free on the right for the scroll bar.
const RIGHT: f32 = 14.0;
const TICK: f32 = 28.0;
/// Points of a column with one button in words.
const ONE_BUTTON: f32 = 114.0;

/// The columns for a width.
pub(super) struct Columns {
    /// All of the width.
    pub all: f32,
    /// Name and money stand over days and buttons.
    pub two_lines: bool,
    quantity: f32,
    total: f32,
    order_by: f32,
    needed: f32,
    arrives: f32,
    state: f32,
}

/// Where the figures of one row stand.
pub(super) struct Places {
    pub tick: Rect,
    pub item: Rect,
    pub quantity: Rect,
    pub total: Rect,
    pub order_by: Rect,
    pub needed: Rect,
    pub arrives: Rect,
    pub state: Rect,
}

impl Columns {
    /// Shares the width there is. Days have room for the year.
    pub fn new(all: f32) -> Columns {
        let tight = all < 540.0;
        let two_lines = all < ONE_LINE;
        Columns {
            all,
            two_lines,
            quantity: if tight { 0.0 } else { 84.0 },
            total: 84.0,
            order_by: if two_lines { 90.0 } else { 100.0 },
            needed: if two_lines { 80.0 } else { 96.0 },
            arrives: 112.0,
            state: if tight { 138.0 } else { 206.0 },
        }
    }

    /// Points the row of a part is higher than others.
    pub fn second(&self) -> f32 {
        if self.two_lines { SECOND } else { 0.0 }
    }

    /// The figures of a row; a column of no width is left out. What is not ordered has one button, and on two lines leaves
    /// the rest of that column to its days.
    pub fn places(&self, rect: Rect, ordered: bool) -> Places {
        let state = if self.two_lines && !ordered { ONE_BUTTON } else { self.state };
        let end = rect.right() - RIGHT;
        let (above, below) = match self.two_lines {
            true => rect.split_top_bottom_at_fraction(0.5),
            false => (rect, rect),
        };
        let between = |line: Rect, from: f32, to: f32| {
            Rect::from_min_max(pos2(from, line.top()), pos2(to.max(from), line.bottom()))
        };
        let state = between(below, end - state, end);
        let begin = rect.left() + TICK;
        let total_end =
            if self.two_lines { end } else { state.left() - self.order_by - self.needed - self.arrives };
        let total = between(above, total_end - self.total, total_end);
        let quantity = between(above, total.left() - self.quantity, total.left());
        let days = if self.two_lines { begin } else { total.right() };
        let order_by = between(below, days, days + self.order_by);
        let needed = between(below, order_by.right(), order_by.right() + self.needed);
        Places {
            tick: between(above, rect.left(), begin),
            item: between(above, begin, quantity.left()),
            quantity,
            total,
            order_by,
            needed,
            arrives: between(below, needed.right(), state.left()),
            state,
        }
    }
}

/// The titles over the list.
pub(super) fn titles(ui: &mut Ui, view: &View<'_>, columns: &Columns) {
    let height = if columns.two_lines { 36.0 } else { ROW };
    let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width(), height), Sense::hover());
    let at = columns.places(rect, true);
    let right = !columns.two_lines;
    for (title, rect, right) in [
        ("Part", at.item, false),
        ("Quantity", at.quantity, true),
        ("Total", at.total, true),
        ("Order by", at.order_by, right),
        ("Needed", at.needed, right),
        ("Arrives", at.arrives, right),
    ] {
        cell(ui, rect, right, |ui| {
            pieces::group_title(ui, view.tokens, title);
        });
    }
}

/// Draws into a place, in a child of its own, so that wide contents cannot push what stands beside it.
pub(super) fn cell(ui: &mut Ui, rect: Rect, right: bool, content: impl FnOnce(&mut Ui)) {
    if rect.width() <= 0.0 {
        return;
    }
    let layout = pieces::cell_layout(right);
    let mut cell = ui.new_child(UiBuilder::new().max_rect(rect.shrink2(vec2(5.0, 0.0))).layout(layout));
    cell.style_mut().wrap_mode = Some(egui::TextWrapMode::Truncate);
    cell.spacing_mut().item_spacing.x = 6.0;
    content(&mut cell);
}
