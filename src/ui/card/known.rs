//! What of the picked selection must be known, by when and for whom, and who was told.

use crate::engine::Day;
use crate::engine::specs::{self, WaitsFor};
use crate::model::{Selection, Spec};
use crate::ui::format;
use crate::ui::theme::tokens::{space, type_size};
use crate::ui::view::{Form, Outbox, View};
use crate::ui::widgets::pieces;
use egui::{Color32, Label, RichText, Role, Ui, WidgetInfo};

/// Draws the list; without any only the way to the first one.
pub fn ui(ui: &mut Ui, view: &View<'_>, selection: &Selection, out: &mut Outbox) {
    if !selection.specs.is_empty() {
        pieces::group_title(ui, view.tokens, "Must be known");
        for (at, spec) in selection.specs.iter().enumerate() {
            ui.push_id(("spec", at), |ui| one(ui, view, selection, at, spec, out));
        }
    }
    let link = pieces::link(ui, view.tokens, "+ what must be known before");
    let rule = "The size, power, weight or place that another trade or shop needs to know, often long before the thing is here";
    if link.on_hover_text(rule).clicked() {
        out.edit(Form::Spec(selection.id, None));
    }
    ui.add_space(space::M);
}

fn one(ui: &mut Ui, view: &View<'_>, selection: &Selection, at: usize, spec: &Spec, out: &mut Outbox) {
    let (words, color) = standing(view, spec);
    let contradicted =
        selection.live_option().and_then(|o| specs::contradiction_words(view.project, spec, o));
    ui.spacing_mut().item_spacing.y = 1.0;
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = space::S;
        let mark = if spec.is_open() { "\u{2022}" } else { "\u{2713}" };
        ui.label(RichText::new(mark).color(color));
        let room = ui.available_width() - if spec.is_open() { 54.0 } else { 0.0 };
        let least = egui::vec2(0.0, pieces::LEAST);
        let text = egui::Button::new(RichText::new(&spec.what)).frame(false).truncate().min_size(least);
        let text = ui
            .scope(|ui| {
                ui.set_max_width(room);
                ui.spacing_mut().interact_size.y = pieces::LEAST;
                ui.add(text)
            })
            .inner;
        let spoken = format!("{}: {words}", spec.what);
        text.widget_info(|| WidgetInfo::labeled(Role::Button, true, &spoken));
        if text.on_hover_text("Click to edit").clicked() {
            out.edit(Form::Spec(selection.id, Some(at)));
        }
        if !spec.is_open() {
            ui.add(Label::new(RichText::new(&words).size(type_size::SMALL).color(color)).truncate());
        }
        if spec.is_open() {
            let tell = pieces::link(ui, view.tokens, "told\u{2026}");
            let name = format!("{}: note whom it was told", spec.what);
            tell.widget_info(|| WidgetInfo::labeled(Role::Button, true, &name));
            if tell.clicked() {
                out.edit(Form::Tell(selection.id, at));
            }
        }
    });
    let line = |ui: &mut Ui, text: RichText| {
        let inset = egui::Margin { left: 12, ..egui::Margin::ZERO };
        egui::Frame::new().inner_margin(inset).show(ui, |ui| ui.add(Label::new(text).wrap()));
    };
    if spec.is_open() {
        line(ui, RichText::new(&words).size(type_size::SMALL).color(color));
    }
    if let Some(words) = contradicted {
        let text = RichText::new(format!("! {words}")).size(type_size::SMALL).color(view.tokens.soon);
        line(ui, text);
    }
    ui.add_space(space::S);
}

/// Where a spec stands, in words: `known by Aug 17 for Rough electrical, 35 days ago`.
fn standing(view: &View<'_>, spec: &Spec) -> (String, Color32) {
    let near = view.as_of();
    if let Some(on) = spec.told_on {
        let whom = if spec.told_to.is_empty() { String::new() } else { format!(" {}", spec.told_to) };
        let what = spec.told.as_ref().map_or(String::new(), |told| format!(": {told}"));
        return (format!("told{whom} {}{what}", format::day_short(Day::from(on), near)), view.tokens.muted);
    }
    let known = view.figures.spec_facts(view.project).known_by(spec);
    let waits = known.map_or(String::new(), |(waits, _)| {
        let link = if matches!(waits, WaitsFor::Phase(_)) { "for" } else { "before" };
        format!(" {link} {}", specs::waits_words(view.project, view.figures, waits))
    });
    match known.and_then(|(_, day)| day) {
        None => (format!("no day yet{waits}"), view.tokens.muted),
        Some(day) => {
            let ahead = day.since(near);
            let ago =
                if ahead < 0 { format!(", {} ago", format::count(-ahead, "day")) } else { String::new() };
            let color = pieces::in_hand_color(ahead, view.tokens, view.tokens.muted);
            let known = if ahead < 0 { "had to be known" } else { "known" };
            (format!("{known} by {}{waits}{ago}", format::day_short(day, near)), color)
        }
    }
}
