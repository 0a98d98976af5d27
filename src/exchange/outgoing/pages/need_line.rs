//! The need line of a candidate as a picture within the page: a bar from the day it would be ordered to the day it would
//! come, and a line through all candidates on the day it is needed.

use crate::engine::Day;
use std::fmt::Write;

/// A bar against the line, on an axis that all candidates of a choice share. What it shows stands beside it in words.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Strip {
    /// First day of the axis.
    pub first: Day,
    /// Last day of the axis.
    pub last: Day,
    /// The day it would be ordered.
    pub ordered: Day,
    /// The day it would come.
    pub arrives: Day,
    /// The day it is needed.
    pub needed: Day,
    /// Its lead time is what is typical, and nobody has said it.
    pub typical: bool,
}

const WIDE: f32 = 300.0;
const HIGH: f32 = 22.0;

/// The picture, for which `told` is said to who cannot see it.
pub fn svg(strip: &Strip, told: &str) -> String {
    let days = strip.last.since(strip.first).max(1) as f32;
    let at = |day: Day| (day.since(strip.first) as f32 / days).clamp(0.0, 1.0) * (WIDE - 8.0) + 4.0;
    let (from, to, need) = (at(strip.ordered), at(strip.arrives), at(strip.needed));
    let late = strip.arrives > strip.needed;
    let kind = match (late, strip.typical) {
        (_, true) => "typical",
        (true, false) => "late",
        (false, false) => "in",
    };
    let mut out = String::with_capacity(512);
    let _ = write!(
        out,
        "<svg class=\"strip\" viewBox=\"0 0 {WIDE} {HIGH}\" role=\"img\" aria-label=\"{told}\">\
         <rect class=\"{kind}\" x=\"{from:.1}\" y=\"7\" width=\"{:.1}\" height=\"8\" rx=\"2\"/>",
        (to - from).max(2.0)
    );
    if late {
        // What is beyond the line is told by its shape too.
        let _ = write!(
            out,
            "<rect class=\"over\" x=\"{need:.1}\" y=\"4\" width=\"{:.1}\" height=\"14\"/>",
            (to - need).max(2.0)
        );
    }
    let _ = write!(out, "<path class=\"need\" d=\"M{need:.1} 0V{HIGH}M{need:.1} 0l6 3-6 3\"/></svg>");
    out
}
