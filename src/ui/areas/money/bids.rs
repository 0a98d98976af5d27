//! Bids for one scope side by side, like options: leveled, with what each leaves out, when it could start and how long it
//! takes on one axis, and finish and total as they would become.

use super::installments;
use crate::engine::Day;
use crate::engine::trades::Bids;
use crate::model::{Action, Quote, QuoteId, Subject};
use crate::ui::choosing::to_tell;
use crate::ui::format;
use crate::ui::session::Session;
use crate::ui::theme::{self, tokens::space, tokens::type_size};
use crate::ui::view::{Outbox, Request, View};
use crate::ui::widgets::axis::TimeAxis;
use crate::ui::widgets::pieces;
use egui::{Align, Align2, Layout, Rangef, Rect, RichText, Sense, Stroke, Ui, pos2, vec2};

/// Points a card is wide, at the most and at the least.
const CARD: (f32, f32) = (196.0, 150.0);
/// Points that the frame of a card and the space behind it take.
const AROUND: f32 = 26.0;

/// Draws all scopes.
pub fn ui(ui: &mut Ui, view: &View<'_>, session: &mut Session, out: &mut Outbox) {
    session.hovered_bid = None;
    for bids in &view.figures.trades.bids {
        let quotes: Vec<&Quote> = bids.quotes.iter().filter_map(|at| view.project.quotes.get(*at)).collect();
        let Some(first) = quotes.first() else { continue };
        ui.add_space(space::S);
        let open = !quotes.iter().any(|q| q.accepted);
        ui.horizontal(|ui| {
            let scope = if first.scope.is_empty() { &first.trade } else { &first.scope };
            ui.label(pieces::strong(scope, type_size::BODY));
            if open {
                ui.label(RichText::new("none accepted").size(type_size::SMALL).color(view.tokens.soon));
            }
        });
        let mut sorted = quotes.clone();
        sorted.sort_by_key(|q| q.leveled());
        let axis = axis(view, &quotes);
        let room = ui.available_width();
        let in_row = (room / (CARD.1 + AROUND)).floor().clamp(1.0, sorted.len() as f32);
        let width = (room / in_row - AROUND).clamp(CARD.1, CARD.0);
        // By their tops, so that what each says stands level with the others.
        ui.with_layout(Layout::left_to_right(Align::Min).with_main_wrap(true), |ui| {
            for quote in &sorted {
                card(ui, view, session, (bids, quote), axis, width, out);
            }
        });
        for quote in quotes.iter().filter(|q| q.accepted) {
            installments::ui(ui, view, quote, out);
        }
    }
    // The head was drawn before it was known which bid is under the pointer.
    let (last, now) = (egui::Id::unique("last_hovered_bid"), session.hovered_bid);
    if ui.data(|d| d.get_temp::<Option<QuoteId>>(last)).flatten() != now {
        ui.data_mut(|d| d.insert_temp(last, now));
        ui.ctx().request_repaint();
    }
}

/// The days of a bid: from its start, else that of its first phase in the forecast, over as many working days as it takes.
fn days(view: &View<'_>, quote: &Quote) -> Option<(Day, Day)> {
    let first = quote.phases().filter_map(|id| view.figures.phase(id)?.forecast_start).min();
    let start = quote.starts_on.map(Day::from).or(first)?;
    let work = view.figures.days.work();
    let last = quote.days.map_or(start, |n| work.offset(start, (n - 1).max(0)));
    Some((start, last))
}

/// The days of all bids of a scope, and the day its work starts in the forecast.
fn axis(view: &View<'_>, quotes: &[&Quote]) -> Option<(Day, Day, Option<Day>)> {
    if quotes.iter().all(|q| q.starts_on.is_none() && q.days.is_none()) {
        return None;
    }
    let spans: Vec<(Day, Day)> = quotes.iter().filter_map(|q| days(view, q)).collect();
    let phases = quotes.iter().flat_map(|q| q.phases());
    let wanted = phases.filter_map(|id| view.figures.phase(id)?.forecast_start).min();
    let from = spans.iter().map(|(from, _)| *from).chain(wanted).min()?;
    let to = spans.iter().map(|(_, to)| *to).chain(wanted).max()?;
    Some((from.plus(-3), to.plus(4), wanted))
}

fn card(
    ui: &mut Ui,
    view: &View<'_>,
    session: &mut Session,
    (bids, quote): (&Bids, &Quote),
    axis: Option<(Day, Day, Option<Day>)>,
    width: f32,
    out: &mut Outbox,
) {
    let tokens = view.tokens;
    let stroke = if quote.accepted { Stroke::new(2.0, tokens.accent) } else { Stroke::new(1.0, tokens.line) };
    let frame =
        egui::Frame::new().fill(tokens.card).stroke(stroke).corner_radius(6).inner_margin(9.0 - stroke.width);
    let mut focused = false;
    let shown = frame.show(ui, |ui| {
        ui.vertical(|ui| {
            ui.set_width(width);
            ui.spacing_mut().item_spacing.y = 1.0;
            let trade = ui.add(egui::Button::new(&quote.trade).frame(false).truncate());
            let trade = trade.on_hover_text("What it is and leaves out; right click for more");
            if trade.clicked() {
                out.push(Request::Pick(Subject::Quote(quote.id)));
            }
            trade.context_menu(|ui| {
                if ui.button("Remove bid").clicked() {
                    out.act(Action::RemoveQuote(quote.id));
                }
            });
            price(ui, view, bids, quote);
            left_out(ui, view, quote);
            if let Some(axis) = axis {
                strip(ui, view, quote, axis);
            }
            let crew = quote.crew.and_then(|id| view.project.crew(id)).filter(|c| c.name != quote.trade);
            if let Some(crew) = crew
                && pieces::link(ui, tokens, &crew.name).on_hover_text("The crew and its days away").clicked()
            {
                out.push(Request::Pick(Subject::Crew(crew.id)));
            }
            validity(ui, view, quote);
            focused = accept(ui, view, quote, out);
        });
    });
    if session.scroll_to_bid == Some(quote.id) {
        session.scroll_to_bid = None;
        ui.scroll_to_rect(shown.response.rect, Some(egui::Align::Center));
    }
    if !quote.accepted && (focused || shown.response.contains_pointer()) {
        session.hovered_bid = Some(quote.id);
    }
}

fn price(ui: &mut Ui, view: &View<'_>, bids: &Bids, quote: &Quote) {
    let (tokens, currency) = (view.tokens, view.currency());
    let money = |sum| format::money(sum, currency);
    let leveled = quote.leveled();
    let least = if quote.has_holes() { "at least " } else { "" };
    if quote.amount.is_zero() {
        pieces::muted(ui, tokens, "no price yet");
        return;
    }
    ui.label(pieces::strong(format!("{least}{}", money(leveled)), 15.0));
    if leveled != quote.amount {
        pieces::muted(ui, tokens, format!("{} and what it leaves out", money(quote.amount)));
    }
    let at = bids.quotes.iter().find(|at| view.project.quotes.get(**at).is_some_and(|q| q.id == quote.id));
    let undercut = at.is_some_and(|at| bids.is_undercut(view.project, *at));
    let lowest = bids.lowest.and_then(|at| view.project.quotes.get(at));
    match lowest {
        Some(low) if low.id == quote.id => {
            pieces::muted(ui, tokens, "the lowest");
        }
        Some(low) if !quote.has_holes() => {
            pieces::muted(ui, tokens, format!("{} above the lowest", money(leveled.less(low.leveled()))));
        }
        None if !quote.has_holes() && undercut => {
            pieces::muted(ui, tokens, "lower ones leave something unpriced")
                .on_hover_text("Ask for the price of what it leaves out");
        }
        _ => {}
    }
    if let Some(over) = quote.allowance.map(|allowance| leveled.less(allowance)) {
        pieces::muted(ui, tokens, format::over_under(over, currency));
    }
}

fn left_out(ui: &mut Ui, view: &View<'_>, quote: &Quote) {
    let (tokens, currency) = (view.tokens, view.currency());
    for left in &quote.left_out {
        let (words, tone) = match left.amount {
            Some(sum) => (format!("without {}, {}", left.what, format::money(sum, currency)), tokens.muted),
            None => (format!("without {}, not priced", left.what), tokens.soon),
        };
        ui.add(egui::Label::new(RichText::new(words).size(type_size::SMALL).color(tone)).wrap());
    }
}

/// The days of a bid on the axis of its scope, with the start in the forecast as an upright line.
fn strip(ui: &mut Ui, view: &View<'_>, quote: &Quote, (from, to, wanted): (Day, Day, Option<Day>)) {
    let (tokens, near) = (view.tokens, view.as_of());
    let words = match (quote.starts_on, quote.days) {
        (Some(start), Some(days)) => {
            format!("from {}, {}", format::day_short(Day::from(start), near), format::count(days, "day"))
        }
        (Some(start), None) => format!("from {}, days not said", format::day_short(Day::from(start), near)),
        (None, Some(days)) => format!("{}, start not said", format::count(days, "day")),
        (None, None) => "start and days not said".to_owned(),
    };
    pieces::muted(ui, tokens, words);
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), 26.0), Sense::hover());
    let painter = ui.painter_at(rect);
    let axis = TimeAxis::new(from, to, rect.x_range());
    axis.paint_month_lines(&painter, rect.y_range(), tokens);
    if let Some((first, last)) = days(view, quote) {
        let x = Rangef::new(axis.at(first), axis.at(last.plus(1)));
        let bar = Rect::from_x_y_ranges(x, Rangef::new(rect.top() + 5.0, rect.top() + 13.0));
        // What nobody has said is an outline.
        if quote.starts_on.is_some() && quote.days.is_some() {
            painter.rect_filled(bar, 2.0, tokens.bar);
        } else {
            painter.rect_stroke(bar, 2.0, Stroke::new(1.2, tokens.bar), egui::StrokeKind::Inside);
        }
    }
    if let Some(wanted) = wanted {
        let x = axis.at(wanted);
        painter.vline(x, Rangef::new(rect.top() + 1.0, rect.bottom() - 6.0), Stroke::new(2.0, tokens.need));
        let late = quote.starts_on.map(Day::from).filter(|start| *start > wanted);
        let (text, tone) = match late {
            Some(start) => {
                let days = view.figures.days.work().count(wanted, start);
                (format!("{} after its day", format::count(days, "working day")), tokens.late)
            }
            None => (format!("wanted {}", format::day_short(wanted, near)), tokens.muted),
        };
        let end = if x > rect.center().x { Align2::RIGHT_CENTER } else { Align2::LEFT_CENTER };
        painter.text(pos2(x, rect.bottom() - 5.5), end, text, theme::regular(9.5), tone);
    }
    response.on_hover_text(
        "Its days from left to right; the upright line is the start of the work in the forecast",
    );
}

fn validity(ui: &mut Ui, view: &View<'_>, quote: &Quote) {
    let Some(until) = quote.valid_until.map(Day::from).filter(|_| !quote.accepted) else { return };
    let day = format::day_short(until, view.as_of());
    let (words, tone) = if until < view.as_of() {
        (format!("price held until {day}: ask again"), view.tokens.late)
    } else {
        (format!("price holds until {day}"), view.tokens.muted)
    };
    ui.label(RichText::new(words).size(type_size::SMALL).color(tone));
}

/// The way to accept it, with what would become of finish and total; whether it has the focus.
fn accept(ui: &mut Ui, view: &View<'_>, quote: &Quote, out: &mut Outbox) -> bool {
    if quote.accepted {
        // As high as the button that others have in its place.
        ui.horizontal(|ui| {
            ui.set_min_height(pieces::LEAST);
            ui.label(RichText::new("\u{2713} accepted").color(view.tokens.accent));
        });
        return false;
    }
    let accept = pieces::link(ui, view.tokens, "accept");
    accept.widget_info(|| {
        let name = format!("Accept {} for {}", quote.trade, quote.scope);
        egui::WidgetInfo::labeled(egui::Role::Button, true, name)
    });
    if accept.clicked() {
        out.act(Action::AcceptQuote(quote.id));
    }
    let focused = accept.has_focus();
    accept.on_hover_ui(|ui| {
        ui.label(becomes(view, quote.id));
        ui.label(to_tell(view.project, quote));
    });
    focused
}

/// Finish and total as they would become.
fn becomes(view: &View<'_>, id: QuoteId) -> String {
    let Some(preview) = view.derived.bid_preview(view.project, id) else { return String::new() };
    let now = view.figures.money.total.forecast;
    let (currency, more) = (view.currency(), preview.forecast.less(now));
    let total = format::money(preview.forecast, currency);
    let least = if preview.least { "at least " } else { "" };
    let money = match format::moved_money(more, |amount| format::money(amount, currency)) {
        None => format!("the total stays {least}{total}"),
        Some(moved) => format!("total {least}{total}, {moved}"),
    };
    let days = match (preview.finish, view.figures.finish_moves(preview.finish)) {
        (Some(finish), Some(n)) => match format::moved(n, "working day") {
            None => format!("Finish stays {}", format::day(finish, view.as_of())),
            Some(moved) => format!("Finish {}, {moved}", format::day(finish, view.as_of())),
        },
        _ => "No finish".to_owned(),
    };
    format!("{days}; {money}")
}
