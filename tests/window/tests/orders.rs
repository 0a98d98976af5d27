//! Orders in the window: what Buying asks for, and a purchase from order to payment by what is written on the screen.

#![cfg(feature = "gui")]

mod support;

use egui_kittest::Harness;
use needline::engine::compute;
use needline::model::*;
use needline::ui::areas::buying;
use needline::ui::session::Session;
use needline::ui::view::{Form, Request};
use support::*;

const DAY: &str = "2026-09-14";

/// The small sample with an order of two lines at one supplier, in which one part came in part.
fn with_order() -> (Project, Vec<PartId>) {
    let (mut p, _) = hall_bath();
    let supplier = supplier(&p, "north_tile").1.id;
    let ids: Vec<PartId> = p
        .selections
        .iter()
        .filter_map(|s| s.live_option())
        .flat_map(|o| &o.parts)
        .filter(|x| x.supplier == Some(supplier))
        .map(|x| x.id)
        .take(2)
        .collect();
    assert_eq!(ids.len(), 2);
    let order = Order {
        number: "T-204".to_owned(),
        placed_on: Some(date("2026-09-01")),
        parts: ids.clone(),
        ..Order::new(OrderId(p.next_id), "tiles", supplier)
    };
    p = p.apply(&Action::PutOrder(order)).unwrap();
    (p, ids)
}

fn panel(p: &Project, session: Session) -> Harness<'static, Scene> {
    panel_harness_high(2400.0, p.clone(), date(DAY), session, buying::ui)
}

#[test]
fn an_order_stands_over_its_lines_with_what_is_owed() {
    let (p, ids) = with_order();
    let id = p.orders[0].id;
    let mut harness = panel(&p, Session::default());
    let f = compute(&p, date(DAY));
    let order = f.orders.iter().find(|o| o.own == Some(id)).unwrap();
    let owed = needline::ui::format::money(order.total(), Currency::USD);
    assert!(says(&harness, &format!("{owed} owed")), "{:?}", labels(&harness, Role::Label));
    let heard = label(&button_from(&harness, "Order T-204, ")).unwrap();
    assert!(heard.starts_with(&format!("Order T-204, 2 lines, {owed} owed")), "{heard}");
    press(&mut harness, "Note a payment for Order T-204");
    press(&mut harness, "Edit Order T-204");
    let name = part_name(&p, &p.part(ids[0]).unwrap().2.key);
    press(&mut harness, &format!("Note a delivery of {name}"));
    assert_eq!(
        harness.state_mut().take(),
        [
            Request::Edit(Form::Payment(PaidFor::Order(id), None)),
            Request::Edit(Form::Order(id)),
            Request::Edit(Form::Delivery(ids[0], None)),
        ]
    );
}

#[test]
fn payments_and_dues_are_shown_when_an_order_is_opened() {
    let (mut p, _) = with_order();
    let payment = Payment {
        id: PaymentId(p.next_id),
        of: PaidFor::Order(p.orders[0].id),
        on: date("2026-09-02"),
        amount: Money::new("12.34".parse().unwrap()),
        kind: PaymentKind::Deposit,
        note: "by card".to_owned(),
    };
    p = p.apply(&Action::PutPayment(payment.clone())).unwrap();
    let mut harness = panel(&p, Session::default());
    assert!(!says(&harness, "12.34 deposit, paid Sep 2; by card"));
    press(&mut harness, "Show payments of Order T-204");
    assert!(says(&harness, "12.34 deposit, paid Sep 2; by card"));
    assert!(says(&harness, "due"));
    press_from(&mut harness, "Remove: 12.34 deposit");
    press_from(&mut harness, "Edit: 12.34 deposit");
    assert_eq!(
        harness.state_mut().take(),
        [act(Action::RemovePayment(payment.id)), Request::Edit(Form::Payment(payment.of, Some(payment.id)))]
    );
    press(&mut harness, "Hide payments of Order T-204");
    assert!(!says(&harness, "12.34 deposit"));
}

#[test]
fn ticked_lines_are_split_off() {
    let (p, ids) = with_order();
    let session = Session { ticked: [ids[0]].into(), ..Session::default() };
    let mut harness = panel(&p, session);
    press(&mut harness, "Split 1 off");
    let asked = harness.state_mut().take();
    let [Request::Act(action)] = asked.as_slice() else { panic!("{asked:?}") };
    let Action::SplitOrder(from, new) = action.as_ref() else { panic!("{action:?}") };
    assert_eq!((*from, &new.parts, new.placed_on), (p.orders[0].id, &vec![ids[0]], p.orders[0].placed_on));
    assert_eq!(action.label(&p), "split order T-204");
    let split = p.apply(action).unwrap();
    assert_eq!(split.orders.len(), 2);

    // And merged again from the menu.
    let mut harness = panel(&split, Session::default());
    press(&mut harness, "More for Order of Sep 1");
    press(&mut harness, "Merge into order T-204");
    let merge = Action::MergeOrders { into: p.orders[0].id, from: split.orders[1].id };
    assert_eq!(harness.state_mut().take(), [act(merge.clone())]);
    assert_eq!(split.apply(&merge).unwrap().orders, p.orders);
}

#[test]
fn what_was_ordered_together_becomes_one_order() {
    let (p, ids) = with_order();
    let apart = p.apply(&Action::RemoveOrder(p.orders[0].id)).unwrap();
    let session = Session { ticked: ids.iter().copied().collect(), ..Session::default() };
    let mut harness = panel(&apart, session);
    press(&mut harness, "Group 2 as one order…");
    let asked = harness.state_mut().take();
    // Its form comes first: closed without a change, nothing has changed.
    let [Request::NewOrder(order)] = asked.as_slice() else { panic!("{asked:?}") };
    assert!(apart.apply(&Action::PutOrder(order.as_ref().clone())).is_ok());
    assert_eq!((&order.parts, order.placed_on), (&ids, Some(date("2026-09-01"))));
}

#[test]
fn what_helps_to_order_together_is_said() {
    let (mut p, day) = hall_bath();
    let mut supplier = supplier(&p, "north_tile").1.clone();
    supplier.freight =
        Freight { flat: Money::new(95.into()), free_over: Some(Money::new(1.into())), ..supplier.freight };
    supplier.freight.free_over = Some(Money::new(700.into()));
    p = p.apply(&Action::PutSupplier(supplier)).unwrap();
    let f = compute(&p, day);
    let found = needline::engine::order_days::suggestions(&p, &f.parts, &f.days, f.as_of);
    let position = p.suppliers.iter().position(|s| s.key == "north_tile").unwrap();
    let Some(found) = found.iter().find(|s| s.supplier == position) else {
        panic!("nothing helps at north_tile; suggestions are {found:?}")
    };
    let order = found.orders.iter().find(|o| o.sooner).unwrap();
    let mut harness = panel_harness_high(2400.0, p.clone(), day, Session::default(), buying::ui);
    let n = order.parts.len();
    assert!(says(&harness, &format!("Place {n} parts together")), "{:?}", labels(&harness, Role::Label));
    press_from(&mut harness, &format!("Tick {n} parts to place together"));
    assert_eq!(harness.state().session.ticked.len(), n);
    harness.run();
    press(&mut harness, &format!("Place {n} as one order…"));
    let asked = harness.state_mut().take();
    let [Request::NewOrder(new)] = asked.as_slice() else { panic!("{asked:?}") };
    let placed = compute(&p.apply(&Action::PutOrder(new.as_ref().clone())).unwrap(), day);
    let own = placed.orders.iter().find(|o| o.own.is_some()).unwrap();
    assert_eq!((own.goods, own.freight), (order.goods, order.freight));
}

/// From the order to what came of it and what was paid, by what is written on the screen.
#[test]
fn a_whole_purchase() {
    let (_folder, path) = copy_of("hall_bath.ron");
    let mut program = program(Some(path.clone()));
    let now = |p: &Harness<'_, needline::ui::shell::app::NeedlineApp>| {
        p.state().project().expect("a project is open").clone()
    };
    let before = now(&program);
    let day = before.settings.as_of.unwrap();
    let tub = part(&before, "bath_tub_steel").clone();
    press(&mut program, "Buying");
    named(&program, Role::CheckBox, &format!("Tick {} of Tub", tub.name)).click();
    program.run();
    press(&mut program, "Place 1 as one order…");
    fill(&mut program, "Number", "B-17");
    fill(&mut program, "Promised for", "2026-10-01");
    press(&mut program, "Done");
    let placed = now(&program);
    let order = placed.order_of(tub.id).unwrap();
    assert_eq!((order.number.as_str(), order.placed_on), ("B-17", Some(day)));
    assert_eq!(part(&placed, "bath_tub_steel").promised_on, Some(date("2026-10-01")));

    press(&mut program, &format!("Note a delivery of {} of Tub", tub.name));
    fill(&mut program, "Damaged", "1");
    fill(&mut program, "Lead time", "20");
    named(&program, Role::MultilineTextInput, "Note").set_text_value_accesskit("enamel chipped");
    program.run();
    press(&mut program, "Done");
    let hurt = now(&program);
    assert_eq!(hurt.deliveries[0].damaged, 1.into());
    let f = compute(&hurt, day);
    assert!(!f.part(tub.id).unwrap().on_site);
    assert!(says(&program, "1 came Sep 14, 1 damaged, replacement expected"));
    assert!(says(&program, "1 missing"));

    press(&mut program, "Note a payment for Order B-17");
    fill(&mut program, "Amount", "50");
    press(&mut program, "Done");
    let paid = now(&program);
    assert_eq!(paid.payments[0].amount, Money::new(50.into()));
    assert_eq!(paid.payments[0].of, PaidFor::Order(order.id));

    // Undo names what it undoes; saving keeps all of it.
    command(&mut program, egui::Key::Z);
    assert_eq!(now(&program), hurt);
    command(&mut program, egui::Key::Y);
    command(&mut program, egui::Key::S);
    let saved = read(&path);
    assert_eq!(saved.deliveries, hurt.deliveries);
}

/// This week, next week, later: every part that has not come stands once, under the week of its last day.
#[test]
fn by_last_day_the_weeks_stand_one_below_the_other() {
    let (mut p, _) = hall_bath();
    let f = compute(&p, date(DAY));
    let mut harness = panel(&p, Session::default());
    assert!(!says(&harness, "Next week"));
    press(&mut harness, "By last day");
    // 2026-09-14 is a Monday.
    for heading in ["The last day to order is over", "Next week, until Sun Sep 27", "Later", "On the way"] {
        assert!(says(&harness, heading), "{heading}; there is {:?}", labels(&harness, Role::Label));
    }
    let counted: Vec<_> = f.orders.iter().flat_map(|o| o.parts.iter().copied()).collect();
    let open = counted.iter().filter(|at| !f.parts[**at].on_site).count();
    let boxes = labels(&harness, Role::CheckBox).len();
    assert_eq!(boxes, open, "a part stands once");
    // What came is gone from the list.
    let first =
        f.orders.iter().flat_map(|o| o.parts.iter().copied()).find(|at| !f.parts[*at].on_site).unwrap();
    p = p.apply(&Action::MarkReceived(vec![f.parts[first].id], Some(date(DAY)))).unwrap();
    let session = Session { buying_by_day: true, ..Session::default() };
    assert_eq!(labels(&panel(&p, session), Role::CheckBox).len(), open - 1);
}

/// What can be done with ticked parts stands below the list: above it, the first tick would push all rows away from the
/// pointer.
#[test]
fn a_tick_moves_no_row() {
    let (p, _) = with_order();
    let mut harness = panel_harness(p, date(DAY), Session::default(), buying::ui);
    let places = |h: &Harness<'_, Scene>| -> Vec<egui::Rect> {
        all(h, Role::CheckBox).iter().map(|tick| tick.rect()).take(8).collect()
    };
    let before = places(&harness);
    assert_eq!(before.len(), 8);
    all(&harness, Role::CheckBox)[0].click();
    harness.run();
    assert!(says(&harness, "1 part ticked"));
    assert_eq!(places(&harness), before);
    all(&harness, Role::CheckBox)[1].click();
    harness.run();
    assert!(says(&harness, "2 parts ticked"), "the pointer is where the second row was and is");
}

/// In a narrow window the name of a part stands on a line of its own over its days, and none of them is cut.
#[test]
fn a_narrow_list_cuts_no_day_and_no_state() {
    let (project, day) = sample("orchard_house.ron");
    for width in [480.0, 865.0] {
        let session = Session::default();
        let mut harness = panel_harness_wide(width, 14_000.0, project.clone(), day, session, buying::ui);
        harness.run();
        let drawn = audit::Drawn::of(&harness);
        let words: Vec<&str> = drawn.texts.iter().map(|text| text.words.as_str()).collect();
        for title in ["Part", "Order by", "Needed", "Arrives"] {
            assert!(words.contains(&title), "{width}: {title}");
        }
        assert!(words.contains(&"Jan 19, 2027, late"), "{width}: days of the next year are whole");
        let f = compute(&project, day);
        let near = f.as_of;
        for at in f.orders.iter().flat_map(|order| &order.parts) {
            let own = &f.parts[*at];
            let needed = own.need_date.map(|day| needline::ui::format::day_short(day, near));
            let arrives = needline::ui::format::expected(own, near);
            for said in needed.iter().chain([&arrives]) {
                assert!(words.iter().any(|text| text.contains(said.as_str())), "{width}: {said}");
            }
        }
        // The names of buttons that ask for more end so too.
        let asks = ["list\u{2026}", "lists\u{2026}", "supplier\u{2026}", "ayments\u{2026}", "ayment\u{2026}"];
        let cut = |text: &&&str| text.ends_with('\u{2026}') && !asks.iter().any(|ask| text.ends_with(ask));
        let cut: Vec<&&str> = words.iter().filter(cut).collect();
        assert!(width < 800.0 || cut.is_empty(), "{width}: {cut:?}");
    }
}

/// A screen reader hears a part as one sentence, and what its buttons are about by name.
#[test]
fn a_part_is_heard_as_one_sentence() {
    let (p, _) = hall_bath();
    let mut harness = panel(&p, Session::default());
    let name = "Alcove tub, 60 in, enameled steel of Tub";
    let heard = label(&button_from(&harness, &format!("{name}, "))).unwrap();
    let f = compute(&p, date(DAY));
    let own = f.part(part(&p, "bath_tub_steel").id).unwrap();
    let day = |day| needline::ui::format::day_short(day, f.as_of);
    for words in [
        format!("order by {}, ", day(own.order_by.unwrap())),
        format!("needed {}", day(own.need_date.unwrap())),
        format!("arrives {}", day(own.arrival.unwrap())),
    ] {
        assert!(heard.contains(&words), "{heard}: {words}");
    }
    let keys: Vec<String> = p.all_parts().map(|(_, _, part)| part.key.clone()).collect();
    let named = labels(&harness, Role::Button);
    assert!(!named.iter().any(|said| keys.iter().any(|key| said.split(' ').any(|word| word == key))));
    press(&mut harness, name);
    assert_eq!(harness.state().session.selection, Some(selection(&p, "bath_tub").id));
}
