//! The card of whatever is picked that is no selection: a room, a phase, a supplier, an order, a gate, a crew, a bid.

mod buying;
mod phase;
mod room;
mod work;

use crate::model::{Project, Subject};
use crate::ui::session::Session;
use crate::ui::theme::tokens::{space, type_size};
use crate::ui::view::{Form, Outbox, View};
use crate::ui::widgets::pieces;
use egui::{Layout, RichText, Ui};
use lucide_icons::Icon;

/// What sort of thing it is, and its name; `None` when it is gone.
fn name_of(project: &Project, subject: Subject) -> Option<(&'static str, String)> {
    Some(match subject {
        Subject::Room(id) => ("room", project.room(id)?.name.clone()),
        Subject::Phase(id) => ("phase", project.phase(id)?.name.clone()),
        Subject::Supplier(id) => ("supplier", project.supplier(id)?.name.clone()),
        Subject::Order(id) => ("order", project.order(id)?.called(project)),
        Subject::Gate(id) => ("gate", project.gate(id)?.name.clone()),
        Subject::Crew(id) => ("crew", project.crew(id)?.name.clone()),
        Subject::Quote(id) => ("bid", project.quote(id)?.trade.clone()),
        _ => return None,
    })
}

/// Draws it; false when it is gone, or closed.
pub fn ui(ui: &mut Ui, view: &View<'_>, session: &mut Session, subject: Subject, out: &mut Outbox) -> bool {
    let Some((sort, name)) = name_of(view.project, subject) else { return false };
    let mut stays = true;
    ui.horizontal(|ui| {
        pieces::muted(ui, view.tokens, sort);
        ui.with_layout(Layout::right_to_left(egui::Align::Center), |ui| {
            stays = !pieces::icon_button(ui, Icon::X, &format!("Close the {sort}")).clicked();
            if let Some(form) = Form::of(subject)
                && pieces::icon_button(ui, Icon::Pencil, &format!("Edit {sort} {name}")).clicked()
            {
                out.edit(form);
            }
        });
    });
    ui.add(egui::Label::new(pieces::strong(&name, type_size::HEADING)).wrap());
    ui.add_space(space::S);
    egui::ScrollArea::vertical().auto_shrink(false).id_salt(("beside", subject)).show(
        ui,
        |ui| match subject {
            Subject::Room(id) => room::ui(ui, view, id, out),
            Subject::Phase(id) => phase::ui(ui, view, session, id, out),
            Subject::Supplier(id) => buying::supplier(ui, view, id, out),
            Subject::Order(id) => buying::order(ui, view, id, out),
            Subject::Gate(id) => work::gate(ui, view, session, id, out),
            Subject::Crew(id) => work::crew(ui, view, id, out),
            Subject::Quote(id) => work::bid(ui, view, id, out),
            _ => {}
        },
    );
    stays
}

/// A fact with its name before it; nothing where there is none.
fn fact(ui: &mut Ui, view: &View<'_>, name: &str, value: &str) {
    if value.is_empty() {
        return;
    }
    ui.horizontal_top(|ui| {
        ui.allocate_ui(egui::vec2(104.0, 18.0), |ui| {
            ui.set_width(104.0);
            ui.add(egui::Label::new(RichText::new(name).color(view.tokens.muted)).wrap());
        });
        ui.add(egui::Label::new(value).wrap());
    });
}

/// A heading over a list, with how many there are.
fn heading(ui: &mut Ui, view: &View<'_>, title: &str, count: usize) {
    ui.add_space(space::M);
    pieces::group_title(ui, view.tokens, &format!("{title}, {count}"));
}

/// A line that leads to a thing: its words, and what stands on the right.
fn line(
    ui: &mut Ui,
    view: &View<'_>,
    to: Subject,
    words: &str,
    right: (&str, egui::Color32),
    out: &mut Outbox,
) {
    line_said(ui, view, to, words, right, &format!("{words}, {}", right.0), out);
}

/// The same where what is said of it tells more, as the heading it stands under.
fn line_said(
    ui: &mut Ui,
    view: &View<'_>,
    to: Subject,
    words: &str,
    right: (&str, egui::Color32),
    said: &str,
    out: &mut Outbox,
) {
    ui.horizontal(|ui| {
        let note = ui.painter().layout_no_wrap(
            right.0.to_owned(),
            crate::ui::theme::regular(type_size::SMALL),
            right.1,
        );
        let width = (ui.available_width() - note.size().x - 14.0).max(90.0);
        let go = ui.allocate_ui(egui::vec2(width, 24.0), |ui| {
            ui.set_width(width);
            let text = RichText::new(words).color(view.tokens.accent);
            ui.add(egui::Button::new(text).frame(false).truncate().min_size(egui::vec2(0.0, 24.0)))
        });
        go.inner.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Button, true, said));
        if go.inner.clicked() {
            out.show(to);
        }
        ui.with_layout(Layout::right_to_left(egui::Align::Center), |ui| {
            ui.label(RichText::new(right.0).size(type_size::SMALL).color(right.1));
        });
    });
}
