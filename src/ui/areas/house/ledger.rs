//! State of the ledger: its columns, how rows are grouped, which are marked, and the cell being edited.

use super::ledger_facts::GroupSums;
use crate::engine::Day;
use crate::model::history::Revision;
use crate::model::{RoomId, SelectionId, Settings};
use crate::ui::session::RowFilter;
use chrono::NaiveDate;
use std::borrow::Cow;
use std::collections::{BTreeMap, BTreeSet};

/// The columns of the ledger, in the order shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum LedgerColumn {
    /// Name of the selection; always shown, and stays in view.
    Name,
    /// Room.
    Room,
    /// Category.
    Category,
    /// The option that counts.
    Choice,
    /// Where it stands.
    State,
    /// Supplier of the part that has the least time.
    Supplier,
    /// Phase that needs that part.
    Phase,
    /// Unit price, where one part counts.
    Price,
    /// Lead time, where one part counts.
    Lead,
    /// Set aside.
    Allowance,
    /// Total of the choice.
    Chosen,
    /// Total of what is ordered.
    Ordered,
    /// Paid.
    Paid,
    /// What it will cost.
    Forecast,
    /// Forecast less allowance.
    OverUnder,
    /// The day the user means to decide.
    DecideOn,
    /// First day by which something of it must be known.
    KnownBy,
    /// Last day to order.
    OrderBy,
    /// Last day to order with the confidence that the project asks for.
    OrderBySure,
    /// Day the tightest part must be there.
    Needed,
    /// Day it is expected.
    Arrives,
    /// The way to the house on one time axis.
    Way,
}

impl LedgerColumn {
    /// All, in the order shown.
    pub const ALL: [LedgerColumn; 22] = [
        LedgerColumn::Name,
        LedgerColumn::Room,
        LedgerColumn::Category,
        LedgerColumn::Choice,
        LedgerColumn::State,
        LedgerColumn::Supplier,
        LedgerColumn::Phase,
        LedgerColumn::Price,
        LedgerColumn::Lead,
        LedgerColumn::Allowance,
        LedgerColumn::Chosen,
        LedgerColumn::Ordered,
        LedgerColumn::Paid,
        LedgerColumn::Forecast,
        LedgerColumn::OverUnder,
        LedgerColumn::DecideOn,
        LedgerColumn::KnownBy,
        LedgerColumn::OrderBy,
        LedgerColumn::OrderBySure,
        LedgerColumn::Needed,
        LedgerColumn::Arrives,
        LedgerColumn::Way,
    ];

    /// Its heading.
    pub fn title(self) -> &'static str {
        match self {
            LedgerColumn::Name => "Selection",
            LedgerColumn::Room => "Room",
            LedgerColumn::Category => "Category",
            LedgerColumn::Choice => "Choice",
            LedgerColumn::State => "State",
            LedgerColumn::Supplier => "Supplier",
            LedgerColumn::Phase => "Phase",
            LedgerColumn::Price => "Unit price",
            LedgerColumn::Lead => "Lead",
            LedgerColumn::Allowance => "Allowance",
            LedgerColumn::Chosen => "Chosen",
            LedgerColumn::Ordered => "Ordered",
            LedgerColumn::Paid => "Paid",
            LedgerColumn::Forecast => "Forecast",
            LedgerColumn::OverUnder => "Over or under",
            LedgerColumn::DecideOn => "Decide on",
            LedgerColumn::KnownBy => "Known by",
            LedgerColumn::OrderBy => "Order by",
            LedgerColumn::OrderBySure => "Order by, sure",
            LedgerColumn::Needed => "Needed",
            LedgerColumn::Arrives => "Arrives",
            LedgerColumn::Way => "Way to the house",
        }
    }

    /// Its title over the rows, where it says more.
    pub fn head(self, settings: &Settings) -> Cow<'static, str> {
        match self {
            LedgerColumn::OrderBySure => format!("Order by, {}% sure", settings.confidence).into(),
            other => other.title().into(),
        }
    }

    /// What the figure in it means.
    pub fn rule(self) -> &'static str {
        match self {
            LedgerColumn::Name => "What is to be decided.",
            LedgerColumn::Room => "The room it belongs to.",
            LedgerColumn::Category => "What sort of thing it is.",
            LedgerColumn::Choice => {
                "The option that counts: the choice, or with a question mark the one leaned to."
            }
            LedgerColumn::State => "How far it has come, from to decide to built in.",
            LedgerColumn::Supplier => "Who sells the part that has the least time.",
            LedgerColumn::Phase => "The phase that needs the part that has the least time.",
            LedgerColumn::Price => "Price of one unit before tax, where one part counts.",
            LedgerColumn::Lead => "Order to ready, where one part counts.",
            LedgerColumn::Allowance => "What was set aside, tax and freight included.",
            LedgerColumn::Chosen => "Goods, freight and tax of the choice.",
            LedgerColumn::Ordered => "Goods, freight and tax of what is ordered.",
            LedgerColumn::Paid => "What has been paid.",
            // The arrow before it says that it is above the allowance.
            LedgerColumn::Forecast => crate::ui::format::FORECAST,
            LedgerColumn::OverUnder => "Forecast less allowance.",
            LedgerColumn::DecideOn => {
                "The day you mean to decide. Nothing undecided is counted as ordered before it."
            }
            LedgerColumn::KnownBy => {
                "The first day by which another trade or shop must know something of it that nobody was told yet."
            }
            LedgerColumn::OrderBy => {
                "The last day on which an order still arrives when it is needed, and the days in hand until then. Sorted by it, the ledger is the list of what to do next."
            }
            LedgerColumn::OrderBySure => {
                "The last day on which an order arrives in time as surely as the project asks for, by the lead times there may be. Blank where nothing counts yet, or all is ordered."
            }
            LedgerColumn::Needed => "Start of the phase less the hold.",
            LedgerColumn::Arrives => "Came, was promised, or would come if ordered as soon as possible.",
            LedgerColumn::Way => {
                "From the order to the arrival; the upright line is the day it is needed, what reaches over it is late."
            }
        }
    }

    /// Whether rows can be put in the order of it.
    pub fn is_sorted(self) -> bool {
        self != LedgerColumn::Way
    }

    /// Whether it holds amounts, which stand on the right.
    pub fn is_number(self) -> bool {
        matches!(
            self,
            LedgerColumn::Price
                | LedgerColumn::Allowance
                | LedgerColumn::Chosen
                | LedgerColumn::Ordered
                | LedgerColumn::Paid
                | LedgerColumn::Forecast
                | LedgerColumn::OverUnder
        )
    }

    /// Whether it can be edited in its place.
    pub fn is_edited(self) -> bool {
        matches!(
            self,
            LedgerColumn::Name
                | LedgerColumn::Category
                | LedgerColumn::Allowance
                | LedgerColumn::DecideOn
                | LedgerColumn::Price
                | LedgerColumn::Lead
        )
    }

    /// Points it wants.
    pub fn width(self) -> f32 {
        match self {
            LedgerColumn::Name => 180.0,
            LedgerColumn::Choice => 180.0,
            LedgerColumn::State => 116.0,
            LedgerColumn::Supplier | LedgerColumn::Phase => 140.0,
            LedgerColumn::Category => 110.0,
            LedgerColumn::OverUnder => 112.0,
            LedgerColumn::Way => 200.0,
            LedgerColumn::Forecast => 90.0,
            LedgerColumn::Room | LedgerColumn::OrderBy => 96.0,
            LedgerColumn::OrderBySure => 132.0,
            LedgerColumn::DecideOn => 92.0,
            _ => 84.0,
        }
    }
}

/// What the rows are grouped by.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub enum GroupBy {
    /// Not grouped.
    #[default]
    Nothing,
    /// Room.
    Room,
    /// Category.
    Category,
    /// Supplier of the part that has the least time.
    Supplier,
    /// Phase that needs that part.
    Phase,
    /// Where it stands.
    State,
}

impl GroupBy {
    /// All, with their names.
    pub const ALL: [(GroupBy, &'static str); 6] = [
        (GroupBy::Nothing, "nothing"),
        (GroupBy::Room, "room"),
        (GroupBy::Category, "category"),
        (GroupBy::Supplier, "supplier"),
        (GroupBy::Phase, "phase"),
        (GroupBy::State, "state"),
    ];

    /// Its name.
    pub fn name(self) -> &'static str {
        Self::ALL.iter().find(|(by, _)| *by == self).map_or("", |(_, name)| name)
    }
}

/// What the rows were made for.
#[derive(Debug, Clone, PartialEq)]
pub struct LedgerKey {
    /// The document.
    pub revision: Revision,
    /// The day.
    pub day: NaiveDate,
    /// The room picked.
    pub room: Option<RoomId>,
    /// What is searched for.
    pub search: String,
    /// Which rows.
    pub filter: RowFilter,
    /// Only what is over its allowance.
    pub over_only: bool,
    /// The column they are in the order of.
    pub sort: Option<LedgerColumn>,
    /// Largest first.
    pub descending: bool,
    /// The grouping.
    pub group: GroupBy,
    /// Counts how often a group was folded or opened.
    pub folds: u64,
}

/// A row of the ledger.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LedgerRow {
    /// The head of a group, by position in the list of groups.
    Group(u32),
    /// A selection, by position in the document.
    Item(u32),
}

/// A group of rows.
#[derive(Debug, Clone, PartialEq)]
pub struct Group {
    /// What is the same for all its rows, as a number; `u32::MAX` for what has none.
    pub key: u32,
    /// Its name.
    pub name: String,
    /// Its sums.
    pub sums: GroupSums,
    /// Its rows are not shown.
    pub folded: bool,
}

/// Rows of the ledger in the order shown, and what they were made for.
#[derive(Debug, Clone, Default)]
pub struct LedgerRows {
    /// What they were made for.
    pub key: Option<LedgerKey>,
    /// Heads of groups and selections.
    pub rows: Vec<LedgerRow>,
    /// The groups.
    pub groups: Vec<Group>,
    /// How many selections are shown, those in folded groups included.
    pub selections: usize,
    /// First and last day of the time axis all rows share.
    pub axis: Option<(Day, Day)>,
    /// How many selections each filter would show, in the order of [`RowFilter::ALL`], and how many are over.
    pub counts: [usize; RowFilter::ALL.len() + 1],
}

impl LedgerRows {
    /// Positions of the selections shown, in order.
    pub fn items(&self) -> impl Iterator<Item = usize> + '_ {
        self.rows.iter().filter_map(|row| match row {
            LedgerRow::Item(at) => Some(*at as usize),
            LedgerRow::Group(_) => None,
        })
    }
}

/// A cell that is being edited.
#[derive(Debug, Clone, PartialEq)]
pub struct Editing {
    /// The row.
    pub selection: SelectionId,
    /// The column.
    pub column: LedgerColumn,
    /// What is typed.
    pub text: String,
    /// What is wrong with it.
    pub error: Option<String>,
    /// Not drawn yet; it gets the cursor when it is.
    pub fresh: bool,
}

/// What the dialog for editing many rows holds. Empty fields leave everything as it is.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct ManyForm {
    /// A phase to give.
    pub phase: Option<crate::model::PhaseId>,
    /// A supplier to give.
    pub supplier: Option<crate::model::SupplierId>,
    /// A lead time to give.
    pub lead: String,
    /// Its unit.
    pub lead_unit: crate::model::LeadUnit,
    /// An allowance to give, or a change in percent.
    pub allowance: String,
    /// A category to give.
    pub category: String,
    /// A day to decide on.
    pub decide_on: String,
    /// Also options of several parts, which usually are needed by different phases.
    pub several: bool,
    /// Also candidates, not only what counts.
    pub candidates: bool,
    /// What is wrong.
    pub error: Option<String>,
}

/// A text that was read, what it was read for, and what came of it.
pub type ReadText =
    (String, (Revision, Option<RoomId>), Result<Box<crate::exchange::incoming::paste::Pasted>, String>);

/// What the dialog for pasting rows holds.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct PasteForm {
    /// The text.
    pub text: String,
    /// The field for the text is shown.
    pub open: bool,
    /// The text as it was read last.
    pub read: Option<ReadText>,
    /// Leave out rows with faults.
    pub leave_out: bool,
    /// What is wrong with all of it.
    pub error: Option<String>,
}

/// What the dialog for adding from the starter catalogue holds.
#[derive(Debug, Clone, PartialEq)]
pub struct StarterForm {
    /// The room things are added to.
    pub room: RoomId,
    /// What sort of room it is, by position in the catalogue.
    pub kind: usize,
    /// What is ticked, by position in the list of the kind.
    pub ticked: BTreeSet<usize>,
    /// Allowances typed, by position.
    pub allowances: BTreeMap<usize, String>,
    /// Put a first candidate with quantity and phase into each.
    pub with_candidate: bool,
    /// What is wrong.
    pub error: Option<String>,
}

/// A dialog of the ledger.
#[derive(Debug, Clone, PartialEq)]
pub enum LedgerDialog {
    /// Edit many rows.
    Many(ManyForm),
    /// Paste rows.
    Paste(PasteForm),
    /// Add what a room usually needs.
    Starter(StarterForm),
}

/// State of the ledger.
#[derive(Debug, Clone, Default)]
pub struct LedgerState {
    /// The columns that were drawn last.
    pub drawn: Vec<LedgerColumn>,
    /// Columns the user picked; as many as fit when none were.
    pub columns: Option<BTreeSet<LedgerColumn>>,
    /// The grouping.
    pub group: GroupBy,
    /// Groups that are folded.
    pub folded: BTreeSet<(GroupBy, u32)>,
    /// Counts how often a group was folded or opened.
    pub folds: u64,
    /// Only what is over its allowance.
    pub over_only: bool,
    /// Rows marked together, when more than the one picked.
    pub marked: BTreeSet<SelectionId>,
    /// The row from which a range is marked.
    pub anchor: Option<SelectionId>,
    /// Rows are shown as pictures.
    pub pictures: bool,
    /// Where these stand.
    pub board: super::board::BoardPlaces,
    /// The cell being edited.
    pub editing: Option<Editing>,
    /// An open dialog.
    pub dialog: Option<LedgerDialog>,
}

impl LedgerState {
    /// Folds or opens a group.
    pub fn fold(&mut self, key: u32) {
        let group = (self.group, key);
        if !self.folded.remove(&group) {
            self.folded.insert(group);
        }
        self.folds += 1;
    }

    /// The rows a change of many is about: those marked, else the one picked.
    pub fn chosen(&self, picked: Option<SelectionId>) -> Vec<SelectionId> {
        if self.marked.is_empty() {
            picked.into_iter().collect()
        } else {
            self.marked.iter().copied().collect()
        }
    }
}
