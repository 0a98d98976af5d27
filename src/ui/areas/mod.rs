//! The work areas of the window, a folder each: its panel, what it remembers and its rows together. A panel reads a
//! [`View`](super::view::View), draws itself, and puts what the user asks for into an
//! [`Outbox`](super::view::Outbox).

pub mod buying;
pub mod dates;
pub mod house;
pub mod money;
pub mod signoffs;
