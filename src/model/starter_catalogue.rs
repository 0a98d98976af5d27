//! What each kind of room usually needs, so that nothing is forgotten: plain things with how they are counted and by
//! which phase they are needed. The lists, waste percents and phases are common practice, no source; the user ticks
//! what fits and edits the rest.

use super::action::Action;
use super::ids::{OptionId, PartId, RoomId, SelectionId, key_from_name};
use super::money::Money;
use super::project::Project;
use super::selection::{OptionState, Part, Selection, SelectionOption};
use rust_decimal::Decimal;
use std::collections::HashSet;

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

/// The kind a room most likely is, by its name.
pub fn kind_of(room_name: &str) -> usize {
    let name = room_name.to_lowercase();
    KINDS.iter().position(|kind| kind.words.iter().any(|w| name.contains(w))).unwrap_or(KINDS.len() - 1)
}

/// Whether a room has something like this already: a selection with all the longer words of its name.
pub fn is_there(project: &Project, room: RoomId, item: &Item) -> bool {
    let name = item.name.to_lowercase();
    let words: Vec<&str> = name.split(|c: char| !c.is_alphanumeric()).filter(|w| w.len() > 3).collect();
    let stem = |w: &str| w.trim_end_matches('s').to_owned();
    project.selections.iter().filter(|s| s.room == room).any(|s| {
        let own = s.name.to_lowercase();
        own == name || (!words.is_empty() && words.iter().all(|w| own.contains(&stem(w))))
    })
}

/// The change that adds things to a room as one step: each a selection with an allowance. `with_candidate` puts a first
/// candidate into each, which carries quantity, unit and phase, so that its need date shows. `None` when there is nothing
/// to add.
pub fn add(
    project: &Project,
    room: RoomId,
    items: &[(&Item, Money)],
    with_candidate: bool,
) -> Option<Action> {
    let home = project.room(room)?;
    let mut next = project.next_id;
    let mut fresh = || {
        next += 1;
        next - 1
    };
    let mut keys: [HashSet<String>; 3] = [
        project.selections.iter().map(|s| s.key.clone()).collect(),
        project.selections.iter().flat_map(|s| &s.options).map(|o| o.key.clone()).collect(),
        project.all_parts().map(|(_, _, p)| p.key.clone()).collect(),
    ];
    let mut unused = |kind: usize, base: &str| {
        let taken = keys.get_mut(kind)?;
        let key = key_from_name(base, taken.iter().map(String::as_str));
        taken.insert(key.clone());
        Some(key)
    };
    let mut actions = Vec::new();
    for (item, allowance) in items {
        let base = format!("{} {}", home.key, item.name);
        let mut selection = Selection {
            id: SelectionId(fresh()),
            key: unused(0, &base)?,
            room,
            category: item.category.to_owned(),
            name: item.name.to_owned(),
            allowance: *allowance,
            decide_on: None,
            notes: String::new(),
            options: Vec::new(),
        };
        if with_candidate {
            let option = OptionId(fresh());
            let mut parts = Vec::new();
            for piece in item.pieces {
                let key = unused(2, &format!("{base} {}", piece.name))?;
                parts.push(Part {
                    unit: piece.unit.to_owned(),
                    quantity: piece.quantity.parse().unwrap_or_default(),
                    waste_pct: Decimal::from(piece.waste),
                    phase: phase_by_word(project, piece.phase),
                    ..Part::new(PartId(fresh()), &key, piece.name)
                });
            }
            selection.options.push(SelectionOption {
                id: option,
                key: unused(1, &format!("{base} first"))?,
                name: "First candidate".to_owned(),
                finish: String::new(),
                state: OptionState::Candidate,
                facts: Vec::new(),
                parts,
            });
        }
        actions.push(Action::PutSelection(selection));
    }
    let n = actions.len();
    let label = format!("add {n} {} to {}", if n == 1 { "selection" } else { "selections" }, home.name);
    (n > 0).then_some(Action::Batch { label, actions })
}

/// The first phase of work whose name has the first of these words that any has.
fn phase_by_word(project: &Project, words: &[&str]) -> Option<super::ids::PhaseId> {
    words.iter().find_map(|word| {
        let fits = |p: &&super::phase::Phase| {
            p.kind != super::phase::PhaseKind::Inspection && p.name.to_lowercase().contains(word)
        };
        project.phases.iter().find(fits).map(|p| p.id)
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::starter::add_starter_phases;
    use crate::model::{Quantity, Room, Shape};

    fn project() -> Project {
        let mut project = Project::new("New", chrono::NaiveDate::from_ymd_opt(2026, 1, 5).unwrap());
        add_starter_phases(&mut project);
        let room = Room {
            id: RoomId(project.next_id),
            key: "bath".to_owned(),
            name: "Hall bath".to_owned(),
            level: String::new(),
            shape: Shape::default(),
            height: Decimal::ZERO,
            openings: Vec::new(),
        };
        project.apply(&Action::PutRoom(room)).unwrap()
    }

    #[test]
    fn kinds_are_told_by_name() {
        let name = |room: &str| KINDS[kind_of(room)].name;
        assert_eq!(name("Kitchen"), "Kitchen");
        assert_eq!(name("Hall bath"), "Bath");
        assert_eq!(name("Powder room"), "Powder room");
        assert_eq!(name("Laundry and mudroom"), "Laundry");
        assert_eq!(name("Second bedroom"), "Bedroom");
        assert_eq!(name("House-wide"), "Whole house");
        assert_eq!(name("Study"), "Living room, dining room or study");
    }

    #[test]
    fn every_rule_can_be_read_and_every_piece_finds_a_starter_phase() {
        let project = project();
        for kind in KINDS {
            let mut names = HashSet::new();
            for item in kind.items {
                assert!(names.insert(item.name), "{} twice in {}", item.name, kind.name);
                for piece in item.pieces {
                    let quantity: Result<Quantity, String> = piece.quantity.parse();
                    assert!(quantity.is_ok(), "{}: {quantity:?}", piece.name);
                    assert!(phase_by_word(&project, piece.phase).is_some(), "{} finds no phase", piece.name);
                }
            }
        }
    }

    #[test]
    fn what_is_added_is_one_sound_step_and_then_there() {
        let project = project();
        let room = project.rooms[0].id;
        let items = KINDS[kind_of("Hall bath")].items;
        assert!(items.iter().all(|i| !is_there(&project, room, i)));
        let wanted: Vec<(&Item, Money)> = items.iter().map(|i| (i, Money::new(Decimal::TEN))).collect();
        let action = add(&project, room, &wanted, true).unwrap();
        let next = project.apply(&action).unwrap();
        assert_eq!(next.selections.len(), items.len());
        assert!(items.iter().all(|i| is_there(&next, room, i)));
        assert_eq!(add(&next, room, &[], true), None);
        let shower = next.selections.iter().find(|s| s.name == "Shower set").unwrap();
        let phases: Vec<&str> = shower.options[0]
            .parts
            .iter()
            .map(|p| next.phase(p.phase.unwrap()).unwrap().name.as_str())
            .collect();
        assert_eq!(phases, ["Rough plumbing", "Finish plumbing"], "the body goes into the wall first");
    }
}
