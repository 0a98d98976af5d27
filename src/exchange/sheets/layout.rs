//! The sheets and their columns, in the order in which they are written. The columns of a noun are its fields.

use super::export::Tables;
use super::import::Import;
use super::sheet::Sheet;
use crate::model::field::{Field, Kind, field};
use crate::model::{
    Alternative, Attempt, Change, ClosedRange, Condition, Correction, Crew, Delivery, Draw, Extra, Fact,
    FinishColor, Gate, Handover, Installment, KeptPhase, KeptPlan, KeptRoom, LeftOut, Link, LogLine,
    MappedColumn, Mapping, Missed, Opening, Order, OutOfUse, Part, Payment, Permit, Phase, Punch, Quote,
    Return, Risk, Room, Rule, Selection, SelectionOption, Sent, Spec, Supplier, Swap, TypicalLead,
};

/// A column of a sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Column {
    /// Its name in the header.
    pub name: &'static str,
    /// Whether the sheet is of no use without it.
    pub required: bool,
    /// Whether it holds the user's own words. These are kept from becoming formulas in a spreadsheet.
    pub text: bool,
}

/// A sheet by name with its columns, and how it is read and written.
#[derive(Debug)]
pub struct Layout {
    /// Its name; the file is `<name>.csv`.
    pub name: &'static str,
    /// What a row of it is, in a word.
    pub one: &'static str,
    /// Its columns.
    pub columns: &'static [Column],
    /// Makes what its rows say.
    pub(super) read: fn(&mut Import, &Sheet),
    /// The rows of a project.
    pub(super) write: fn(&Tables<'_>) -> Vec<Vec<String>>,
}

impl Layout {
    /// The sheet with a name.
    pub fn of(name: &str) -> Option<&'static Layout> {
        SHEETS.iter().find(|s| s.name == name)
    }

    /// The column with a name.
    pub fn column(&self, name: &str) -> Option<&'static Column> {
        self.columns.iter().find(|c| c.name == name)
    }
}

/// How many columns some fields are.
const fn count<T>(fields: &[Field<T>]) -> usize {
    let (mut n, mut i) = (0, 0);
    while i < fields.len() {
        n += fields[i].kind.in_sheet() as usize;
        i += 1;
    }
    n
}

/// The columns that say where a row belongs, and those of its fields.
const fn columns<T, const N: usize>(before: &[Column], fields: &[Field<T>]) -> [Column; N] {
    let mut columns = [Column { name: "", required: false, text: false }; N];
    let (mut n, mut i) = (0, 0);
    while n < before.len() {
        columns[n] = before[n];
        n += 1;
    }
    while i < fields.len() {
        let Field { name, required, ref kind, .. } = fields[i];
        if kind.in_sheet() {
            columns[n] = Column { name, required, text: kind.is_text() };
            n += 1;
        }
        i += 1;
    }
    columns
}

/// A column that says where a row belongs, which every row needs.
const fn under(name: &'static str) -> Column {
    Column { name, required: true, text: true }
}

/// A column that says where a row belongs, where there are several.
const fn either(name: &'static str) -> Column {
    Column { name, required: false, text: true }
}

/// A sheet: its name, what a row is, the columns before those of its noun, how it is read and written.
macro_rules! sheet {
    ($name:literal, $one:literal, [$($before:expr),*] $fields:expr, $read:expr, $write:expr) => {
        Layout {
            name: $name,
            one: $one,
            columns: const {
                const BEFORE: &[Column] = &[$($before),*];
                &columns::<_, { BEFORE.len() + count($fields) }>(BEFORE, $fields)
            },
            read: $read,
            write: $write,
        }
    };
}

/// A row of the settings: the name of one, and what it is.
const SETTING: &[Field<()>] =
    &[field("key", "", Kind::Apart(true)).required(), field("value", "", Kind::Apart(true)).required()];

/// All sheets. Numbers are given in this order, row by row; a sheet comes behind those whose keys it names.
pub const SHEETS: &[Layout] = &[
    sheet!("settings", "setting", [] SETTING, Import::settings, |t| t.settings()),
    sheet!("closed", "range", [] ClosedRange::FIELDS, Import::closed, |t| {
        t.rows(ClosedRange::FIELDS, &t.project.settings.closed)
    }),
    sheet!("rooms", "room", [] Room::FIELDS, Import::read_rooms, |t| t.rooms()),
    sheet!("openings", "opening", [under("room")] Opening::FIELDS, Import::openings, |t| {
        t.under(Opening::FIELDS, t.project.rooms.iter().map(|r| (&r.key, &r.openings)))
    }),
    sheet!("crews", "crew", [] Crew::FIELDS, Import::read_crews, |t| t.rows(Crew::FIELDS, t.project.crews.iter())),
    sheet!("crew_away", "range", [under("crew")] ClosedRange::FIELDS, Import::crew_away, |t| {
        t.under(ClosedRange::FIELDS, t.project.crews.iter().map(|c| (&c.key, &c.away)))
    }),
    sheet!("phases", "phase", [] Phase::FIELDS, Import::read_phases, |t| t.rows(Phase::FIELDS, t.project.phases.iter())),
    sheet!("links", "link", [] Link::FIELDS, Import::links, |t| {
        // One that names no phase binds nothing, and has no key to be written by; `check` names it.
        let leads = |l: &&Link| l.check_in(t.project).is_ok();
        t.rows(Link::FIELDS, t.project.links.iter().filter(leads))
    }),
    sheet!("attempts", "attempt", [under("phase")] Attempt::FIELDS, Import::attempts, |t| {
        t.under(Attempt::FIELDS, t.project.phases.iter().map(|p| (&p.key, &p.attempts)))
    }),
    sheet!("missed", "missed day", [under("phase")] Missed::FIELDS, Import::missed, |t| {
        t.under(Missed::FIELDS, t.project.phases.iter().map(|p| (&p.key, &p.missed)))
    }),
    sheet!("permits", "permit", [] Permit::FIELDS, Import::permits, |t| t.permits()),
    sheet!("suppliers", "supplier", [] Supplier::FIELDS, Import::read_suppliers, |t| {
        t.rows(Supplier::FIELDS, t.project.suppliers.iter())
    }),
    sheet!("supplier_closed", "range", [under("supplier")] ClosedRange::FIELDS, Import::supplier_closed, |t| {
        t.under(ClosedRange::FIELDS, t.project.suppliers.iter().map(|s| (&s.key, &s.closed)))
    }),
    sheet!("orders", "order", [] Order::FIELDS, Import::read_orders, |t| t.rows(Order::FIELDS, t.project.orders.iter())),
    sheet!("selections", "selection", [] Selection::FIELDS, Import::read_selections, |t| {
        t.rows(Selection::FIELDS, t.project.selections.iter().map(AsRef::as_ref))
    }),
    sheet!("options", "option", [under("selection")] SelectionOption::FIELDS, Import::options, |t| {
        t.under(SelectionOption::FIELDS, t.project.selections.iter().map(|s| (&s.key, &s.options)))
    }),
    sheet!("finishes", "finish", [] FinishColor::FIELDS, Import::finishes, |t| {
        t.rows(FinishColor::FIELDS, t.project.finishes.iter())
    }),
    sheet!("parts", "part", [] Part::FIELDS, Import::parts, |t| t.parts()),
    sheet!("specs", "spec", [under("selection")] Spec::FIELDS, Import::specs, |t| {
        t.under(Spec::FIELDS, t.project.selections.iter().map(|s| (&s.key, &s.specs)))
    }),
    sheet!("typical", "range", [] TypicalLead::FIELDS, Import::typical, |t| {
        t.rows(TypicalLead::FIELDS, t.project.typical.iter())
    }),
    sheet!("quotes", "quote", [] Quote::FIELDS, Import::quotes, |t| t.quotes()),
    sheet!("left_out", "thing left out", [under("quote")] LeftOut::FIELDS, Import::left_out, |t| {
        t.under(LeftOut::FIELDS, t.project.quotes.iter().map(|q| (&q.key, &q.left_out)))
    }),
    sheet!("installments", "installment", [under("quote")] Installment::FIELDS, Import::installments, |t| {
        t.under(Installment::FIELDS, t.project.quotes.iter().map(|q| (&q.key, &q.installments)))
    }),
    sheet!("changes", "change", [] Change::FIELDS, Import::changes, |t| {
        t.rows(Change::FIELDS, t.project.changes.iter())
    }),
    sheet!("risks", "risk", [] Risk::FIELDS, Import::risks, |t| t.rows(Risk::FIELDS, t.project.risks.iter())),
    sheet!("alternatives", "alternative", [] Alternative::FIELDS, Import::alternatives, |t| t.alternatives()),
    sheet!("extras", "extra", [] Extra::FIELDS, Import::extras, |t| t.rows(Extra::FIELDS, t.project.extras.iter())),
    sheet!("facts", "fact", [either("option"), either("part")] Fact::FIELDS, Import::facts, |t| t.facts()),
    sheet!("rules", "rule", [] Rule::FIELDS, Import::rules, |t| t.rules()),
    sheet!("swaps", "swap", [] Swap::FIELDS, Import::swaps, |t| t.swaps()),
    sheet!("returns", "return", [] Return::FIELDS, Import::returns, |t| {
        t.rows(Return::FIELDS, t.project.returns.iter())
    }),
    sheet!("deliveries", "delivery", [] Delivery::FIELDS, Import::deliveries, |t| {
        t.rows(Delivery::FIELDS, t.project.deliveries.iter())
    }),
    sheet!("payments", "payment", [either("order"), either("part")] Payment::FIELDS, Import::payments, |t| t.payments()),
    sheet!("gates", "gate", [] Gate::FIELDS, Import::read_gates, |t| t.rows(Gate::FIELDS, t.project.gates.iter())),
    sheet!("conditions", "condition", [under("gate")] Condition::FIELDS, Import::conditions, |t| t.conditions()),
    sheet!("corrections", "correction", [] Correction::FIELDS, Import::corrections, |t| {
        t.rows(Correction::FIELDS, t.project.corrections.iter())
    }),
    sheet!("draws", "draw", [] Draw::FIELDS, Import::draws, |t| t.rows(Draw::FIELDS, t.project.draws.iter())),
    sheet!("out_of_use", "row", [] OutOfUse::FIELDS, Import::out_of_use, |t| {
        t.rows(OutOfUse::FIELDS, t.project.out_of_use.iter())
    }),
    sheet!("punch", "thing", [] Punch::FIELDS, Import::punch, |t| t.rows(Punch::FIELDS, t.project.punch.iter())),
    sheet!("handover", "part", [] Handover::FIELDS, Import::handover, |t| {
        t.rows(Handover::FIELDS, t.project.handover.iter())
    }),
    sheet!("log", "line", [] LogLine::FIELDS, Import::read_log, |t| {
        t.rows(LogLine::FIELDS, t.project.log.iter().map(AsRef::as_ref))
    }),
    sheet!("kept_plans", "plan", [] KeptPlan::FIELDS, Import::kept_plans, |t| {
        t.rows(KeptPlan::FIELDS, t.project.kept_plans.iter())
    }),
    sheet!("kept_phases", "phase", [under("plan")] KeptPhase::FIELDS, Import::kept_phases, |t| {
        t.under(KeptPhase::FIELDS, t.project.kept_plans.iter().map(|p| (&p.key, &p.phases)))
    }),
    sheet!("kept_rooms", "room", [under("plan")] KeptRoom::FIELDS, Import::kept_rooms, |t| {
        t.under(KeptRoom::FIELDS, t.project.kept_plans.iter().map(|p| (&p.key, &p.rooms)))
    }),
    sheet!("mappings", "mapping", [] Mapping::FIELDS, Import::read_mappings, |t| {
        t.rows(Mapping::FIELDS, t.project.mappings.iter())
    }),
    sheet!("mapping_columns", "column", [under("mapping")] MappedColumn::FIELDS, Import::mapping_columns, |t| {
        t.under(MappedColumn::FIELDS, t.project.mappings.iter().map(|m| (&m.key, &m.columns)))
    }),
    sheet!("sent", "entry", [] Sent::FIELDS, Import::sent, |t| t.rows(Sent::FIELDS, t.project.sent.iter())),
];
