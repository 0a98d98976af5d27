//! The form of a room: its outline typed or drawn, its openings, and what it measures, as it is being edited.

use super::fields;
use super::out_form::OutRows;
use crate::engine::takeoff::room_size;
use crate::model::ids::key_from_name;
use crate::model::room::check_outline;
use crate::model::{Action, Opening, OpeningKind, Project, Room, RoomId, Shape, Units, Use};
use crate::ui::theme::Tokens;
use crate::ui::theme::tokens::space;
use crate::ui::widgets::drop_down::one_of;
use crate::ui::widgets::plan::{self, Change, Corner, Plan, PlanState};
use crate::ui::widgets::{marks, pieces};
use egui::{Role, Sense, TextEdit, Ui, WidgetInfo, vec2};
use lucide_icons::Icon;
use rust_decimal::Decimal;

/// A room.
pub struct RoomForm {
    old: Option<Room>,
    units: Units,
    name: String,
    level: String,
    used_as: Use,
    height: String,
    /// The floor has corners of its own, not only two sides.
    outline: bool,
    length: String,
    width: String,
    corners: Vec<(String, String)>,
    openings: Vec<OpeningRow>,
    out_of_use: OutRows,
    plan: PlanState,
}

struct OpeningRow {
    kind: OpeningKind,
    width: String,
    height: String,
    count: String,
}

impl RoomForm {
    /// Opens the form; `None` when the room is gone.
    pub fn new(project: &Project, id: Option<RoomId>) -> Option<RoomForm> {
        let old = match id {
            Some(id) => Some(project.room(id)?.clone()),
            None => None,
        };
        let units = project.settings.units;
        let level = project.rooms.last().map_or("Main floor".to_owned(), |r| r.level.clone());
        let usual_height = if units == Units::Us { "8" } else { "2.5" };
        let row = |o: &Opening| OpeningRow {
            kind: o.kind,
            width: o.width.to_string(),
            height: o.height.to_string(),
            count: o.count.to_string(),
        };
        let mut form = RoomForm {
            units,
            name: old.as_ref().map_or(String::new(), |r| r.name.clone()),
            level: old.as_ref().map_or(level, |r| r.level.clone()),
            used_as: old.as_ref().map_or(Use::Other, |r| r.used_as),
            height: old.as_ref().map_or(usual_height.to_owned(), |r| r.height.to_string()),
            outline: false,
            length: String::new(),
            width: String::new(),
            corners: Vec::new(),
            openings: old.iter().flat_map(|r| &r.openings).map(row).collect(),
            out_of_use: OutRows::new(project, id),
            plan: PlanState::default(),
            old,
        };
        match form.old.as_ref().map(|r| r.shape.clone()) {
            Some(Shape::Rectangle { length, width }) => {
                (form.length, form.width) = (length.to_string(), width.to_string());
            }
            Some(Shape::Polygon(corners)) => {
                form.outline = true;
                form.corners = corners.iter().map(text_of).collect();
            }
            None => {}
        }
        Some(form)
    }

    /// Points the form wants.
    pub const WIDTH: f32 = 840.0;

    /// Draws the fields.
    pub fn ui(&mut self, ui: &mut Ui, project: &Project, tokens: &Tokens) {
        let whole = ui.available_width();
        // Openings and the measures under the drawing stand side by side from here on.
        if whole < 740.0 {
            self.own(ui);
            self.shape_fields(ui, tokens);
            self.drawing(ui, tokens, 210.0);
            self.openings(ui, tokens);
            self.out_of_use.ui(ui, project, tokens);
            return;
        }
        let left = 330.0;
        ui.horizontal_top(|ui| {
            ui.spacing_mut().item_spacing.x = 16.0;
            let fields = ui.vertical(|ui| {
                ui.set_width(left);
                self.own(ui);
                self.shape_fields(ui, tokens);
                self.openings(ui, tokens);
                self.out_of_use.ui(ui, project, tokens);
            });
            // Openings may take more than the column, and the form stays within the window.
            let left = fields.response.rect.width().max(left);
            ui.vertical(|ui| {
                ui.set_width((whole - left - 16.0).max(200.0));
                self.drawing(ui, tokens, 300.0);
            });
        });
    }

    fn own(&mut self, ui: &mut Ui) {
        fields::text(ui, "Name", &mut self.name);
        fields::text(ui, "Level", &mut self.level);
        fields::choice(ui, "Used as", &mut self.used_as, &fields::words(&Use::ALL));
        fields::text_hint(ui, "Ceiling height", &mut self.height, hint(self.units));
    }

    fn shape_fields(&mut self, ui: &mut Ui, tokens: &Tokens) {
        fields::section(ui, tokens, "Floor");
        ui.horizontal(|ui| {
            if ui.selectable_label(!self.outline, "Rectangle").clicked() && self.outline {
                self.make_rectangle();
            }
            if ui.selectable_label(self.outline, "Outline with corners").clicked() && !self.outline {
                self.make_outline();
            }
        });
        if !self.outline {
            fields::text_hint(ui, "Length", &mut self.length, hint(self.units));
            fields::text_hint(ui, "Width", &mut self.width, hint(self.units));
            return;
        }
        let few = self.corners.len() <= 3;
        let mut gone = None;
        for (i, (x, y)) in self.corners.iter_mut().enumerate() {
            ui.push_id(("corner", i), |ui| {
                ui.horizontal(|ui| {
                    let (rect, _) = ui.allocate_exact_size(vec2(22.0, 22.0), Sense::hover());
                    let font = crate::ui::theme::regular(crate::ui::theme::tokens::type_size::SMALL);
                    let center = egui::Align2::CENTER_CENTER;
                    ui.painter().text(rect.center(), center, (i + 1).to_string(), font, tokens.muted);
                    small_field(ui, x, 86.0, &format!("Corner {}, to the right", i + 1));
                    small_field(ui, y, 86.0, &format!("Corner {}, down", i + 1));
                    ui.add_enabled_ui(!few, |ui| {
                        let name = format!("Remove corner {}", i + 1);
                        if pieces::icon_button(ui, Icon::X, &name).clicked() {
                            gone = Some(i);
                        }
                    });
                });
            });
        }
        if let Some(i) = gone {
            self.corners.remove(i);
        }
        pieces::muted(ui, tokens, "in order around the room: to the right, and down, from the upper left");
    }

    fn drawing(&mut self, ui: &mut Ui, tokens: &Tokens, height: f32) {
        let corners: Option<Vec<Corner>> = self.drawn();
        let draft = self.draft().and_then(|room| room.check().map(|()| room));
        let size = vec2(ui.available_width(), height);
        match corners {
            Some(corners) => {
                let drawn = Plan {
                    corners: &corners,
                    rectangle: !self.outline,
                    units: self.units,
                    broken: self.outline && check_outline(&corners).is_err(),
                };
                if let Some(change) = plan::ui(ui, tokens, &drawn, &mut self.plan, size) {
                    self.change(change);
                }
                let words = if self.outline {
                    "Drag a corner, click a plus to add one, Delete to remove it; arrows move it, Shift finely"
                } else {
                    "Drag the corner, or move it with the arrow keys; Shift moves it finely"
                };
                pieces::muted(ui, tokens, words);
            }
            None => {
                ui.allocate_ui(size, |ui| ui.label("What is typed cannot be drawn."));
            }
        }
        ui.add_space(space::S);
        match draft {
            Ok(room) => self.sizes(ui, tokens, &room),
            Err(why) => {
                ui.horizontal_top(|ui| {
                    let (mark, _) = ui.allocate_exact_size(vec2(14.0, 16.0), Sense::hover());
                    marks::triangle(ui.painter(), mark.center(), tokens.late);
                    ui.add(egui::Label::new(egui::RichText::new(why).color(tokens.late)).wrap());
                });
            }
        }
    }

    /// What the room measures as it stands in the form.
    fn sizes(&self, ui: &mut Ui, tokens: &Tokens, room: &Room) {
        let size = room_size(room, self.units);
        let unit = plan::unit(self.units);
        let rows = [
            (
                "Floor, and ceiling",
                size.floor,
                "\u{b2}",
                "Length times width, or the area inside the outline",
            ),
            ("Perimeter", size.perimeter, "", "The length of all walls"),
            ("Walls", size.walls_gross, "\u{b2}", "Perimeter times ceiling height"),
            ("Baseboard", size.baseboard, "", "Perimeter less doors and openings to the floor"),
            ("Walls less openings", size.walls, "\u{b2}", "Walls less doors, windows and other openings"),
            ("Volume", size.volume, "\u{b3}", "Floor times ceiling height"),
        ];
        let width = (ui.available_width() - 24.0) / 2.0;
        for pair in rows.chunks(2) {
            ui.horizontal(|ui| {
                ui.spacing_mut().item_spacing.x = 24.0;
                for (name, value, power, rule) in pair {
                    // What nobody has measured is not zero.
                    let words = match value.is_zero() {
                        true => "not measured".to_owned(),
                        false => format!("{} {unit}{power}", value.round_dp(2).normalize()),
                    };
                    let line = ui.scope(|ui| {
                        ui.spacing_mut().item_spacing.x = 4.0;
                        ui.allocate_ui_with_layout(
                            vec2(width, 20.0),
                            egui::Layout::right_to_left(egui::Align::Center),
                            |ui| {
                                ui.set_width(width);
                                match value.is_zero() {
                                    true => _ = pieces::muted(ui, tokens, words),
                                    false => _ = ui.label(words),
                                }
                                ui.with_layout(egui::Layout::left_to_right(egui::Align::Center), |ui| {
                                    pieces::muted(ui, tokens, *name);
                                });
                            },
                        );
                    });
                    line.response.on_hover_text(*rule);
                }
            });
        }
    }

    fn openings(&mut self, ui: &mut Ui, tokens: &Tokens) {
        fields::section(ui, tokens, "Doors, windows and other openings");
        if !self.openings.is_empty() {
            ui.horizontal(|ui| {
                ui.spacing_mut().item_spacing.x = 6.0;
                for (title, width) in [("Kind", 96.0), ("Width", 60.0), ("Height", 60.0), ("How many", 60.0)]
                {
                    let (rect, _) = ui.allocate_exact_size(vec2(width, 16.0), Sense::hover());
                    let layout = egui::Layout::left_to_right(egui::Align::Center);
                    let mut cell = ui.new_child(egui::UiBuilder::new().max_rect(rect).layout(layout));
                    pieces::muted(&mut cell, tokens, title);
                }
            });
        }
        let mut gone = None;
        for (i, row) in self.openings.iter_mut().enumerate() {
            ui.push_id(("opening", i), |ui| {
                ui.horizontal(|ui| {
                    ui.spacing_mut().item_spacing.x = 6.0;
                    let n = i + 1;
                    one_of(ui, &format!("Kind of opening {n}"), 96.0, &mut row.kind, OpeningKind::ALL);
                    small_field(ui, &mut row.width, 60.0, &format!("Width of opening {n}"));
                    small_field(ui, &mut row.height, 60.0, &format!("Height of opening {n}"));
                    small_field(ui, &mut row.count, 60.0, &format!("How many of opening {n}"));
                    if pieces::icon_button(ui, Icon::Trash2, &format!("Remove opening {n}")).clicked() {
                        gone = Some(i);
                    }
                });
            });
        }
        if let Some(i) = gone {
            self.openings.remove(i);
        }
        if pieces::link(ui, tokens, "+ add an opening").clicked() {
            let (width, height) = if self.units == Units::Us { ("3", "6.75") } else { ("0.9", "2.05") };
            self.openings.push(OpeningRow {
                kind: OpeningKind::Door,
                width: width.to_owned(),
                height: height.to_owned(),
                count: "1".to_owned(),
            });
        }
    }

    /// The corners on the drawing; `None` while a number cannot be read.
    fn drawn(&self) -> Option<Vec<Corner>> {
        match self.shape().ok()? {
            Shape::Polygon(corners) => Some(corners),
            Shape::Rectangle { length, width } => Some(corners_of(length, width)),
        }
    }

    fn change(&mut self, change: Change) {
        match change {
            Change::Move(_, (x, y)) if !self.outline => {
                let none = Decimal::ZERO;
                (self.length, self.width) = text_of(&(x.max(none), y.max(none)));
            }
            Change::Move(i, to) => {
                if let Some(corner) = self.corners.get_mut(i) {
                    *corner = text_of(&to);
                }
            }
            Change::Insert(i, at) if i < self.corners.len() => self.corners.insert(i + 1, text_of(&at)),
            Change::Remove(i) if i < self.corners.len() => drop(self.corners.remove(i)),
            Change::Insert(..) | Change::Remove(..) => {}
        }
    }

    fn make_outline(&mut self) {
        let corners = match self.shape() {
            Ok(Shape::Rectangle { length, width }) if !length.is_zero() && !width.is_zero() => {
                corners_of(length, width)
            }
            _ if self.units == Units::Us => corners_of(Decimal::from(12), Decimal::TEN),
            _ => corners_of(Decimal::from(4), Decimal::from(3)),
        };
        self.corners = corners.iter().map(text_of).collect();
        self.outline = true;
    }

    /// The two sides of the outline, or of the least rectangle around it.
    fn make_rectangle(&mut self) {
        if let Ok(Shape::Polygon(corners)) = self.shape() {
            let span = |get: fn(&Corner) -> Decimal| {
                let (least, most) = (corners.iter().map(get).min(), corners.iter().map(get).max());
                most.unwrap_or_default() - least.unwrap_or_default()
            };
            (self.length, self.width) = text_of(&(span(|c| c.0), span(|c| c.1)));
        }
        self.outline = false;
    }

    fn shape(&self) -> Result<Shape, String> {
        if !self.outline {
            return Ok(Shape::Rectangle {
                length: fields::length("Length", &self.length, self.units)?,
                width: fields::length("Width", &self.width, self.units)?,
            });
        }
        let corner = |(i, (x, y)): (usize, &(String, String))| {
            let name = format!("Corner {}", i + 1);
            Ok((fields::length(&name, x, self.units)?, fields::length(&name, y, self.units)?))
        };
        self.corners.iter().enumerate().map(corner).collect::<Result<_, String>>().map(Shape::Polygon)
    }

    /// The room as it stands in the form, under its old number or none.
    fn draft(&self) -> Result<Room, String> {
        let opening = |row: &OpeningRow| {
            Ok(Opening {
                kind: row.kind,
                width: fields::length("Opening width", &row.width, self.units)?,
                height: fields::length("Opening height", &row.height, self.units)?,
                count: fields::whole("How many", &row.count)?.unwrap_or(1),
            })
        };
        Ok(Room {
            id: self.old.as_ref().map_or(RoomId(0), |r| r.id),
            key: self.old.as_ref().map_or("new".to_owned(), |r| r.key.clone()),
            name: self.name.trim().to_owned(),
            level: self.level.trim().to_owned(),
            shape: self.shape()?,
            height: fields::length("Ceiling height", &self.height, self.units)?,
            openings: self.openings.iter().map(opening).collect::<Result<_, String>>()?,
            used_as: self.used_as,
        })
    }

    /// The change the form asks for.
    ///
    /// # Errors
    /// What is wrong with which field.
    pub fn action(&self, project: &Project) -> Result<Action, String> {
        let name = fields::required("Name", &self.name)?;
        let mut room = self.draft()?;
        if self.old.is_none() {
            room.id = RoomId(project.next_id);
            room.key = key_from_name(&name, project.rooms.iter().map(|r| r.key.as_str()));
        }
        let next = project.next_id + u32::from(self.old.is_none());
        let out_of_use = self.out_of_use.actions(room.id, next);
        if out_of_use.is_empty() {
            return Ok(Action::PutRoom(room));
        }
        let label = format!("{} {name}", if self.old.is_some() { "edit" } else { "add" });
        let actions = std::iter::once(Action::PutRoom(room)).chain(out_of_use).collect();
        Ok(Action::Batch { label, actions })
    }
}

fn text_of(corner: &Corner) -> (String, String) {
    (corner.0.normalize().to_string(), corner.1.normalize().to_string())
}

/// The corners of a rectangle from the upper left, to the right first.
fn corners_of(length: Decimal, width: Decimal) -> Vec<Corner> {
    let none = Decimal::ZERO;
    vec![(none, none), (length, none), (length, width), (none, width)]
}

fn hint(units: Units) -> &'static str {
    match units {
        Units::Us => "12.5 or 12' 6\"",
        Units::Metric => "meters, 3.80",
    }
}

fn small_field(ui: &mut Ui, text: &mut String, width: f32, name: &str) {
    let field =
        ui.add(TextEdit::singleline(text).desired_width(width - 8.0).align(egui::Align2::RIGHT_CENTER));
    field.widget_info(|| WidgetInfo::labeled(Role::TextInput, true, name));
    field.on_hover_text(name);
}
