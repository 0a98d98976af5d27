//! The window around the work areas.

pub mod app;
pub mod command;
pub mod document;
pub mod enlarged;
pub mod fault;
pub mod focus;
pub mod head;
pub mod jobs;
pub mod keeper;
pub mod manual;
pub mod modals;
pub mod palette;
pub mod problems;
pub mod rooms;
pub mod samples;
pub mod shortcuts;
pub mod start;
pub mod story;
pub mod work;
pub mod zones;
