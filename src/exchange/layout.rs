//! The sheets and their columns, in the order in which they are written. The columns of a noun are its fields.

use crate::model::field::Field;
use crate::model::{Part, Supplier};

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

/// A sheet by name with its columns.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Layout {
    /// Its name; the file is `<name>.csv`.
    pub name: &'static str,
    /// Its columns.
    pub columns: &'static [Column],
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

/// A key that must be there.
const fn key(name: &'static str) -> Column {
    Column { name, required: true, text: true }
}

/// A value that must be there.
const fn must(name: &'static str) -> Column {
    Column { name, required: true, text: false }
}

/// The user's own words, or a key of another sheet.
const fn text(name: &'static str) -> Column {
    Column { name, required: false, text: true }
}

/// A number, a date or one of a few words.
const fn value(name: &'static str) -> Column {
    Column { name, required: false, text: false }
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

/// The columns of some fields.
const fn columns<T, const N: usize>(fields: &[Field<T>]) -> [Column; N] {
    let mut columns = [Column { name: "", required: false, text: false }; N];
    let (mut n, mut i) = (0, 0);
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

/// A sheet of which each row is a noun.
macro_rules! sheet {
    ($name:literal, $noun:ty) => {
        Layout {
            name: $name,
            columns: const { &columns::<$noun, { count(<$noun>::FIELDS) }>(<$noun>::FIELDS) },
        }
    };
}

/// All sheets. Numbers are given in this order, row by row.
pub const SHEETS: &[Layout] = &[
    Layout { name: "settings", columns: &[key("key"), key("value")] },
    Layout { name: "closed", columns: &[must("from"), value("to"), text("why")] },
    Layout {
        name: "rooms",
        columns: &[
            key("key"),
            text("name"),
            text("level"),
            value("length"),
            value("width"),
            value("height"),
            value("polygon"),
        ],
    },
    Layout {
        name: "openings",
        columns: &[key("room"), must("kind"), must("width"), must("height"), value("count")],
    },
    Layout {
        name: "phases",
        columns: &[
            key("key"),
            text("name"),
            text("trade"),
            value("kind"),
            value("role"),
            value("days"),
            value("days_min"),
            value("days_max"),
            value("not_before"),
            value("actual_start"),
            value("actual_finish"),
            value("days_left"),
            value("hazards"),
        ],
    },
    Layout {
        name: "links",
        columns: &[key("before"), key("after"), value("type"), value("lag"), value("lag_unit")],
    },
    Layout {
        name: "attempts",
        columns: &[key("phase"), must("date"), must("result"), text("note"), value("correct_by")],
    },
    sheet!("suppliers", Supplier),
    Layout { name: "supplier_closed", columns: &[key("supplier"), must("from"), value("to"), text("why")] },
    Layout {
        name: "orders",
        columns: &[
            key("key"),
            key("supplier"),
            text("number"),
            value("placed_on"),
            value("freight"),
            text("note"),
        ],
    },
    Layout {
        name: "selections",
        columns: &[
            key("key"),
            key("room"),
            text("category"),
            text("name"),
            value("allowance"),
            value("decide_on"),
            text("notes"),
        ],
    },
    Layout {
        name: "options",
        columns: &[
            key("selection"),
            key("key"),
            text("name"),
            text("finish"),
            value("state"),
            text("notes"),
            text("link"),
            text("picture"),
        ],
    },
    Layout { name: "finishes", columns: &[key("finish"), must("color")] },
    sheet!("parts", Part),
    Layout {
        name: "quotes",
        columns: &[
            key("key"),
            text("phase"),
            text("trade"),
            text("scope"),
            value("amount"),
            value("allowance"),
            value("state"),
            value("paid"),
            text("leaves_out"),
        ],
    },
    Layout {
        name: "extras",
        columns: &[key("key"), text("name"), value("kind"), text("phase"), value("amount"), value("paid")],
    },
    Layout { name: "facts", columns: &[text("option"), text("part"), key("name"), key("value")] },
    Layout {
        name: "rules",
        columns: &[
            key("key"),
            text("name"),
            must("kind"),
            text("selection"),
            text("room"),
            key("fact"),
            text("other"),
            text("other_fact"),
            text("value"),
            text("tolerance"),
            text("why"),
        ],
    },
    Layout {
        name: "swaps",
        columns: &[
            key("key"),
            key("selection"),
            must("on"),
            key("from"),
            key("to"),
            text("why"),
            text("reverses"),
            value("forecast_before"),
            value("forecast_after"),
            value("forecast_returned"),
            value("finish_before"),
            value("finish_after"),
            value("restocking"),
            value("return_freight"),
            value("deposit_lost"),
            text("knock_ons"),
        ],
    },
    Layout {
        name: "returns",
        columns: &[
            key("part"),
            value("state"),
            value("restock_pct"),
            value("freight"),
            value("deposit_lost"),
            value("went_back_on"),
            value("credit"),
            text("note"),
        ],
    },
    Layout {
        name: "deliveries",
        columns: &[
            key("part"),
            must("on"),
            must("quantity"),
            value("damaged"),
            value("reported_on"),
            value("replacement_lead"),
            value("replacement_on"),
            value("rest_on"),
            text("note"),
        ],
    },
    Layout {
        name: "payments",
        columns: &[text("order"), text("part"), must("on"), must("amount"), value("kind"), text("note")],
    },
    Layout { name: "gates", columns: &[key("key"), key("phase"), text("name"), text("source")] },
    Layout {
        name: "conditions",
        columns: &[
            key("gate"),
            must("need"),
            text("phase"),
            text("selection"),
            text("part"),
            value("scope"),
            text("what"),
            text("who"),
            value("by"),
            text("said_by"),
            value("said_on"),
        ],
    },
    Layout {
        name: "corrections",
        columns: &[
            key("phase"),
            must("found"),
            key("what"),
            text("trade"),
            text("fix_phase"),
            value("due"),
            value("done"),
        ],
    },
    Layout {
        name: "mappings",
        columns: &[
            key("key"),
            text("supplier"),
            value("into"),
            value("decimal"),
            value("dates"),
            value("lead_unit"),
        ],
    },
    Layout { name: "mapping_columns", columns: &[key("mapping"), key("heading"), must("field")] },
];
