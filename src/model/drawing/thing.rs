//! The things that can be drawn, with the words of names that tell them.

use super::shape::Shape;
use super::{bath, cabinets, kitchen, openings, rough, surfaces};
use crate::model::goods::Goods;
use std::collections::HashMap;
use std::sync::LazyLock;

/// A thing that can be drawn: its name, its drawing, and names of options that tell it, divided by commas.
struct Row(&'static str, fn() -> Vec<Shape>, &'static str);

/// All. Where two fit a name equally well, at the same place in it, the first one here counts. The last one stands for
/// whatever is none of the others.
const ROWS: &[Row] = &[
    Row("tub", bath::tub, "tub, bathtub, alcove tub, drop in tub"),
    Row("freestanding tub", bath::freestanding_tub, "freestanding tub, soaking tub, clawfoot tub"),
    Row("toilet", bath::toilet, "toilet, bidet"),
    Row("wall-hung toilet", bath::wall_toilet, "wall hung toilet, wall toilet, carrier"),
    Row(
        "shower set",
        bath::shower_set,
        "shower, shower set, shower head, showerhead, hand shower, shower trim, tub shower set",
    ),
    Row(
        "shower glass",
        bath::shower_glass,
        "shower glass, shower door, shower panel, frameless door, frameless sliding door, tub panel, glass tub panel, \
         glass panel, shower enclosure, tub enclosure",
    ),
    Row("sink", bath::sink, "sink, kitchen sink, utility sink, apron sink"),
    Row("basin", bath::basin, "basin, vessel basin, lavatory, lavatory sink, vessel sink"),
    Row("faucet", bath::faucet, "faucet, tap, kitchen faucet, lavatory faucet, basin faucet"),
    Row("wall faucet", bath::wall_faucet, "wall faucet, wall lavatory faucet, wall mount faucet"),
    Row("tub filler", bath::tub_filler, "tub filler, tub spout, tub faucet"),
    Row(
        "valve",
        bath::valve,
        "valve, rough in valve, valve body, mixing valve, diverter, drain, tub drain, shower drain",
    ),
    Row("shut-off valve", bath::shut_off, "shut off, shut off valve, ball valve, hose bib"),
    Row("air gap", bath::air_gap, "air gap"),
    Row("pipes", bath::pipe, "pipe, water pipe, piping, plumbing, drain pipe"),
    Row("water filter", bath::filter, "filter, water filter, softener"),
    Row("mirror", bath::mirror, "mirror"),
    Row("round mirror", bath::round_mirror, "round mirror, oval mirror"),
    Row("mirror cabinet", bath::mirror_cabinet, "mirror cabinet, medicine cabinet, mirrored cabinet"),
    Row(
        "towel bar",
        bath::towel_bar,
        "towel bar, towel ring, towel rail, paper holder, robe hook, hook, bath accessory, bath accessories, grab bar",
    ),
    Row("towel warmer", bath::towel_warmer, "towel warmer, radiator"),
    Row("curtain rod", bath::curtain_rod, "curtain, curtain rod, rod curtain, curtain rod liner"),
    Row("niche", bath::niche, "niche, shower niche, shower bench"),
    Row("base cabinet", cabinets::base_cabinet, "cabinet, cabinetry, base cabinet, sink base"),
    Row("wall cabinet", cabinets::wall_cabinet, "wall cabinet, upper cabinet"),
    Row("glass cabinet", cabinets::glass_cabinet, "glass cabinet, wall cabinet glass, glass door cabinet"),
    Row("drawers", cabinets::drawers, "island cabinet, island, drawer, drawer base, dresser"),
    Row(
        "tall cabinet",
        cabinets::tall_cabinet,
        "pantry, pantry cabinet, tall cabinet, linen cabinet, linen tower, wardrobe",
    ),
    Row("vanity", cabinets::vanity, "vanity, vanities, bath vanity, double vanity"),
    Row(
        "shelves",
        cabinets::shelves,
        "shelves, built in shelves, bookcase, shelf unit, built in, open shelves",
    ),
    Row("shelf", cabinets::shelf, "shelf, vanity shelf, floating shelf, mantel"),
    Row("closet", cabinets::closet, "closet, closet system, wire shelves, shelf rod kit, shelf rod"),
    Row("pull-out", cabinets::pull_out, "pull out, basket"),
    Row("roll-out trays", cabinets::roll_out, "roll out, roll out tray, tray"),
    Row("desk", cabinets::desk, "desk, desktop, built in desk"),
    Row("bench", cabinets::bench, "bench, bench cubbies, window seat, peg rail"),
    Row(
        "countertop",
        cabinets::countertop,
        "countertop, counter top, vanity top, top, slab, quartz, quartzite, butcher block, worktop, slab backsplash, sill",
    ),
    Row(
        "pull and knob",
        cabinets::pulls,
        "pull, knob, cup pull, bar pull, edge pull, cabinet hardware, hardware",
    ),
    Row("oven", kitchen::oven, "oven, wall oven, oven stack, oven microwave stack"),
    Row("range", kitchen::range, "range, stove, cooktop range"),
    Row("cooktop", kitchen::cooktop, "cooktop, induction cooktop, hob"),
    Row("gas cooktop", kitchen::gas_cooktop, "gas cooktop, gas hob"),
    Row("hood", kitchen::hood, "hood, range hood, hood liner, chimney hood"),
    Row("refrigerator", kitchen::refrigerator, "refrigerator, refrigerator column, freezer, fridge"),
    Row("dishwasher", kitchen::dishwasher, "dishwasher"),
    Row("washer", kitchen::washer, "washer, washing machine"),
    Row("dryer", kitchen::dryer, "dryer, heat pump dryer"),
    Row("washer and dryer", kitchen::laundry_stack, "washer dryer, stacked washer dryer"),
    Row("microwave", kitchen::microwave, "microwave, microwave drawer"),
    Row("disposer", kitchen::disposer, "disposer, waste disposer"),
    Row("water heater", kitchen::water_heater, "water heater, heat pump water heater"),
    Row("tankless water heater", kitchen::tankless, "tankless, tankless water heater, boiler, furnace"),
    Row(
        "heat pump",
        kitchen::heat_pump,
        "heat pump, air handler, air conditioner, condenser, hvac, compressor",
    ),
    Row("duct", kitchen::duct, "duct, register, trunk, grille, vent, roof cap, duct roof cap, ventilation"),
    Row("tile", surfaces::tile_grid, "tile, floor tile, wall tile"),
    Row("large tile", surfaces::tile_large, "large format tile, plank tile"),
    Row("running-bond tile", surfaces::tile_bond, "brick, brick tile, running bond, backsplash"),
    Row("stacked tile", surfaces::tile_stacked, "stacked tile"),
    Row("hexagon tile", surfaces::tile_hexagon, "hexagon, hex tile, hexagon tile, hexagon mosaic"),
    Row("herringbone tile", surfaces::tile_herringbone, "herringbone, herringbone tile"),
    Row("penny tile", surfaces::tile_penny, "penny, penny round, penny mosaic, penny round mosaic"),
    Row("mosaic tile", surfaces::tile_mosaic, "mosaic"),
    Row("pebble tile", surfaces::pebbles, "pebble, pebble mosaic, stone, river rock"),
    Row(
        "floor planks",
        surfaces::planks,
        "plank, wood floor, wood flooring, flooring, hardwood, vinyl plank, floorboard, parquet",
    ),
    Row("carpet", surfaces::carpet, "carpet, runner, rug"),
    Row("fabric", surfaces::fabric, "fabric, drapery, upholstery, cushion"),
    Row(
        "roll",
        surfaces::roll,
        "underlay, underlayment, membrane, sheet membrane, roll, tape, fabric membrane, vinyl sheet",
    ),
    Row(
        "paint",
        surfaces::paint,
        "paint, wall paint, ceiling paint, enamel, trim enamel, stain, paint only, varnish, limewash",
    ),
    Row("wallpaper", surfaces::wallpaper, "wallpaper, wall covering, mural"),
    Row(
        "wall panel",
        surfaces::wainscot,
        "wainscot, panel wainscot, beadboard, paneling, wall panel, shiplap, slat wall",
    ),
    Row("baseboard", surfaces::baseboard, "baseboard, skirting, shoe molding, base trim, trim"),
    Row(
        "casing",
        surfaces::casing,
        "casing, door casing, door trim, window trim, molding, crown molding, picture rail",
    ),
    Row("stair nosing", surfaces::nosing, "nosing, stair nosing, threshold, transition, edge trim"),
    Row(
        "siding",
        surfaces::siding,
        "siding, fiber cement siding, fiber cement siding trim, exterior trim, soffit, roofing, exterior",
    ),
    Row(
        "boards",
        surfaces::drywall,
        "drywall, wallboard, gypsum, backer board, cement backer, foam backer, plywood, subfloor",
    ),
    Row(
        "insulation",
        surfaces::insulation,
        "insulation, batt, mineral wool batt, glass fiber batt, air sealing",
    ),
    Row(
        "bag of mortar",
        surfaces::bag,
        "mortar, grout, setting material, thinset, grout mortar, mortar grout, setting kit, grout mortar edge trim kit, \
         joint compound",
    ),
    Row(
        "bucket",
        surfaces::bucket,
        "primer, liquid membrane, waterproofing, sealer, adhesive, bucket, foam gasket, caulk",
    ),
    Row("door", openings::door, "door, interior door, pocket door, panel door, closet door"),
    Row(
        "glass door",
        openings::glass_door,
        "glass panel door, glass interior door, glass panel interior door, french door",
    ),
    Row("front door", openings::front_door, "front door, exterior door, entry door"),
    Row("patio door", openings::patio_door, "patio door, sliding patio door"),
    Row(
        "door handle",
        openings::door_handle,
        "lever, lever set, knob set, handle, handle set, deadbolt, lockset, hinge, door lever, door hardware, lock",
    ),
    Row("window", openings::window, "window, double hung window, casement window"),
    Row("awning window", openings::awning_window, "awning window, picture window, skylight"),
    Row(
        "blind",
        openings::blind,
        "blind, cellular blind, window shade, roller shade, shutter, window covering",
    ),
    Row("pendant", openings::pendant, "pendant, dome pendant, pendant light"),
    Row("drum pendant", openings::drum_pendant, "drum pendant, woven pendant, lamp, lampshade"),
    Row("lantern", openings::lantern, "lantern, hanging lantern"),
    Row("chandelier", openings::chandelier, "chandelier"),
    Row("sconce", openings::sconce, "sconce, globe sconce, wall sconce, swing arm sconce"),
    Row(
        "shaded sconce",
        openings::shaded_sconce,
        "shade sconce, fabric shade sconce, bedside light, reading light",
    ),
    Row(
        "tube sconce",
        openings::tube_sconce,
        "bar sconce, tube sconce, vertical bar sconce, cylinder sconce, slim tube sconce",
    ),
    Row(
        "wall lantern",
        openings::wall_lantern,
        "wall lantern, outdoor wall lantern, wall light, porch light, barn wall light",
    ),
    Row("recessed light", openings::recessed, "recessed light, can light, downlight, spotlight"),
    Row(
        "ceiling light",
        openings::ceiling_light,
        "light, lighting, ceiling light, flush light, disc light, semi flush light, light fixture",
    ),
    Row(
        "light bar",
        openings::light_bar,
        "light bar, three light bar, vanity light, vanity lights, bath bar",
    ),
    Row(
        "strip light",
        openings::strip_light,
        "strip, linear strip, strip light, under cabinet light, tape light",
    ),
    Row("ceiling fan", openings::ceiling_fan, "ceiling fan"),
    Row("exhaust fan", openings::exhaust_fan, "fan, exhaust fan, bath fan, ventilator"),
    Row(
        "outlet",
        rough::outlet,
        "outlet, receptacle, switch, dimmer, data outlet, data outlet cable, device",
    ),
    Row("outlet box", rough::outlet_box, "outlet box, washer outlet box, box arrestor"),
    Row(
        "electrical panel",
        rough::electrical_panel,
        "electrical panel, main panel, breaker, subpanel, load center, charger",
    ),
    Row("wire", rough::wire, "wire, cable, wiring, circuit, wire box, wiring device, electrical"),
    Row("thermostat", rough::thermostat, "thermostat"),
    Row("alarm", rough::alarm, "alarm, smoke alarm, detector, leak sensor, sensor, smart speaker"),
    Row("doorbell", rough::doorbell, "doorbell, chime, wired doorbell, intercom"),
    Row("floor heat", rough::heat_mat, "floor heat, heat mat, floor heat mat, radiant floor"),
    Row("lumber", rough::lumber, "lumber, stud, framing, framing lumber, joist, blocking, structure"),
    Row("beam", rough::beam, "beam, header, engineered beam, column, post"),
    Row("handrail", rough::railing, "handrail, railing, baluster, banister, newel"),
    Row("stairs", rough::stairs, "stair, tread, stair part, stair tread"),
    Row("mailbox", rough::mailbox, "mailbox, house number, plaque, house number mailbox"),
    Row("thing", rough::box_of_something, ""),
];

/// What stands for a kind of thing that is bought, where no name tells more.
fn of_goods(goods: Goods) -> &'static str {
    match goods {
        Goods::StockCabinets | Goods::SemiCustomCabinets | Goods::MadeToOrderCabinets => "base cabinet",
        Goods::Countertop => "countertop",
        Goods::FramelessGlass | Goods::FramedShowerDoor => "shower glass",
        Goods::Windows => "window",
        Goods::StockDoors | Goods::DoorsToSize => "door",
        Goods::InWall => "valve",
        Goods::Faucets | Goods::SpecialFinish => "faucet",
        Goods::Tub => "tub",
        Goods::ToiletsSinks => "toilet",
        Goods::StockTile | Goods::SpecialTile => "tile",
        Goods::WoodFloor => "floor planks",
        Goods::Appliances | Goods::BuiltInAppliances => "oven",
        Goods::Fans => "exhaust fan",
        Goods::Lights => "ceiling light",
        Goods::Equipment => "heat pump",
        Goods::MadeToMeasure => "blind",
        Goods::Stairs => "handrail",
        Goods::Supplies => "bucket",
    }
}

/// What covers a surface in small pieces, whose pattern is told apart from what it is.
const TILES: [&str; 9] = [
    "tile",
    "large tile",
    "running-bond tile",
    "stacked tile",
    "hexagon tile",
    "herringbone tile",
    "penny tile",
    "mosaic tile",
    "pebble tile",
];

static SHAPES: LazyLock<Vec<Vec<Shape>>> = LazyLock::new(|| ROWS.iter().map(|row| (row.1)()).collect());

/// A row with the words of one of its names.
type Name = (usize, Vec<&'static str>);

/// Names by their first word: a board of a room asks for many at each frame.
static NAMES: LazyLock<HashMap<&'static str, Vec<Name>>> = LazyLock::new(|| {
    let mut names: HashMap<&'static str, Vec<Name>> = HashMap::new();
    for (row, Row(_, _, own)) in ROWS.iter().enumerate() {
        for name in own.split(',') {
            let signs: Vec<&str> = name.split_whitespace().collect();
            if let Some(first) = signs.first() {
                names.entry(first).or_default().push((row, signs));
            }
        }
    }
    names
});

/// A thing that can be drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Thing(usize);

impl Thing {
    /// All that can be drawn.
    pub fn all() -> impl Iterator<Item = Thing> {
        (0..ROWS.len()).map(Thing)
    }

    /// What stands for whatever is not told.
    pub const ANYTHING: Thing = Thing(ROWS.len() - 1);

    /// What people call it.
    pub fn name(self) -> &'static str {
        ROWS.get(self.0).map_or("", |row| row.0)
    }

    /// The thing of a name; for what is none, [`Thing::ANYTHING`].
    pub(super) fn named(name: &str) -> Thing {
        ROWS.iter().position(|row| row.0 == name).map_or(Thing::ANYTHING, Thing)
    }

    /// What stands for a kind of thing that is bought.
    pub(super) fn of_goods(goods: Goods) -> Thing {
        Thing::named(of_goods(goods))
    }

    /// Whether it is tile of some pattern.
    pub(super) fn is_tile(self) -> bool {
        TILES.contains(&self.name())
    }

    /// Its pieces, those behind first.
    pub fn shapes(self) -> &'static [Shape] {
        SHAPES.get(self.0).map_or(&[], Vec::as_slice)
    }

    /// The thing that words tell: the one of which most words are there, among equals the one that stands last, as
    /// the thing itself does in `porcelain floor tile`.
    pub(super) fn in_words(words: &[&str]) -> Option<Thing> {
        let at = |sign: &str| words.iter().rposition(|w| *w == sign || w.strip_suffix('s') == Some(sign));
        let mut best: Option<((usize, usize), usize)> = None;
        for word in words {
            let known =
                [Some(*word), word.strip_suffix('s')].into_iter().flatten().filter_map(|w| NAMES.get(w));
            for (row, signs) in known.flatten() {
                let places: Option<Vec<usize>> = signs.iter().map(|sign| at(sign)).collect();
                let Some(places) = places else { continue };
                let fit = (places.len(), places.into_iter().max().unwrap_or(0));
                if best.is_none_or(|(most, known)| fit > most || fit == most && *row < known) {
                    best = Some((fit, *row));
                }
            }
        }
        best.map(|(_, row)| Thing(row))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn every_thing_has_a_name_of_its_own() {
        let names: BTreeSet<&str> = Thing::all().map(Thing::name).collect();
        assert_eq!(names.len(), ROWS.len());
        for (word, goods) in Goods::ALL {
            assert_ne!(Thing::of_goods(goods), Thing::ANYTHING, "{word}");
        }
        for tile in TILES {
            assert_ne!(Thing::named(tile), Thing::ANYTHING, "{tile}");
        }
    }
}
