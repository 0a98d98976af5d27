//! A picture as large as there is room for.

use super::modals;
use crate::ui::pictures::Shown;
use crate::ui::session::Session;
use crate::ui::theme::{tokens, tokens::type_size};
use crate::ui::view::View;
use crate::ui::widgets::pieces;
use egui::{Pos2, Rect, Sense, Ui, pos2, vec2};

/// Points across where a picture cannot be shown, and only why is said.
const WORDS: f32 = 320.0;

/// Shows the picture that was asked for, until it is closed.
pub fn ui(ui: &Ui, view: &View<'_>, session: &mut Session) {
    let Some((name, path)) = session.enlarged.and_then(|of| of.known(view.project)) else {
        session.enlarged = None;
        return;
    };
    let shown = session.pictures.get(ui.ctx(), path);
    let room = ui.ctx().content_rect().size() - vec2(120.0, 150.0);
    let size = match &shown {
        Shown::Ready(texture) => {
            let size = texture.size_vec2();
            size * (room.x / size.x).min(room.y / size.y).clamp(0.05, 1.0)
        }
        _ => vec2(WORDS, 0.0),
    };
    let asked = modals::show(ui.ctx(), "enlarged", size.x, false, |ui| {
        let why = match &shown {
            Shown::Ready(texture) => {
                let (rect, _) = ui.allocate_exact_size(size, Sense::hover());
                let whole = Rect::from_min_max(Pos2::ZERO, pos2(1.0, 1.0));
                ui.painter().image(texture.id(), rect, whole, tokens::UNTINTED);
                String::new()
            }
            Shown::Reading => "reading\u{2026}".to_owned(),
            Shown::NoFolder => "Save the project first: pictures stand beside it.".to_owned(),
            Shown::Fault(why) => format!("{path}: {why}. Looked for from the folder of the project file."),
        };
        if !why.is_empty() {
            pieces::muted(ui, view.tokens, why);
        }
        ui.horizontal(|ui| {
            ui.label(pieces::strong(name, type_size::BODY));
            if ui.button("Close").clicked() {
                ui.close();
            }
        });
    });
    if asked.closes {
        session.enlarged = None;
        // A file that was not there may be by the next time.
        if matches!(shown, Shown::Fault(_)) {
            session.pictures.forget();
        }
    }
}
