//! A window over the others, with its name and a way to close it that a pointer can hit and a screen reader says.

use super::pieces;
use egui::{Align, Context, Layout, Ui, Window};
use lucide_icons::Icon;

/// Draws it while it is open.
pub fn show(ctx: &Context, window: Window<'_>, title: &str, open: &mut bool, content: impl FnOnce(&mut Ui)) {
    if !*open {
        return;
    }
    let mut close = false;
    window.title_bar(false).collapsible(false).show(ctx, |ui| {
        ui.horizontal(|ui| {
            ui.label(pieces::strong(title, 15.0));
            ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                close = pieces::icon_button(ui, Icon::X, &format!("Close {title}")).clicked();
            });
        });
        ui.separator();
        content(ui);
    });
    *open &= !close;
}
