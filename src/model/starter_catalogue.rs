//! What each kind of room usually needs, so that nothing is forgotten: plain things with how they are counted and by
//! which phase they are needed. The lists, waste percents and phases are common practice, no source; the user ticks
//! what fits and edits the rest.

mod add;

pub use add::{add, is_there, kind_of};

/// A piece that is bought: its name, how it is counted, and words of phases that need it; the first word that is in
/// the name of a phase decides.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Piece {
    /// What it is called.
    pub name: &'static str,
    /// What it is counted in.
    pub unit: &'static str,
    /// How much: a number or a rule over the room.
    pub quantity: &'static str,
    /// Percent added for cutting and breakage.
    pub waste: u32,
    /// Words of the phase that needs it.
    pub phase: &'static [&'static str],
}

/// One thing a room usually needs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Item {
    /// What it is called.
    pub name: &'static str,
    /// Its category.
    pub category: &'static str,
    /// What it is made of.
    pub pieces: &'static [Piece],
}

/// A kind of room.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct RoomKind {
    /// What it is called.
    pub name: &'static str,
    /// Words in the name of a room that tell its kind.
    words: &'static [&'static str],
    /// What it usually needs.
    pub items: &'static [Item],
}

const fn piece(
    name: &'static str,
    unit: &'static str,
    quantity: &'static str,
    waste: u32,
    phase: &'static [&'static str],
) -> Piece {
    Piece { name, unit, quantity, waste, phase }
}

const fn item(name: &'static str, category: &'static str, pieces: &'static [Piece]) -> Item {
    Item { name, category, pieces }
}

const ROUGH_PLUMBING: &[&str] = &["rough plumb", "plumb"];
const FINISH_PLUMBING: &[&str] = &["finish plumb", "set fixtures", "plumb"];
const ROUGH_WIRES: &[&str] = &["rough electr", "electr"];
const FINISH_WIRES: &[&str] = &["finish electr", "electr"];
const ROUGH_DUCTS: &[&str] = &["rough duct", "rough mech", "duct", "mechan"];
const TOP: &[&str] = &["template", "top"];
const CABINETS: &[&str] = &["base cabinet", "cabinet"];
const SET_TILE: &[&str] = &["set bath tile", "set tile", "tile"];
const BACKSPLASH: &[&str] = &["backsplash", "set tile", "tile"];
const FLOOR: &[&str] = &["flooring", "floor"];
const PAINTING: &[&str] = &["final paint", "paint"];
const TRIMMING: &[&str] = &["doors and trim", "interior door", "trim", "door"];
const WINDOWS: &[&str] = &["set window", "window", "framing"];
const APPLIANCE: &[&str] = &["appliance"];
const GLASS: &[&str] = &["glass", "finish plumb", "punch"];
const LAST: &[&str] = &["hardware", "accessor", "punch"];

const fn each(name: &'static str, category: &'static str, pieces: &'static [Piece]) -> Item {
    item(name, category, pieces)
}

const WALL_PAINT: Item =
    item("Wall paint", "Paint", &[piece("Wall paint, two coats", "gal", "walls/350*2", 10, PAINTING)]);
const CEILING_PAINT: Item = item(
    "Ceiling paint",
    "Paint",
    &[piece("Ceiling paint, two coats", "gal", "ceiling/350*2", 10, PAINTING)],
);
const BASEBOARD: Item = item("Baseboard", "Trim", &[piece("Baseboard", "lf", "baseboard", 10, TRIMMING)]);
const WOOD_FLOOR: Item = item("Floor", "Flooring", &[piece("Flooring", "sq ft", "floor", 10, FLOOR)]);
const TILE_FLOOR: Item = item("Floor tile", "Tile", &[piece("Floor tile", "sq ft", "floor", 10, SET_TILE)]);
const WINDOW: Item = each("Windows", "Door and window", &[piece("Window", "each", "1", 0, WINDOWS)]);
const DOOR: Item =
    each("Door", "Door and window", &[piece("Door, hung in its frame", "each", "1", 0, TRIMMING)]);
const DOOR_SET: Item =
    each("Door handle and lock", "Hardware", &[piece("Handle set", "each", "1", 0, TRIMMING)]);
const RECESSED: Item = each(
    "Recessed lights",
    "Lighting",
    &[piece("Housing", "each", "4", 0, ROUGH_WIRES), piece("Trim and lamp", "each", "4", 0, FINISH_WIRES)],
);
const CEILING_LIGHT: Item =
    each("Ceiling light", "Lighting", &[piece("Ceiling light", "each", "1", 0, FINISH_WIRES)]);
const SWITCHES: Item =
    each("Switches and outlets", "Electrical", &[piece("Devices and plates", "each", "8", 0, FINISH_WIRES)]);
const EXHAUST: Item =
    each("Exhaust fan", "Ventilation", &[piece("Exhaust fan", "each", "1", 0, ROUGH_DUCTS)]);
const TOILET: Item =
    each("Toilet", "Plumbing fixture", &[piece("Toilet with seat", "each", "1", 0, FINISH_PLUMBING)]);
const VANITY: Item = each("Vanity", "Cabinetry", &[piece("Vanity", "each", "1", 0, CABINETS)]);
const VANITY_TOP: Item = each("Vanity top", "Top", &[piece("Vanity top", "each", "1", 0, TOP)]);
const BASIN: Item = each("Sink", "Plumbing fixture", &[piece("Sink", "each", "1", 0, TOP)]);
const BASIN_FAUCET: Item =
    each("Sink faucet", "Plumbing fixture", &[piece("Sink faucet", "each", "1", 0, TOP)]);
const MIRROR: Item = each("Mirror", "Accessory", &[piece("Mirror", "each", "1", 0, LAST)]);
const VANITY_LIGHT: Item =
    each("Light at the mirror", "Lighting", &[piece("Wall light", "each", "1", 0, FINISH_WIRES)]);
const HOOKS: Item =
    each("Towel bars, hooks and paper holder", "Accessory", &[piece("Set", "each", "1", 0, LAST)]);
const PULLS: Item = each("Pulls and knobs", "Hardware", &[piece("Pulls and knobs", "each", "12", 0, LAST)]);
const ROD: Item =
    each("Closet rods and shelves", "Trim", &[piece("Rods and shelves", "each", "1", 0, TRIMMING)]);
const BLINDS: Item = each("Blinds or curtains", "Accessory", &[piece("Blind", "each", "1", 0, LAST)]);

/// All kinds. The last one is for rooms of no other kind.
pub const KINDS: &[RoomKind] = &[
    RoomKind {
        name: "Kitchen",
        words: &["kitchen", "pantry"],
        items: &[
            each("Base cabinets", "Cabinetry", &[piece("Base cabinets", "each", "1", 0, CABINETS)]),
            each(
                "Wall cabinets",
                "Cabinetry",
                &[piece("Wall cabinets", "each", "1", 0, &["wall cabinet", "cabinet"])],
            ),
            PULLS,
            item("Kitchen top", "Top", &[piece("Top", "sq ft", "40", 10, TOP)]),
            item("Backsplash", "Tile", &[piece("Backsplash tile", "sq ft", "30", 10, BACKSPLASH)]),
            BASIN,
            BASIN_FAUCET,
            each("Food waste disposer", "Appliance", &[piece("Disposer", "each", "1", 0, FINISH_PLUMBING)]),
            each("Cooktop or range", "Appliance", &[piece("Cooktop or range", "each", "1", 0, TOP)]),
            each("Oven", "Appliance", &[piece("Oven", "each", "1", 0, APPLIANCE)]),
            each(
                "Range hood",
                "Ventilation",
                &[
                    piece("Duct and roof cap", "each", "1", 0, ROUGH_DUCTS),
                    piece("Hood", "each", "1", 0, APPLIANCE),
                ],
            ),
            each("Refrigerator", "Appliance", &[piece("Refrigerator", "each", "1", 0, APPLIANCE)]),
            each("Dishwasher", "Appliance", &[piece("Dishwasher", "each", "1", 0, APPLIANCE)]),
            each("Dishwasher air gap", "Plumbing fixture", &[piece("Air gap", "each", "1", 0, TOP)]),
            RECESSED,
            each(
                "Lights under the cabinets",
                "Lighting",
                &[piece("Light strip", "each", "1", 0, FINISH_WIRES)],
            ),
            each("Pendants", "Lighting", &[piece("Pendant", "each", "2", 0, FINISH_WIRES)]),
            SWITCHES,
            WOOD_FLOOR,
            WALL_PAINT,
            CEILING_PAINT,
            BASEBOARD,
            WINDOW,
        ],
    },
    RoomKind {
        name: "Powder room",
        words: &["powder", "half bath", "toilet", "wc"],
        items: &[
            TOILET,
            VANITY,
            VANITY_TOP,
            BASIN,
            BASIN_FAUCET,
            MIRROR,
            VANITY_LIGHT,
            EXHAUST,
            SWITCHES,
            HOOKS,
            TILE_FLOOR,
            WALL_PAINT,
            CEILING_PAINT,
            BASEBOARD,
            DOOR,
            DOOR_SET,
        ],
    },
    RoomKind {
        name: "Bath",
        words: &["bath", "shower", "ensuite"],
        items: &[
            each("Tub", "Plumbing fixture", &[piece("Tub", "each", "1", 0, ROUGH_PLUMBING)]),
            each(
                "Tub drain and overflow",
                "Plumbing fixture",
                &[piece("Drain and overflow", "each", "1", 0, ROUGH_PLUMBING)],
            ),
            each(
                "Shower set",
                "Plumbing fixture",
                &[
                    piece("Valve body", "each", "1", 0, ROUGH_PLUMBING),
                    piece("Trim and shower head", "each", "1", 0, FINISH_PLUMBING),
                ],
            ),
            each(
                "Shower drain",
                "Plumbing fixture",
                &[piece("Shower drain", "each", "1", 0, ROUGH_PLUMBING)],
            ),
            each("Shower door or glass", "Glass", &[piece("Glass", "each", "1", 0, GLASS)]),
            each(
                "Niche or shelf in the shower",
                "Tile",
                &[piece("Niche", "each", "1", 0, &["backer", "waterproof", "tile"])],
            ),
            TOILET,
            VANITY,
            VANITY_TOP,
            BASIN,
            BASIN_FAUCET,
            PULLS,
            MIRROR,
            VANITY_LIGHT,
            EXHAUST,
            item("Wall tile", "Tile", &[piece("Wall tile", "sq ft", "band(0,7)/2", 10, SET_TILE)]),
            TILE_FLOOR,
            each("Grout, mortar and sealer", "Tile", &[piece("Setting kit", "each", "1", 0, SET_TILE)]),
            each(
                "Waterproofing",
                "Tile",
                &[piece("Membrane", "sq ft", "band(0,7)/2", 10, &["waterproof", "backer"])],
            ),
            each("Floor warming", "Electrical", &[piece("Warming mat", "sq ft", "floor/2", 0, SET_TILE)]),
            SWITCHES,
            HOOKS,
            WALL_PAINT,
            CEILING_PAINT,
            DOOR,
            DOOR_SET,
        ],
    },
    RoomKind {
        name: "Laundry",
        words: &["laundry", "mud", "utility"],
        items: &[
            each("Washer", "Appliance", &[piece("Washer", "each", "1", 0, APPLIANCE)]),
            each("Dryer", "Appliance", &[piece("Dryer", "each", "1", 0, APPLIANCE)]),
            each("Washer box", "Plumbing fixture", &[piece("Washer box", "each", "1", 0, ROUGH_PLUMBING)]),
            each("Dryer duct and cap", "Ventilation", &[piece("Duct and cap", "each", "1", 0, ROUGH_DUCTS)]),
            each(
                "Laundry sink",
                "Plumbing fixture",
                &[piece("Laundry sink", "each", "1", 0, FINISH_PLUMBING)],
            ),
            each("Laundry faucet", "Plumbing fixture", &[piece("Faucet", "each", "1", 0, FINISH_PLUMBING)]),
            each("Cabinets", "Cabinetry", &[piece("Cabinets", "each", "1", 0, CABINETS)]),
            EXHAUST,
            CEILING_LIGHT,
            SWITCHES,
            TILE_FLOOR,
            WALL_PAINT,
            CEILING_PAINT,
            BASEBOARD,
            DOOR,
            DOOR_SET,
        ],
    },
    RoomKind {
        name: "Bedroom",
        words: &["bedroom", "nursery", "guest"],
        items: &[
            WOOD_FLOOR,
            WALL_PAINT,
            CEILING_PAINT,
            BASEBOARD,
            CEILING_LIGHT,
            SWITCHES,
            WINDOW,
            DOOR,
            DOOR_SET,
            ROD,
            each("Closet doors", "Door and window", &[piece("Closet door", "each", "1", 0, TRIMMING)]),
            BLINDS,
        ],
    },
    RoomKind {
        name: "Entry or hall",
        words: &["entry", "hall", "stair", "foyer", "landing"],
        items: &[
            each(
                "Entry door",
                "Door and window",
                &[piece(
                    "Entry door, hung in its frame",
                    "each",
                    "1",
                    0,
                    &["exterior door", "window", "door"],
                )],
            ),
            each(
                "Entry lock and handle",
                "Hardware",
                &[piece("Lock and handle", "each", "1", 0, &["exterior door", "hardware", "trim"])],
            ),
            WOOD_FLOOR,
            WALL_PAINT,
            CEILING_PAINT,
            BASEBOARD,
            CEILING_LIGHT,
            SWITCHES,
            ROD,
            each(
                "Stair parts",
                "Trim",
                &[piece("Rail, posts and balusters", "each", "1", 0, &["stair", "trim"])],
            ),
        ],
    },
    RoomKind {
        name: "Whole house",
        words: &["house", "whole", "general", "outside", "exterior"],
        items: &[
            each(
                "Furnace or heat pump",
                "Heating and cooling",
                &[piece("Equipment", "each", "1", 0, ROUGH_DUCTS)],
            ),
            each(
                "Water heater",
                "Plumbing fixture",
                &[piece("Water heater", "each", "1", 0, ROUGH_PLUMBING)],
            ),
            each(
                "Electrical panel",
                "Electrical",
                &[piece("Panel and breakers", "each", "1", 0, ROUGH_WIRES)],
            ),
            each(
                "Smoke and carbon monoxide alarms",
                "Electrical",
                &[piece("Alarm", "each", "6", 0, FINISH_WIRES)],
            ),
            each("Thermostat", "Heating and cooling", &[piece("Thermostat", "each", "1", 0, FINISH_WIRES)]),
            each("Grilles and registers", "Heating and cooling", &[piece("Grille", "each", "10", 0, LAST)]),
            each(
                "Insulation",
                "Insulation",
                &[piece("Insulation", "sq ft", "walls_gross", 5, &["insulation", "insul"])],
            ),
            each(
                "Wallboard",
                "Board",
                &[piece("Wallboard", "sq ft", "walls(32)+ceiling", 10, &["hang", "board"])],
            ),
            each(
                "Interior doors",
                "Door and window",
                &[piece("Door, hung in its frame", "each", "6", 0, TRIMMING)],
            ),
            each("Door hardware", "Hardware", &[piece("Handle set", "each", "6", 0, TRIMMING)]),
            each("Casing", "Trim", &[piece("Casing", "lf", "200", 10, TRIMMING)]),
            each("Trim paint", "Paint", &[piece("Trim paint", "gal", "2", 0, PAINTING)]),
        ],
    },
    RoomKind {
        name: "Living room, dining room or study",
        words: &[],
        items: &[
            WOOD_FLOOR,
            WALL_PAINT,
            CEILING_PAINT,
            BASEBOARD,
            CEILING_LIGHT,
            RECESSED,
            SWITCHES,
            WINDOW,
            DOOR,
            DOOR_SET,
            each("Built-in shelves", "Cabinetry", &[piece("Shelves", "each", "1", 0, TRIMMING)]),
            BLINDS,
        ],
    },
];
