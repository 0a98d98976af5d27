//! Selections and their options.

use super::facts::Fact;
use super::field::{Field, Kind, at, field, of, word};
use super::ids::{OptionId, PartId, RoomId, SelectionId};
use super::money::Money;
use super::part::Part;
use super::project::Project;
use super::spec::Spec;
use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

/// One thing to be decided in a room.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Selection {
    /// Its number.
    pub id: SelectionId,
    /// Its key in sheets and figures.
    pub key: String,
    /// The room it belongs to.
    pub room: RoomId,
    /// What sort of thing it is, in the user's words.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub category: String,
    /// What people call it.
    pub name: String,
    /// What was set aside for it, tax and freight included.
    #[serde(default)]
    pub allowance: Money,
    /// The day the user means to decide; nothing undecided or unordered is ordered before it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub decide_on: Option<NaiveDate>,
    /// Anything worth remembering.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub notes: String,
    /// What of it must be known early, and by whom.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub specs: Vec<Spec>,
    /// The candidates.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub options: Vec<SelectionOption>,
}

impl Selection {
    /// Its fields, in the order of the columns.
    pub const FIELDS: &'static [Field<Selection>] = &[
        field("key", "", Kind::Key(at!(key))).required(),
        field("room", "Room", of!(Room, RoomId, room)).required().after("name"),
        field("category", "Category", Kind::Text(at!(category)))
            .after("room")
            .hint("for example Tile, Lighting, Cabinetry"),
        field("name", "Name", Kind::Name(at!(name))),
        field("allowance", "Allowance", Kind::Money(at!(allowance))),
        field("decide_on", "Decide on", Kind::Date(at!(decide_on?))),
        field("notes", "Notes", Kind::Lines(at!(notes))),
    ];

    /// A selection of nothing yet.
    pub fn new(id: SelectionId, room: RoomId) -> Selection {
        Selection {
            id,
            key: String::new(),
            room,
            category: String::new(),
            name: String::new(),
            allowance: Money::ZERO,
            decide_on: None,
            notes: String::new(),
            specs: Vec::new(),
            options: Vec::new(),
        }
    }

    /// The option that counts: the choice, else the one leaned to.
    pub fn live_option(&self) -> Option<&SelectionOption> {
        let with = |state| self.options.iter().find(move |o| o.state == state);
        with(OptionState::Chosen).or_else(|| with(OptionState::Leaning))
    }

    /// The option with this number.
    pub fn option(&self, id: OptionId) -> Option<&SelectionOption> {
        self.options.iter().find(|o| o.id == id)
    }

    /// The part with this number and its option.
    pub fn part(&self, id: PartId) -> Option<(&SelectionOption, &Part)> {
        self.options.iter().find_map(|o| o.parts.iter().find(|p| p.id == id).map(|p| (o, p)))
    }

    /// What something for it costs less what was set aside; negative is under.
    pub fn over_under(&self, costs: Money) -> Money {
        costs.less(self.allowance)
    }

    /// The option that was chosen.
    pub fn choice(&self) -> Option<&SelectionOption> {
        self.options.iter().find(|o| o.state == OptionState::Chosen)
    }
}

/// A candidate for a selection.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SelectionOption {
    /// Its number.
    pub id: OptionId,
    /// Its key in sheets and figures.
    pub key: String,
    /// What people call it.
    pub name: String,
    /// Color, surface or material in words.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub finish: String,
    /// Anything worth remembering.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub notes: String,
    /// Its page on the web.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub link: String,
    /// Its picture, from the folder of the project file.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub picture: String,
    /// Candidate, leaning or chosen.
    #[serde(default)]
    pub state: OptionState,
    /// Who approved of it.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub approved_by: String,
    /// The day on which that was said.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub approved_on: Option<NaiveDate>,
    /// What is known of it: sizes, finish family, cut-out.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub facts: Vec<Fact>,
    /// What is bought.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub parts: Vec<Part>,
}

impl SelectionOption {
    /// Its fields, in the order of the columns.
    pub const FIELDS: &'static [Field<SelectionOption>] = &[
        field("key", "", Kind::Key(at!(key))).required(),
        field("name", "Name", Kind::Name(at!(name))),
        field("finish", "Finish", Kind::Text(at!(finish))).hint("color, surface or material in words"),
        field("state", "", word!(OptionState::ALL, state)),
        field("notes", "Notes", Kind::Lines(at!(notes))),
        field("link", "Web page", Kind::Address(at!(link))).hint("https://, opened from the card"),
        field("picture", "", Kind::Address(at!(picture))),
        field("facts", "Facts", Kind::Facts(at!(facts))),
        field("approved_by", "Approved by", Kind::Text(at!(approved_by)))
            .section("Approved")
            .hint("who said yes to it"),
        field("approved_on", "Approved on", Kind::Date(at!(approved_on?))),
    ];

    /// A candidate with nothing bought for it yet.
    pub fn new(id: OptionId, key: &str, name: &str) -> SelectionOption {
        SelectionOption {
            id,
            key: key.to_owned(),
            name: name.to_owned(),
            finish: String::new(),
            notes: String::new(),
            link: String::new(),
            picture: String::new(),
            state: OptionState::Candidate,
            approved_by: String::new(),
            approved_on: None,
            facts: Vec::new(),
            parts: Vec::new(),
        }
    }

    /// Who had approved of it by a day, and when.
    pub fn approval(&self, by: NaiveDate) -> Option<(&str, NaiveDate)> {
        let on = self.approved_on.filter(|on| *on <= by)?;
        Some((self.approved_by.trim(), on))
    }

    /// Checks that a yes has somebody who said it and a day.
    pub(super) fn check_approval(&self) -> Result<(), String> {
        super::validate::day("the approval", self.approved_on)?;
        match (self.approved_by.trim().is_empty(), self.approved_on) {
            (true, Some(on)) => Err(format!("it was approved on {on}, and nobody has said by whom")),
            (false, None) => {
                Err(format!("{} approved of it, and nobody has said when", self.approved_by.trim()))
            }
            _ => Ok(()),
        }
    }
}

impl Project {
    /// Who is likely to approve of something: who did last.
    pub fn approver(&self) -> Option<&str> {
        let said = self.selections.iter().flat_map(|s| &s.options);
        let last = said.filter(|o| o.approved_on.is_some()).max_by_key(|o| o.approved_on);
        last.map(|o| o.approved_by.trim()).filter(|name| !name.is_empty())
    }
}

/// How far the decision for an option has come.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub enum OptionState {
    /// One among others.
    #[default]
    Candidate,
    /// The likely one.
    Leaning,
    /// The choice.
    Chosen,
}

impl OptionState {
    /// All states with their words in sheets.
    pub const ALL: [(&'static str, OptionState); 3] = [
        ("candidate", OptionState::Candidate),
        ("leaning", OptionState::Leaning),
        ("chosen", OptionState::Chosen),
    ];
}
