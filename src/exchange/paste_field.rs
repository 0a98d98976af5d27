//! The columns of pasted rows and the headings they are known by.

/// A column that is understood.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Field {
    Key,
    Name,
    Room,
    Category,
    Allowance,
    DecideOn,
    Choice,
    Supplier,
    Phase,
    Quantity,
    Unit,
    Price,
    Lead,
    Notes,
}

impl Field {
    /// Reads a heading; `named` says that another column is called `name`, so that `selection` is the key, as in sheets.
    pub(super) fn of(heading: &str, named: bool) -> Option<Field> {
        let plain = heading.trim().to_lowercase().replace(['_', '-'], " ");
        Some(match plain.as_str() {
            "key" => Field::Key,
            "selection" if named => Field::Key,
            "selection" | "name" | "item" => Field::Name,
            "room" => Field::Room,
            "category" => Field::Category,
            "allowance" | "budget" => Field::Allowance,
            "decide on" | "decide by" => Field::DecideOn,
            "choice" | "option" => Field::Choice,
            "supplier" => Field::Supplier,
            "phase" => Field::Phase,
            "quantity" | "qty" => Field::Quantity,
            "unit" => Field::Unit,
            "unit price" | "price" => Field::Price,
            "lead" | "lead time" => Field::Lead,
            "notes" | "note" => Field::Notes,
            _ => return None,
        })
    }

    /// Its heading.
    pub(super) fn title(self) -> &'static str {
        match self {
            Field::Key => "Key",
            Field::Name => "Selection",
            Field::Room => "Room",
            Field::Category => "Category",
            Field::Allowance => "Allowance",
            Field::DecideOn => "Decide on",
            Field::Choice => "Choice",
            Field::Supplier => "Supplier",
            Field::Phase => "Phase",
            Field::Quantity => "Quantity",
            Field::Unit => "Unit",
            Field::Price => "Unit price",
            Field::Lead => "Lead",
            Field::Notes => "Notes",
        }
    }

    /// Whether it belongs to the part of an option.
    pub(super) fn is_of_part(self) -> bool {
        matches!(
            self,
            Field::Supplier | Field::Phase | Field::Quantity | Field::Unit | Field::Price | Field::Lead
        )
    }
}
