//! For every field of every noun a value other than what is there, and all nouns of a project.

use chrono::{Days, NaiveDate};
use needline::model::field::{At, Field, Kind, Noun};
use needline::model::*;
use rust_decimal::Decimal;
use std::sync::Arc;

/// Gives a field another value, of which `nth` picks one where there are several. False where its table leaves it to
/// other code, or where it is what things are known by.
pub fn change<T>(field: &Field<T>, thing: &mut T, project: &Project, nth: usize) -> bool {
    fn put<T, V>(at: &At<T, V>, thing: &mut T, next: impl Fn(Option<V>) -> V) {
        let next = next((at.get)(thing));
        (at.set)(thing, Some(next));
    }
    let another = |noun: Noun, id: Option<u32>| {
        let mut others: Vec<u32> = noun.choices(project).into_iter().map(|(_, other)| other).collect();
        others.retain(|other| Some(*other) != id);
        assert!(!others.is_empty(), "{} needs two of what it names", field.name);
        others[nth % others.len()]
    };
    match &field.kind {
        Kind::Apart(_) | Kind::Key(_) => return false,
        Kind::Name(at) | Kind::Text(at) => put(at, thing, |_| "Other words".to_owned()),
        Kind::Lines(at) => put(at, thing, |_| "One line,\nand \"another\"".to_owned()),
        Kind::Address(at) if field.name == "link" => put(at, thing, |_| "https://example.org/tap".to_owned()),
        Kind::Address(at) => put(at, thing, |_| "photos/tap.jpg".to_owned()),
        Kind::Money(at) => {
            put(at, thing, |old| old.unwrap_or_default().plus(Money::new(Decimal::new(1250, 2))))
        }
        Kind::Number(at) | Kind::Percent(at) => {
            put(at, thing, |old| old.unwrap_or_default() + Decimal::new(125, 2));
        }
        Kind::Whole(at) | Kind::CalendarDays(at) | Kind::OpenDays(at) | Kind::Lead(at, _) => {
            put(at, thing, |old| old.unwrap_or(3) + 1)
        }
        Kind::Days(at) => put(at, thing, |old| old.unwrap_or(3) + 1),
        Kind::Signed(at) if field.name == "year_built" => put(at, thing, |_| 1931),
        Kind::Signed(at) => put(at, thing, |old| old.unwrap_or(3) + 1),
        Kind::Date(at) => put(at, thing, |old| {
            old.map_or(NaiveDate::from_ymd_opt(2026, 8, 3).unwrap(), |day| day + Days::new(1))
        }),
        Kind::YesNo(at) => put(at, thing, |old| !old.unwrap_or(false)),
        Kind::Word(words, at) => put(at, thing, |old| old.map_or(1, |old| old + 1 + nth) % words.len()),
        Kind::Parsed(parsed) | Kind::Stated(parsed) => {
            let text = match field.name {
                "weekdays" | "delivery_weekdays" => "Mon Tue Thu",
                "quantity" => "floor*2",
                "currency" => "EUR",
                "hazards" => "lead asbestos",
                "color" => "#102030",
                "knock_ons" => "One thing\nAnother",
                "value" | "tolerance" | "told" => "0.75 in",
                other => panic!("write another value for {other}"),
            };
            (parsed.set)(thing, text).unwrap();
        }
        Kind::Holidays(at) => put(at, thing, |_| "none".parse().unwrap()),
        Kind::Of(noun, at) => put(at, thing, |old| another(*noun, old)),
        Kind::Facts(at) => {
            put(at, thing, |_| vec![Fact { name: "width".to_owned(), value: "60 in".parse().unwrap() }])
        }
        Kind::Closed(at) => put(at, thing, |_| {
            let day = NaiveDate::from_ymd_opt(2026, 12, 24).unwrap();
            vec![ClosedRange { from: day, to: day, why: String::new() }]
        }),
    }
    true
}

/// Something to be done with each noun: its sheet, its fields, how many of it there are, and the way to one of them.
pub trait Visit {
    /// Does it.
    fn noun<T: Clone + PartialEq + std::fmt::Debug>(
        &mut self,
        sheet: &str,
        fields: &'static [Field<T>],
        all: impl Fn(&mut Project) -> Vec<&mut T>,
    );
}

fn selections(p: &mut Project) -> impl Iterator<Item = &mut Selection> {
    Arc::make_mut(&mut p.selections).iter_mut().map(Arc::make_mut)
}

fn options(p: &mut Project) -> impl Iterator<Item = &mut SelectionOption> {
    selections(p).flat_map(|s| &mut s.options)
}

/// Visits all nouns that have a table of fields.
pub fn visit(v: &mut impl Visit) {
    macro_rules! each {
        ($sheet:literal, $noun:ty, $list:ident) => {
            v.noun($sheet, <$noun>::FIELDS, |p| Arc::make_mut(&mut p.$list).iter_mut().collect())
        };
        ($sheet:literal, $noun:ty, $list:ident, $inner:ident) => {
            v.noun($sheet, <$noun>::FIELDS, |p| {
                Arc::make_mut(&mut p.$list).iter_mut().flat_map(|thing| &mut thing.$inner).collect()
            })
        };
    }
    v.noun("settings", Settings::FIELDS, |p| vec![&mut p.settings]);
    v.noun("closed", ClosedRange::FIELDS, |p| p.settings.closed.iter_mut().collect());
    each!("rooms", Room, rooms);
    each!("openings", Opening, rooms, openings);
    each!("crews", Crew, crews);
    each!("crew_away", ClosedRange, crews, away);
    each!("phases", Phase, phases);
    each!("links", Link, links);
    each!("attempts", Attempt, phases, attempts);
    each!("missed", Missed, phases, missed);
    each!("permits", Permit, permits);
    each!("suppliers", Supplier, suppliers);
    each!("supplier_closed", ClosedRange, suppliers, closed);
    each!("orders", Order, orders);
    v.noun("selections", Selection::FIELDS, |p| selections(p).collect());
    v.noun("options", SelectionOption::FIELDS, |p| options(p).collect());
    each!("finishes", FinishColor, finishes);
    v.noun("parts", Part::FIELDS, |p| options(p).flat_map(|o| &mut o.parts).collect());
    v.noun("specs", Spec::FIELDS, |p| selections(p).flat_map(|s| &mut s.specs).collect());
    each!("typical", TypicalLead, typical);
    each!("quotes", Quote, quotes);
    each!("left_out", LeftOut, quotes, left_out);
    each!("installments", Installment, quotes, installments);
    each!("changes", Change, changes);
    each!("risks", Risk, risks);
    each!("alternatives", Alternative, alternatives);
    each!("extras", Extra, extras);
    v.noun("facts", Fact::FIELDS, |p| options(p).flat_map(|o| &mut o.facts).collect());
    each!("rules", Rule, rules);
    each!("swaps", Swap, swaps);
    each!("returns", Return, returns);
    each!("deliveries", Delivery, deliveries);
    each!("payments", Payment, payments);
    each!("gates", Gate, gates);
    each!("conditions", Condition, gates, conditions);
    each!("corrections", Correction, corrections);
    each!("draws", Draw, draws);
    each!("out_of_use", OutOfUse, out_of_use);
    each!("punch", Punch, punch);
    each!("handover", Handover, handover);
    v.noun("log", LogLine::FIELDS, |p| Arc::make_mut(&mut p.log).iter_mut().map(Arc::make_mut).collect());
    each!("kept_plans", KeptPlan, kept_plans);
    each!("kept_phases", KeptPhase, kept_plans, phases);
    each!("kept_rooms", KeptRoom, kept_plans, rooms);
    each!("mappings", Mapping, mappings);
    each!("mapping_columns", MappedColumn, mappings, columns);
    each!("sent", Sent, sent);
}
