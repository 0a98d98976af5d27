//! A look at a paper before it is written: its pages, small, as they will be.

use crate::exchange::outgoing::print::pdf::{self, Pages};
use crate::exchange::outgoing::print::{PaperKind, PaperScope};
use crate::model::history::Revision;
use crate::model::{Project, RoomId};
use crate::ui::derived::Derived;
use crate::ui::theme::Tokens;
use crate::ui::widgets::drop_down::one_of;
use crate::ui::widgets::{page, pieces};
use chrono::NaiveDate;
use egui::{Role, Sense, Stroke, StrokeKind, Ui, Vec2, WidgetInfo};
use lucide_icons::Icon;
use std::sync::Arc;

/// Points it takes beside the form.
pub const WIDTH: f32 = 330.0;
/// The most a page may take.
const MOST: Vec2 = Vec2::new(310.0, 400.0);

/// What was laid out: for which document, day, paper and room.
type Key = ((Revision, NaiveDate), PaperKind, Option<RoomId>);

/// The paper that is looked at, and its pages.
#[derive(Debug, Clone)]
pub struct PaperPreview {
    kind: PaperKind,
    page: usize,
    laid: Option<(Key, Result<Arc<Pages>, String>)>,
}

impl Default for PaperPreview {
    fn default() -> PaperPreview {
        PaperPreview { kind: PaperKind::Rooms, page: 0, laid: None }
    }
}

/// Those that can be looked at. The others ask for trials, which take long and have a page of their own under What if.
fn quick(project: &Project) -> impl Iterator<Item = PaperKind> {
    PaperKind::of(project).filter(|kind| !matches!(kind, PaperKind::Sure | PaperKind::Sides))
}

impl PaperPreview {
    /// Turns to a paper that was just ticked.
    pub fn turn_to(&mut self, kind: PaperKind) {
        self.kind = kind;
        self.page = 0;
    }

    /// Draws it.
    pub fn ui(
        &mut self,
        ui: &mut Ui,
        project: &Project,
        derived: &Derived,
        room: Option<RoomId>,
        tokens: &Tokens,
    ) {
        if !quick(project).any(|kind| kind == self.kind) {
            self.turn_to(PaperKind::Rooms);
        }
        ui.vertical(|ui| {
            ui.set_width(MOST.x);
            ui.horizontal(|ui| {
                let label = ui.label("Look at");
                let kinds = quick(project).map(|kind| (kind.purpose().to_owned(), kind));
                one_of(ui, "Look at", 230.0, &mut self.kind, kinds).labelled_by(label.id);
            });
            let room = room.filter(|_| self.kind.by_room());
            let key = (derived.key(), self.kind, room);
            if self.laid.as_ref().is_none_or(|(known, _)| *known != key) {
                let scope = PaperScope { beside: None, room };
                let paper = self.kind.make_of(project, &derived.figures, scope);
                self.laid = Some((key, pdf::laid_out(&paper).map(Arc::new)));
            }
            let pages = match self.laid.as_ref().map(|(_, laid)| laid.clone()) {
                Some(Ok(pages)) => pages,
                Some(Err(why)) => {
                    ui.label(why);
                    return;
                }
                None => return,
            };
            let count = pages.pages.len();
            self.page = self.page.min(count.saturating_sub(1));
            let (rect, response) = ui.allocate_exact_size(page::fit(pages.size, MOST), Sense::hover());
            let told = format!("{}, page {} of {count}", self.kind.purpose(), self.page + 1);
            response.widget_info(|| WidgetInfo::labeled(Role::Image, true, &told));
            if let Some(marks) = pages.pages.get(self.page) {
                page::paint(ui.painter(), marks, pages.size, rect);
            }
            ui.painter().rect_stroke(rect, 0.0, Stroke::new(1.0, tokens.muted), StrokeKind::Outside);
            ui.horizontal(|ui| {
                ui.add_enabled_ui(self.page > 0, |ui| {
                    if pieces::icon_button(ui, Icon::ChevronLeft, "The page before").clicked() {
                        self.page -= 1;
                    }
                });
                pieces::muted(ui, tokens, format!("Page {} of {count}", self.page + 1));
                ui.add_enabled_ui(self.page + 1 < count, |ui| {
                    if pieces::icon_button(ui, Icon::ChevronRight, "The next page").clicked() {
                        self.page += 1;
                    }
                });
            });
            pieces::muted(
                ui,
                tokens,
                "Pictures of options stand on the paper; here drawings stand for them.",
            );
        });
    }
}
