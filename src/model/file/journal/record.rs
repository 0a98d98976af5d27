//! The text of a journal: a line that says what it is, then records, each with its length and a check sum before it.
//!
//! A document is kept as what changed in its text since the record before, so that an edit costs a line or two and not
//! the project again. A record that is cut off or spoiled ends what can be read; those before it stand.

use chrono::{DateTime, FixedOffset};
use serde::{Deserialize, Serialize};
use std::borrow::Cow;

/// What a journal begins with, before the number of its form.
const MARK: &str = "needline edits ";
/// The form this version writes, and the only one it reads.
pub(super) const FORM: u32 = 1;
/// More digits than any length and check sum have.
const MOST_HEAD: usize = 40;

/// The first record: who writes, and of what.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(super) struct Header {
    /// The schema of the documents.
    pub schema: u32,
    /// The project file, by its whole path; none for a project that was never saved.
    pub project: Option<String>,
    /// What the project is called.
    pub name: String,
    /// The user's name at the system; empty when it says none.
    pub user: String,
    /// The name of the machine; empty when it says none.
    pub machine: String,
    /// The number of the process there.
    pub process: u32,
}

/// A document, as what changed in the text of the one before. The first one changes the empty text.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(super) struct Record<'a> {
    /// Whether this is the document as it stands in the file, and no edit.
    pub saved: bool,
    /// When the last edit was made, by the clock of the machine.
    pub when: DateTime<FixedOffset>,
    /// How many edits led here since the file.
    pub edits: u32,
    /// What the last of them was called.
    pub last: Cow<'a, str>,
    /// Bytes that stay at the beginning.
    pub keep: usize,
    /// Bytes after these that go.
    pub gone: usize,
    /// What comes in their place.
    pub text: Cow<'a, str>,
    /// The check sum of the whole text after it.
    pub sum: u32,
}

/// What changed between two texts: bytes that stay, bytes that go, and what comes in their place.
pub(super) fn change<'a>(before: &str, after: &'a str) -> (usize, usize, &'a str) {
    let same = |pairs: &mut dyn Iterator<Item = (u8, u8)>| pairs.take_while(|(a, b)| a == b).count();
    let mut keep = same(&mut before.bytes().zip(after.bytes()));
    // Never in the middle of a letter. The bytes up to there are the same, and so are its bounds.
    while !after.is_char_boundary(keep) || !before.is_char_boundary(keep) {
        keep -= 1;
    }
    let (old, new) = (&before[keep..], &after[keep..]);
    let mut tail = same(&mut old.bytes().rev().zip(new.bytes().rev()));
    while !old.is_char_boundary(old.len() - tail) || !new.is_char_boundary(new.len() - tail) {
        tail -= 1;
    }
    (keep, old.len() - tail, &new[..new.len() - tail])
}

/// Makes the text of a record from the one before; nothing when it does not belong there.
pub(super) fn changed(before: &str, record: &Record<'_>) -> Option<String> {
    let end = record.keep.checked_add(record.gone)?;
    let (begin, rest) = (before.get(..record.keep)?, before.get(end..)?);
    let text = [begin, &record.text, rest].concat();
    (sum(text.as_bytes()) == record.sum).then_some(text)
}

/// The check sum of bytes: CRC-32 as in ISO 3309, which no change within 32 bits that follow each other gets past.
pub(super) fn sum(bytes: &[u8]) -> u32 {
    crc32fast::hash(bytes)
}

/// What stands before all records.
pub(super) fn mark() -> Vec<u8> {
    format!("{MARK}{FORM}\n").into_bytes()
}

/// A record as it stands in the file.
pub(super) fn framed(body: &impl Serialize) -> serde_json::Result<Vec<u8>> {
    let body = serde_json::to_vec(body)?;
    let mut framed = format!("{} {:08x}\n", body.len(), sum_of(&body)).into_bytes();
    framed.extend_from_slice(&body);
    framed.push(b'\n');
    Ok(framed)
}

/// Over the length too, so that a spoiled length is no shorter record.
fn sum_of(body: &[u8]) -> u32 {
    let mut sum = crc32fast::Hasher::new();
    sum.update(body.len().to_string().as_bytes());
    sum.update(body);
    sum.finalize()
}

/// What the bytes of a file are.
pub(super) enum Begun<'a> {
    /// A journal of this form, with its records.
    Records(Records<'a>),
    /// A journal of another form, by its number.
    Other(u32),
    /// No journal.
    No,
}

/// Looks how a file begins.
pub(super) fn begun(bytes: &[u8]) -> Begun<'_> {
    let number = || {
        let rest = bytes.strip_prefix(MARK.as_bytes())?;
        let end = rest.iter().take(MOST_HEAD).position(|b| *b == b'\n')?;
        let form: u32 = std::str::from_utf8(&rest[..end]).ok()?.parse().ok()?;
        Some((form, &rest[end + 1..]))
    };
    match number() {
        Some((FORM, rest)) => Begun::Records(Records { rest }),
        Some((form, _)) => Begun::Other(form),
        None => Begun::No,
    }
}

/// The records of a journal, up to the first that is cut off or spoiled.
pub(super) struct Records<'a> {
    rest: &'a [u8],
}

impl<'a> Records<'a> {
    /// Whether nothing is left that could not be read.
    pub fn is_done(&self) -> bool {
        self.rest.is_empty()
    }
}

impl<'a> Iterator for Records<'a> {
    type Item = &'a [u8];

    fn next(&mut self) -> Option<&'a [u8]> {
        let end = self.rest.iter().take(MOST_HEAD).position(|b| *b == b'\n')?;
        let head = std::str::from_utf8(&self.rest[..end]).ok()?;
        let (length, expected) = head.split_once(' ')?;
        let expected = u32::from_str_radix(expected, 16).ok()?;
        let body_end = (end + 1).checked_add(length.parse::<usize>().ok()?)?;
        let body = self.rest.get(end + 1..body_end)?;
        let whole = self.rest.get(body_end) == Some(&b'\n') && sum_of(body) == expected;
        // What cannot be read stays in `rest`.
        whole.then(|| {
            self.rest = &self.rest[body_end + 1..];
            body
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// ISO 3309, and the check value given with every table of it.
    #[test]
    fn the_check_sum_is_the_published_one() {
        assert_eq!(sum(b"123456789"), 0xcbf4_3926);
    }

    /// Every pair of short texts of letters of one, two and four bytes which share their first or last bytes.
    #[test]
    fn what_changed_makes_one_text_of_the_other() {
        let letters = ["a", "b", "\u{e9}", "\u{e8}", "\u{1f6c1}", "\u{1f6c2}"];
        let mut texts = vec![String::new()];
        for _ in 0..3 {
            let longer = texts.iter().flat_map(|t| letters.map(|l| format!("{t}{l}")));
            texts = longer.chain(texts.clone()).collect();
            texts.sort();
            texts.dedup();
        }
        assert_eq!(texts.len(), 1 + 6 + 36 + 216);
        for before in &texts {
            for after in &texts {
                let (keep, gone, text) = change(before, after);
                let record = Record {
                    saved: false,
                    when: DateTime::default(),
                    edits: 1,
                    last: "".into(),
                    keep,
                    gone,
                    text: text.into(),
                    sum: sum(after.as_bytes()),
                };
                assert_eq!(changed(before, &record).as_ref(), Some(after), "{before} to {after}");
                // In a text of another length it is told that it does not belong there.
                assert_ne!(changed(&format!("{before}x"), &record).as_ref(), Some(after));
            }
        }
    }
}
