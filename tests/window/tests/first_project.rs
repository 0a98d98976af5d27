//! A first project by hand, from the start page to a choice made in each of eight decisions in two rooms, by the words on
//! the screen: once with the mouse, once with the keyboard alone. How long it takes a person is told by the
//! keystroke-level model: S. K. Card, T. P. Moran and A. Newell, "The keystroke-level model for user performance time with
//! interactive systems", Communications of the ACM 23 (7), 1980: 0.28 s a key for someone who types now and then, 1.10 s to
//! point, 0.20 s for a click, 1.35 s to think before each step, 0.40 s to change between hand and mouse.

#![cfg(feature = "gui")]

mod support;

use egui::{Event, Key, Modifiers};
use egui_kittest::Harness;
use needline::model::{LeadUnit, Money, OptionState, Project};
use needline::ui::shell::app::NeedlineApp;
use support::{Role, all, label, program_on};

type Program = Harness<'static, NeedlineApp>;

/// What is chosen: the thing, the option, its price, its lead time, and who sells it.
const CHOICES: [(&str, &str, &str, &str, &str); 8] = [
    ("Base cabinets", "Stock shaker cabinets", "4200", "3 weeks", "Cabinet shop"),
    ("Sink", "Single bowl sink", "310", "5 days", "Plumbing counter"),
    ("Cooktop or range", "Induction cooktop", "1450", "4-6 weeks", "Appliance store"),
    ("Backsplash", "White field tile", "7.5", "in stock", "Tile counter"),
    ("Tub", "Alcove tub", "520", "2 weeks", "Plumbing counter"),
    ("Toilet", "Two-piece toilet", "240", "in stock", "Plumbing counter"),
    ("Vanity", "Vanity with drawers", "890", "6-8 weeks", "Cabinet shop"),
    ("Wall tile", "Glazed wall tile", "6.25", "10 days", "Tile counter"),
];

/// Milliseconds of the keystroke-level model.
#[derive(Default)]
struct Person {
    millis: u64,
    keys: u32,
    clicks: u32,
    steps: u32,
    on_mouse: bool,
}

impl Person {
    fn thinks(&mut self) {
        self.millis += 1_350;
        self.steps += 1;
    }

    fn hand_to(&mut self, mouse: bool) {
        if self.on_mouse != mouse {
            self.millis += 400;
            self.on_mouse = mouse;
        }
    }

    fn key(&mut self, program: &mut Program, modifiers: Modifiers, key: Key) {
        self.hand_to(false);
        self.keys += 1;
        self.millis += 280;
        program.key_press_modifiers(modifiers, key);
        program.run();
    }

    fn types(&mut self, program: &mut Program, text: &str) {
        self.hand_to(false);
        self.keys += text.len() as u32;
        self.millis += 280 * text.len() as u64;
        program.event(Event::Text(text.to_owned()));
        program.run();
    }

    /// Points at a thing that is seen and clicks it; what lies below is scrolled to first, which is a click more.
    fn click(&mut self, program: &mut Program, role: Role, name: &str) {
        self.hand_to(true);
        self.clicks += 1;
        self.millis += 1_100 + 200;
        let screen = program.ctx.content_rect();
        if !screen.contains(find(program, role, name).rect().center()) {
            self.millis += 1_100;
            find(program, role, name).scroll_to_me();
            program.run();
        }
        find(program, role, name).click();
        program.run();
    }

    /// Goes with Tab to a thing.
    fn tabs_to(&mut self, program: &mut Program, role: Role, name: &str) {
        for _ in 0..90 {
            let there = all(program, role).into_iter().any(|n| n.is_focused() && is_called(&n, name));
            if there {
                return;
            }
            self.key(program, Modifiers::NONE, Key::Tab);
        }
        let names: Vec<_> = all(program, role).iter().filter_map(label).collect();
        panic!("Tab does not reach {name}; there are {names:?}");
    }
}

fn is_called(node: &egui_kittest::Node<'_>, name: &str) -> bool {
    label(node).is_some_and(|said| said == name || said.starts_with(&format!("{name}, ")))
}

fn find<'a>(program: &'a Program, role: Role, name: &str) -> egui_kittest::Node<'a> {
    let found = all(program, role).into_iter().find(|n| is_called(n, name));
    found.unwrap_or_else(|| panic!("no {role:?} {name:?}: {:?}", support::labels(program, role)))
}

/// At 1280x800 dots and 150 percent.
fn small() -> Program {
    let mut program = program_on("2026-03-02");
    program.set_size(egui::vec2(853.0, 533.0));
    program.run();
    program
}

fn check(program: &Program, person: &Person, how: &str) {
    let project: &Project = program.state().project().expect("a project");
    let rooms: Vec<&str> = project.rooms.iter().map(|room| room.name.as_str()).collect();
    assert_eq!(rooms, ["Kitchen", "Bath"]);
    for (thing, option, price, _, seller) in CHOICES {
        let selection = project.selections.iter().find(|s| s.name == thing).expect(thing);
        let chosen = selection.options.iter().find(|o| o.state == OptionState::Chosen).expect(thing);
        assert_eq!(chosen.name, option);
        let part = chosen.parts.last().expect("a part");
        assert_eq!(part.unit_price, Some(Money::new(price.parse().unwrap())), "{thing}");
        assert!(part.lead.is_some() && part.phase.is_some(), "{thing}");
        let supplier = part.supplier.and_then(|id| project.supplier(id));
        let supplier =
            supplier.unwrap_or_else(|| panic!("{thing} has no supplier: {part:?} {:?}", project.suppliers));
        assert_eq!(supplier.name, seller);
    }
    // Each supplier was made once, where it was first named.
    assert_eq!(project.suppliers.len(), 4);
    let cooktop = project.all_parts().find(|(_, o, _)| o.name == "Induction cooktop").unwrap().2;
    assert_eq!((cooktop.lead_min, cooktop.lead_max, cooktop.lead_unit), (Some(4), Some(6), LeadUnit::Weeks));
    let figures = program.state().figures().expect("figures");
    let dated = figures.parts.iter().filter(|f| f.live && f.need_date.is_some() && f.expected.is_some());
    assert!(dated.count() >= CHOICES.len(), "each choice has the day it is needed and the day it comes");
    let seconds = person.millis / 1000;
    println!(
        "{how}: {} keys, {} clicks, {} steps: {}:{:02} by the keystroke-level model",
        person.keys,
        person.clicks,
        person.steps,
        seconds / 60,
        seconds % 60
    );
    assert!(seconds < 600, "{how} takes {seconds} s");
}

#[test]
fn a_first_project_is_made_with_the_mouse() {
    let (mut program, mut person) = (small(), Person::default());
    let p = &mut program;
    person.thinks();
    person.click(p, Role::Button, "New project…");
    person.click(p, Role::TextInput, "Name");
    person.types(p, "Corner flat");
    for room in ["Add Kitchen", "Add Bath"] {
        person.thinks();
        person.click(p, Role::Button, room);
    }
    person.click(p, Role::Button, "Begin");
    for (thing, option, price, lead, seller) in CHOICES {
        person.thinks();
        person.click(p, Role::TextInput, "Search");
        person.key(p, Modifiers::COMMAND, Key::A);
        person.types(p, thing);
        person.click(p, Role::Button, thing);
        person.thinks();
        for (field, text) in [
            ("Name of the new option", option),
            ("Price of the new option", price),
            ("Lead time of the new option", lead),
        ] {
            person.click(p, Role::TextInput, field);
            person.types(p, text);
        }
        person.thinks();
        person.click(p, Role::ComboBox, "Supplier of the new option");
        person.types(p, seller);
        person.key(p, Modifiers::NONE, Key::Enter);
        person.click(p, Role::Button, "Name it");
        person.click(p, Role::Button, &format!("Make {option} the choice"));
        close_card(p, &mut person);
    }
    check(&program, &person, "with the mouse");
}

/// The card lies over the ledger in a window this small.
fn close_card(p: &mut Program, person: &mut Person) {
    let fold = "Fold the options away";
    if all(p, Role::Button).iter().any(|n| is_called(n, fold)) {
        person.click(p, Role::Button, fold);
    }
}

#[test]
fn a_first_project_is_made_with_the_keyboard_alone() {
    let (mut program, mut person) = (small(), Person::default());
    let p = &mut program;
    person.thinks();
    person.key(p, Modifiers::COMMAND, Key::N);
    person.types(p, "Corner flat");
    for room in ["Add Kitchen", "Add Bath"] {
        person.thinks();
        person.tabs_to(p, Role::Button, room);
        person.key(p, Modifiers::NONE, Key::Space);
    }
    person.key(p, Modifiers::COMMAND, Key::Enter);
    for (thing, option, price, lead, seller) in CHOICES {
        person.thinks();
        person.key(p, Modifiers::COMMAND, Key::K);
        person.types(p, thing);
        person.key(p, Modifiers::NONE, Key::Enter);
        person.thinks();
        // From nowhere one zone back is the last of them, the card.
        person.key(p, Modifiers::SHIFT, Key::F6);
        person.tabs_to(p, Role::TextInput, "Name of the new option");
        person.types(p, option);
        person.key(p, Modifiers::NONE, Key::Tab);
        person.types(p, price);
        person.key(p, Modifiers::NONE, Key::Tab);
        person.types(p, lead);
        person.thinks();
        person.tabs_to(p, Role::ComboBox, "Supplier of the new option");
        person.key(p, Modifiers::NONE, Key::Space);
        person.types(p, seller);
        person.key(p, Modifiers::NONE, Key::Enter);
        person.tabs_to(p, Role::Button, "Name it");
        person.key(p, Modifiers::NONE, Key::Space);
        person.thinks();
        // The name of the next one has the keyboard; a digit chooses once it is left.
        person.key(p, Modifiers::NONE, Key::Escape);
        person.key(p, Modifiers::NONE, Key::Num1);
    }
    check(&program, &person, "with the keyboard");
}
