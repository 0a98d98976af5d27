//! Cautions: what can hurt people in a phase, in short words with a source. They warn; local code and licensed trades
//! decide.
//!
//! Sources are those named with each caution; what none was found for is common practice.

use super::goods::Goods;
use super::part::Part;
use super::phase::{Phase, PhaseKind};
use rust_decimal::Decimal;
use serde::{Deserialize, Serialize};

/// What every caution ends in.
pub const WHO_DECIDES: &str = "Local code and licensed trades decide.";

/// Houses built before this year may have lead paint: 1977 is in, 1978 is out (73 FR 21692, target housing).
pub const LEAD_YEAR: i32 = 1978;
/// Painted surface of one room that may be disturbed as minor repair, in square feet (40 CFR 745.83).
pub const LEAD_ROOM_SQFT: u32 = 6;
/// The same outdoors.
pub const LEAD_OUTSIDE_SQFT: u32 = 20;
/// Insulation of pipes and ducts, surfacing and asphalt or vinyl flooring up to this year are taken for asbestos until
/// sampled (29 CFR 1926.1101(b) and (k)(1)).
pub const ASBESTOS_YEAR: i32 = 1980;
/// Bath exhaust in cubic feet a minute: when switched on, and when always on (IRC R303.4 and M1507.4 as of 2012,
/// Table M1505.4.4 from 2018).
pub const BATH_CFM: (u32, u32) = (50, 20);
/// Kitchen exhaust, the same.
pub const KITCHEN_CFM: (u32, u32) = (100, 25);
/// A kitchen hood that can exhaust more than this needs makeup air where a fuel appliance can be drawn on (IRC 2018 and
/// 2021 M1503.6; M1503.4 in earlier editions).
pub const MAKEUP_AIR_CFM: u32 = 400;

/// What can hurt people, or the house, in a phase.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
pub enum Hazard {
    /// Paint from before 1978 is broken.
    Lead,
    /// Old materials that may hold asbestos.
    Asbestos,
    /// Dust from cutting tile, stone, mortar or concrete.
    Silica,
    /// Live parts, and circuits that are changed.
    Electrical,
    /// Gas piping and what burns gas.
    Gas,
    /// Walls, beams and posts that carry.
    Structure,
    /// Work above the floor.
    Ladders,
    /// Moist or bad air that must get out of the house.
    Exhaust,
    /// A strong hood that pulls air from where it should not.
    MakeupAir,
    /// Dust in the ducts.
    DuctDust,
}

impl Hazard {
    /// All with their words in sheets.
    pub const ALL: [(&'static str, Hazard); 10] = [
        ("lead", Hazard::Lead),
        ("asbestos", Hazard::Asbestos),
        ("silica", Hazard::Silica),
        ("electrical", Hazard::Electrical),
        ("gas", Hazard::Gas),
        ("structure", Hazard::Structure),
        ("ladders", Hazard::Ladders),
        ("exhaust", Hazard::Exhaust),
        ("makeup_air", Hazard::MakeupAir),
        ("duct_dust", Hazard::DuctDust),
    ];

    /// Its word in sheets.
    pub fn word(self) -> &'static str {
        Hazard::ALL.iter().find(|(_, h)| *h == self).map_or("", |(word, _)| word)
    }

    /// What people call it.
    pub fn title(self) -> &'static str {
        match self {
            Hazard::Lead => "Lead paint",
            Hazard::Asbestos => "Asbestos",
            Hazard::Silica => "Silica dust",
            Hazard::Electrical => "Electrical",
            Hazard::Gas => "Gas",
            Hazard::Structure => "Structure",
            Hazard::Ladders => "Ladders",
            Hazard::Exhaust => "Exhaust outdoors",
            Hazard::MakeupAir => "Makeup air",
            Hazard::DuctDust => "Dust in ducts",
        }
    }
}

/// A caution for people.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Caution {
    /// What it is about.
    pub hazard: Hazard,
    /// What to know and do; ends in [`WHO_DECIDES`].
    pub text: String,
    /// Where it comes from.
    pub source: &'static str,
}

/// Whether the house may have lead paint; `None` when its year is not known.
pub fn may_have_lead(year_built: Option<i32>) -> Option<bool> {
    year_built.map(|year| year < LEAD_YEAR)
}

/// Whether disturbing painted surface stays under the limits of minor repair: 6 sq ft or less in a room, 20 sq ft or
/// less outdoors, jobs of 30 days in a room counted together, no window replaced, and no painted surface demolished
/// (40 CFR 745.83).
pub fn is_minor_repair(
    square_feet: Decimal,
    outdoors: bool,
    window_replaced: bool,
    demolished: bool,
) -> bool {
    let most = if outdoors { LEAD_OUTSIDE_SQFT } else { LEAD_ROOM_SQFT };
    !window_replaced && !demolished && square_feet <= Decimal::from(most)
}

/// Whether a kitchen hood needs makeup air: one of 400 cubic feet a minute does not, one of 401 does, where
/// `fuel_appliance`, one that burns fuel inside the air barrier and is neither direct-vent nor vented by mechanical
/// draft, is there (IRC 2018 and 2021 M1503.6).
pub fn needs_makeup_air(cfm: Decimal, fuel_appliance: bool) -> bool {
    fuel_appliance && cfm > Decimal::from(MAKEUP_AIR_CFM)
}

/// The caution for a hazard in a house of a year. `None` when the year rules it out.
pub fn caution(hazard: Hazard, year_built: Option<i32>) -> Option<Caution> {
    let unknown = "The year the house was built is not noted; until it is, take it for older. ";
    let (text, source) = match hazard {
        Hazard::Lead => {
            if may_have_lead(year_built) == Some(false) {
                return None;
            }
            let year = if year_built.is_none() { unknown } else { "" };
            (
                format!(
                    "{year}Paint from before {LEAD_YEAR} may hold lead, and its dust harms children most. Have it \
                     tested; keep it wet and closed off; never burn, blast or dry-sand it. Paid work that disturbs more \
                     than {LEAD_ROOM_SQFT} sq ft in a room or {LEAD_OUTSIDE_SQFT} sq ft outdoors, replaces a window or \
                     demolishes painted surface of any size is for a certified firm."
                ),
                "40 CFR 745.83; 73 FR 21692",
            )
        }
        Hazard::Asbestos => {
            if year_built.is_some_and(|year| year > ASBESTOS_YEAR) {
                return None;
            }
            let year = if year_built.is_none() { unknown } else { "" };
            (
                format!(
                    "{year}Ceiling and wall texture, joint compound, pipe and duct wrap, vermiculite insulation, floor \
                     tile with its backing and mastic, and siding of that age may hold asbestos. Leave whole material \
                     alone: do not sand, saw, scrape, drill or sweep it. Have it sampled before the work; many places \
                     want a survey before any remodel."
                ),
                "EPA advice to homeowners on asbestos; 29 CFR 1926.1101 for the year; local rules for surveys",
            )
        }
        Hazard::Silica => (
            "Cutting tile, backer, stone, mortar or concrete dry makes silica dust that scars lungs (limit 50, action \
             level 25 micrograms a cubic meter over 8 hours). Cut wet or with a vacuum on the tool, outdoors where you \
             can, with a fitted respirator."
                .to_owned(),
            "29 CFR 1926.1153",
        ),
        Hazard::Electrical => (
            "Switch the circuit off, lock it, and test that it is dead before touching anything. Changed circuits may \
             have to get ground-fault and arc-fault protection. Most places want a permit, and many a licensed \
             electrician."
                .to_owned(),
            "IRC E3902; NEC 210.12(D) (2017, 2020) or 210.12(E) (2023) for circuits that are extended; the rest common practice",
        ),
        Hazard::Gas => (
            "Gas piping is for a licensed fitter: it is shut off, pressure-tested before it is covered, and checked for \
             leaks before anything is lit. If you smell gas, touch no switch, leave the house, and call from outside."
                .to_owned(),
            "IRC R109.1.2 for the test before covering; the rest common practice",
        ),
        Hazard::Structure => (
            "Before a wall, joist, beam or post is cut or moved, somebody qualified says what it carries and how it is \
             held up meanwhile. Framing is inspected before it is covered."
                .to_owned(),
            "IRC R109.1.4; the rest common practice",
        ),
        Hazard::Ladders => (
            "Stand a ladder on firm ground, one foot out for every four up, tied or held, and keep three points of \
             contact. Do not reach over; move it. Look for wires overhead."
                .to_owned(),
            "29 CFR 1926.1053",
        ),
        Hazard::Exhaust => (
            format!(
                "Fans blow outdoors, never into an attic, soffit or crawl space. Usual least rates in cubic feet a \
                 minute: bath {} when switched on or {} always on; kitchen {} or {}. Agree place and duct route between \
                 electrician and duct trade before the fan is set.",
                BATH_CFM.0, BATH_CFM.1, KITCHEN_CFM.0, KITCHEN_CFM.1
            ),
            "IRC M1501.1 (2021) and Table M1505.4.4 (M1507.4 before 2018)",
        ),
        Hazard::MakeupAir => (
            format!(
                "A hood that can exhaust more than {MAKEUP_AIR_CFM} cubic feet a minute needs makeup air that starts \
                 with it where an appliance that burns fuel is inside the air barrier and is neither direct-vent nor \
                 vented by mechanical draft: its flue gas can be drawn into the house."
            ),
            "IRC M1503.6 (2018, 2021); M1503.4 in earlier editions",
        ),
        Hazard::DuctDust => (
            "Keep the furnace off and the registers covered while there is dust. Clean the ducts after the last dusty \
             work and before heat runs for the finish: old slip-jointed ducts by vacuum at every register and both \
             plenums; whips are for screwed ducts."
                .to_owned(),
            "common practice, no source",
        ),
    };
    Some(Caution { hazard, text: format!("{text} {WHO_DECIDES}"), source })
}

/// What can hurt in a phase: what the user said, else what goes with its kind of work.
pub fn hazards_of(phase: &Phase) -> Vec<Hazard> {
    match &phase.hazards {
        Some(said) => said.clone(),
        None if phase.kind == PhaseKind::Work => {
            phase.kind_of_work().map_or(Vec::new(), |work| work.hazards().to_vec())
        }
        None => Vec::new(),
    }
}

/// The cautions of a phase in a house of a year.
pub fn of_phase(phase: &Phase, year_built: Option<i32>) -> Vec<Caution> {
    hazards_of(phase).into_iter().filter_map(|h| caution(h, year_built)).collect()
}

/// What a kind of thing brings with it wherever it is built in, and what else of its phase concerns it. Common practice,
/// no source.
fn of_goods(goods: Goods) -> (&'static [Hazard], &'static [Hazard]) {
    use Hazard::{Asbestos, DuctDust, Electrical, Exhaust, Gas, Ladders, Lead, MakeupAir, Silica};
    match goods {
        Goods::StockTile | Goods::SpecialTile => (&[Silica], &[Ladders]),
        Goods::Countertop => (&[], &[Silica]),
        Goods::Windows => (&[], &[Lead, Ladders]),
        Goods::StockDoors | Goods::DoorsToSize | Goods::Stairs => (&[], &[Lead]),
        Goods::InWall => (&[], &[Gas]),
        Goods::WoodFloor => (&[], &[Asbestos, DuctDust]),
        Goods::Appliances | Goods::BuiltInAppliances => (&[Electrical], &[Gas]),
        Goods::Fans => (&[Exhaust], &[Electrical, Ladders, MakeupAir, DuctDust]),
        Goods::Lights => (&[Electrical], &[Ladders]),
        Goods::Equipment => (&[Electrical], &[Gas, DuctDust]),
        Goods::Supplies => (&[], &[Lead, Asbestos, Silica, Electrical, Gas, Ladders]),
        Goods::StockCabinets
        | Goods::SemiCustomCabinets
        | Goods::MadeToOrderCabinets
        | Goods::FramelessGlass
        | Goods::FramedShowerDoor
        | Goods::Faucets
        | Goods::SpecialFinish
        | Goods::Tub
        | Goods::ToiletsSinks
        | Goods::MadeToMeasure => (&[], &[]),
    }
}

/// What can hurt with a part in the phase that needs it. Of a kind of thing that is known only what concerns it counts;
/// else all of the phase does. Where the user said what hurts in the phase, nothing else does.
pub fn hazards_of_part(part: &Part, phase: Option<&Phase>) -> Vec<Hazard> {
    let there = phase.map_or(Vec::new(), hazards_of);
    let Some(goods) = part.goods else { return there };
    let (brings, concern) = of_goods(goods);
    let said = phase.is_some_and(|p| p.hazards.is_some());
    let all = Hazard::ALL.into_iter().map(|(_, h)| h);
    let counts = |h: &Hazard| {
        let here = there.contains(h);
        (brings.contains(h) && (here || !said)) || (concern.contains(h) && here)
    };
    all.filter(counts).collect()
}

/// The cautions of a part in a house of a year, with the phase that needs it.
pub fn of_part(part: &Part, phase: Option<&Phase>, year_built: Option<i32>) -> Vec<Caution> {
    hazards_of_part(part, phase).into_iter().filter_map(|h| caution(h, year_built)).collect()
}
