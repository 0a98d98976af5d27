//! The window around the work areas.

pub mod modals;
