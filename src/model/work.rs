//! Kinds of work: what is done in a phase, or looked at by an inspection. What can hurt, what a phase does to choices,
//! the usual gates and the usual phases of what is bought hang on it, and not on words inside names.
//!
//! What goes with each kind is common practice, no source.

mod names;

use super::caution::Hazard;
use super::phase::PhaseRole;
use Hazard::{Asbestos, DuctDust, Electrical, Exhaust, Gas, Ladders, Lead, MakeupAir, Silica, Structure};
use PhaseRole::{CoverUp, InWall, Plain, Template};
use serde::{Deserialize, Serialize};

/// A kind of work.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
pub enum Work {
    /// Lead and asbestos are looked for.
    Survey,
    /// Old work is taken out.
    Demolition,
    /// Walls, beams, openings, blocking.
    Framing,
    /// Concrete, brick, stone that is no tile.
    Masonry,
    /// Siding, roof, gutters, trim outdoors.
    Exterior,
    /// Windows and exterior doors.
    Windows,
    /// Stairs and railings.
    Stairs,
    /// Pipes, valves, drains before walls are closed.
    RoughPlumbing,
    /// Gas piping and what burns gas.
    GasPiping,
    /// Ducts and fans before walls are closed.
    Ducts,
    /// Wires and boxes before walls are closed.
    RoughElectrical,
    /// Wires for data, bells and sound.
    LowVoltage,
    /// Heat pump, air handler, water heater.
    Equipment,
    /// Insulation and air sealing.
    Insulation,
    /// Drywall is hung.
    Drywall,
    /// Joint compound: taped, coated, sanded.
    Taping,
    /// Wall and ceiling texture.
    Texture,
    /// Primer.
    Prime,
    /// Paint.
    Paint,
    /// Backer behind tile.
    TileBacker,
    /// Waterproofing of wet walls and shower pans.
    Waterproofing,
    /// Tile is set.
    Tile,
    /// Tile is grouted and sealed.
    Grout,
    /// Tile between countertop and wall cabinets.
    Backsplash,
    /// Heat for joint compound and paint, before the heating of the house runs.
    TemporaryHeat,
    /// Ducts are cleaned.
    DuctCleaning,
    /// Heating and cooling are started.
    StartHeat,
    /// Wood flooring is delivered and left to acclimate.
    FloorDelivery,
    /// Wood and other flooring that is no tile.
    Flooring,
    /// Cabinets and vanities are set.
    Cabinets,
    /// Countertops are measured.
    CountertopTemplate,
    /// Countertops are cut in the shop.
    Fabrication,
    /// Countertops are set.
    Countertop,
    /// Interior doors and trim.
    Trim,
    /// Fixtures, faucets, drains are set.
    FinishPlumbing,
    /// Lights, switches, outlets are set.
    FinishElectrical,
    /// Grilles, hood, controls are set.
    FinishMechanical,
    /// Shower glass.
    Glass,
    /// Appliances are set.
    Appliances,
    /// Closet systems and window coverings.
    Closets,
    /// Mirrors, towel bars, pulls and knobs.
    Accessories,
    /// What is left at the end.
    PunchList,
    /// The house is cleaned.
    Cleaning,
    /// None of these.
    Other,
}

/// What goes with a kind: its word in sheets, what people call it, what it does to choices, what can hurt.
struct Row(Work, &'static str, &'static str, PhaseRole, &'static [Hazard]);

const ROWS: [Row; 44] = [
    Row(Work::Survey, "survey", "lead and asbestos survey", Plain, &[]),
    Row(
        Work::Demolition,
        "demolition",
        "demolition",
        Plain,
        &[Lead, Asbestos, Silica, Electrical, Structure, DuctDust],
    ),
    Row(Work::CountertopTemplate, "template", "template for countertops", Template, &[]),
    Row(Work::Fabrication, "fabrication", "countertops cut in the shop", Plain, &[]),
    Row(Work::Countertop, "countertop", "countertops set", Plain, &[Silica]),
    Row(Work::Backsplash, "backsplash", "backsplash", Plain, &[Silica]),
    Row(Work::TileBacker, "tile_backer", "tile backer", Plain, &[Silica]),
    Row(Work::Waterproofing, "waterproofing", "waterproofing", Plain, &[]),
    Row(Work::Grout, "grout", "grout", Plain, &[]),
    Row(Work::Tile, "tile", "tile", Plain, &[Silica]),
    Row(Work::Closets, "closets", "closet systems, window coverings", Plain, &[]),
    Row(Work::Glass, "glass", "shower glass", Plain, &[]),
    Row(Work::Windows, "windows", "windows and exterior doors", Plain, &[Lead, Ladders]),
    Row(
        Work::Exterior,
        "exterior",
        "siding, roof, gutters, trim outdoors",
        Plain,
        &[Lead, Asbestos, Ladders],
    ),
    Row(Work::Stairs, "stairs", "stairs and railings", Plain, &[]),
    Row(Work::DuctCleaning, "duct_cleaning", "duct cleaning", Plain, &[Asbestos, DuctDust]),
    Row(Work::StartHeat, "start_heat", "heating and cooling started", Plain, &[DuctDust]),
    Row(Work::TemporaryHeat, "temporary_heat", "temporary heat for finishing", Plain, &[]),
    Row(Work::GasPiping, "gas", "gas piping", InWall, &[Gas]),
    Row(Work::Equipment, "equipment", "heating, cooling and hot water equipment", Plain, &[Electrical]),
    Row(Work::LowVoltage, "low_voltage", "data, bells and sound", InWall, &[Electrical]),
    Row(Work::FinishPlumbing, "finish_plumbing", "finish plumbing", Plain, &[]),
    Row(Work::FinishElectrical, "finish_electrical", "finish electrical", Plain, &[Electrical, Ladders]),
    Row(
        Work::FinishMechanical,
        "finish_mechanical",
        "grilles, hood and controls",
        Plain,
        &[Electrical, Exhaust, MakeupAir],
    ),
    Row(Work::RoughPlumbing, "rough_plumbing", "rough plumbing", InWall, &[]),
    Row(Work::RoughElectrical, "rough_electrical", "rough electrical", InWall, &[Electrical, Ladders]),
    Row(Work::Ducts, "ducts", "ducts and fans", InWall, &[Asbestos, Ladders, Exhaust, MakeupAir, DuctDust]),
    Row(Work::Drywall, "drywall", "drywall hung", CoverUp, &[Ladders]),
    Row(Work::Taping, "taping", "joint compound", Plain, &[Ladders, DuctDust]),
    Row(Work::Texture, "texture", "wall and ceiling texture", Plain, &[Asbestos, Ladders, DuctDust]),
    Row(Work::Insulation, "insulation", "insulation", InWall, &[Asbestos, Ladders]),
    Row(Work::FloorDelivery, "floor_delivery", "wood flooring delivered", Plain, &[]),
    Row(Work::Flooring, "flooring", "wood and other flooring", Plain, &[Asbestos, DuctDust]),
    Row(Work::Cabinets, "cabinets", "cabinets and vanities set", Plain, &[]),
    Row(Work::Framing, "framing", "framing", Plain, &[Structure, Ladders]),
    Row(Work::Paint, "paint", "paint", Plain, &[Lead, Ladders]),
    Row(Work::Prime, "prime", "prime", Plain, &[Ladders]),
    Row(Work::Trim, "trim", "interior doors and trim", Plain, &[Lead]),
    Row(Work::Appliances, "appliances", "appliances set", Plain, &[Electrical, Gas, MakeupAir]),
    Row(Work::Accessories, "accessories", "mirrors, accessories, hardware", Plain, &[]),
    Row(Work::PunchList, "punch_list", "punch list", Plain, &[]),
    Row(Work::Cleaning, "cleaning", "cleaning", Plain, &[]),
    Row(Work::Masonry, "masonry", "concrete, brick, stone", Plain, &[Silica]),
    Row(Work::Other, "other", "other work", Plain, &[]),
];

impl Work {
    /// All kinds with their words in sheets.
    pub const ALL: [(&'static str, Work); ROWS.len()] = {
        let mut all = [("", Work::Other); ROWS.len()];
        let mut i = 0;
        while i < ROWS.len() {
            all[i] = (ROWS[i].1, ROWS[i].0);
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

    /// What such a phase usually does to choices that change later.
    pub fn role(self) -> PhaseRole {
        self.row().3
    }

    /// What can hurt people in it.
    pub fn hazards(self) -> &'static [Hazard] {
        self.row().4
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_kind_has_a_row_of_its_own() {
        for (at, (word, work)) in Work::ALL.iter().enumerate() {
            assert!(work.row().0 == *work && !work.title().is_empty(), "{word}");
            assert!(Work::ALL[..at].iter().all(|(w, known)| w != word && known != work), "{word} twice");
        }
    }
}
