//! Mappings: how the columns of a list from elsewhere are read, kept for the next list of the same layout.
//!
//! A mapping belongs to a supplier, or to nobody in particular, and is known again by the headings of its columns.

use super::field::{Field, Kind, at, field, of, word};
use super::ids::{MappingId, SupplierId};
use super::part::LeadUnit;
use super::project::Project;
use super::validate::{Checked, key};
use serde::{Deserialize, Serialize};

/// How the columns of a list are read.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Mapping {
    /// Its number.
    pub id: MappingId,
    /// Its key in sheets.
    pub key: String,
    /// Whose lists look like this.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub supplier: Option<SupplierId>,
    /// What the rows are taken for.
    #[serde(default)]
    pub into: MapInto,
    /// The columns that are read.
    pub columns: Vec<MappedColumn>,
    /// The mark before decimals; as the columns themselves say when not given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub decimal: Option<DecimalMark>,
    /// The order of days, months and years; as the columns themselves say when not given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub dates: Option<DateOrder>,
    /// What lead times without a word are counted in.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lead_unit: Option<LeadUnit>,
}

/// A column by its heading, and what it holds.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct MappedColumn {
    /// The heading as it stands in the list.
    pub heading: String,
    /// What it holds.
    pub field: MapField,
}

impl MappedColumn {
    /// Its fields, in the order of the columns.
    pub const FIELDS: &'static [Field<MappedColumn>] = &[
        field("heading", "", Kind::Text(at!(heading))).required(),
        field("field", "", word!(MapField::ALL, field)).required(),
    ];
}

/// What the rows of a list are taken for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default, Serialize, Deserialize)]
pub enum MapInto {
    /// Prices and lead times of parts that are in the project.
    #[default]
    Prices,
    /// Selections with their options, to be added.
    Selections,
}

impl MapInto {
    /// Both with their words.
    pub const ALL: [(&'static str, MapInto); 2] =
        [("prices", MapInto::Prices), ("selections", MapInto::Selections)];
}

/// The mark that stands before decimals.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum DecimalMark {
    /// 1,234.50
    Point,
    /// 1.234,50
    Comma,
}

impl DecimalMark {
    /// Both with their words.
    pub const ALL: [(&'static str, DecimalMark); 2] =
        [("point", DecimalMark::Point), ("comma", DecimalMark::Comma)];

    /// The mark itself.
    pub fn sign(self) -> char {
        match self {
            DecimalMark::Point => '.',
            DecimalMark::Comma => ',',
        }
    }

    /// The one that groups thousands then.
    pub fn grouping(self) -> char {
        match self {
            DecimalMark::Point => ',',
            DecimalMark::Comma => '.',
        }
    }
}

/// The order in which a date is written in figures.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum DateOrder {
    /// 24/12/2026
    DayFirst,
    /// 12/24/2026
    MonthFirst,
    /// 2026-12-24
    YearFirst,
}

impl DateOrder {
    /// All with their words.
    pub const ALL: [(&'static str, DateOrder); 3] =
        [("day", DateOrder::DayFirst), ("month", DateOrder::MonthFirst), ("year", DateOrder::YearFirst)];

    /// Those that a project can say its dates are typed in, with their words in sheets.
    pub const TYPED: [(&'static str, DateOrder); 2] =
        [("month_first", DateOrder::MonthFirst), ("day_first", DateOrder::DayFirst)];
}

/// What a column of a list can hold.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
pub enum MapField {
    /// The key of a part, or of a selection.
    Key,
    /// The supplier's own number for an article.
    Article,
    /// The name of a part.
    Name,
    /// The price of one unit before tax.
    UnitPrice,
    /// How many units the price is for.
    PricePer,
    /// The currency of the price.
    Currency,
    /// Percent off.
    Discount,
    /// The lead time, with or without its unit, also as a range.
    Lead,
    /// What lead times are counted in.
    LeadUnit,
    /// The shortest lead time.
    LeadMin,
    /// The longest lead time.
    LeadMax,
    /// Units in a pack.
    Pack,
    /// What is counted.
    Unit,
    /// Whether sales tax applies.
    Taxable,
    /// The day the supplier promises an ordered part for.
    PromisedOn,
    /// A room by its key or name.
    Room,
    /// What sort of thing a selection is.
    Category,
    /// The name of a selection.
    Selection,
    /// What was set aside for it.
    Allowance,
    /// The day it is to be decided by.
    DecideOn,
    /// Anything worth remembering.
    Notes,
    /// The name of an option.
    Option,
    /// Color, surface or material.
    Finish,
    /// Whether an option is the choice.
    State,
    /// A supplier by key or name.
    Supplier,
    /// The phase that needs a part, by key or name.
    Phase,
    /// How much is needed.
    Quantity,
    /// Percent added for cutting and breakage.
    Waste,
}

impl MapField {
    /// All with their words in sheets and commands.
    pub const ALL: [(&'static str, MapField); 28] = [
        ("key", MapField::Key),
        ("article", MapField::Article),
        ("name", MapField::Name),
        ("unit_price", MapField::UnitPrice),
        ("price_per", MapField::PricePer),
        ("currency", MapField::Currency),
        ("discount_pct", MapField::Discount),
        ("lead", MapField::Lead),
        ("lead_unit", MapField::LeadUnit),
        ("lead_min", MapField::LeadMin),
        ("lead_max", MapField::LeadMax),
        ("pack", MapField::Pack),
        ("unit", MapField::Unit),
        ("taxable", MapField::Taxable),
        ("promised_on", MapField::PromisedOn),
        ("room", MapField::Room),
        ("category", MapField::Category),
        ("selection", MapField::Selection),
        ("allowance", MapField::Allowance),
        ("decide_on", MapField::DecideOn),
        ("notes", MapField::Notes),
        ("option", MapField::Option),
        ("finish", MapField::Finish),
        ("state", MapField::State),
        ("supplier", MapField::Supplier),
        ("phase", MapField::Phase),
        ("quantity", MapField::Quantity),
        ("waste_pct", MapField::Waste),
    ];

    /// Its word.
    pub fn word(self) -> &'static str {
        Self::ALL.iter().find(|(_, field)| *field == self).map_or("", |(word, _)| word)
    }

    /// What people call it.
    pub fn title(self) -> &'static str {
        match self {
            MapField::Key => "Key",
            MapField::Article => "Article number",
            MapField::Name => "Name of the part",
            MapField::UnitPrice => "Unit price",
            MapField::PricePer => "Price is for",
            MapField::Currency => "Currency",
            MapField::Discount => "Discount, percent",
            MapField::Lead => "Lead time",
            MapField::LeadUnit => "Unit of the lead",
            MapField::LeadMin => "Shortest lead",
            MapField::LeadMax => "Longest lead",
            MapField::Pack => "Units in a pack",
            MapField::Unit => "Unit",
            MapField::Taxable => "Taxed",
            MapField::PromisedOn => "Promised for",
            MapField::Room => "Room",
            MapField::Category => "Category",
            MapField::Selection => "Selection",
            MapField::Allowance => "Allowance",
            MapField::DecideOn => "Decide on",
            MapField::Notes => "Notes",
            MapField::Option => "Option",
            MapField::Finish => "Finish",
            MapField::State => "Choice",
            MapField::Supplier => "Supplier",
            MapField::Phase => "Phase",
            MapField::Quantity => "Quantity",
            MapField::Waste => "Waste, percent",
        }
    }

    /// Whether lists of this kind can have it.
    pub fn goes_with(self, into: MapInto) -> bool {
        use MapField as F;
        match self {
            F::PromisedOn => into == MapInto::Prices,
            F::Room
            | F::Category
            | F::Selection
            | F::Allowance
            | F::DecideOn
            | F::Notes
            | F::Option
            | F::Finish
            | F::State
            | F::Supplier
            | F::Phase
            | F::Quantity
            | F::Waste => into == MapInto::Selections,
            _ => true,
        }
    }

    /// The fields of lists of a kind, in order.
    pub fn of(into: MapInto) -> impl Iterator<Item = MapField> {
        Self::ALL.into_iter().map(|(_, field)| field).filter(move |f| f.goes_with(into))
    }
}

impl Mapping {
    /// Its fields, in the order of the columns.
    pub const FIELDS: &'static [Field<Mapping>] = &[
        field("key", "", Kind::Key(at!(key))).required(),
        field("supplier", "", of!(Supplier, SupplierId, supplier?)),
        field("into", "", word!(MapInto::ALL, into)),
        field("decimal", "", word!(DecimalMark::ALL, decimal?)),
        field("dates", "", word!(DateOrder::ALL, dates?)),
        field("lead_unit", "", word!(LeadUnit::ALL, lead_unit?)),
    ];

    /// What a column with this heading holds.
    pub fn field_of(&self, heading: &str) -> Option<MapField> {
        self.columns.iter().find(|c| c.heading == heading).map(|c| c.field)
    }
}

impl Mapping {
    /// Checks a mapping by itself.
    pub fn check(&self) -> Checked {
        key(&self.key)?;
        if self.columns.is_empty() {
            return Err("a mapping without columns reads nothing; name at least one".to_owned());
        }
        for (at, column) in self.columns.iter().enumerate() {
            if column.heading.trim().is_empty() || column.heading.chars().any(char::is_control) {
                return Err(
                    "a column of the mapping has no heading, or one with control characters".to_owned()
                );
            }
            if !column.field.goes_with(self.into) {
                let (word, _) =
                    MapInto::ALL.iter().find(|(_, into)| *into == self.into).unwrap_or(&MapInto::ALL[0]);
                return Err(format!("`{}` does not go with lists of {word}", column.field.word()));
            }
            let before = &self.columns[..at];
            if before.iter().any(|c| c.heading == column.heading) {
                return Err(format!("the column `{}` is read twice; keep one", column.heading));
            }
            if before.iter().any(|c| c.field == column.field) {
                return Err(format!("two columns are read as {}; keep one", column.field.word()));
            }
        }
        Ok(())
    }

    /// Checks a mapping against the project.
    pub fn check_in(&self, project: &Project) -> Checked {
        if self.supplier.is_some_and(|id| project.supplier(id).is_none()) {
            return Err("the mapping names a supplier that is not in the project".to_owned());
        }
        self.check()
    }
}
