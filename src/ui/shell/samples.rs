//! Samples that come with the program: projects to look at, made up, each on a fixed day of its story.

use crate::model::Project;
use crate::model::file::{self, FileError};
use std::path::Path;

/// A project to look at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Sample {
    /// What it is called on the start page.
    pub name: &'static str,
    /// What is seen in it.
    pub about: &'static str,
    text: &'static str,
}

/// All; the one in which most can be seen comes first.
pub const SAMPLES: [Sample; 4] = [
    Sample {
        name: "Orchard house",
        about: "A whole house in the middle of its work: orders, crews, inspections, changes of mind",
        text: include_str!("../../../sample_projects/orchard_house.ron"),
    },
    Sample {
        name: "Hall bath",
        about: "One bathroom, three weeks before work begins",
        text: include_str!("../../../sample_projects/hall_bath.ron"),
    },
    Sample {
        name: "Walls open",
        about: "A kitchen and a bath, the week before walls close and a countertop is measured",
        text: include_str!("../../../sample_projects/walls_open.ron"),
    },
    Sample {
        name: "Laundry room",
        about: "A room that is done but for its punch list, with warranties and manuals",
        text: include_str!("../../../sample_projects/laundry_room.ron"),
    },
];

impl Sample {
    /// Reads it, as a file is read.
    ///
    /// # Errors
    /// As [`file::from_text`].
    pub fn read(&self) -> Result<Project, FileError> {
        file::from_text(self.text, Path::new(self.name))
    }
}
