//! The head strip: the finish against the target, by what it moved, the total, what has no price, what is to be done
//! next and what is to be settled, each a way to where it comes from. It is green only when the target holds.

use super::command::Command;
use super::modals;
use crate::engine::Day;
use crate::engine::log::Story;
use crate::model::{KeptPlan, Money};
use crate::ui::areas::week::rows::WeekRows;
use crate::ui::derived::Preview;
use crate::ui::format;
use crate::ui::forms::fields;
use crate::ui::session::{Session, WorkArea};
use crate::ui::theme::{self, tokens::type_size};
use crate::ui::view::{Outbox, View};
use crate::ui::widgets::{date_picker, motion, pieces};
use egui::{Color32, Layout, RichText, Ui};

/// Points that a fact takes at least. Where all six have less, what has no price is left to Money, and below that by what
/// the finish moved to Dates.
const LEAST: f32 = 150.0;

/// One fact of the strip: a small label, the figure, and a note in a color.
struct Fact {
    label: String,
    value: String,
    note: String,
    tone: Color32,
}

/// Draws the strip. `candidate` holds the figures as they would be with the option under the pointer.
pub fn ui(
    ui: &mut Ui,
    view: &View<'_>,
    session: &mut Session,
    candidate: Option<Preview>,
    unsaved: bool,
    out: &mut Outbox,
) {
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 0.0;
        let width = ui.available_width();
        let name_width = (width * 0.16).clamp(150.0, 240.0);
        let facts = [6.0, 5.0].into_iter().find(|n| (width - name_width) / n >= LEAST).unwrap_or(4.0);
        let rest = (width - name_width) / facts;
        let narrow = rest < 170.0;
        ui.allocate_ui_with_layout(egui::vec2(name_width, 50.0), Layout::top_down(egui::Align::Min), |ui| {
            ui.set_min_width(name_width);
            project_name(ui, view, session, unsaved);
        });
        let finish = fact(ui, view, rest, "finish", &finish_fact(view, candidate, narrow));
        if finish.clicked() {
            out.command(Command::Show(WorkArea::Dates));
        }
        if candidate.is_none() && view.figures.forecast_finish.is_some() && why_link(ui, view, finish.rect) {
            session.why = Some(crate::ui::why::WhyTarget::Finish);
        }
        finish.on_hover_ui(|ui| finish_rule(ui, view));
        if facts > 4.0 {
            moved(ui, view, rest, narrow, out);
        }
        let total = fact(ui, view, rest, "forecast", &forecast_fact(view, candidate, narrow));
        if total.clicked() {
            out.command(Command::Show(WorkArea::Money));
        }
        total.on_hover_ui(|ui| forecast_rule(ui, view));
        if facts > 5.0 {
            let unpriced = fact(ui, view, rest, "unpriced", &unpriced_fact(view, narrow));
            if unpriced.clicked() {
                out.command(Command::Show(WorkArea::Money));
            }
            unpriced.on_hover_ui(|ui| unpriced_rule(ui, view));
        }
        let week = view.derived.week(view.project, session.week.shown);
        let next = fact(ui, view, rest, "week", &week_fact(view, &week, narrow));
        if next.on_hover_ui(|ui| week_rule(ui, &week)).clicked() {
            session.week.shown.kind = None;
            session.week.picked = week.next().map(|line| line.id.clone());
            session.week.scroll_to_picked = true;
            out.command(Command::Show(WorkArea::Week));
        }
        if fact(ui, view, rest, "settle", &settle_fact(view)).clicked() {
            out.command(Command::ShowProblems);
        }
    });
}

/// By what the finish moved: since the plan agreed, else in the forecast.
fn moved(ui: &mut Ui, view: &View<'_>, width: f32, narrow: bool, out: &mut Outbox) {
    let agreed = view.derived.agreed(view.project);
    let shown =
        agreed.map_or_else(|| moved_fact(view, narrow), |(_, story)| agreed_fact(view, story, narrow));
    let moved = fact(ui, view, width, "moved", &shown).on_hover_ui(|ui| match agreed {
        Some((plan, story)) => agreed_rule(ui, view, plan, story),
        None => moved_rule(ui),
    });
    if moved.clicked() && agreed.is_some() {
        out.command(Command::ShowStory);
    } else if moved.clicked() {
        let moved = view.figures.moved.unwrap_or_default();
        let to_sign = moved.sign_offs + moved.gates > moved.deliveries;
        out.command(Command::Show(if to_sign { WorkArea::SignOffs } else { WorkArea::Dates }));
    }
}

/// The way to the chain that fixes the finish, in the corner of its fact.
fn why_link(ui: &mut Ui, view: &View<'_>, fact: egui::Rect) -> bool {
    let corner = egui::Rect::from_min_max(fact.min, egui::pos2(fact.right() - 4.0, fact.top() + 17.0));
    let layout = Layout::right_to_left(egui::Align::Center);
    let mut place = ui.new_child(egui::UiBuilder::new().max_rect(corner).layout(layout));
    place.spacing_mut().button_padding = egui::vec2(3.0, 0.0);
    let text = RichText::new("why?").size(type_size::SMALL).color(view.tokens.accent);
    let link = place.add(egui::Button::new(text).frame(false).min_size(egui::vec2(24.0, 16.0)));
    link.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Button, true, "Why this finish?"));
    link.on_hover_text("What sets this day, from the end back to the as-of day").clicked()
}

fn finish_rule(ui: &mut Ui, view: &View<'_>) {
    let near = view.as_of();
    ui.label(
        "The last day of the forecast: each phase after what it waits for, and after its parts have come.",
    );
    if let Some(plan) = view.figures.plan_finish {
        ui.label(format!("Without deliveries: {}", format::day(plan, near)));
    }
    if let Some(target) = view.project.settings.target_finish {
        ui.label(format!("Wanted by: {}", format::day(Day::from(target), near)));
    }
}

fn forecast_rule(ui: &mut Ui, view: &View<'_>) {
    let (money, currency) = (&view.figures.money, view.currency());
    ui.label(format!("{} With freight and tax, accepted bids, fees and extras.", format::FORECAST));
    ui.label(format!("Allowances: {}", format::money(money.total.allowance, currency)));
    ui.label(format!("Ordered: {}", format::money(money.total.ordered, currency)));
    ui.label(format!("Paid: {}", format::money(money.total.paid, currency)));
}

fn project_name(ui: &mut Ui, view: &View<'_>, session: &mut Session, unsaved: bool) {
    ui.spacing_mut().item_spacing.y = 1.0;
    let name = &view.project.settings.name;
    let shown = if unsaved { format!("{name} \u{2022}") } else { name.clone() };
    let label = ui.add(egui::Label::new(pieces::strong(shown, 17.0)).truncate());
    label.on_hover_text(if unsaved { "Not saved yet" } else { "Saved" });
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 4.0;
        let caption = pieces::muted(ui, view.tokens, "as of");
        let text = session.as_of_text.get_or_insert_with(|| view.as_of().to_string());
        let field = ui
            .add(
                egui::TextEdit::singleline(text)
                    .desired_width(78.0)
                    .align(egui::Align2::LEFT_CENTER)
                    .font(theme::regular(type_size::SMALL))
                    .margin(egui::vec2(4.0, 3.0)),
            )
            .labelled_by(caption.id)
            .on_hover_text("The day all figures are for: 2026-12-17 or Dec 17. Leave it empty for today.");
        let escaped = modals::escaped_field(&field);
        match fields::day("As of", text) {
            Ok(day) if field.lost_focus() && !escaped => {
                (session.pinned_day, session.as_of_text) = (day, None);
            }
            _ if field.has_focus() => {}
            // What cannot be read stays there until it is mended, emptied or given up.
            Err(why) if !escaped => pieces::say_fault(ui, view.tokens, &field, &why),
            _ => session.as_of_text = None,
        }
        if let Some(day) = date_picker::button(ui, "as of", Some(view.as_of().date())).picked {
            (session.pinned_day, session.as_of_text) = (Some(day), None);
        }
    });
}

fn fact(ui: &mut Ui, view: &View<'_>, width: f32, id: &str, fact: &Fact) -> egui::Response {
    let tokens = view.tokens;
    let name = [fact.label.as_str(), fact.value.as_str(), fact.note.as_str()]
        .into_iter()
        .filter(|t| !t.is_empty())
        .collect::<Vec<_>>()
        .join(", ");
    let rect = ui.cursor();
    ui.painter().vline(
        rect.left() + 1.0,
        egui::Rangef::new(rect.top() + 6.0, rect.top() + 44.0),
        egui::Stroke::new(1.0, tokens.line),
    );
    // What a candidate would make of it is no change.
    if !fact.label.ends_with("would be") {
        let figure =
            egui::Rect::from_min_size(rect.min + egui::vec2(12.0, 16.0), egui::vec2(width - 22.0, 20.0));
        motion::glow(ui, tokens, ("head", id), &fact.value, figure);
    }
    pieces::clickable(ui, id, &name, |ui| {
        ui.allocate_ui_with_layout(egui::vec2(width, 50.0), Layout::top_down(egui::Align::Min), |ui| {
            egui::Frame::NONE.inner_margin(egui::Margin { left: 14, right: 6, top: 0, bottom: 0 }).show(
                ui,
                |ui| {
                    ui.set_width(ui.available_width());
                    ui.spacing_mut().item_spacing.y = 0.0;
                    let small = |text: &str, color| {
                        egui::Label::new(RichText::new(text).size(type_size::SMALL).color(color)).truncate()
                    };
                    ui.add(small(if fact.label.is_empty() { " " } else { &fact.label }, tokens.muted));
                    let bold = |words: &str| {
                        ui.painter()
                            .layout_no_wrap(words.to_owned(), theme::strong(15.0), tokens.text)
                            .size()
                            .x
                    };
                    // What is to be done is known without its room; a day or an amount has no part to spare.
                    let value = match id {
                        "week" => whole_parts(&fact.value, ui.available_width(), bold),
                        _ => &fact.value,
                    };
                    ui.add(egui::Label::new(pieces::strong(value, 15.0)).truncate());
                    let font = theme::regular(type_size::SMALL);
                    let wide = |words: &str| {
                        ui.painter().layout_no_wrap(words.to_owned(), font.clone(), fact.tone).size().x
                    };
                    let note = whole_parts(&fact.note, ui.available_width(), wide);
                    ui.add(small(note, fact.tone));
                },
            );
        });
    })
}

/// As many of the parts of a note as there is room for, the first one in any case: what comes last matters least.
fn whole_parts(note: &str, room: f32, wide: impl Fn(&str) -> f32) -> &str {
    let mut shown = note;
    while wide(shown) > room {
        match shown.rfind(", ") {
            Some(end) => shown = &shown[..end],
            None => break,
        }
    }
    shown
}

/// The finish, and what it would be; without the day of the week where there is little room.
fn finish_fact(view: &View<'_>, candidate: Option<Preview>, narrow: bool) -> Fact {
    let day = if narrow { format::day_short } else { format::day };
    let figures = view.figures;
    let Some(now) = figures.forecast_finish else {
        return Fact {
            label: "Finish".to_owned(),
            value: "no phases yet".to_owned(),
            note: "add phases in Dates".to_owned(),
            tone: view.tokens.muted,
        };
    };
    if let Some(finish) = candidate.and_then(|c| c.finish) {
        let (note, tone) = match figures.finish_moves(Some(finish)).unwrap_or(0) {
            0 => ("no change".to_owned(), view.tokens.muted),
            n => (
                format::moved(n, "working day").unwrap_or_default(),
                if n > 0 { view.tokens.late } else { view.tokens.good },
            ),
        };
        return Fact { label: "Finish would be".to_owned(), value: day(finish, view.as_of()), note, tone };
    }
    let days = |n: i32| format::count(n, if narrow { "day" } else { "working day" });
    let (note, tone) = match figures.after_target(view.project) {
        Some(n) if n > 0 => (format!("{} after the target", days(n)), view.tokens.late),
        // Phases without days take none here, so no target holds yet.
        _ if figures.assumed.phases > 0 => {
            let phases = format::count(figures.assumed.phases, "phase");
            (format!("or later: {phases} without days"), view.tokens.soon)
        }
        Some(0) => ("the target holds".to_owned(), view.tokens.good),
        Some(n) => (format!("{} before the target", days(-n)), view.tokens.good),
        None => ("no target is set".to_owned(), view.tokens.muted),
    };
    Fact { label: "Finish".to_owned(), value: day(now, view.as_of()), note, tone }
}

/// By what the finish moved, the causes that count.
fn moved_fact(view: &View<'_>, narrow: bool) -> Fact {
    let moved = view.figures.moved.unwrap_or_default();
    let causes = [("deliveries", moved.deliveries), ("sign-offs", moved.sign_offs), ("gates", moved.gates)];
    let causes: Vec<String> =
        causes.iter().filter(|(_, n)| *n != 0).map(|(cause, n)| format!("{cause} {n}")).collect();
    let assumed = view.figures.assumed.finish;
    let (value, tone) = match moved.days() {
        0 => ("No day lost".to_owned(), view.tokens.muted),
        n => (
            format!("{} lost", format::count(n, if narrow { "day" } else { "working day" })),
            view.tokens.late,
        ),
    };
    let note = match (causes.is_empty(), assumed) {
        (true, true) => "rests on typical times".to_owned(),
        (true, false) => String::new(),
        _ => causes.join(", "),
    };
    Fact { label: "Moved by".to_owned(), value, note, tone }
}

/// By what the finish moved since a plan was agreed on.
fn agreed_fact(view: &View<'_>, story: &Story, narrow: bool) -> Fact {
    let word = if narrow { "day" } else { "working day" };
    let value = match story.days {
        None => "no day to compare".to_owned(),
        Some(n) => format::moved(n, word).unwrap_or_else(|| "as agreed".to_owned()),
    };
    let tone = if story.days > Some(0) { view.tokens.late } else { view.tokens.muted };
    let causes = story.days_by_cause(view.project);
    let note = if causes.is_empty() { money_moved(view, story.money) } else { causes };
    Fact {
        label: if narrow { "Since agreed" } else { "Since the plan agreed" }.to_owned(),
        value,
        note,
        tone,
    }
}

/// By what the total moved, in words.
pub fn money_moved(view: &View<'_>, money: Money) -> String {
    let words = format::moved_money(money, |amount| format::money(amount, view.currency()));
    words.unwrap_or_else(|| "the total as agreed".to_owned())
}

fn agreed_rule(ui: &mut Ui, view: &View<'_>, plan: &KeptPlan, story: &Story) {
    let near = view.as_of();
    let finish = plan.finish.map_or("no finish".to_owned(), |day| format::day(Day::from(day), near));
    ui.label(format!("{}, kept {}: {finish}", plan.name, format::day(Day::from(plan.on), near)));
    for step in story.steps(12) {
        let days = format::count(step.moved.days, "working day");
        let money = money_moved(view, step.moved.money);
        let words = match (step.moved.days, step.moved.money.is_zero()) {
            (0, _) => money,
            (_, true) => days,
            _ => format!("{days}, {money}"),
        };
        ui.label(format!("{}: {words}", Story::name_of(view.project, &step)));
    }
    let moved = view.figures.moved.unwrap_or_default();
    let causes = [("deliveries", moved.deliveries), ("sign-offs", moved.sign_offs), ("gates", moved.gates)];
    let held: Vec<String> =
        causes.iter().filter(|(_, n)| *n != 0).map(|(cause, n)| format!("{cause} {n}")).collect();
    if !held.is_empty() {
        let held = held.join(", ");
        ui.label(format!("What the forecast waits for now, in working days beyond its own plan: {held}"));
    }
    pieces::muted(ui, view.tokens, "A click tells where the days and the money went.");
}

fn moved_rule(ui: &mut Ui) {
    ui.label("To see what moves it from a day on, keep the plan: the menu has it.");
    ui.label("Working days by which the finish moved: first the waits after failed visits, then deliveries, then gates that are not ready, each on top of those before it.");
}

/// What has no price, and what of the forecast is assumed.
fn unpriced_fact(view: &View<'_>, narrow: bool) -> Fact {
    let (total, trades) = (&view.figures.money.total, &view.figures.trades);
    let things = total.left_out as usize - trades.unpriced.len().min(total.left_out as usize);
    let value = match (trades.unpriced_days, things) {
        (0, 0) => "Nothing".to_owned(),
        (0, n) => format::count(n, "thing"),
        (days, _) if narrow => format!("{} of work", format::count(days, "day")),
        (days, 0) => format!("{} of work", format::count(days, "day")),
        (days, n) => format!("{} of work, {}", format::count(days, "day"), format::count(n, "thing")),
    };
    let note = if total.assumed.is_zero() {
        String::new()
    } else {
        format!("{} is assumed", format::money_short(total.assumed))
    };
    let tone = if total.is_least() { view.tokens.soon } else { view.tokens.muted };
    Fact { label: "Without a price".to_owned(), value, note, tone }
}

fn unpriced_rule(ui: &mut Ui, view: &View<'_>) {
    let (total, trades) = (&view.figures.money.total, &view.figures.trades);
    ui.label("Work of trades that no bid covers, and what else nobody has named a price for and no allowance stands for. The forecast is without it.");
    for phase in trades.unpriced.iter().filter_map(|at| view.project.phases.get(*at)).take(8) {
        ui.label(format!("{}, {}", phase.name, format::count(phase.counted_days(), "day")));
    }
    if !total.assumed.is_zero() {
        let assumed = format::money(total.assumed, view.currency());
        ui.label(format!(
            "Of the forecast, {assumed} rests on allowances, open scopes and cheapest candidates."
        ));
    }
}

fn forecast_fact(view: &View<'_>, candidate: Option<Preview>, narrow: bool) -> Fact {
    let currency = view.currency();
    let total = &view.figures.money.total;
    let at_least = |amount: Money, least: bool| match (least, narrow) {
        (true, true) => format!("at least {}", format::money_short(amount)),
        (true, false) => format!("at least {}", format::money(amount, currency)),
        _ => format::money(amount, currency),
    };
    if let Some(preview) = candidate {
        let change = total.forecast_moves(preview.forecast);
        let (note, tone) = if change.is_zero() {
            ("no change".to_owned(), view.tokens.muted)
        } else if change.is_negative() {
            (format!("{} less", format::money(change.abs(), currency)), view.tokens.good)
        } else {
            (format!("{} more", format::money(change, currency)), view.tokens.late)
        };
        let value = at_least(preview.forecast, preview.least);
        return Fact { label: "Forecast would be".to_owned(), value, note, tone };
    }
    let over = total.over_under();
    let tone = if over.is_negative() || over.is_zero() { view.tokens.muted } else { view.tokens.late };
    Fact {
        label: format!("Forecast, {currency}"),
        value: at_least(total.forecast, total.is_least()),
        note: if narrow { over_short(over, currency) } else { format::over_under(over, currency) },
        tone,
    }
}

/// Over or under the allowance in the fewest words; hovering tells the rest.
fn over_short(over: crate::model::Money, currency: crate::model::Currency) -> String {
    let words = format::over_under(over, currency);
    words.strip_suffix(" allowance").filter(|_| !over.is_zero()).unwrap_or(&words).to_owned()
}

/// What is to be done first, and how much there is.
fn week_fact(view: &View<'_>, week: &WeekRows, narrow: bool) -> Fact {
    let all = format::count(week.sheet.lines.len() as i32, "thing");
    let Some(line) = week.next() else {
        let days = week.sheet.until.since(week.sheet.as_of) + 1;
        return Fact {
            label: "Next to do".to_owned(),
            value: "Nothing".to_owned(),
            note: format!("in the next {days} days"),
            tone: view.tokens.muted,
        };
    };
    let late = view.as_of().since(line.day);
    let (note, tone) = match (week.overdue, late) {
        (0, 0) => ("today is the last day".to_owned(), view.tokens.soon),
        (0, _) => (format!("by {}", format::day(line.day, view.as_of())), view.tokens.muted),
        (n, _) if narrow => (format!("{n} overdue"), view.tokens.late),
        (n, days) => (format!("{} ago, {n} overdue", format::count(days, "day")), view.tokens.late),
    };
    Fact {
        label: if narrow {
            format!("Next of {}", week.sheet.lines.len())
        } else {
            format!("Next of {all} to do")
        },
        value: week.sheet.what(line),
        note,
        tone,
    }
}

fn week_rule(ui: &mut Ui, week: &WeekRows) {
    for line in week.sheet.lines.iter().take(5) {
        ui.label(week.sheet.what(line));
    }
    let more = week.sheet.lines.len().saturating_sub(5);
    if more > 0 {
        ui.label(format!("and {more} more in This week"));
    }
}

fn settle_fact(view: &View<'_>) -> Fact {
    let undecided = view.facts().undecided;
    let (errors, warnings) = view.derived.problem_counts;
    let (tone, all) = match (errors, warnings) {
        (0, 0) => (view.tokens.muted, None),
        (0, n) => (view.tokens.soon, format::to_settle(0, n)),
        (n, rest) => (view.tokens.late, format::to_settle(n, rest)),
    };
    let note = all.unwrap_or_else(|| "nothing else".to_owned());
    let note = match view.figures.people.to_call().len() {
        0 => note,
        n => format!("{n} to call, {note}"),
    };
    Fact { label: "To settle".to_owned(), value: format!("{undecided} undecided"), note, tone }
}
