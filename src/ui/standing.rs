//! Where a selection stands, from undecided to built in, as one word and one shape.

use crate::engine::{Figures, PartFigures, SelectionFigures};
use crate::model::{OptionState, Selection};

/// Where a selection or a part stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Standing {
    /// Expected after its need date.
    Late,
    /// No option counts yet.
    Open,
    /// Leaned to.
    Leaning,
    /// Chosen, and to be ordered within two weeks.
    OrderSoon,
    /// Chosen.
    Chosen,
    /// Some parts are ordered.
    PartOrdered,
    /// Everything is ordered.
    Ordered,
    /// Everything has come.
    OnSite,
    /// Everything is built in.
    BuiltIn,
}

/// Days in hand from which an order is near.
pub const SOON: i32 = 14;

impl Standing {
    /// All, in their order.
    pub const ALL: [Standing; 9] = [
        Standing::Late,
        Standing::Open,
        Standing::Leaning,
        Standing::OrderSoon,
        Standing::Chosen,
        Standing::PartOrdered,
        Standing::Ordered,
        Standing::OnSite,
        Standing::BuiltIn,
    ];

    /// In a word or two.
    pub fn word(self) -> &'static str {
        match self {
            Standing::Late => "late",
            Standing::Open => "to decide",
            Standing::Leaning => "leaning",
            Standing::OrderSoon => "order soon",
            Standing::Chosen => "chosen",
            Standing::PartOrdered => "part ordered",
            Standing::Ordered => "ordered",
            Standing::OnSite => "on site",
            Standing::BuiltIn => "built in",
        }
    }

    /// Where a selection stands.
    pub fn of(selection: &Selection, figures: &Figures, own: &SelectionFigures) -> Standing {
        let Some(option) = selection.live_option() else { return Standing::Open };
        if own.late {
            return Standing::Late;
        }
        let live = || figures.parts_of(own).iter().filter(|f| f.live);
        let all = |test: fn(&PartFigures) -> bool| !option.parts.is_empty() && live().all(test);
        if all(|f| f.built_in) {
            Standing::BuiltIn
        } else if all(|f| f.on_site) {
            Standing::OnSite
        } else if all(|f| f.placed.is_some()) {
            Standing::Ordered
        } else if option.state == OptionState::Leaning {
            Standing::Leaning
        } else if own.days_in_hand.is_some_and(|d| d <= SOON) {
            Standing::OrderSoon
        } else if live().any(|f| f.placed.is_some()) {
            Standing::PartOrdered
        } else {
            Standing::Chosen
        }
    }
}
