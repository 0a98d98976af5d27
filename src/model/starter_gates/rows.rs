//! The usual gates, each with its source.

use super::{Sort, UsualGate, Wants};
use crate::model::gate::Presence::{BuiltIn, OnSite};
use crate::model::phase::PhaseRole::{self, CoverUp, InWall, Template};
use crate::model::work::Work;
use Wants::{AllFinished, Confirm, Parts, Selections};

const fn sort(title: &'static str, inspected: bool, works: &'static [Work], role: Option<PhaseRole>) -> Sort {
    Sort { title, inspected, works, role }
}

const fn done(title: &'static str, works: &'static [Work]) -> Sort {
    sort(title, false, works, None)
}

const fn check(title: &'static str, works: &'static [Work]) -> Sort {
    sort(title, true, works, None)
}

const DEMOLITION: Sort = done("demolition", &[Work::Demolition]);
const PLUMBING: Sort = done("rough plumbing", &[Work::RoughPlumbing]);
const PIPES: Sort = done("rough plumbing and gas piping", &[Work::RoughPlumbing, Work::GasPiping]);
const DUCTS: Sort = done("rough ducts and fans", &[Work::Ducts]);
const ROUGH_ELECTRICAL: Sort = done("rough electrical", &[Work::RoughElectrical]);
/// Work behind the wall that is none of the rough work above, such as data wiring.
const OTHER_IN_WALL: Sort = sort("other work behind the wall", false, &[Work::LowVoltage], Some(InWall));
const PLUMBING_CHECK: Sort = check("plumbing inspection", &[Work::RoughPlumbing]);
const PIPES_CHECK: Sort = check("plumbing and gas inspection", &[Work::RoughPlumbing, Work::GasPiping]);
const MECHANICAL_CHECK: Sort = check("mechanical inspection", &[Work::Ducts]);
const ELECTRICAL_CHECK: Sort = check("electrical inspection", &[Work::RoughElectrical]);
const FRAMING_CHECK: Sort = check("framing inspection", &[Work::Framing]);
const INSULATION: Sort = done("insulation", &[Work::Insulation]);
const INSULATION_CHECK: Sort = check("insulation inspection", &[Work::Insulation]);
const COVER_UP: Sort = sort("closing the walls", false, &[Work::Drywall], Some(CoverUp));
const TEMPORARY_HEAT: Sort = done("temporary heat", &[Work::TemporaryHeat]);
const TAPING: Sort = done("taping", &[Work::Taping]);
const PAN_CHECK: Sort = check("shower pan test", &[Work::Waterproofing]);
const TILE: Sort = done("tile", &[Work::Tile]);
const CABINETS: Sort = done("cabinets", &[Work::Cabinets]);
const TEMPLATE: Sort = sort("template for countertops", false, &[Work::CountertopTemplate], Some(Template));
const DUSTY: Sort = done(
    "dusty work",
    &[Work::Taping, Work::Texture, Work::Tile, Work::Flooring, Work::Trim, Work::Backsplash],
);
const DUCT_CLEANING: Sort = done("duct cleaning", &[Work::DuctCleaning]);
const START_HEAT: Sort = done("heating and cooling", &[Work::StartHeat]);
const FLOOR_DELIVERY: Sort = done("delivery of wood flooring", &[Work::FloorDelivery]);

const PRACTICE: &str = "common practice, no source";

pub(super) const ROWS: &[UsualGate] = &[
    UsualGate {
        key: "survey",
        name: "Lead and asbestos looked for",
        before: &[&DEMOLITION],
        each: false,
        source: "EPA advice to homeowners; 40 CFR 745 for lead paint",
        wants: &[(
            "Owner",
            Confirm(
                "paint, texture, joint compound, pipe and duct wrap, vermiculite, old floor with its mastic and siding \
                 tested or taken for lead and asbestos",
            ),
        )],
    },
    UsualGate {
        key: "in_wall_on_site",
        name: "In-wall bodies on site",
        before: &[&PLUMBING],
        each: false,
        source: "common practice, no source: they are ordered 5 to 6 weeks before the inspection that lets the wall be \
                 closed",
        wants: &[("", Parts(&PLUMBING, OnSite))],
    },
    UsualGate {
        key: "in_wall_set",
        name: "In-wall bodies set",
        before: &[&PLUMBING_CHECK],
        each: false,
        source: "IRC R109.1.2: rough plumbing is inspected before it is covered",
        wants: &[("Plumber", AllFinished(&PLUMBING)), ("Plumber", Parts(&PLUMBING, BuiltIn))],
    },
    UsualGate {
        key: "fan_places",
        name: "Fan places and duct routes agreed",
        before: &[&DUCTS],
        each: false,
        source: "IRC M1501.1: exhaust goes outdoors; the agreement is common practice, no source",
        wants: &[
            ("Owner", Confirm("kitchen, laundry and every bath has an exhaust fan on the plan")),
            ("Electrician", Confirm("the place of each fan")),
            ("HVAC", Confirm("a duct route from each fan to the outdoors")),
        ],
    },
    UsualGate {
        key: "roughs_passed",
        name: "Rough work passed before framing",
        before: &[&FRAMING_CHECK],
        each: false,
        source: "IRC R109.1.4: frame after rough plumbing, mechanical and electrical are approved",
        wants: &[
            ("Plumber", AllFinished(&PIPES_CHECK)),
            ("HVAC", AllFinished(&MECHANICAL_CHECK)),
            ("Electrician", AllFinished(&ELECTRICAL_CHECK)),
        ],
    },
    UsualGate {
        key: "inside_walls",
        name: "Insulation inside the house decided",
        before: &[&INSULATION],
        each: false,
        source: "common practice, no source: it is optional, for sound",
        wants: &[("Owner", Confirm("inside walls with or without insulation; it is optional, for sound"))],
    },
    UsualGate {
        key: "cover_up",
        name: "Ready to close the walls",
        before: &[&COVER_UP],
        each: true,
        source: "IRC R109.1.2 and R109.1.4; insulation by local energy code",
        wants: &[
            ("Carpenter", AllFinished(&FRAMING_CHECK)),
            ("Plumber", AllFinished(&PIPES_CHECK)),
            ("Electrician", AllFinished(&ELECTRICAL_CHECK)),
            ("HVAC", AllFinished(&MECHANICAL_CHECK)),
            ("Insulator", AllFinished(&INSULATION_CHECK)),
            ("Plumber", Parts(&PIPES, BuiltIn)),
            ("HVAC", Parts(&DUCTS, BuiltIn)),
            ("Electrician", Parts(&ROUGH_ELECTRICAL, BuiltIn)),
            ("", Parts(&OTHER_IN_WALL, BuiltIn)),
        ],
    },
    UsualGate {
        key: "heat_for_finishing",
        name: "Warm enough for joint compound",
        before: &[&TAPING],
        each: false,
        source: "ASTM C840 section 4: 50 F for 48 hours before finishing and until it is dry",
        wants: &[
            ("Owner", AllFinished(&TEMPORARY_HEAT)),
            (
                "Drywall",
                Confirm(
                    "50 F or more in every room, by a thermometer, two days before and until the compound is dry",
                ),
            ),
        ],
    },
    UsualGate {
        key: "texture",
        name: "Wall texture decided",
        // Whoever has no phase of taping hangs and finishes in one.
        before: &[&TAPING, &COVER_UP],
        each: false,
        source: "common practice, no source: decided before drywall is bid, and before taping ends at the latest; raking \
                 light shows patchwork, and matching costs less than redoing",
        wants: &[(
            "Drywall",
            Confirm("texture matched or redone, looked at in raking light, with its price in the bid"),
        )],
    },
    UsualGate {
        key: "pan_tested",
        name: "Shower pan holds water",
        before: &[&TILE],
        each: false,
        source: "IPC 312.9: the liner is tested with 2 inches of water for 15 minutes or longer before it is covered",
        wants: &[("Tile setter", AllFinished(&PAN_CHECK))],
    },
    UsualGate {
        key: "dust_over",
        name: "Dusty work over before ducts are cleaned",
        before: &[&DUCT_CLEANING],
        each: false,
        source: PRACTICE,
        wants: &[
            ("", AllFinished(&DUSTY)),
            (
                "HVAC",
                Confirm(
                    "how: old slip-jointed ducts by vacuum at every register and both plenums, a whip only where \
                     they are screwed",
                ),
            ),
            (
                "Carpenter",
                Confirm(
                    "wood floor, trim and backsplash tile are cut outdoors, with filters over the returns",
                ),
            ),
        ],
    },
    UsualGate {
        key: "ducts_clean",
        name: "Ducts clean before heat runs",
        before: &[&START_HEAT],
        each: false,
        source: PRACTICE,
        wants: &[("HVAC", AllFinished(&DUCT_CLEANING))],
    },
    UsualGate {
        key: "floor_climate",
        name: "House ready for the wood floor",
        before: &[&FLOOR_DELIVERY],
        each: false,
        source: "guidance of the wood flooring trade: heating and cooling run at least 5 days before wood flooring is \
                 delivered",
        wants: &[
            ("HVAC", AllFinished(&START_HEAT)),
            (
                "Flooring",
                Confirm("rooms as they will be lived in, and the moisture of the floor below measured"),
            ),
        ],
    },
    UsualGate {
        key: "template_ready",
        name: "Ready to measure countertops",
        before: &[&TEMPLATE],
        each: true,
        source: "common practice, no source: what the countertop must fit is there; 5 to 12 working days from template \
                 to set countertop",
        wants: &[
            ("Cabinet setter", AllFinished(&CABINETS)),
            ("Cabinet setter", Confirm("every cabinet under a countertop level, shimmed and fixed")),
            ("", Parts(&TEMPLATE, OnSite)),
            ("", Selections(&["sink", "faucet", "cooktop", "air gap"])),
            (
                "Countertop shop",
                Confirm("the list of cut-outs with their sheets: sink, faucet, cooktop, air gap and others"),
            ),
        ],
    },
];

/// The rough work that has a condition of its own before walls are closed.
pub(super) const OF_THEIR_OWN: &[Work] =
    &[Work::RoughPlumbing, Work::GasPiping, Work::Ducts, Work::RoughElectrical, Work::Insulation];
