//! The form of a new project: its name and first day, the rooms as tiles to pick, and what is new in each.

use super::fields;
use crate::model::ids::key_from_name;
use crate::model::starter_catalogue::{self, Item, KINDS, RoomKind};
use crate::model::{Money, Project, Room, RoomId, Shape, Use, starter, starter_gates};
use crate::ui::theme::tokens::{space, type_size};
use crate::ui::theme::{self, Tokens};
use crate::ui::widgets::pieces;
use chrono::NaiveDate;
use egui::{Align2, Role, Sense, Stroke, StrokeKind, TextEdit, Ui, WidgetInfo, vec2};
use lucide_icons::Icon;
use rust_decimal::Decimal;
use std::collections::BTreeSet;
use std::sync::Arc;

/// Points of the form, where there is room.
pub const WIDTH: f32 = 640.0;

/// A tile of a kind of room.
const TILE: egui::Vec2 = vec2(116.0, 62.0);

/// A room that was picked.
struct Picked {
    kind: usize,
    name: String,
    level: String,
    /// Categories of things that stay as they are.
    stays: BTreeSet<&'static str>,
}

/// A new project.
pub struct NewProjectForm {
    name: String,
    start: String,
    year_built: String,
    rooms: Vec<Picked>,
    phases: bool,
    things: bool,
}

/// The categories of a kind of room, in the order of its list.
fn categories(kind: &RoomKind) -> Vec<&'static str> {
    let mut all = Vec::new();
    for item in kind.items {
        if !all.contains(&item.category) {
            all.push(item.category);
        }
    }
    all
}

/// What a room of a kind is called at first: `Living room` of several.
fn first_name(kind: &RoomKind) -> &'static str {
    let end = kind.name.find([',']).or_else(|| kind.name.find(" or ")).unwrap_or(kind.name.len());
    &kind.name[..end]
}

fn icon(kind: &RoomKind) -> Icon {
    match first_name(kind) {
        "Kitchen" => Icon::CookingPot,
        "Powder room" => Icon::Toilet,
        "Bath" => Icon::Bath,
        "Laundry" => Icon::WashingMachine,
        "Bedroom" => Icon::BedDouble,
        "Entry" => Icon::DoorOpen,
        "Whole house" => Icon::House,
        _ => Icon::Sofa,
    }
}

impl NewProjectForm {
    /// Opens the form with a start day filled in.
    pub fn new(start: NaiveDate) -> NewProjectForm {
        NewProjectForm {
            name: String::new(),
            start: start.to_string(),
            year_built: String::new(),
            rooms: Vec::new(),
            phases: true,
            things: true,
        }
    }

    /// Draws the fields.
    pub fn ui(&mut self, ui: &mut Ui, tokens: &Tokens) {
        fields::text(ui, "Name", &mut self.name);
        fields::date(ui, "Start of the work", &mut self.start);
        fields::text_hint(ui, "Year built", &mut self.year_built, "older houses bring cautions with them");
        fields::section(ui, tokens, "Which rooms are remodeled? Each click adds one.");
        self.tiles(ui, tokens);
        let mut gone = None;
        for (at, room) in self.rooms.iter_mut().enumerate() {
            if picked_ui(ui, tokens, at, room) {
                gone = Some(at);
            }
        }
        if let Some(at) = gone {
            self.rooms.remove(at);
        }
        ui.add_space(space::M);
        fields::flag(ui, "List what each room usually needs", &mut self.things);
        fields::flag(ui, "Lay out the usual phases, with their sign-offs", &mut self.phases);
        pieces::muted(
            ui,
            tokens,
            "Days, lead times and prices stay blank until somebody has said them. Everything can be edited \
             afterwards.",
        );
        pieces::muted(
            ui,
            tokens,
            "Local code and licensed trades decide which sign-offs are needed and in what order.",
        );
    }

    fn tiles(&mut self, ui: &mut Ui, tokens: &Tokens) {
        ui.horizontal_wrapped(|ui| {
            ui.spacing_mut().item_spacing = vec2(space::M, space::M);
            for (at, kind) in KINDS.iter().enumerate() {
                let count = self.rooms.iter().filter(|room| room.kind == at).count();
                if tile(ui, tokens, kind, count) {
                    self.add(at, kind);
                }
            }
        });
    }

    fn add(&mut self, at: usize, kind: &RoomKind) {
        let first = first_name(kind);
        let taken = |name: &str| self.rooms.iter().any(|room| room.name.eq_ignore_ascii_case(name));
        let mut name = first.to_owned();
        let mut n = 2;
        while taken(&name) {
            name = format!("{first} {n}");
            n += 1;
        }
        let level = self.rooms.last().map_or("Main floor".to_owned(), |room| room.level.clone());
        self.rooms.push(Picked { kind: at, name, level, stays: BTreeSet::new() });
    }

    /// The new project.
    ///
    /// # Errors
    /// What is wrong with which field.
    pub fn project(&self) -> Result<Project, String> {
        let name = fields::required("Name", &self.name)?;
        let start =
            fields::day("Start of the work", &self.start)?.ok_or("Start of the work: write a date")?;
        let mut project = Project::new(&name, start);
        project.settings.year_built = fields::whole("Year built", &self.year_built)?;
        project.settings.hold = 1;
        let mut rooms: Vec<Room> = Vec::new();
        for (at, picked) in self.rooms.iter().enumerate() {
            let name = fields::required(&format!("Name of room {}", at + 1), &picked.name)?;
            rooms.push(Room {
                id: RoomId(project.fresh_id()),
                key: key_from_name(&name, rooms.iter().map(|r| r.key.as_str())),
                used_as: Use::of_name(&name),
                name,
                level: picked.level.trim().to_owned(),
                shape: Shape::default(),
                height: Decimal::from(8),
                openings: Vec::new(),
            });
        }
        let homes: Vec<RoomId> = rooms.iter().map(|room| room.id).collect();
        project.rooms = Arc::new(rooms);
        if self.phases {
            starter::add_starter_phases(&mut project);
        }
        let homes = homes.into_iter().filter(|_| self.things);
        for (picked, home) in self.rooms.iter().zip(homes) {
            let all = KINDS.get(picked.kind).map_or(&[][..], |kind| kind.items);
            let new = all.iter().filter(|item| !picked.stays.contains(item.category));
            let items: Vec<(&Item, Money)> = new.map(|item| (item, Money::ZERO)).collect();
            if let Some(action) = starter_catalogue::add(&project, home, &items, true) {
                project = project.apply(&action).map_err(|why| why.to_string())?;
            }
        }
        if self.phases {
            starter_gates::add_starter_gates(&mut project);
        }
        Ok(project)
    }
}

/// A tile that adds a room of its kind; whether it was clicked.
fn tile(ui: &mut Ui, tokens: &Tokens, kind: &RoomKind, count: usize) -> bool {
    let (rect, response) = ui.allocate_exact_size(TILE, Sense::click());
    let name = first_name(kind);
    response.widget_info(|| {
        let picked = if count > 0 { format!(", {count} picked") } else { String::new() };
        WidgetInfo::labeled(Role::Button, true, format!("Add {name}{picked}"))
    });
    let fill = if count > 0 {
        tokens.picked
    } else if response.hovered() || response.has_focus() {
        tokens.hovered
    } else {
        tokens.work
    };
    let painter = ui.painter();
    let edge = if count > 0 { Stroke::new(1.5, tokens.accent) } else { Stroke::new(1.0, tokens.muted) };
    painter.rect(rect, 8.0, fill, edge, StrokeKind::Inside);
    let color = if count > 0 { tokens.accent } else { tokens.muted };
    let glyph = char::from(icon(kind)).to_string();
    painter.text(
        rect.center_top() + vec2(0.0, 20.0),
        Align2::CENTER_CENTER,
        glyph,
        theme::icon_font(22.0),
        color,
    );
    let below = rect.center_bottom() - vec2(0.0, 14.0);
    painter.text(below, Align2::CENTER_CENTER, name, theme::regular(type_size::BODY), tokens.text);
    if count > 1 {
        let corner = rect.right_top() + vec2(-12.0, 12.0);
        painter.text(corner, Align2::CENTER_CENTER, count, theme::strong(type_size::BODY), tokens.accent);
    }
    response.on_hover_text(kind.name).clicked()
}

/// A room that was picked: its name, its level, and what is new in it. Whether it is to go again.
fn picked_ui(ui: &mut Ui, tokens: &Tokens, at: usize, room: &mut Picked) -> bool {
    let Some(kind) = KINDS.get(room.kind) else { return true };
    let mut gone = false;
    ui.push_id(("picked", at), |ui| {
        ui.add_space(space::M);
        ui.horizontal(|ui| {
            let named = |ui: &mut Ui, text: &mut String, width: f32, spoken: String| {
                let field = ui.add(TextEdit::singleline(text).desired_width(width));
                field.widget_info(|| WidgetInfo::labeled(Role::TextInput, true, &spoken));
            };
            named(ui, &mut room.name, 180.0, format!("Name of room {}", at + 1));
            ui.label("on");
            named(ui, &mut room.level, 120.0, format!("Level of room {}", at + 1));
            let all = categories(kind);
            if pieces::link(ui, tokens, "all new").clicked() {
                room.stays.clear();
            }
            if pieces::link(ui, tokens, "nothing yet").clicked() {
                room.stays.extend(all);
            }
            gone = pieces::icon_button(ui, Icon::X, &format!("Not {}", room.name)).clicked();
        });
        ui.horizontal_wrapped(|ui| {
            ui.spacing_mut().item_spacing = vec2(space::S, space::S);
            ui.label("new");
            for category in categories(kind) {
                let is_new = !room.stays.contains(category);
                let shown = if is_new {
                    format!("\u{2713} {}", category.to_lowercase())
                } else {
                    category.to_lowercase()
                };
                let chip = ui.add(egui::Button::selectable(is_new, shown).min_size(vec2(0.0, 24.0)));
                let spoken = format!("New {} in {}", category.to_lowercase(), room.name);
                chip.widget_info(|| WidgetInfo::selected(Role::CheckBox, true, is_new, &spoken));
                if chip.clicked() && !room.stays.remove(category) {
                    room.stays.insert(category);
                }
            }
        });
    });
    gone
}
