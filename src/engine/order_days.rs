//! Order days.
