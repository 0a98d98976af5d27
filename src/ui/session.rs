//! What the window remembers that is not part of the document: what is shown, picked, typed and filtered.

pub use super::areas::WorkArea;
use super::areas::dates::rows;
use super::areas::house::ledger::{LedgerColumn, LedgerRows, LedgerState};
use crate::engine::phase_groups::PhasesBy;
use crate::model::{RoomId, SelectionId, Subject};
use crate::ui::derived::Dropping;
use crate::ui::view::View;
use chrono::NaiveDate;
use serde::{Deserialize, Serialize};
use std::collections::BTreeSet;

/// Which rows of the ledger are shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default, Serialize, Deserialize)]
pub enum RowFilter {
    /// All.
    #[default]
    All,
    /// With nothing that counts: neither a choice nor one that is leaned to.
    ToDecide,
    /// Leaned to, and not chosen.
    Leaning,
    /// To be ordered within two weeks.
    OrderSoon,
    /// With a part that arrives after it is needed.
    Late,
    /// Chosen or leaned to, with a part that is not ordered.
    ToOrder,
    /// With a part that is ordered and has not come.
    Ordered,
    /// All parts have come.
    OnSite,
}

impl RowFilter {
    /// All, in the order of the window, with their names.
    pub const ALL: [(RowFilter, &'static str); 8] = [
        (RowFilter::All, "All"),
        (RowFilter::Late, "Late"),
        (RowFilter::ToDecide, "To decide"),
        (RowFilter::Leaning, "Leaning"),
        (RowFilter::OrderSoon, "Order in two weeks"),
        (RowFilter::ToOrder, "To order"),
        (RowFilter::Ordered, "On the way"),
        (RowFilter::OnSite, "On site"),
    ];
}

/// Which rows of Dates or Money are grouped how.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default, Serialize, Deserialize)]
pub enum MoneyBy {
    /// By room.
    #[default]
    Room,
    /// By supplier.
    Supplier,
    /// By category.
    Category,
    /// By phase.
    Phase,
}

impl MoneyBy {
    /// All, with their names.
    pub const ALL: [(MoneyBy, &'static str); 4] = [
        (MoneyBy::Room, "By room"),
        (MoneyBy::Supplier, "By supplier"),
        (MoneyBy::Category, "By category"),
        (MoneyBy::Phase, "By phase"),
    ];
}

/// The document and day, the grouping, and the rows that are open.
pub type MoneyKey = ((crate::model::history::Revision, NaiveDate), MoneyBy, BTreeSet<(MoneyBy, usize)>);

/// Rows of the money table.
pub type MoneyRows = std::sync::Arc<[super::areas::money::lines::Line]>;

/// State of the calendar of Dates.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct DatesState {
    /// The phase below the calendar.
    pub picked: Option<crate::model::PhaseId>,
    /// A bar that is being dragged, and points it was dragged by.
    pub drag: Option<(crate::model::PhaseId, f32)>,
    /// What letting that bar go would set: the phase, and the day before which it would not begin.
    pub would: Option<(crate::model::PhaseId, Option<NaiveDate>)>,
    /// What is wrong with what was typed last.
    pub fault: Option<String>,
    /// Where the calendar is to be scrolled to sideways.
    pub scroll_x: Option<f32>,
    /// The same from above.
    pub scroll_y: Option<f32>,
    /// What the phases are grouped by.
    pub by: PhasesBy,
    /// Groups that are folded.
    pub folded: rows::Folded,
    /// The rows, kept between frames.
    pub rows: std::sync::Arc<rows::Rows>,
    /// How far down the calendar was seen last.
    pub bottom: f32,
    /// The calendar was shown before; at first it shows what is not finished.
    pub shown: bool,
    /// All crews that are to be called are named, and not only the first.
    pub all_calls: bool,
}

impl DatesState {
    /// What letting the bar go that is being dragged would make of the days and the total.
    pub fn dropping(&self, view: &View<'_>) -> Option<Dropping> {
        self.drag?;
        let (phase, day) = self.would?;
        view.derived.dropped(view.project, phase, day)
    }
}

/// What is open and typed in Sign-offs.
#[derive(Debug, Clone, Default)]
pub struct SignOffs {
    /// The page shown.
    pub page: crate::ui::areas::signoffs::Page,
    /// The punch list.
    pub punch: crate::ui::areas::signoffs::punch::PunchPage,
    /// Warranties and manuals.
    pub handover: crate::ui::areas::signoffs::handover::HandoverPage,
    /// Bring this thing on the punch list to view at the next frame.
    pub scroll_to_punch: Option<crate::model::PunchId>,
    /// Finished phases and gates that are ready are shown too.
    pub all: bool,
    /// Phases whose details are open.
    pub open: std::collections::BTreeSet<crate::model::PhaseId>,
    /// Cautions of these phases are open.
    pub cautions: std::collections::BTreeSet<crate::model::PhaseId>,
    /// A confirmation being written: who and when.
    pub confirming: Option<(crate::model::ConditionId, String, String)>,
    /// A visit of an inspector being written: when, and what was said.
    pub visiting: Option<(crate::model::PhaseId, String, String)>,
    /// Why what was written cannot be taken.
    pub fault: Option<String>,
    /// Bring this gate to view at the next frame.
    pub scroll_to: Option<crate::model::GateId>,
    /// Bring this phase to view at the next frame.
    pub scroll_to_phase: Option<crate::model::PhaseId>,
}

/// What is shown and picked in This week.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WeekState {
    /// How far it looks, and what of it is shown.
    pub shown: super::areas::week::rows::Shown,
    /// The line that is picked, by what keeps it apart from others.
    pub picked: Option<String>,
    /// Its place among those shown.
    pub place: usize,
    /// Bring that line to view at the next frame.
    pub scroll_to_picked: bool,
}

impl Default for WeekState {
    fn default() -> WeekState {
        let shown = super::areas::week::rows::Shown { days: crate::engine::week::HORIZONS[0], kind: None };
        WeekState { shown, picked: None, place: 0, scroll_to_picked: false }
    }
}

/// Whether the card is shown.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct CardState {
    /// Points it was dragged to beside the work area; the usual share of the window where it never was. A window that has
    /// no room for it draws it narrower and changes no wish.
    pub wanted: Option<f32>,
    /// It was folded away from beside the work area.
    pub folded: bool,
    /// It lies over the work area, where there is no room beside it.
    pub over: bool,
    /// Its options are compared over the whole width, in place of the work area.
    pub wide: bool,
    /// It was drawn beside the work area last.
    pub beside: bool,
    /// The selection it was last drawn for.
    pub seen: Option<SelectionId>,
}

impl CardState {
    /// Whether it is shown where there is room beside the work area, or where there is none.
    pub fn is_shown(self, beside: bool) -> bool {
        if beside { !self.folded } else { self.over }
    }

    /// Folds it away, or brings it back.
    pub fn fold(&mut self, beside: bool) {
        if beside {
            self.folded = !self.folded;
        } else {
            self.over = !self.over;
        }
    }
}

/// State of the window.
#[derive(Debug, Clone)]
pub struct Session {
    /// The work area shown.
    pub area: WorkArea,
    /// The room whose rows are shown; all of them when none.
    pub room: Option<RoomId>,
    /// The selection on the card.
    pub selection: Option<SelectionId>,
    /// What is on the card in its place: a room, a phase, a supplier, an order, a gate, a crew or a bid.
    pub beside: Option<Subject>,
    /// Whether the card is shown.
    pub card: CardState,
    /// Another option, while it is typed.
    pub add_row: super::card::add::AddRow,
    /// How a choice is drawn is explained on the card, until that was read.
    pub explain: bool,
    /// What is searched for.
    pub search: String,
    /// The bar has room for the search field; else it stands above the ledger.
    pub search_in_bar: bool,
    /// Put the cursor into the search field at the next frame.
    pub focus_search: bool,
    /// Rows shown.
    pub filter: RowFilter,
    /// Column the rows are in the order of; as in the document, room by room, when none.
    pub sort: Option<LedgerColumn>,
    /// Largest first.
    pub descending: bool,
    /// Rows, kept between frames.
    pub rows: LedgerRows,
    /// Columns, grouping, marks and edits of the ledger.
    pub ledger: LedgerState,
    /// Bring the picked row to view at the next frame.
    pub scroll_to_picked: bool,
    /// Grouping of the money table.
    pub money_by: MoneyBy,
    /// Rows of the money table that are open.
    pub money_open: BTreeSet<(MoneyBy, usize)>,
    /// Rows of the money table, kept between frames, and what they were made for.
    pub money_rows: Option<(MoneyKey, MoneyRows)>,
    /// Points a day takes on the calendar of Dates; at least as many as show all of it.
    pub day_width: f32,
    /// The calendar of Dates.
    pub dates: DatesState,
    /// Bring this phase to view at the next frame.
    pub scroll_to_phase: Option<crate::model::PhaseId>,
    /// Bring this bid to view at the next frame.
    pub scroll_to_bid: Option<crate::model::QuoteId>,
    /// The candidate under the pointer or with the keyboard, of which Dates shows what it would move.
    pub hovered_option: Option<crate::model::OptionId>,
    /// The bid under the pointer, whose finish and total the head shows.
    pub hovered_bid: Option<crate::model::QuoteId>,
    /// Parts ticked in Buying.
    pub ticked: std::collections::BTreeSet<crate::model::PartId>,
    /// Buying is by the last day to order, and not by supplier.
    pub buying_by_day: bool,
    /// Orders of which payments are shown in Buying.
    pub open_orders: BTreeSet<super::areas::buying::rows::Opened>,
    /// What is open in Sign-offs.
    pub sign_offs: SignOffs,
    /// How far This week looks, and which line of it is picked.
    pub week: WeekState,
    /// The pages of What if.
    pub what_if: super::areas::what_if::state::WhatIf,
    /// The date that is asked about.
    pub why: Option<super::why::WhyTarget>,
    /// The list of problems is open.
    pub problems_open: bool,
    /// What led from a kept plan to now is open.
    pub story_open: bool,
    /// The kept plan that is looked at; the one kept last when none.
    pub plan: Option<crate::model::PlanId>,
    /// Going to anything by its name.
    pub palette: Option<super::shell::palette::Palette>,
    /// The shortcut sheet is open.
    pub shortcuts_open: bool,
    /// Whether the manual of the figures is shown.
    pub manual_open: bool,
    /// Pictures of options.
    pub pictures: super::pictures::Pictures,
    /// A picture that was dropped, until it is known for which option.
    pub dropped: Option<std::path::PathBuf>,
    /// Whose picture is looked at larger.
    pub enlarged: Option<super::pictures::Pictured>,
    /// The day the user looks at, where it is not today.
    pub pinned_day: Option<NaiveDate>,
    /// Text in the as-of field while it is being edited.
    pub as_of_text: Option<String>,
}

impl Session {
    /// Goes to a work area.
    pub fn show(&mut self, area: WorkArea) {
        if self.area != area {
            self.close_windows();
        }
        self.area = area;
        self.card.wide = false;
    }

    /// Closes what floats over the area: it was asked about there.
    pub fn close_windows(&mut self) {
        self.why = None;
        (self.story_open, self.problems_open, self.manual_open) = (false, false, false);
    }

    /// Puts a selection on the card.
    pub fn pick(&mut self, selection: SelectionId) {
        self.selection = Some(selection);
        self.beside = None;
    }

    /// Shows the rows of a room, or of all of them, with the room on the card.
    pub fn pick_room(&mut self, room: Option<RoomId>) {
        self.room = room;
        match room {
            Some(id) => self.follow(Subject::Room(id)),
            None if matches!(self.beside, Some(Subject::Room(_))) => self.beside = None,
            None => {}
        }
    }

    /// Puts a thing on the card, which is shown or not.
    pub fn follow(&mut self, subject: Subject) {
        self.beside = Some(subject);
    }

    /// Brings a phase to view in Dates; the area alone where there is none.
    pub fn show_phase(&mut self, phase: Option<crate::model::PhaseId>) {
        self.area = WorkArea::Dates;
        self.scroll_to_phase = phase;
        self.dates.picked = phase.or(self.dates.picked);
        self.beside = phase.map(Subject::Phase).or(self.beside);
    }
}

impl Default for Session {
    fn default() -> Session {
        Session {
            area: WorkArea::default(),
            room: None,
            selection: None,
            beside: None,
            card: CardState::default(),
            add_row: super::card::add::AddRow::default(),
            explain: false,
            search: String::new(),
            search_in_bar: true,
            focus_search: false,
            filter: RowFilter::All,
            sort: None,
            descending: false,
            rows: LedgerRows::default(),
            ledger: LedgerState::default(),
            scroll_to_picked: false,
            money_by: MoneyBy::Room,
            money_open: BTreeSet::new(),
            money_rows: None,
            day_width: 0.0,
            dates: DatesState::default(),
            scroll_to_phase: None,
            scroll_to_bid: None,
            hovered_option: None,
            hovered_bid: None,
            ticked: std::collections::BTreeSet::new(),
            buying_by_day: false,
            open_orders: BTreeSet::new(),
            sign_offs: SignOffs::default(),
            week: WeekState::default(),
            what_if: Default::default(),
            why: None,
            problems_open: false,
            story_open: false,
            plan: None,
            palette: None,
            shortcuts_open: false,
            manual_open: false,
            pictures: super::pictures::Pictures::default(),
            dropped: None,
            enlarged: None,
            pinned_day: None,
            as_of_text: None,
        }
    }
}
