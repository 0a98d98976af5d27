//! Random actions: the one generator of them for all tests.

use crate::support::*;
use needline::model::*;
use proptest::prelude::*;
use rust_decimal::Decimal;

/// Three phases, two suppliers, two selections with options and parts, a quote and a fee.
pub fn house() -> Project {
    let mut p = project("2026-06-01");
    add_phases(&mut p, [("rough", 4, ""), ("check", 1, "rough"), ("tile", 5, "check FS+1e")]);
    edit_phase(&mut p, "check", |f| f.kind = PhaseKind::Inspection);
    add_room(&mut p, "10", "12", "8");
    add_room(&mut p, "5", "8", "8");
    for _ in 0..2 {
        add_supplier(&mut p, |s| s.tax_pct = dec("7.25"));
    }
    for _ in 0..2 {
        add_selection(
            &mut p,
            "450",
            &[(OptionState::Chosen, 2), (OptionState::Leaning, 1), (OptionState::Candidate, 0)],
        );
    }
    let id = p.fresh_id();
    let quote = Quote {
        id: QuoteId(id),
        key: "q".to_owned(),
        phase: p.phases.first().map(|f| f.id),
        also: Vec::new(),
        trade: "Plumber".to_owned(),
        scope: "rough".to_owned(),
        amount: money("2100"),
        accepted: false,
        paid: money("0"),
        allowance: None,
        ..Quote::new(QuoteId(0))
    };
    p = p.apply(&Action::PutQuote(quote)).unwrap();
    let id = p.fresh_id();
    let (key, name, kind) = ("fee".to_owned(), "Permit".to_owned(), ExtraKind::Permit);
    let fee = Extra { id: ExtraId(id), key, name, kind, phase: None, amount: money("300"), paid: money("0") };
    p = p.apply(&Action::PutExtra(fee)).unwrap();
    let (first, second) = (p.phases[0].id, p.phases[1].id);
    let selection = p.selections[0].id;
    let part = p.selections[1].options[0].parts[0].id;
    let needs = [
        Need::Finished(first),
        Need::Selection { selection, scope: Scope::SoFar, presence: Presence::BuiltIn },
        Need::Part { part, presence: Presence::OnSite },
        Need::Confirmed { what: "blocking".to_owned(), said_by: String::new(), said_on: None },
    ];
    let gate = GateId(p.fresh_id());
    let conditions = needs.map(|need| {
        let id = ConditionId(p.fresh_id());
        Condition { id, need, who: "Plumber".to_owned(), by: None }
    });
    p = p
        .apply(&Action::PutGate(Gate {
            id: gate,
            key: "before_check".to_owned(),
            phase: second,
            name: "Before the check".to_owned(),
            source: "common practice".to_owned(),
            conditions: conditions.to_vec(),
        }))
        .unwrap();
    let correction = Correction {
        id: CorrectionId(p.fresh_id()),
        phase: second,
        found: date("2026-06-03"),
        what: "nail plates".to_owned(),
        trade: "Electrician".to_owned(),
        fix_phase: Some(first),
        due: None,
        done: None,
    };
    p.apply(&Action::PutCorrection(correction)).unwrap()
}

/// Numbers that choose an action and its details.
pub type Dice = (u8, usize, usize, i32);

fn pick<T: Clone>(list: &[T], n: usize) -> Option<T> {
    if list.is_empty() { None } else { Some(list[n % list.len()].clone()) }
}

/// An id: mostly of a thing of the kind wanted, now and then new, of another kind, or absurd.
fn any_id(p: &Project, known: &[u32], n: usize) -> u32 {
    match n % 8 {
        0 => p.next_id,
        1 => (n / 8) as u32 % (p.next_id + 3),
        2 if n % 16 == 2 => u32::MAX,
        _ => pick(known, n / 8).unwrap_or(p.next_id),
    }
}

/// An action on things that exist, or nearly: what is refused is as good as what is done.
pub fn any_action(p: &Project, (kind, a, b, n): Dice, depth: u8) -> Action {
    let phases: Vec<u32> = p.phases.iter().map(|x| x.id.0).collect();
    let rooms: Vec<u32> = p.rooms.iter().map(|x| x.id.0).collect();
    let suppliers: Vec<u32> = p.suppliers.iter().map(|x| x.id.0).collect();
    let selections: Vec<u32> = p.selections.iter().map(|x| x.id.0).collect();
    let options: Vec<u32> = p.selections.iter().flat_map(|s| &s.options).map(|o| o.id.0).collect();
    let parts: Vec<u32> = p.all_parts().map(|(_, _, x)| x.id.0).collect();
    let links: Vec<u32> = p.links.iter().map(|x| x.id.0).collect();
    let quotes: Vec<u32> = p.quotes.iter().map(|x| x.id.0).collect();
    let extras: Vec<u32> = p.extras.iter().map(|x| x.id.0).collect();
    let phase = PhaseId(any_id(p, &phases, a));
    let part = PartId(any_id(p, &parts, a));
    let option = OptionId(any_id(p, &options, a));
    let on = (n % 5 != 0).then(|| date("2026-06-01") + chrono::Duration::days(i64::from(n)));
    let amount = Money::new(Decimal::new(i64::from(n), 2));
    let key = if b % 5 == 0 { format!("key{}", b % 3) } else { format!("key{a}-{b}") };
    let new_part = |id: u32| {
        let mut part = Part::new(PartId(id), &key, "Body");
        part.phase = pick(&phases, b).map(PhaseId);
        part.supplier = pick(&suppliers, b).map(SupplierId);
        part.unit_price = Some(amount);
        part
    };
    let new_option = |id: u32, parts: Vec<Part>| {
        let state = OptionState::ALL[b % 3].1;
        SelectionOption { state, parts, ..SelectionOption::new(OptionId(id), &key, "Faucet") }
    };
    let gates: Vec<u32> = p.gates.iter().map(|x| x.id.0).collect();
    let conditions: Vec<u32> = p.gates.iter().flat_map(|g| &g.conditions).map(|c| c.id.0).collect();
    let corrections: Vec<u32> = p.corrections.iter().map(|x| x.id.0).collect();
    let mappings: Vec<u32> = p.mappings.iter().map(|x| x.id.0).collect();
    let orders: Vec<u32> = p.orders.iter().map(|o| o.id.0).collect();
    match kind % 55 {
        0 => Action::PutSettings(Box::new(Settings { hold: n.unsigned_abs(), ..p.settings.clone() })),
        1 => {
            let mut room = house().rooms[0].clone();
            (room.id, room.key) = (RoomId(any_id(p, &rooms, a)), key);
            Action::PutRoom(room)
        }
        2 => Action::RemoveRoom(RoomId(any_id(p, &rooms, a))),
        3 | 4 => Action::PutPhase(Phase::new(phase, &key, "Work", n)),
        5 => Action::RemovePhase(phase),
        6 | 7 => Action::PutLink(Link {
            id: LinkId(any_id(p, &links, a / 3)),
            before: phase,
            after: PhaseId(any_id(p, &phases, b)),
            kind: LinkKind::ALL[a % 4].1,
            lag: n,
            unit: LagUnit::ALL[b % 2].1,
        }),
        8 => Action::RemoveLink(LinkId(any_id(p, &links, a))),
        9 => Action::PutSupplier(Supplier::new(SupplierId(any_id(p, &suppliers, a)), &key, "Shop")),
        10 => Action::RemoveSupplier(SupplierId(any_id(p, &suppliers, a))),
        11 | 12 => {
            let parts = vec![
                new_part(any_id(p, &parts, b)),
                Part { key: format!("{key}x"), ..new_part(p.next_id + 2) },
            ];
            Action::PutSelection(Selection {
                id: SelectionId(any_id(p, &selections, a)),
                key: key.clone(),
                room: RoomId(any_id(p, &rooms, b)),
                category: "Fixtures".to_owned(),
                name: "Faucet".to_owned(),
                allowance: amount,
                specs: Vec::new(),
                decide_on: on,
                notes: String::new(),
                options: vec![new_option(any_id(p, &options, b / 3), parts)],
            })
        }
        13 => Action::RemoveSelection(SelectionId(any_id(p, &selections, a))),
        14 | 15 => {
            let parts = vec![new_part(any_id(p, &parts, b / 3)), new_part(p.next_id + 1)];
            let selection = SelectionId(any_id(p, &selections, b));
            Action::PutOption(selection, new_option(option.0, parts))
        }
        16 => Action::RemoveOption(option),
        17 | 18 => Action::PutPart(OptionId(any_id(p, &options, b)), new_part(part.0)),
        19 => Action::RemovePart(part),
        20 => Action::Choose(option),
        21 => Action::Lean(option),
        22 => Action::Reopen(SelectionId(any_id(p, &selections, a))),
        23 => Action::MarkOrdered(vec![part, PartId(any_id(p, &parts, b))], on),
        24 => match b % 3 {
            0 => Action::MarkPromised(vec![part], on),
            1 => Action::MarkInstalled(vec![part], on),
            _ => Action::MarkReceived(vec![part], on),
        },
        25 => Action::SetPaid(part, amount),
        26 => match b % 2 {
            0 => Action::StartPhase(phase, on),
            _ => Action::FinishPhase(phase, on),
        },
        27 => match b % 2 {
            0 => Action::SetDaysLeft(phase, Some(n)),
            _ => Action::SetNotBefore(phase, on),
        },
        28 => {
            let attempt = Attempt {
                date: on.unwrap_or(date("2026-07-01")),
                passed: b % 2 == 0,
                booked: b % 5 == 1,
                note: String::new(),
                correct_by: None,
            };
            Action::RecordAttempt(phase, attempt)
        }
        29 => {
            let mut quote = p.quotes.first().cloned().unwrap_or_else(|| house().quotes[0].clone());
            (quote.id, quote.key, quote.amount) = (QuoteId(any_id(p, &quotes, a)), key, amount);
            quote.phase = pick(&phases, b).map(PhaseId);
            Action::PutQuote(quote)
        }
        30 => match b % 3 {
            0 => Action::RemoveQuote(QuoteId(any_id(p, &quotes, a))),
            1 => Action::RemoveExtra(ExtraId(any_id(p, &extras, a))),
            _ => Action::AcceptQuote(QuoteId(any_id(p, &quotes, a))),
        },
        31 => {
            let kind = ExtraKind::Extra;
            let id = ExtraId(any_id(p, &extras, a));
            Action::PutExtra(Extra {
                id,
                key,
                name: "Surprise".to_owned(),
                kind,
                phase: None,
                amount,
                paid: amount,
            })
        }
        32 | 33 => {
            let selection = pick(&p.selections, a).map(|s| s.as_ref().clone());
            let from = selection.as_ref().and_then(|s| s.choice()).map_or(option, |o| o.id);
            let to = selection.as_ref().and_then(|s| pick(&s.options, b)).map_or(option, |o| o.id);
            let swap = Swap {
                id: SwapId(any_id(p, &p.swaps.iter().map(|s| s.id.0).collect::<Vec<_>>(), b * 8)),
                key,
                selection: selection.map_or(SelectionId(a as u32), |s| s.id),
                on: on.unwrap_or(date("2026-07-01")),
                from,
                to,
                why: "dented".to_owned(),
                reverses: p.swaps.first().map(|s| s.id).filter(|_| b % 3 == 0),
                known: Known { forecast_before: amount, ..Known::default() },
            };
            let also = if b % 4 == 0 { vec![Action::MarkOrdered(vec![part], None)] } else { Vec::new() };
            Action::Swap(Box::new(SwapAction { swap, returns: Vec::new(), also }))
        }
        34 | 35 => {
            let known = pick(&p.returns, b);
            let mut r = known.unwrap_or_else(|| Return::new(ReturnId(any_id(p, &[], b)), part));
            r.state = ReturnState::ALL[a % 5].1;
            r.went_back_on = on.filter(|_| r.state == ReturnState::WentBack);
            r.credit = Some(amount).filter(|_| b % 2 == 0);
            r.freight = amount;
            match b % 7 {
                0 => Action::RemoveReturn(r.id),
                1 => Action::RemoveSwap(p.swaps.last().map_or(SwapId(0), |s| s.id)),
                _ => Action::PutReturn(r),
            }
        }
        36 => {
            let other = SelectionId(any_id(p, &selections, b));
            let of = match a % 3 {
                0 => RuleOf::Selection(SelectionId(any_id(p, &selections, a))),
                1 => RuleOf::Room(RoomId(any_id(p, &rooms, a))),
                _ => RuleOf::House,
            };
            let id = RuleId(any_id(p, &p.rules.iter().map(|r| r.id.0).collect::<Vec<_>>(), a));
            let with = Some(RuleWith::Fact(other, "width".to_owned()));
            let kind = RuleKind::ALL[b % 5].1;
            let (name, fact, tolerance) = ("fits".to_owned(), "width".to_owned(), None);
            match b % 6 {
                0 => Action::RemoveRule(id),
                _ => Action::PutRule(Rule {
                    id,
                    key,
                    name,
                    kind,
                    of,
                    fact,
                    with,
                    tolerance,
                    why: String::new(),
                }),
            }
        }
        37 | 38 => {
            let need = |k: usize| match (a + k) % 5 {
                0 => Need::Finished(PhaseId(any_id(p, &phases, b + k))),
                1 => Need::PartsOf { phase, presence: Presence::ALL[b % 2].1 },
                2 => Need::Selection {
                    selection: SelectionId(any_id(p, &selections, a + k)),
                    scope: Scope::ALL[a % 2].1,
                    presence: Presence::ALL[b % 2].1,
                },
                3 => Need::Part { part: PartId(any_id(p, &parts, b + k)), presence: Presence::OnSite },
                _ => Need::Confirmed {
                    what: "fan route".to_owned(),
                    said_by: if on.is_some() { "HVAC".to_owned() } else { String::new() },
                    said_on: on,
                },
            };
            let condition = |k: usize| Condition {
                id: ConditionId(if k == 0 { any_id(p, &conditions, b) } else { p.next_id + k as u32 }),
                need: need(k),
                who: String::new(),
                by: on,
            };
            Action::PutGate(Gate {
                id: GateId(any_id(p, &gates, a)),
                key,
                phase: PhaseId(any_id(p, &phases, b)),
                name: "Ready".to_owned(),
                source: String::new(),
                conditions: (0..b % 4).map(condition).collect(),
            })
        }
        43 => {
            let id = MappingId(any_id(p, &mappings, a));
            let column = |heading: &str, field| MappedColumn { heading: heading.to_owned(), field };
            match b % 5 {
                0 => Action::RemoveMapping(id),
                4 => Action::NoteSent(vec![Sent {
                    calendar: SentIn::ALL[a % 3].1,
                    whose: key.clone(),
                    uid: if n % 7 == 0 { String::new() } else { format!("uid-{}", a % 4) },
                    form: SentForm::ALL[b % 2].1,
                    day: on.unwrap_or(date("2026-06-10")),
                    until: on.filter(|_| n % 3 == 0),
                    title: "Order the tub".to_owned(),
                    sequence: b as u32,
                    on: date("2026-06-08"),
                    digest: format!("{n}"),
                }]),
                _ => Action::PutMapping(Mapping {
                    id,
                    key,
                    supplier: pick(&suppliers, b).map(SupplierId),
                    into: MapInto::Prices,
                    columns: vec![
                        column("Art.", MapField::ALL[b % 4].1),
                        column("Price", MapField::ALL[(b / 4) % 6].1),
                    ],
                    decimal: Some(DecimalMark::Comma).filter(|_| n % 2 == 0),
                    dates: None,
                    lead_unit: None,
                }),
            }
        }
        39 => match b % 2 {
            0 => Action::RemoveGate(GateId(any_id(p, &gates, a))),
            _ => Action::RemoveCorrection(CorrectionId(any_id(p, &corrections, a))),
        },
        40 => Action::Confirm(ConditionId(any_id(p, &conditions, a)), on.map(|d| ("HVAC".to_owned(), d))),
        41 => match b % 3 {
            0 => Action::MarkCorrected(CorrectionId(any_id(p, &corrections, a)), on),
            _ => Action::PutCorrection(Correction {
                id: CorrectionId(any_id(p, &corrections, a)),
                phase,
                found: date("2026-06-20"),
                what: "nail plates".to_owned(),
                trade: String::new(),
                fix_phase: (b % 2 == 0).then(|| PhaseId(any_id(p, &phases, b))),
                due: on,
                done: None,
            }),
        },
        44 => match b % 3 {
            0 => {
                let finish = ["brass", " Brass", "", "white oak"][a % 4].to_owned();
                Action::SetFinishColor(finish, (b % 2 == 0).then_some(Rgb(a as u8, b as u8, 7)))
            }
            _ => Action::SetPicture(option, ["tub.png", "pictures/a.jpg", "", "../x.png"][a % 4].to_owned()),
        },
        45 => {
            let supplier = SupplierId(any_id(p, &suppliers, b));
            let theirs = p.all_parts().filter(|(_, _, x)| x.supplier == Some(supplier)).map(|(_, _, x)| x.id);
            let lines: Vec<PartId> = if b % 7 == 0 { vec![part] } else { theirs.take(1 + a % 3).collect() };
            let (id, freight) = (OrderId(any_id(p, &orders, a)), Some(amount).filter(|_| b % 3 == 0));
            let order = Order { placed_on: on, freight, parts: lines, ..Order::new(id, &key, supplier) };
            match b % 4 {
                0 => Action::SplitOrder(OrderId(any_id(p, &orders, a)), order),
                1 => Action::MergeOrders {
                    into: OrderId(any_id(p, &orders, a)),
                    from: OrderId(any_id(p, &orders, b)),
                },
                _ => Action::PutOrder(order),
            }
        }
        46 => Action::RemoveOrder(OrderId(any_id(p, &orders, a))),
        47 => {
            let known: Vec<u32> = p.deliveries.iter().map(|d| d.id.0).collect();
            let id = DeliveryId(any_id(p, &known, b));
            let units = Decimal::new(i64::from(n), 1);
            let damaged = if b % 3 == 0 { Decimal::ONE } else { Decimal::ZERO };
            let day = on.unwrap_or(date("2026-06-01"));
            let delivery = Delivery { damaged, rest_on: on, ..Delivery::new(id, part, day, units) };
            if b % 5 == 0 { Action::RemoveDelivery(id) } else { Action::PutDelivery(delivery) }
        }
        48 => {
            let known: Vec<u32> = p.payments.iter().map(|x| x.id.0).collect();
            let id = PaymentId(any_id(p, &known, b));
            let of = match a % 2 {
                0 => PaidFor::Order(OrderId(any_id(p, &orders, a))),
                _ => PaidFor::Part(part),
            };
            let (on, note) = (on.unwrap_or(date("2026-06-01")), String::new());
            let payment = Payment { id, of, on, amount, kind: PaymentKind::Deposit, note };
            if b % 5 == 0 { Action::RemovePayment(id) } else { Action::PutPayment(payment) }
        }
        49 | 50 => people(p, phase, (a, b), on, amount, &key),
        53 | 54 => closing(p, (a, b), part, on, &key),
        51 => agreed(p, (a, b), on, amount, &key),
        _ if depth == 0 => Action::Reopen(SelectionId(any_id(p, &selections, a))),
        _ => {
            let dice = |k: usize| ((a + k * 7) as u8, a / 2 + k, b / 2 + k, n + k as i32);
            let actions = (0..b % 4).map(|k| any_action(p, dice(k), depth - 1)).collect();
            Action::Batch { label: format!("batch {a}"), actions }
        }
    }
}

/// An action on the punch list, on what stays with parts, and on who approved of what.
fn closing(
    p: &Project,
    (a, b): (usize, usize),
    part: PartId,
    on: Option<chrono::NaiveDate>,
    key: &str,
) -> Action {
    let punch: Vec<u32> = p.punch.iter().map(|x| x.id.0).collect();
    let handover: Vec<u32> = p.handover.iter().map(|x| x.id.0).collect();
    let options: Vec<u32> = p.selections.iter().flat_map(|s| &s.options).map(|o| o.id.0).collect();
    let (of, to) = (PunchId(any_id(p, &punch, a)), HandoverId(any_id(p, &handover, a)));
    match b % 9 {
        0 | 1 => Action::PutPunch(Punch {
            key: key.to_owned(),
            what: "Scratch".to_owned(),
            room: p.rooms.get(b % 4).map(|r| r.id),
            crew: p.crews.get(b % 5).map(|c| c.id),
            due: on,
            done_on: on.filter(|_| b.is_multiple_of(2)),
            ..Punch::new(of)
        }),
        2 => Action::MarkPunchDone(of, on),
        3 => Action::MarkPunchChecked(of, on),
        4 => Action::RemovePunch(of),
        5 | 6 => {
            let manual = if a.is_multiple_of(2) { "manuals/a.pdf" } else { "https://example.org/a" };
            let known = p.handover_of(part).map_or(to, |h| h.id);
            let id = if b.is_multiple_of(2) { known } else { to };
            let serial = format!("s{a}");
            Action::PutHandover(Handover {
                serial,
                manual: manual.to_owned(),
                warranty_until: on,
                ..Handover::new(id, part)
            })
        }
        7 => Action::RemoveHandover(to),
        _ => Action::Approve(OptionId(any_id(p, &options, a)), on.map(|on| ("Pat".to_owned(), on))),
    }
}

/// An action on crews, bookings, permits, changes, draws and risks.
fn people(
    p: &Project,
    phase: PhaseId,
    (a, b): (usize, usize),
    on: Option<chrono::NaiveDate>,
    amount: Money,
    key: &str,
) -> Action {
    let crews: Vec<u32> = p.crews.iter().map(|x| x.id.0).collect();
    let permits: Vec<u32> = p.permits.iter().map(|x| x.id.0).collect();
    let changes: Vec<u32> = p.changes.iter().map(|x| x.id.0).collect();
    let risks: Vec<u32> = p.risks.iter().map(|x| x.id.0).collect();
    let draws: Vec<u32> = p.draws.iter().map(|x| x.id.0).collect();
    let gates: Vec<u32> = p.gates.iter().map(|x| x.id.0).collect();
    let day = on.unwrap_or(date("2026-06-10"));
    match a % 19 {
        0 | 1 => {
            let to = day + chrono::Days::new(b as u64 % 9);
            let mut crew = Crew::new(CrewId(any_id(p, &crews, b)), key, "Crew");
            crew.away.push(ClosedRange { from: day, to, why: String::new() });
            if b.is_multiple_of(3) {
                crew.away.push(ClosedRange { from: to, to, why: String::new() });
            }
            Action::PutCrew(crew)
        }
        2 => Action::RemoveCrew(CrewId(any_id(p, &crews, b))),
        3 => {
            let known = p.phase(phase).cloned().unwrap_or(Phase::new(phase, key, "Phase", 2));
            Action::PutPhase(Phase { crew: Some(CrewId(any_id(p, &crews, b))), ..known })
        }
        4 => Action::Book(phase, on),
        5 => Action::MarkConfirmed(phase, on),
        6 => Action::MarkTold { starts: vec![(phase, day)], on: day },
        7 => Action::MarkMissed(phase, Missed { date: day, why: String::new() }),
        8 => {
            let id = PermitId(any_id(p, &permits, b));
            let permit =
                Permit { key: key.to_owned(), issued_on: on, phases: vec![phase], ..Permit::new(id) };
            if b.is_multiple_of(5) { Action::RemovePermit(id) } else { Action::PutPermit(permit) }
        }
        9 | 10 => {
            let id = ChangeId(any_id(p, &changes, b));
            let change = Change {
                key: key.to_owned(),
                what: "Level the floor".to_owned(),
                phase: Some(phase),
                days: Some(b as i32 % 4),
                amount: Some(amount),
                agreed_on: on,
                ..Change::new(id)
            };
            if b.is_multiple_of(5) { Action::RemoveChange(id) } else { Action::PutChange(change) }
        }
        11 => Action::Agree(ChangeId(any_id(p, &changes, b)), on.map(|on| ("Owner".to_owned(), on))),
        12 => Action::RecordAttempt(phase, Attempt::booked(day)),
        14 | 15 => {
            let known: Vec<u32> = p.out_of_use.iter().map(|x| x.id.0).collect();
            let id = OutOfUseId(any_id(p, &known, b));
            let room = p.rooms.get(b % 3).map(|r| r.id);
            let service = Service::ALL.get(b % 6).map(|(_, service)| *service);
            let to_phase = p.phases.get(b % 11).map(|x| x.id);
            let out = OutOfUse { room, service, to_phase, ..OutOfUse::new(id, phase) };
            match b % 5 {
                0 => Action::RemoveOutOfUse(id),
                1 | 2 => Action::PutOutOfUse(OutOfUse { room: None, ..out }),
                3 => Action::PutOutOfUse(OutOfUse { service: None, ..out }),
                _ => Action::PutOutOfUse(out),
            }
        }
        17 | 18 => {
            let known: Vec<u32> = p.alternatives.iter().map(|x| x.id.0).collect();
            let id = AlternativeId(any_id(p, &known, b));
            let options: Vec<OptionId> =
                p.selections.iter().flat_map(|s| &s.options).map(|o| o.id).skip(b % 5).take(b % 4).collect();
            let alternative = Alternative {
                key: key.to_owned(),
                name: "Plain".to_owned(),
                options,
                ..Alternative::new(id)
            };
            if b.is_multiple_of(5) {
                Action::RemoveAlternative(id)
            } else {
                Action::PutAlternative(alternative)
            }
        }
        16 => {
            let id = RiskId(any_id(p, &risks, b));
            let risk = Risk {
                key: key.to_owned(),
                what: "Rot below the floor".to_owned(),
                phase: Some(phase),
                chance_pct: rust_decimal::Decimal::from(b as u64 % 120),
                cost_likely: Some(amount),
                days_likely: Some(b as i32 % 4),
                ..Risk::new(id)
            };
            if b.is_multiple_of(5) { Action::RemoveRisk(id) } else { Action::PutRisk(risk) }
        }
        _ => {
            let id = DrawId(any_id(p, &draws, b));
            let gate = (b % 2 == 0).then(|| GateId(any_id(p, &gates, b)));
            let phase = gate.is_none().then_some(phase);
            let draw = Draw { key: key.to_owned(), amount, phase, gate, received_on: on, ..Draw::new(id) };
            if b.is_multiple_of(5) { Action::RemoveDraw(id) } else { Action::PutDraw(draw) }
        }
    }
}

/// An action on kept plans and the log.
fn agreed(
    p: &Project,
    (a, b): (usize, usize),
    on: Option<chrono::NaiveDate>,
    amount: Money,
    key: &str,
) -> Action {
    let plans: Vec<u32> = p.kept_plans.iter().map(|x| x.id.0).collect();
    let id = PlanId(any_id(p, &plans, b));
    let day = date("2026-06-10");
    let stands =
        p.log_stands().filter(|_| !b.is_multiple_of(7)).unwrap_or(Standing { finish: on, total: amount });
    match a % 5 {
        0 | 1 => {
            let mut plan = KeptPlan::new(id, "Agreed", day, stands);
            plan.key = key.to_owned();
            plan.lines = if b.is_multiple_of(9) { b as u32 } else { p.log.len() as u32 };
            plan.phases.extend(p.phases.get(b % 5).map(|x| KeptPhase {
                phase: x.id,
                start: day,
                finish: day,
            }));
            plan.rooms.extend(p.rooms.get(b % 2).map(|x| KeptRoom { room: x.id, total: amount }));
            Action::KeepPlan(Box::new(plan))
        }
        2 => {
            let after = Standing { finish: on, total: stands.total.plus(amount) };
            let mut line = LogLine::new(day, "A change", Cause::ALL[b % 10].1, stands, after);
            line.phase = p.phases.get(b % 7).map(|x| x.id);
            line.selection = p.selections.get(b % 5).map(|x| x.id);
            line.part = p.all_parts().nth(b % 9).map(|(_, _, x)| x.id);
            Action::AddLine(Box::new(line))
        }
        3 => Action::SetCause(b % 4, Cause::ALL[b % 10].1),
        _ if b.is_multiple_of(3) => Action::RemovePlan(id),
        _ => Action::RenamePlan(id, if b.is_multiple_of(5) { String::new() } else { format!("Plan {b}") }),
    }
}

/// Up to 24 of them.
pub fn any_dice() -> impl Strategy<Value = Vec<Dice>> {
    proptest::collection::vec((any::<u8>(), 0_usize..4000, 0_usize..4000, -2_i32..60), 1..25)
}
