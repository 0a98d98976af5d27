//! What rooms of several kinds need, and what each thing is made of.

use super::{Item, Known, Piece};
use crate::model::goods::Goods;
use crate::model::work::Work;

pub(super) const fn piece(
    name: &'static str,
    unit: &'static str,
    quantity: &'static str,
    waste: u32,
    goods: Goods,
    phase: &'static [Work],
) -> Piece {
    Piece { name, unit, quantity, waste, goods, phase, after: None }
}

/// One of something.
pub(super) const fn one(name: &'static str, goods: Goods, phase: &'static [Work]) -> Piece {
    piece(name, "each", "1", 0, goods, phase)
}

impl Piece {
    /// The piece as one that is measured when some work is done.
    pub(super) const fn after(mut self, work: Work) -> Piece {
        self.after = Some(work);
        self
    }
}

pub(super) const fn item(
    name: &'static str,
    category: &'static str,
    pieces: &'static [Piece],
    specs: &'static [Known],
) -> Item {
    Item { name, category, pieces, specs }
}

/// Something to be known before work begins.
pub(super) const fn before(what: &'static str, work: &'static [Work]) -> Known {
    Known { what, order: &[], work, fact: "" }
}

/// Something to be known before the cabinets are ordered, or before they are set where none are in the room.
pub(super) const fn for_cabinets(what: &'static str, fact: &'static str) -> Known {
    Known { what, order: CABINET_GOODS, work: CABINETS, fact }
}

/// Something to be known before the doors are ordered, or before they are trimmed.
const fn for_doors(what: &'static str) -> Known {
    Known { what, order: &[Goods::StockDoors, Goods::DoorsToSize], work: TRIM, fact: "" }
}

const CABINET_GOODS: &[Goods] =
    &[Goods::StockCabinets, Goods::SemiCustomCabinets, Goods::MadeToOrderCabinets];

pub(super) const FRAMING: &[Work] = &[Work::Framing];
pub(super) const ROUGH_PLUMBING: &[Work] = &[Work::RoughPlumbing];
pub(super) const ROUGH_WIRES: &[Work] = &[Work::RoughElectrical];
pub(super) const ROUGH_DUCTS: &[Work] = &[Work::Ducts];
pub(super) const GAS: &[Work] = &[Work::GasPiping];
pub(super) const DRYWALL: &[Work] = &[Work::Drywall];
pub(super) const BACKER: &[Work] = &[Work::TileBacker, Work::Waterproofing, Work::Tile];
pub(super) const WATERPROOFING: &[Work] = &[Work::Waterproofing, Work::TileBacker, Work::Tile];
pub(super) const TILE: &[Work] = &[Work::Tile];
pub(super) const BACKSPLASH: &[Work] = &[Work::Backsplash, Work::Tile];
pub(super) const WINDOWS: &[Work] = &[Work::Windows, Work::Framing];
pub(super) const FLOOR: &[Work] = &[Work::FloorDelivery, Work::Flooring];
pub(super) const CABINETS: &[Work] = &[Work::Cabinets];
pub(super) const TEMPLATE: &[Work] = &[Work::CountertopTemplate];
pub(super) const AT_TEMPLATE: &[Work] = &[Work::CountertopTemplate, Work::Countertop, Work::FinishPlumbing];
pub(super) const COUNTERTOP: &[Work] = &[Work::Countertop, Work::CountertopTemplate];
pub(super) const TRIM: &[Work] = &[Work::Trim];
pub(super) const PAINT: &[Work] = &[Work::Paint];
pub(super) const FINISH_PLUMBING: &[Work] = &[Work::FinishPlumbing];
pub(super) const FINISH_WIRES: &[Work] = &[Work::FinishElectrical];
pub(super) const FINISH_DUCTS: &[Work] = &[Work::FinishMechanical, Work::Ducts];
pub(super) const APPLIANCES: &[Work] = &[Work::Appliances, Work::FinishPlumbing];
pub(super) const GLASS: &[Work] = &[Work::Glass, Work::FinishPlumbing, Work::PunchList];
pub(super) const CLOSETS: &[Work] = &[Work::Closets, Work::Accessories, Work::PunchList];
pub(super) const LAST: &[Work] = &[Work::Accessories, Work::PunchList];

const LIGHT: &[Known] = &[before("place, box, load and control", ROUGH_WIRES)];

pub(super) const WALL_PAINT: Item = item(
    "Wall paint",
    "Paint",
    &[piece("Wall paint, two coats", "gal", "walls/350*2", 10, Goods::Supplies, PAINT)],
    &[before("sheen, and texture matched or new, before drywall is bid", DRYWALL)],
);
pub(super) const CEILING_PAINT: Item = item(
    "Ceiling paint",
    "Paint",
    &[piece("Ceiling paint, two coats", "gal", "ceiling/350*2", 10, Goods::Supplies, PAINT)],
    &[],
);
pub(super) const BASEBOARD: Item =
    item("Baseboard", "Trim", &[piece("Baseboard", "lf", "baseboard", 10, Goods::Supplies, TRIM)], &[]);
pub(super) const WOOD_FLOOR: Item = item(
    "Floor",
    "Flooring",
    &[piece("Flooring", "sq ft", "floor", 10, Goods::WoodFloor, FLOOR)],
    &[
        for_doors("height of the finished floor, for the doors"),
        Known { work: &[], ..for_cabinets("height of the finished floor, for cabinets to the ceiling", "") },
    ],
);
pub(super) const TILE_FLOOR: Item = item(
    "Floor tile",
    "Tile",
    &[piece("Floor tile", "sq ft", "floor", 10, Goods::StockTile, TILE)],
    &[
        before("thickness with its setting bed, height against the next floors, layout", BACKER),
        for_doors("height of the finished floor, for the doors"),
    ],
);
const OPENING: &[Known] = &[before("rough opening, swing, jamb depth", FRAMING)];
pub(super) const WINDOW: Item =
    item("Windows", "Door and window", &[one("Window", Goods::Windows, WINDOWS)], OPENING);
pub(super) const ENTRY_DOOR: Item = item(
    "Entry door",
    "Door and window",
    &[one("Entry door, hung in its frame", Goods::Windows, WINDOWS)],
    OPENING,
);
pub(super) const DOOR: Item =
    item("Door", "Door and window", &[one("Door, hung in its frame", Goods::StockDoors, TRIM)], OPENING);
pub(super) const DOORS: Item = item(
    "Interior doors",
    "Door and window",
    &[piece("Door, hung in its frame", "each", "6", 0, Goods::StockDoors, TRIM)],
    OPENING,
);
pub(super) const DOOR_SET: Item =
    item("Door handle and lock", "Hardware", &[one("Handle set", Goods::Supplies, TRIM)], &[]);
pub(super) const RECESSED: Item = item(
    "Recessed lights",
    "Lighting",
    &[
        piece("Housing", "each", "4", 0, Goods::Lights, ROUGH_WIRES),
        piece("Trim and lamp", "each", "4", 0, Goods::Lights, FINISH_WIRES),
    ],
    LIGHT,
);
pub(super) const CEILING_LIGHT: Item =
    item("Ceiling light", "Lighting", &[one("Ceiling light", Goods::Lights, FINISH_WIRES)], LIGHT);
pub(super) const PENDANTS: Item =
    item("Pendants", "Lighting", &[piece("Pendant", "each", "2", 0, Goods::Lights, FINISH_WIRES)], LIGHT);
pub(super) const CABINET_LIGHTS: Item =
    item("Lights under the cabinets", "Lighting", &[one("Light strip", Goods::Lights, FINISH_WIRES)], LIGHT);
pub(super) const VANITY_LIGHT: Item =
    item("Light at the mirror", "Lighting", &[one("Wall light", Goods::Lights, FINISH_WIRES)], LIGHT);
pub(super) const SWITCHES: Item = item(
    "Switches and outlets",
    "Electrical",
    &[piece("Devices and plates", "each", "8", 0, Goods::Supplies, FINISH_WIRES)],
    &[],
);
pub(super) const EXHAUST: Item = item(
    "Exhaust fan",
    "Ventilation",
    &[one("Exhaust fan", Goods::Fans, &[Work::Ducts, Work::RoughElectrical])],
    &[
        before("duct size and a route outdoors", ROUGH_DUCTS),
        before("switch, and place agreed with the ducts", ROUGH_WIRES),
    ],
);
pub(super) const TOILET: Item = item(
    "Toilet",
    "Plumbing fixture",
    &[one("Toilet with seat", Goods::ToiletsSinks, FINISH_PLUMBING)],
    &[
        before("rough-in distance, on the floor or on the wall", ROUGH_PLUMBING),
        before("carrier, where it hangs on the wall", FRAMING),
    ],
);
pub(super) const VANITY: Item = item(
    "Vanity",
    "Cabinetry",
    &[one("Vanity", Goods::StockCabinets, CABINETS)],
    &[for_cabinets("size of the sink, height after floors", "width")],
);
const COUNTERTOP_SPECS: &[Known] = &[
    before("thickness, overhang, supports", CABINETS),
    before("height of the backsplash, for the outlets", ROUGH_WIRES),
];
pub(super) const KITCHEN_COUNTERTOP: Item = item(
    "Kitchen countertop",
    "Countertop",
    &[piece("Countertop", "sq ft", "40", 10, Goods::Countertop, COUNTERTOP).after(Work::CountertopTemplate)],
    COUNTERTOP_SPECS,
);
pub(super) const VANITY_COUNTERTOP: Item = item(
    "Vanity countertop",
    "Countertop",
    &[one("Vanity countertop", Goods::Countertop, COUNTERTOP).after(Work::CountertopTemplate)],
    COUNTERTOP_SPECS,
);
pub(super) const BASIN: Item = item(
    "Sink",
    "Plumbing fixture",
    &[one("Sink", Goods::ToiletsSinks, AT_TEMPLATE)],
    &[
        before("place of drain and supplies, height", ROUGH_PLUMBING),
        before("cut-out: size and mount", TEMPLATE),
    ],
);
pub(super) const KITCHEN_SINK: Item = item(
    "Sink",
    "Plumbing fixture",
    &[one("Sink", Goods::ToiletsSinks, AT_TEMPLATE)],
    &[
        for_cabinets("size, mount and weight", "width"),
        before("place of the drain, air gap, disposer", ROUGH_PLUMBING),
        before("cut-out: size and mount, with accessories", TEMPLATE),
    ],
);
pub(super) const BASIN_FAUCET: Item = item(
    "Sink faucet",
    "Plumbing fixture",
    &[one("Sink faucet", Goods::Faucets, AT_TEMPLATE)],
    &[
        before("on the wall or the deck, height", ROUGH_PLUMBING),
        before("number and place of holes", TEMPLATE),
    ],
);
pub(super) const MIRROR: Item = item(
    "Mirror",
    "Accessory",
    &[one("Mirror, cut to size", Goods::MadeToMeasure, LAST).after(Work::Trim)],
    &[],
);
pub(super) const MIRROR_CABINET: Item = item(
    "Recessed mirror cabinet",
    "Accessory",
    &[one("Recessed mirror cabinet", Goods::Faucets, LAST)],
    &[
        before("size and place of its opening, framed before drywall", FRAMING),
        before("power, where it has lights", ROUGH_WIRES),
    ],
);
pub(super) const HOOKS: Item = item(
    "Towel bars, hooks and paper holder",
    "Accessory",
    &[one("Set", Goods::Faucets, LAST)],
    &[before("place of blocking in the walls", FRAMING)],
);
pub(super) const PULLS: Item = item(
    "Pulls and knobs",
    "Hardware",
    &[piece("Pulls and knobs", "each", "12", 0, Goods::Supplies, LAST)],
    &[],
);
pub(super) const CLOSET: Item = item(
    "Closet rods and shelves",
    "Trim",
    &[one("Closet system", Goods::MadeToMeasure, CLOSETS).after(Work::Trim)],
    &[before("place of blocking in the walls", FRAMING)],
);
pub(super) const BLINDS: Item = item(
    "Blinds or curtains",
    "Accessory",
    &[one("Blind", Goods::MadeToMeasure, CLOSETS).after(Work::Trim)],
    &[],
);
pub(super) const STAIR_PARTS: Item = item(
    "Stair parts",
    "Trim",
    &[one("Rail, posts and balusters", Goods::Stairs, &[Work::Stairs, Work::Trim]).after(Work::Flooring)],
    &[before("place of blocking for posts and rails", FRAMING)],
);
