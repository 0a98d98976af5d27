//! Identities. Every thing in a project has a number that is given once, from one counter, and never used again.
//!
//! Numbers tie the document together; the short text keys beside them are for sheets and figures.

use serde::{Deserialize, Serialize};

/// What numbers of things say that they are, to whoever asks for more than a text (`tree`).
pub(super) const NUMBER: &str = "number of a thing";

macro_rules! ids {
    ($($(#[$doc:meta])* $name:ident),+ $(,)?) => {
        $(
            $(#[$doc])*
            #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Deserialize)]
            #[serde(transparent)]
            pub struct $name(pub u32);

            impl Serialize for $name {
                fn serialize<S: serde::Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
                    if s.is_human_readable() {
                        s.serialize_u32(self.0)
                    } else {
                        s.serialize_newtype_struct(NUMBER, &self.0)
                    }
                }
            }
        )+
    };
}

ids! {
    /// A room.
    RoomId,
    /// A phase of the work.
    PhaseId,
    /// A link between two phases.
    LinkId,
    /// A supplier.
    SupplierId,
    /// A selection, the slot in which one thing is decided.
    SelectionId,
    /// An option of a selection.
    OptionId,
    /// A part of an option.
    PartId,
    /// A trade's quote.
    QuoteId,
    /// A permit fee or another own extra.
    ExtraId,
    /// A change of a choice.
    SwapId,
    /// What becomes of a part that is no longer wanted.
    ReturnId,
    /// A rule of what goes with what.
    RuleId,
    /// A list of conditions before a phase.
    GateId,
    /// One condition of a gate.
    ConditionId,
    /// Something an inspector wants corrected.
    CorrectionId,
    /// Lines placed together with a supplier.
    OrderId,
    /// What came of a part on a day.
    DeliveryId,
    /// Money paid to a supplier.
    PaymentId,
    /// A mapping of the columns of a list.
    MappingId,
    /// A crew.
    CrewId,
    /// A permit.
    PermitId,
    /// A change of the work.
    ChangeId,
    /// A draw of the lender.
    DrawId,
    /// A room or a service that is out of use.
    OutOfUseId,
    /// A plan that is kept as it was agreed on.
    PlanId,
    /// Something that may happen.
    RiskId,
    /// A named set of choices.
    AlternativeId,
    /// Something on the punch list.
    PunchId,
    /// What stays with a part when the work is over.
    HandoverId,
}

/// Makes a key of lower-case words joined by `_` from a name, unused among `taken`.
///
/// A name without any letter or digit gives `item`. A key in use gets a number behind it.
pub fn key_from_name<'a>(name: &str, taken: impl Iterator<Item = &'a str>) -> String {
    let mut base = String::new();
    for c in name.chars() {
        if c.is_alphanumeric() {
            base.extend(c.to_lowercase());
        } else if !base.is_empty() && !base.ends_with('_') {
            base.push('_');
        }
    }
    let base = match base.trim_end_matches('_') {
        "" => "item",
        text => text,
    };
    let taken: std::collections::HashSet<&str> = taken.collect();
    if !taken.contains(base) {
        return base.to_owned();
    }
    let mut n = 2_u32;
    loop {
        let key = format!("{base}_{n}");
        if !taken.contains(key.as_str()) {
            return key;
        }
        n += 1;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn keys_are_plain_and_unused() {
        assert_eq!(key_from_name("Hall bath, 2nd", [].into_iter()), "hall_bath_2nd");
        assert_eq!(key_from_name("--", [].into_iter()), "item");
        assert_eq!(key_from_name("Tub", ["tub", "tub_2"].into_iter()), "tub_3");
    }
}
