//! Pages for a phone: one file for one person who is not at the desk. Whoever approves sees the open choices side by side,
//! a crew its days and what is ready for it, a supplier what is on order, an inspector the visit and what stands before it.
//!
//! A page is one value ([`Page`]) and one writer ([`html`]); it needs nothing else, and says nothing that its reader has no
//! use for: no keys, and of money only what is the reader's own.

mod choices;
mod crew;
mod html;
mod need_line;
mod supplier;
mod visit;

pub use html::html;
pub use need_line::Strip;

use super::print::Look;
use crate::engine::Figures;
use crate::model::{CrewId, PhaseId, Project, RoomId, SupplierId};
use chrono::NaiveDate;
use std::path::Path;

/// Who a page is for, and what it shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PageFor {
    /// Whoever approves: what is not chosen yet, of the house or of a room.
    Choices(Option<RoomId>),
    /// A crew.
    Crew(CrewId),
    /// A supplier.
    Supplier(SupplierId),
    /// An inspector: a visit, or all to come.
    Visit(Option<PhaseId>),
}

/// A page.
#[derive(Debug, Clone)]
pub struct Page {
    /// What it is.
    pub title: String,
    /// The project.
    pub project: String,
    /// The day it is for.
    pub as_of: NaiveDate,
    /// What is said first.
    pub lead: Vec<String>,
    /// What stands below, in order.
    pub sections: Vec<Section>,
    /// What is said last.
    pub notes: Vec<String>,
    /// Who to call back.
    pub phone: String,
}

/// A heading with cards.
#[derive(Debug, Clone, Default)]
pub struct Section {
    /// The heading.
    pub title: String,
    /// What is said under it.
    pub lead: Vec<String>,
    /// One for each thing.
    pub cards: Vec<Card>,
}

/// How something stands. Never told by color alone.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Standing {
    /// Ready, in time.
    Good,
    /// Late, missing.
    Bad,
    /// Neither.
    Plain,
}

/// One thing.
#[derive(Debug, Clone)]
pub struct Card {
    /// How it looks, with what that shows in words.
    pub look: Option<(Look, String)>,
    /// What it is.
    pub title: String,
    /// More about it: a finish, a room.
    pub more: String,
    /// Names and values.
    pub facts: Vec<(String, String)>,
    /// When it comes against when it is needed.
    pub strip: Option<Strip>,
    /// How it stands, in words.
    pub state: (Standing, String),
    /// What its reader sends back about it with one touch: what the link says, and the message. Nothing when empty.
    pub answer: (String, String),
}

impl Card {
    fn of(title: impl Into<String>) -> Card {
        Card {
            look: None,
            title: title.into(),
            more: String::new(),
            facts: Vec::new(),
            strip: None,
            state: (Standing::Plain, String::new()),
            answer: (String::new(), String::new()),
        }
    }
}

/// The page; `None` where whom it is for is gone. Pictures are looked for from the folder of the project file, where one is
/// given.
pub fn page(project: &Project, figures: &Figures, of: PageFor, beside: Option<&Path>) -> Option<Page> {
    match of {
        PageFor::Choices(room) => Some(choices::page(project, figures, room, beside)),
        PageFor::Crew(crew) => crew::page(project, figures, crew, beside),
        PageFor::Supplier(supplier) => supplier::page(project, figures, supplier),
        PageFor::Visit(phase) => Some(visit::page(project, figures, phase)),
    }
}

fn empty(project: &Project, figures: &Figures, title: String) -> Page {
    Page {
        title,
        project: project.settings.name.clone(),
        as_of: figures.as_of.date(),
        lead: Vec::new(),
        sections: Vec::new(),
        notes: Vec::new(),
        phone: project.settings.phone.clone(),
    }
}
