//! Where the days and the money went: from a plan that was agreed on to now, as a picture of steps by cause, by room, and
//! line by line.

mod lines;
mod rooms;
mod steps;

use crate::engine::Day;
use crate::engine::log::Story;
use crate::model::KeptPlan;
use crate::ui::format;
use crate::ui::session::Session;
use crate::ui::shell::command::Command;
use crate::ui::shell::head::money_moved;
use crate::ui::theme::tokens::{space, type_size};
use crate::ui::view::{Form, Outbox, View};
use crate::ui::widgets::drop_down::one_of;
use crate::ui::widgets::{floating, pieces};
use egui::{Context, Ui, vec2};

const TITLE: &str = "Where the days and the money went";

/// The name of the window.
pub const WINDOW: &str = "story";

/// Draws it in a window over the others.
pub fn window(ctx: &Context, view: &View<'_>, session: &mut Session, out: &mut Outbox) {
    let mut open = session.story_open;
    let room = ctx.content_rect();
    let size = vec2((room.width() - 80.0).min(880.0), (room.height() - 150.0).min(720.0));
    let own = egui::Window::new(TITLE)
        .id(egui::Id::unique(WINDOW))
        .fixed_size(size)
        .default_pos(egui::pos2(room.center().x - size.x / 2.0 - 8.0, 84.0));
    floating::show(ctx, own, TITLE, &mut open, |ui| match picked(view, session) {
        Some((plan, story)) => {
            heading(ui, view, session, plan, story, out);
            egui::ScrollArea::vertical().auto_shrink(false).id_salt("story").show(ui, |ui| {
                ui.set_width(ui.available_width() - 10.0);
                steps::ui(ui, view, plan, story);
                ui.add_space(space::L);
                lines::ui(ui, view, story, out);
                ui.add_space(space::L);
                rooms::ui(ui, view, story);
            });
        }
        None => nothing_kept(ui, view, out),
    });
    session.story_open = open;
}

/// The plan that is looked at, with what led from it to now.
pub fn picked<'a>(view: &View<'a>, session: &Session) -> Option<(&'a KeptPlan, &'a Story)> {
    let plans = &view.project.kept_plans;
    let at = session.plan.and_then(|id| plans.iter().position(|plan| plan.id == id));
    let at = at.or(plans.len().checked_sub(1))?;
    Some((plans.get(at)?, view.derived.story(view.project, at)?))
}

fn nothing_kept(ui: &mut Ui, view: &View<'_>, out: &mut Outbox) {
    ui.add_space(40.0);
    ui.vertical_centered(|ui| {
        ui.label(pieces::strong("No plan is kept yet", type_size::HEADING));
        ui.add_space(space::S);
        ui.label("Keep the plan on the day everybody agreed to it.");
        ui.label(
            "From then on each change of the finish or of the total is noted here with its cause, by itself.",
        );
        ui.add_space(space::M);
        if pieces::primary_button(ui, view.tokens, "Keep the plan as agreed…").clicked() {
            out.edit(Form::KeepPlan);
        }
    });
}

/// The sentence over the picture, which plan it is about, and what can be done with plans.
fn heading(
    ui: &mut Ui,
    view: &View<'_>,
    session: &mut Session,
    plan: &KeptPlan,
    story: &Story,
    out: &mut Outbox,
) {
    let near = view.as_of();
    ui.horizontal_wrapped(|ui| {
        let plans = &view.project.kept_plans;
        if plans.len() > 1 {
            let mut id = plan.id;
            let named = plans.iter().rev().map(|plan| {
                (format!("{}, {}", plan.name, format::day_short(Day::from(plan.on), near)), plan.id)
            });
            one_of(ui, "Kept plan", 230.0, &mut id, named);
            if id != plan.id {
                session.plan = Some(id);
            }
        }
        if ui.button("Name…").on_hover_text("Another name for this plan, or forget it").clicked() {
            out.edit(Form::NamePlan(plan.id));
        }
        if ui.button("Keep the plan now…").clicked() {
            out.edit(Form::KeepPlan);
        }
        if ui.button("On paper…").on_hover_text("For a lender, or for whoever pays with you").clicked() {
            out.command(Command::PrintPapers);
        }
    });
    ui.add_space(space::S);
    ui.add(egui::Label::new(pieces::strong(sentence(view, plan, story), 16.0)).wrap());
    ui.add_space(space::M);
}

/// What became of a plan, in a sentence.
pub fn sentence(view: &View<'_>, plan: &KeptPlan, story: &Story) -> String {
    let days = match story.days {
        None => "no finish to compare".to_owned(),
        Some(n) => format::moved(n, "working day").unwrap_or_else(|| "the finish is as agreed".to_owned()),
    };
    let near = view.as_of();
    let on = format::day_short(Day::from(plan.on), near);
    format!("Since {} on {on}: {days}, {}", plan.name, money_moved(view, story.money))
}
