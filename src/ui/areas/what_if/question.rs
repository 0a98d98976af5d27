//! What may be changed, and within what limits, as it is typed and ticked.

use crate::engine::Day;
use crate::engine::curve::Question;
use crate::model::RoomId;
use crate::ui::format;
use crate::ui::theme::tokens::space;
use crate::ui::view::View;
use crate::ui::widgets::{date_picker, drop_down, pieces};
use egui::{Response, Role, TextEdit, Ui, WidgetInfo};
use std::collections::BTreeSet;

/// Limits as they stand in their fields.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Limits {
    /// Choices that are not ordered may be changed too.
    pub reopen: bool,
    /// Rooms in which nothing is changed.
    pub keep: BTreeSet<RoomId>,
    /// The day by which everything must be here, as typed.
    pub here_by: String,
    /// Finishes stay.
    pub same_finish: bool,
    /// The most the total may be, as typed.
    pub at_most: String,
    /// What was asked last, which holds while a field cannot be read.
    asked: Question,
}

/// What is wrong with the day and with the amount.
type Faults = (Option<String>, Option<String>);

impl Limits {
    /// The question that the fields ask, and whether all of them can be read; what cannot be read leaves the last one that could in force.
    pub fn question(&mut self, view: &View<'_>) -> (Question, bool) {
        match self.read(view) {
            (question, (None, None)) => {
                self.asked = question.clone();
                (question, true)
            }
            _ => (self.asked.clone(), false),
        }
    }

    fn read(&self, view: &View<'_>) -> (Question, Faults) {
        let typed = view.typed();
        let mut question =
            if self.reopen { Question::all_not_ordered(view.project) } else { Question::default() };
        question.keep = self.keep.iter().copied().filter(|id| view.project.room(*id).is_some()).collect();
        question.same_finish = self.same_finish;
        let mut faults = (None, None);
        match self.here_by.trim() {
            "" => {}
            text => match typed.date(text) {
                Ok(day) => question.here_by = Some(Day::from(day)),
                Err(why) => faults.0 = Some(why.to_string()),
            },
        }
        match self.at_most.trim() {
            "" => {}
            text => match typed.money(text) {
                Ok(amount) => question.at_most = Some(amount),
                Err(why) => faults.1 = Some(why.to_string()),
            },
        }
        (question, faults)
    }

    /// Draws the fields.
    pub fn ui(&mut self, ui: &mut Ui, view: &View<'_>) {
        let (_, faults) = self.read(view);
        ui.horizontal_wrapped(|ui| {
            ui.checkbox(&mut self.reopen, "Change what is chosen too, if not ordered").on_hover_text(
                "Else only what nobody has decided is looked at: options leaned to may change, choices stay",
            );
            ui.add_space(space::M);
            ui.checkbox(&mut self.same_finish, "Same finishes")
                .on_hover_text("Only options in the finish that counts now");
            ui.add_space(space::M);
            self.rooms(ui, view);
        });
        ui.horizontal_wrapped(|ui| {
            ui.label("Everything on site by");
            let field = field(ui, "Everything on site by", &mut self.here_by, "any day");
            if let Some(why) = &faults.0 {
                pieces::say_fault(ui, view.tokens, &field, why);
            }
            let now = view.typed().date(self.here_by.trim()).ok();
            if let Some(day) = date_picker::button(ui, "Everything on site by", now).picked {
                self.here_by = day.to_string();
            }
            ui.add_space(space::M);
            ui.label("Total no more than");
            let field = self::field(ui, "Total no more than", &mut self.at_most, "any amount");
            if let Some(why) = &faults.1 {
                pieces::say_fault(ui, view.tokens, &field, why);
            }
        });
    }

    /// Rooms in which nothing is changed.
    fn rooms(&mut self, ui: &mut Ui, view: &View<'_>) {
        let shown = match self.keep.len() {
            0 => "in all rooms".to_owned(),
            n => format!("all but {}", format::count(n as i32, "room")),
        };
        drop_down::drop_down(ui, "Rooms in which it may change", shown, 130.0, |ui| {
            for room in view.project.rooms.iter() {
                let mut open = !self.keep.contains(&room.id);
                if ui.checkbox(&mut open, &room.name).changed() && !self.keep.remove(&room.id) {
                    self.keep.insert(room.id);
                }
            }
        });
    }
}

/// A short field.
fn field(ui: &mut Ui, name: &str, text: &mut String, hint: &str) -> Response {
    let field = ui.add(TextEdit::singleline(text).desired_width(96.0).hint_text(hint));
    field.widget_info(|| {
        let mut info = WidgetInfo::labeled(Role::TextInput, true, name);
        info.current_text_value = Some(text.clone());
        info
    });
    field
}
