//! Small pieces that panels share.

pub mod axis;
pub mod cautions;
pub mod date_picker;
pub mod drawn;
pub mod drop_down;
pub mod floating;
pub mod marks;
pub mod motion;
pub mod need_line;
pub mod need_line_example;
pub mod page;
pub mod pieces;
pub mod plan;
