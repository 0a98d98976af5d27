//! Kinds of things that are bought, with the lead times that are usual for each.
//!
//! The ranges are common practice, no source: they stand in until a supplier has said something, are shown as typical
//! and never as said, and a project can put its own in their place.

use super::field::{Field, Kind, at, field, word};
use super::part::LeadUnit;
use super::validate::{Checked, MAX_LEAD};
use serde::{Deserialize, Serialize};

/// A kind of thing that is bought.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
pub enum Goods {
    /// Cabinets and vanities that a shop keeps.
    StockCabinets,
    /// Cabinets in made-up sizes with a choice of fronts.
    SemiCustomCabinets,
    /// Cabinets and built-ins made for the room.
    MadeToOrderCabinets,
    /// Countertops of stone or quartz, cut to a template.
    Countertop,
    /// Shower glass without a frame, measured on finished walls.
    FramelessGlass,
    /// A shower door in its frame.
    FramedShowerDoor,
    /// Windows and exterior doors.
    Windows,
    /// Interior doors that a yard keeps.
    StockDoors,
    /// Interior doors made to size.
    DoorsToSize,
    /// Valves, carriers and drains that go into the wall or floor.
    InWall,
    /// Faucets, their trim, bath accessories.
    Faucets,
    /// The same in a finish that is made to order.
    SpecialFinish,
    /// Tubs.
    Tub,
    /// Toilets and sinks.
    ToiletsSinks,
    /// Tile that a shop keeps.
    StockTile,
    /// Tile that is ordered for the job.
    SpecialTile,
    /// Wood flooring.
    WoodFloor,
    /// Appliances.
    Appliances,
    /// Appliances built in or with a panel.
    BuiltInAppliances,
    /// Range hoods and fans.
    Fans,
    /// Light fixtures.
    Lights,
    /// Electrical panel, heating and cooling equipment, water heater.
    Equipment,
    /// Blinds, closet systems and mirrors, measured after the trim.
    MadeToMeasure,
    /// Stair parts and railings.
    Stairs,
    /// Hardware, paint, grout, setting materials, switches and plates.
    Supplies,
}

/// What is usual for a kind of thing: its word in sheets, its name, and days from order to ready, at the short end and
/// at the long end (common practice, no source).
struct Row(Goods, &'static str, &'static str, [u32; 2]);

const ROWS: [Row; 25] = [
    Row(Goods::StockCabinets, "stock_cabinets", "stock cabinets, vanities", [7, 21]),
    Row(Goods::SemiCustomCabinets, "semi_custom_cabinets", "semi-custom cabinets", [35, 70]),
    Row(Goods::MadeToOrderCabinets, "made_to_order_cabinets", "made-to-order cabinets, built-ins", [56, 112]),
    Row(Goods::Countertop, "countertop", "stone or quartz countertop", [11, 21]),
    Row(Goods::FramelessGlass, "frameless_glass", "frameless shower glass", [14, 28]),
    Row(Goods::FramedShowerDoor, "framed_shower_door", "framed shower door", [7, 21]),
    Row(Goods::Windows, "windows", "windows, exterior doors", [28, 84]),
    Row(Goods::StockDoors, "stock_doors", "interior doors, stock", [7, 21]),
    Row(Goods::DoorsToSize, "doors_to_size", "interior doors, made to size", [28, 56]),
    Row(Goods::InWall, "in_wall", "in-wall valves, carriers, drains", [7, 42]),
    Row(Goods::Faucets, "faucets", "faucets, trim, accessories", [7, 28]),
    Row(Goods::SpecialFinish, "special_finish", "faucets and trim in a special finish", [28, 70]),
    Row(Goods::Tub, "tub", "tubs", [14, 56]),
    Row(Goods::ToiletsSinks, "toilets_sinks", "toilets, sinks", [7, 21]),
    Row(Goods::StockTile, "stock_tile", "tile in stock", [0, 14]),
    Row(Goods::SpecialTile, "special_tile", "tile, special order", [21, 70]),
    Row(Goods::WoodFloor, "wood_floor", "wood flooring", [7, 28]),
    Row(Goods::Appliances, "appliances", "appliances", [7, 28]),
    Row(Goods::BuiltInAppliances, "built_in_appliances", "appliances, built-in or panel-ready", [28, 112]),
    Row(Goods::Fans, "fans", "range hood, fans", [7, 28]),
    Row(Goods::Lights, "lights", "light fixtures", [7, 42]),
    Row(Goods::Equipment, "equipment", "electrical panel, HVAC equipment, water heater", [7, 56]),
    Row(Goods::MadeToMeasure, "made_to_measure", "blinds, closet systems, mirrors to size", [14, 42]),
    Row(Goods::Stairs, "stairs", "stair parts, railings", [21, 56]),
    Row(Goods::Supplies, "supplies", "hardware, paint, grout, setting materials", [0, 14]),
];

impl Goods {
    /// All kinds with their words in sheets.
    pub const ALL: [(&'static str, Goods); ROWS.len()] = {
        let mut all = [("", Goods::Supplies); ROWS.len()];
        let mut i = 0;
        while i < ROWS.len() {
            all[i] = (ROWS[i].1, ROWS[i].0);
            i += 1;
        }
        all
    };

    /// All kinds as forms call them, in the order of [`Goods::ALL`].
    pub const TITLES: [&'static str; ROWS.len()] = {
        let mut all = [""; ROWS.len()];
        let mut i = 0;
        while i < ROWS.len() {
            all[i] = ROWS[i].2;
            i += 1;
        }
        all
    };

    fn row(self) -> &'static Row {
        // Each kind has its row; a test walks them.
        ROWS.iter().find(|row| row.0 == self).unwrap_or(&ROWS[ROWS.len() - 1])
    }

    /// What people call it.
    pub fn title(self) -> &'static str {
        self.row().2
    }

    /// What is usual from order to ready: the likely lead is the middle, rounded up.
    pub fn usual(self) -> TypicalLead {
        let [shortest, longest] = self.row().3;
        TypicalLead {
            goods: self,
            lead: (shortest + longest).div_ceil(2),
            unit: LeadUnit::Days,
            shortest,
            longest,
        }
    }
}

/// A typical lead time of a kind of thing, in place of the usual one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TypicalLead {
    /// Of what.
    pub goods: Goods,
    /// Order to ready, likely.
    pub lead: u32,
    /// What all three are counted in.
    #[serde(default)]
    pub unit: LeadUnit,
    /// Shortest.
    pub shortest: u32,
    /// Longest.
    pub longest: u32,
}

impl TypicalLead {
    /// Its fields, in the order of the columns.
    pub const FIELDS: &'static [Field<TypicalLead>] = &[
        field("goods", "Kind of thing", word!(Goods::ALL, goods)).required().shown(&Goods::TITLES),
        field("lead", "Likely", Kind::Lead(at!(lead), at!(unit))).required(),
        field("lead_unit", "Counted in", word!(LeadUnit::ALL, unit)),
        field("lead_min", "Shortest", Kind::Lead(at!(shortest), at!(unit))).required(),
        field("lead_max", "Longest", Kind::Lead(at!(longest), at!(unit))).required(),
    ];

    /// Checks a range by itself.
    pub fn check(&self) -> Checked {
        let TypicalLead { lead, shortest, longest, .. } = *self;
        if shortest > lead || lead > longest {
            return Err(format!(
                "the typical range is upside down: likely {lead} is not between the shortest {shortest} and the longest {longest}"
            ));
        }
        if longest > MAX_LEAD {
            return Err(format!("longest {longest} is above {MAX_LEAD}"));
        }
        Ok(())
    }
}

/// Checks the ranges of a project: each by itself, and one for each kind of thing.
pub fn check_typical(all: &[TypicalLead]) -> Checked {
    for (at, own) in all.iter().enumerate() {
        own.check()?;
        if all[..at].iter().any(|known| known.goods == own.goods) {
            return Err(format!("there are two typical ranges for {}; keep one", own.goods.title()));
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The ranges in weeks as they were agreed on (common practice, no source), here in days.
    #[test]
    fn every_kind_has_a_range_of_its_own() {
        for (word, goods) in Goods::ALL {
            let usual = goods.usual();
            assert_eq!(usual.check(), Ok(()), "{word}");
            assert!(goods.row().0 == goods && !goods.title().is_empty(), "{word}");
        }
        let weeks = |goods: Goods| (goods.usual().shortest, goods.usual().longest);
        assert_eq!(weeks(Goods::MadeToOrderCabinets), (8 * 7, 16 * 7));
        assert_eq!(weeks(Goods::SpecialTile), (3 * 7, 10 * 7));
        assert_eq!(Goods::Countertop.usual().lead, 16);
    }

    #[test]
    fn a_range_upside_down_is_refused() {
        let wrong = TypicalLead { shortest: 30, ..Goods::Tub.usual() };
        assert_eq!(wrong.check(), Ok(()));
        let wrong = TypicalLead { shortest: 40, ..Goods::Tub.usual() };
        assert!(wrong.check().unwrap_err().contains("upside down"));
        assert!(check_typical(&[Goods::Tub.usual(), Goods::Tub.usual()]).unwrap_err().contains("two"));
    }
}
