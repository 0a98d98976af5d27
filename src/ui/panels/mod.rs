//! The panels of the window, one file each. A panel reads a [`View`](super::view::View), draws itself, and puts what
//! the user asks for into an [`Outbox`](super::view::Outbox).

pub mod head;
pub mod manual;
pub mod problems;
pub mod rooms;
pub mod start;
