//! What leaves the program: purchase lists, papers to print, figures as JSON and as tables.

pub mod calendar;
pub mod crews;
pub mod json;
pub mod lists;
pub mod pages;
pub mod print;
pub mod tables;
pub mod week;
