//! Spaces of all kinds, which people type without seeing them.

/// Whether a character is a space of any width, or one that takes no room.
pub fn is_space(c: char) -> bool {
    c.is_whitespace() || matches!(c, '\u{feff}' | '\u{200b}' | '\u{200e}' | '\u{200f}' | '\u{2060}')
}

/// The text without spaces around it.
pub fn trim(text: &str) -> &str {
    text.trim_matches(is_space)
}

/// Text in one line: line breaks and rows of spaces as one space.
pub fn one_line(text: &str) -> String {
    text.split(|c: char| is_space(c) || c.is_control())
        .filter(|w| !w.is_empty())
        .collect::<Vec<_>>()
        .join(" ")
}
