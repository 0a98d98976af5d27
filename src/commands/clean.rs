//! What a terminal would obey and not show: names, keys and file names come from others.

use std::fmt::Write;

/// Whether a character moves the cursor, begins a command to the terminal, or turns the order of others around. Line
/// breaks and tabs only part words.
fn is_obeyed(c: char) -> bool {
    let turns = matches!(c, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}');
    turns || c.is_control() && !matches!(c, '\n' | '\t')
}

/// The bytes with what a terminal would obey written as `\u001b`; `None` where there is nothing of the kind. That is also
/// how JSON writes such a character, in whose texts it means the same.
pub(super) fn cleaned(bytes: &[u8]) -> Option<String> {
    let text = String::from_utf8_lossy(bytes);
    let is_clean = matches!(text, std::borrow::Cow::Borrowed(_)) && !text.contains(is_obeyed);
    (!is_clean).then(|| {
        let mut clean = String::with_capacity(text.len() + 16);
        for c in text.chars() {
            if is_obeyed(c) {
                // All of them are below 65,536. Writing to a text cannot fail.
                let _ = write!(clean, "\\u{:04x}", u32::from(c));
            } else {
                clean.push(c);
            }
        }
        clean
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The sequences of ECMA-48 begin with ESC or with one of its 8-bit forms (5.3); bidirectional controls are those of
    /// Unicode, UAX 9, table 4 ("Trojan Source", CVE-2021-42574).
    #[test]
    fn what_terminals_obey_is_shown_and_all_else_stays() {
        for (text, shown) in [
            ("\u{1b}[31mred", "\\u001b[31mred"),
            ("\u{9b}2J", "\\u009b2J"),
            ("title\u{1b}]0;x\u{7}", "title\\u001b]0;x\\u0007"),
            ("over\rwritten\u{8}", "over\\u000dwritten\\u0008"),
            ("a\u{202e}b\u{2066}c\u{7f}", "a\\u202eb\\u2066c\\u007f"),
        ] {
            assert_eq!(cleaned(text.as_bytes()).as_deref(), Some(shown));
        }
        assert_eq!(cleaned("two\nlines\tof \u{e9}\u{5d0}\u{1f6c1}\\".as_bytes()), None);
        assert_eq!(cleaned(b"\xff\x1b").as_deref(), Some("\u{fffd}\\u001b"));
    }
}
