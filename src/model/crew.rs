//! Crews: who comes to work on phases, how they are reached, when they are away.

use super::dates::ClosedRange;
use super::field::{Field, Kind, at, field};
use super::ids::CrewId;
use super::validate::{Checked, day, key, name};
use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

/// People of one trade who come together.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Crew {
    /// Its number.
    pub id: CrewId,
    /// Its key in sheets and figures.
    pub key: String,
    /// What people call it.
    pub name: String,
    /// What it does.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub trade: String,
    /// The telephone number of who leads it.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub phone: String,
    /// Where mail reaches it.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub email: String,
    /// The number of its license.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub licence: String,
    /// The last day the license holds.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub licence_until: Option<NaiveDate>,
    /// The last day its insurance holds.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub insured_until: Option<NaiveDate>,
    /// Working days of the project before a start by which it wants to be booked.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hire_lead: Option<u32>,
    /// Ranges in which it is not there. None of them overlaps another.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub away: Vec<ClosedRange>,
}

impl Crew {
    /// Its fields, in the order of the columns.
    pub const FIELDS: &'static [Field<Crew>] = &[
        field("key", "", Kind::Key(at!(key))).required(),
        field("name", "Name", Kind::Name(at!(name))),
        field("trade", "Trade", Kind::Text(at!(trade))),
        field("phone", "Phone", Kind::Text(at!(phone))),
        field("email", "Email", Kind::Text(at!(email))),
        field("licence", "License number", Kind::Text(at!(licence))).section("Papers"),
        field("licence_until", "License holds until", Kind::Date(at!(licence_until?))),
        field("insured_until", "Insured until", Kind::Date(at!(insured_until?))),
        field("hire_lead", "Notice wanted", Kind::OpenDays(at!(hire_lead?)))
            .section("Days")
            .hint("as they say; nobody has when empty"),
        field("away", "Away from and to", Kind::Closed(at!(away))),
    ];

    /// A crew with a name that is never away.
    pub fn new(id: CrewId, key: &str, name: &str) -> Crew {
        Crew {
            id,
            key: key.to_owned(),
            name: name.to_owned(),
            trade: String::new(),
            phone: String::new(),
            email: String::new(),
            licence: String::new(),
            licence_until: None,
            insured_until: None,
            hire_lead: None,
            away: Vec::new(),
        }
    }

    /// The crew as it is when it is away from a day until it comes back on another, with ranges that this touches made one.
    pub fn away_until(&self, from: NaiveDate, back: NaiveDate) -> Crew {
        let last = back.pred_opt().unwrap_or(back);
        let mut range = ClosedRange { from, to: last.max(from), why: String::new() };
        let mut away = Vec::new();
        for known in &self.away {
            if known.from <= range.to && range.from <= known.to {
                range.from = range.from.min(known.from);
                range.to = range.to.max(known.to);
                if range.why.is_empty() {
                    range.why.clone_from(&known.why);
                }
            } else {
                away.push(known.clone());
            }
        }
        away.push(range);
        away.sort_by_key(|range| range.from);
        Crew { away, ..self.clone() }
    }

    /// Checks a crew by itself.
    pub fn check(&self) -> Checked {
        key(&self.key)?;
        name(&self.name)?;
        day("the end of the license", self.licence_until)?;
        day("the end of the insurance", self.insured_until)?;
        if self.hire_lead.is_some_and(|days| days > 365) {
            return Err("a crew is booked at most 365 working days ahead".to_owned());
        }
        check_away(&self.away)
    }
}

/// Checks the days on which a crew is away: each range ends after it begins, and none overlaps another.
pub fn check_away(away: &[ClosedRange]) -> Checked {
    super::validate::closed(away)?;
    let mut sorted: Vec<&ClosedRange> = away.iter().collect();
    sorted.sort_by_key(|range| (range.from, range.to));
    for pair in sorted.windows(2) {
        if let [a, b] = pair
            && b.from <= a.to
        {
            return Err(format!(
                "away from {} to {} overlaps away from {} to {}; make one range of them",
                a.from, a.to, b.from, b.to
            ));
        }
    }
    Ok(())
}
