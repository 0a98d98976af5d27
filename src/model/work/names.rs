//! What kind of work the name of a phase tells, where nobody has said one.

use super::Work;

/// Names as the trades write them, divided by commas; the words of one all together tell the kind. Where two kinds fit
/// equally well, the first one here counts.
const NAMES: &[(Work, &str)] = &[
    (Work::Survey, "survey"),
    (Work::Demolition, "demolition, demolish, demo, tear out, strip"),
    (Work::CountertopTemplate, "template, templating, measure countertop, measure top"),
    (Work::Fabrication, "fabricate, fabrication, cut countertop, cut top"),
    (Work::Countertop, "countertop, counter top, set top"),
    (Work::Backsplash, "backsplash"),
    (Work::TileBacker, "backer, cement board"),
    (Work::Waterproofing, "waterproof, waterproofing, shower pan, flood test"),
    (Work::Grout, "grout, grouting"),
    (Work::Tile, "tile, tiling, set tile, tile setting"),
    (Work::Closets, "closet system, window covering, blind, window shade"),
    (Work::Glass, "glass, shower glass, shower door, tub glass"),
    (Work::Windows, "window, exterior door, entry door"),
    (Work::Exterior, "siding, exterior, exterior trim, exterior paint, roof, roofing, gutter, soffit"),
    (Work::Stairs, "stair, railing, baluster"),
    (Work::DuctCleaning, "clean duct, duct cleaning"),
    (Work::StartHeat, "start heat, start heating, start cooling"),
    (Work::TemporaryHeat, "temporary heat, temporary heating, heat finishing"),
    (Work::GasPiping, "gas, gas piping, furnace, boiler"),
    (Work::Equipment, "heat pump, air handler, air conditioner, water heater"),
    (Work::LowVoltage, "low voltage, data wiring, doorbell, doorbell wiring"),
    (Work::FinishPlumbing, "finish plumbing, final plumbing, plumbing fixture, set fixture"),
    (Work::FinishElectrical, "finish electrical, final electrical, light fixture"),
    (Work::FinishMechanical, "finish mechanical, final mechanical, finish hvac, grille, range hood, hood"),
    (Work::RoughPlumbing, "plumbing, rough plumbing, plumbing rough"),
    (Work::RoughElectrical, "electrical, rough electrical, electrical rough, wiring, rough wiring, rewire"),
    (
        Work::Ducts,
        "duct, ductwork, rough duct, mechanical, rough mechanical, hvac, rough hvac, fan, exhaust, ventilation",
    ),
    (Work::Drywall, "drywall, hang drywall, wallboard, hang wallboard, hang board, gypsum, close wall"),
    (
        Work::Taping,
        "tape, taping, tape drywall, finish drywall, tape finish drywall, joint compound, finish board, finish coat, mud, sand",
    ),
    (Work::Texture, "texture, texturing, popcorn"),
    (Work::Insulation, "insulation, insulate, air sealing"),
    (
        Work::FloorDelivery,
        "floor delivery, floor delivered, flooring delivery, flooring delivered, acclimate, acclimation",
    ),
    (Work::Flooring, "flooring, wood floor, sand floor, hardwood, carpet"),
    (Work::Cabinets, "cabinet, base cabinet, wall cabinet, laundry cabinet, cabinetry, vanity, vanities"),
    (Work::Framing, "framing, frame, beam, joist, structural, blocking, furring"),
    (Work::Paint, "paint, painting, prime paint, wall coat, strip paint"),
    (Work::Prime, "prime, primer, priming"),
    (Work::Trim, "trim, interior door, door trim, baseboard, casing, millwork, molding"),
    (Work::Appliances, "appliance"),
    (Work::Accessories, "hardware, accessory, accessories, mirror"),
    (Work::PunchList, "punch, punch list"),
    (Work::Cleaning, "clean, cleaning"),
    (Work::Masonry, "concrete, masonry, brick, stone"),
];

impl Work {
    /// The kind that the name of a phase tells, where nobody has said one: by whole words, and where several kinds fit
    /// by the one with the most words. Names of things that are bought are never asked.
    pub fn guess(name: &str) -> Option<Work> {
        let name = name.to_lowercase();
        let words: Vec<&str> = name.split(|c: char| !c.is_alphanumeric()).filter(|w| !w.is_empty()).collect();
        let there = |sign: &str| words.iter().any(|w| *w == sign || w.strip_suffix('s') == Some(sign));
        let mut best: Option<(usize, Work)> = None;
        for (work, names) in NAMES {
            let fitting = names.split(", ").filter(|signs| signs.split(' ').all(there));
            let most = fitting.map(|signs| signs.split(' ').count()).max().unwrap_or(0);
            if most > best.map_or(0, |(n, _)| n) {
                best = Some((most, *work));
            }
        }
        best.map(|(_, work)| work)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Names of phases as the trades write them (common practice, no source).
    #[test]
    fn names_of_phases_tell_their_kind_by_whole_words() {
        for (name, work) in [
            ("Protect the house and demolish", Work::Demolition),
            ("Rough ducts and fans", Work::Ducts),
            ("Plumbing rough-in", Work::RoughPlumbing),
            ("Rough electrical and fan", Work::RoughElectrical),
            ("Data and doorbell wiring", Work::LowVoltage),
            ("Hang board", Work::Drywall),
            ("Tape and finish drywall", Work::Taping),
            ("Insulate, hang and finish drywall", Work::Drywall),
            ("Trim and final wall coat", Work::Paint),
            ("Prime and paint", Work::Paint),
            ("Template countertops", Work::CountertopTemplate),
            ("Cut and finish countertops", Work::Fabrication),
            ("Set tops", Work::Countertop),
            ("Set and grout backsplash", Work::Backsplash),
            ("Set tile and grout", Work::Tile),
            ("Grout and seal bath tile", Work::Grout),
            ("Shower pan flood test", Work::Waterproofing),
            ("Wood floor delivered to acclimate", Work::FloorDelivery),
            ("Wood flooring", Work::Flooring),
            ("Clean ducts", Work::DuctCleaning),
            ("Set and connect heat pump and air handler", Work::Equipment),
            ("Set furnace", Work::GasPiping),
            ("Tub glass panel", Work::Glass),
            ("Shower glass and mirrors", Work::Glass),
            ("Closet systems and blinds", Work::Closets),
            ("Set exterior doors", Work::Windows),
            ("Patch siding and exterior trim", Work::Exterior),
            ("Wall cabinets, vanities and laundry cabinets", Work::Cabinets),
            ("Vanity and finish plumbing", Work::FinishPlumbing),
            ("Final electrical inspection", Work::FinishElectrical),
            ("Punch list and clean", Work::PunchList),
        ] {
            assert_eq!(Work::guess(name), Some(work), "{name}");
        }
        for name in ["", "Move back in", "Final building inspection", "Panel of judges", "Gasket"] {
            assert_eq!(Work::guess(name), None, "{name}");
        }
    }
}
