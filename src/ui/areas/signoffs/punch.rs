//! The punch list: what is to be put right, what is to be looked at, room by room or crew by crew; and a row to add to it
//! while one walks through the house.

use crate::model::field::Noun;
use crate::model::{Action, CrewId, Punch, PunchId, PunchStands, RoomId};
use crate::ui::format;
use crate::ui::forms::{closing_forms, fields};
use crate::ui::pictures::{self, Beside, Pictured};
use crate::ui::session::Session;
use crate::ui::theme::tokens::{space, type_size};
use crate::ui::view::{Form, Outbox, Request, View};
use crate::ui::widgets::drop_down::one_of;
use crate::ui::widgets::{marks, pieces};
use egui::{Align, Layout, RichText, Role, Sense, TextEdit, Ui, WidgetInfo, vec2};

/// Most rows that are drawn one by one; the paper holds all.
const MOST: usize = 400;

/// What the page remembers.
#[derive(Debug, Clone, Default)]
pub struct PunchPage {
    /// By who puts it right, and not by room.
    pub by_crew: bool,
    /// What is good is shown too.
    pub all: bool,
    /// What is typed in the row that adds one.
    pub what: String,
    /// Where that is.
    pub room: Option<RoomId>,
    /// Who puts that right.
    pub crew: Option<CrewId>,
    /// By when.
    pub due: String,
    /// Why it cannot be taken.
    pub fault: Option<String>,
    /// The field of the row is to have the keyboard.
    pub again: bool,
}

/// Draws the page.
pub fn ui(ui: &mut Ui, view: &View<'_>, session: &mut Session, out: &mut Outbox) {
    let on = view.as_of().date();
    let found: Vec<(&Punch, PunchStands)> =
        view.project.punch.iter().filter_map(|p| Some((p, p.stands(on)?))).collect();
    summary(ui, view, session, &found, out);
    new_row(ui, view, session, out);
    ui.add_space(space::S);
    if view.project.punch.is_empty() {
        ui.add_space(space::M);
        ui.label(pieces::strong("Nothing is to be put right", 16.0));
        ui.label(
            "Walk through the house when a trade says that it is done, and write down what is not: a scratch, a door that \
             does not close, a joint without grout. Each thing has a room, a crew and a day; what a crew is to put right \
             is on its page and in its text.",
        );
        return;
    }
    let all = session.sign_offs.punch.all;
    let asked = session.sign_offs.scroll_to_punch.take();
    let mut shown: Vec<(&Punch, PunchStands)> = found
        .into_iter()
        .filter(|(p, stands)| all || *stands != PunchStands::Checked || asked == Some(p.id))
        .collect();
    // Within a group what is late stands first, then by its day; what has none, last.
    shown.sort_by_key(|(p, stands)| (*stands, p.due.is_none(), p.due));
    let by_crew = session.sign_offs.punch.by_crew;
    let groups: Vec<(String, Vec<(&Punch, PunchStands)>)> = groups(view, by_crew, &shown);
    egui::ScrollArea::vertical().auto_shrink(false).id_salt("punch").show(ui, |ui| {
        ui.set_width(ui.available_width() - 8.0);
        if shown.is_empty() {
            ui.label(RichText::new("All of it is put right and looked at.").color(view.tokens.good));
        }
        let mut left = MOST;
        for (title, own) in &groups {
            if left == 0 {
                break;
            }
            pieces::group_title(ui, view.tokens, title);
            for (punch, stands) in own.iter().take(left) {
                let top = ui.cursor().min;
                ui.push_id(punch.id, |ui| row(ui, view, punch, *stands, by_crew, out));
                if asked == Some(punch.id) {
                    ui.scroll_to_rect(egui::Rect::from_min_size(top, vec2(10.0, 30.0)), Some(Align::Center));
                }
            }
            left -= own.len().min(left);
            ui.add_space(space::S);
        }
        if shown.len() > MOST {
            let more = format!("{} more stand on the paper.", shown.len() - MOST);
            pieces::muted(ui, view.tokens, more);
        }
    });
}

fn groups<'a>(
    view: &View<'_>,
    by_crew: bool,
    shown: &[(&'a Punch, PunchStands)],
) -> Vec<(String, Vec<(&'a Punch, PunchStands)>)> {
    let of = |wanted: &dyn Fn(&Punch) -> bool| {
        shown.iter().copied().filter(|(p, _)| wanted(p)).collect::<Vec<_>>()
    };
    let mut groups = Vec::new();
    if by_crew {
        for crew in view.project.crews.iter() {
            let title = if crew.phone.is_empty() {
                crew.name.clone()
            } else {
                format!("{}, {}", crew.name, crew.phone)
            };
            groups.push((title, of(&|p| p.crew == Some(crew.id))));
        }
        groups.push(("Nobody has said who".to_owned(), of(&|p| p.crew.is_none())));
    } else {
        for room in view.project.rooms.iter() {
            groups.push((room.name.clone(), of(&|p| p.room == Some(room.id))));
        }
        groups.push(("Outside of all rooms".to_owned(), of(&|p| p.room.is_none())));
    }
    groups.retain(|(_, own)| !own.is_empty());
    groups
}

fn summary(
    ui: &mut Ui,
    view: &View<'_>,
    session: &mut Session,
    found: &[(&Punch, PunchStands)],
    out: &mut Outbox,
) {
    let page = &mut session.sign_offs.punch;
    let count = |wanted: PunchStands| found.iter().filter(|(_, stands)| *stands == wanted).count();
    let (late, done) = (count(PunchStands::Late), count(PunchStands::Done));
    ui.horizontal_wrapped(|ui| {
        let open = count(PunchStands::Open) + late;
        ui.label(pieces::strong(format!("{open} to be put right"), type_size::BODY));
        if late > 0 {
            ui.label(RichText::new(format!("{late} late")).color(view.tokens.late));
        }
        if done > 0 {
            ui.label(RichText::new(format!("{done} to be looked at")).color(view.tokens.soon));
        }
        ui.label(RichText::new(format!("{} good", count(PunchStands::Checked))).color(view.tokens.good));
        ui.checkbox(&mut page.all, "show what is good");
        ui.checkbox(&mut page.by_crew, "by who puts it right");
        if pieces::link(ui, view.tokens, "+ add with a picture\u{2026}").clicked() {
            out.edit(Form::Punch(None, page.room.or(session.room)));
        }
    });
}

/// A row that adds one: what, where, who, by when. Room, crew and day stay for the next.
fn new_row(ui: &mut Ui, view: &View<'_>, session: &mut Session, out: &mut Outbox) {
    let page = &mut session.sign_offs.punch;
    let width = ui.available_width();
    let wide = width > 760.0;
    let picked = ((width - 420.0) / 2.0).clamp(90.0, 170.0);
    let mut entered = false;
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 6.0;
        let typed = if wide { (width - 2.0 * picked - 240.0).clamp(160.0, 420.0) } else { width - 16.0 };
        let field = ui.add(
            TextEdit::singleline(&mut page.what)
                .id(egui::Id::unique("new on the punch list"))
                .hint_text("What is to be put right")
                .desired_width(typed),
        );
        field.widget_info(|| WidgetInfo::labeled(Role::TextInput, true, "What is to be put right"));
        if std::mem::take(&mut page.again) {
            field.request_focus();
        }
        entered = field.lost_focus() && ui.input(|i| i.key_pressed(egui::Key::Enter));
        let rooms = std::iter::once(("no room".to_owned(), None));
        let rooms =
            rooms.chain(Noun::Room.choices(view.project).into_iter().map(|(n, id)| (n, Some(RoomId(id)))));
        one_of(ui, "Room of it", picked, &mut page.room, rooms);
        let crews = std::iter::once(("nobody yet".to_owned(), None));
        let crews =
            crews.chain(Noun::Crew.choices(view.project).into_iter().map(|(n, id)| (n, Some(CrewId(id)))));
        one_of(ui, "Who puts it right", picked, &mut page.crew, crews);
        let due = ui.add(TextEdit::singleline(&mut page.due).hint_text("due").desired_width(86.0));
        due.widget_info(|| WidgetInfo::labeled(Role::TextInput, true, "Due"));
        entered |= due.lost_focus() && ui.input(|i| i.key_pressed(egui::Key::Enter));
        entered |= pieces::row_button(ui, "Add", "Add to the punch list").clicked();
    });
    if entered && !page.what.trim().is_empty() {
        page.fault = match add(view, page) {
            Ok(action) => {
                out.act(action);
                page.what.clear();
                page.again = true;
                None
            }
            Err(why) => Some(why),
        };
    }
    if let Some(why) = &page.fault {
        ui.label(RichText::new(why).color(view.tokens.late));
    }
}

fn add(view: &View<'_>, page: &PunchPage) -> Result<Action, String> {
    let due = fields::day("Due", &page.due)?;
    let what = page.what.trim().to_owned();
    let punch = Punch {
        key: closing_forms::key_of(&what, view.project),
        room: page.room.filter(|id| view.project.room(*id).is_some()),
        crew: page.crew.filter(|id| view.project.crew(*id).is_some()),
        what,
        found_on: Some(view.as_of().date()),
        due,
        ..Punch::new(PunchId(view.project.next_id))
    };
    punch.check_in(view.project)?;
    Ok(Action::PutPunch(punch))
}

fn row(ui: &mut Ui, view: &View<'_>, punch: &Punch, stands: PunchStands, by_crew: bool, out: &mut Outbox) {
    let (tokens, on) = (view.tokens, view.as_of().date());
    let words = match (stands, punch.done_on) {
        (PunchStands::Done, Some(day)) => {
            format!("done {}, to be looked at", format::day(day.into(), view.as_of()))
        }
        _ => crate::exchange::outgoing::print::punch_list::state(punch, on),
    };
    let color = match stands {
        PunchStands::Late => tokens.late,
        PunchStands::Open => tokens.text,
        PunchStands::Done => tokens.soon,
        PunchStands::Checked => tokens.good,
    };
    let room = punch.room.and_then(|id| view.project.room(id)).map_or("", |r| r.name.as_str());
    let crew = punch.crew.and_then(|id| view.project.crew(id)).map_or("nobody yet", |c| c.name.as_str());
    let beside = if by_crew { room } else { crew };
    let due = punch.due.filter(|_| punch.is_open(on));
    let due = due.map_or(String::new(), |day| format!("due {}", format::day(day.into(), view.as_of())));
    let more = [beside, due.as_str()].into_iter().filter(|t| !t.is_empty()).collect::<Vec<_>>().join(", ");
    let named = [punch.what.as_str(), words.as_str(), more.as_str()];
    let name = named.into_iter().filter(|t| !t.is_empty()).collect::<Vec<_>>().join(", ");
    ui.horizontal(|ui| {
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            ui.spacing_mut().item_spacing.x = 6.0;
            buttons(ui, view, punch, stands, out);
            ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
                let line = pieces::clickable(ui, "line", &name, |ui| {
                    ui.set_width(ui.available_width());
                    ui.set_min_height(pieces::LEAST);
                    ui.horizontal(|ui| {
                        mark(ui, stands, color);
                        let wide = ui.available_width();
                        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                            ui.label(RichText::new(&words).size(type_size::SMALL).color(color));
                            if wide > 420.0 {
                                pieces::muted(ui, tokens, more.clone());
                            }
                            ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
                                pieces::cell(ui, punch.what.as_str(), tokens.text);
                            });
                        });
                    });
                });
                let line = line.on_hover_text(&name);
                line.context_menu(|ui| {
                    if ui.button("Remove from the list").clicked() {
                        out.act(Action::RemovePunch(punch.id));
                    }
                });
                if line.clicked() {
                    out.edit(Form::Punch(Some(punch.id), None));
                }
            });
        });
    });
}

/// What is done about it: the next step, and the step back.
fn buttons(ui: &mut Ui, view: &View<'_>, punch: &Punch, stands: PunchStands, out: &mut Outbox) {
    let on = view.as_of().date();
    let what = punch.what.as_str();
    match stands {
        PunchStands::Late | PunchStands::Open => {
            if pieces::row_button(ui, "Done", &format!("Done: {what}")).clicked() {
                out.act(Action::MarkPunchDone(punch.id, Some(on)));
            }
        }
        PunchStands::Done => {
            if pieces::row_button(ui, "It is good", &format!("Looked at, and good: {what}")).clicked() {
                out.act(Action::MarkPunchChecked(punch.id, Some(on)));
            }
            if pieces::row_button(ui, "Not yet", &format!("Not done yet: {what}")).clicked() {
                out.act(Action::MarkPunchDone(punch.id, None));
            }
        }
        PunchStands::Checked => {
            if pieces::row_button(ui, "Open again", &format!("Open again: {what}")).clicked() {
                out.act(Action::MarkPunchDone(punch.id, None));
            }
        }
    }
    if punch.picture.is_empty() {
        if pieces::row_button(ui, "Picture\u{2026}", &format!("Add a picture of {what}")).clicked() {
            out.push(Request::PickFile(Beside::Picture(Pictured::Punch(punch.id))));
        }
    } else {
        pictures::link(ui, view.tokens, view.project, Pictured::Punch(punch.id), out);
    }
}

/// A shape beside the color.
fn mark(ui: &mut Ui, stands: PunchStands, color: egui::Color32) {
    let (rect, _) = ui.allocate_exact_size(vec2(16.0, 18.0), Sense::hover());
    let (painter, center) = (ui.painter(), rect.center());
    match stands {
        PunchStands::Late => marks::triangle(painter, center, color),
        PunchStands::Open => drop(painter.circle_stroke(center, 4.5, egui::Stroke::new(1.8, color))),
        PunchStands::Done => drop(painter.circle_filled(center, 4.0, color)),
        PunchStands::Checked => marks::check(painter, center, color),
    }
}
