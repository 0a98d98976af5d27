//! What an option looks like: its picture, its page on the web, and the colors of finishes that the user picked.

use super::apply::ActionError;
use super::field::{Field, Kind, at, field, parsed};
use super::ids::OptionId;
use super::project::Project;
use super::selection::SelectionOption;
use serde::{Deserialize, Serialize};
use std::fmt;
use std::str::FromStr;
use std::sync::Arc;

/// The color of a finish in words, as the user picked it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FinishColor {
    /// The finish as options write it; large and small letters are the same.
    pub finish: String,
    /// The color.
    pub color: Rgb,
}

impl FinishColor {
    /// Its fields, in the order of the columns.
    pub const FIELDS: &'static [Field<FinishColor>] = &[
        field("finish", "", Kind::Text(at!(finish))).required(),
        field("color", "", Kind::Parsed(parsed!(color))).required(),
    ];
}

/// Red, green and blue from 0 to 255 each, as sRGB; written `#rrggbb`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct Rgb(pub u8, pub u8, pub u8);

impl fmt::Display for Rgb {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "#{:02x}{:02x}{:02x}", self.0, self.1, self.2)
    }
}

impl FromStr for Rgb {
    type Err = String;

    fn from_str(text: &str) -> Result<Rgb, String> {
        let wrong = || format!("`{text}` is no color; write six hexadecimal digits, for example #a0a8b0");
        let digits = text.strip_prefix('#').ok_or_else(wrong)?;
        if digits.len() != 6 || !digits.chars().all(|c| c.is_ascii_hexdigit()) {
            return Err(wrong());
        }
        let number = u32::from_str_radix(digits, 16).map_err(|_| wrong())?;
        let [_, red, green, blue] = number.to_be_bytes();
        Ok(Rgb(red, green, blue))
    }
}

impl TryFrom<String> for Rgb {
    type Error = String;

    fn try_from(text: String) -> Result<Rgb, String> {
        text.parse()
    }
}

impl From<Rgb> for String {
    fn from(color: Rgb) -> String {
        color.to_string()
    }
}

/// Whether two finishes are the same words.
pub fn same_finish(a: &str, b: &str) -> bool {
    a.trim().to_lowercase() == b.trim().to_lowercase()
}

impl Project {
    /// The color the user picked for a finish.
    pub fn finish_color(&self, finish: &str) -> Option<Rgb> {
        self.finishes.iter().find(|f| same_finish(&f.finish, finish)).map(|f| f.color)
    }

    /// Gives an option a picture, or none.
    pub(super) fn set_picture(&mut self, id: OptionId, path: &str) -> Result<(), ActionError> {
        check_picture(path)?;
        self.edit_option_selection(id, |s| {
            if let Some(option) = s.options.iter_mut().find(|o| o.id == id) {
                path.clone_into(&mut option.picture);
            }
        })
    }

    /// Picks the color of a finish, or forgets it.
    pub(super) fn set_finish_color(&mut self, finish: &str, color: Option<Rgb>) -> Result<(), ActionError> {
        let all = Arc::make_mut(&mut self.finishes);
        all.retain(|f| color.is_some() || !same_finish(&f.finish, finish));
        if let Some(color) = color {
            match all.iter_mut().find(|f| same_finish(&f.finish, finish)) {
                Some(known) => known.color = color,
                None => all.push(FinishColor { finish: finish.trim().to_owned(), color }),
            }
        }
        Ok(check_finishes(&self.finishes)?)
    }
}

/// The longest path and the longest address.
const LONGEST: usize = 2_000;

/// Checks the picture and the page of an option.
///
/// # Errors
/// What is wrong and what to do.
pub fn check_option(option: &SelectionOption) -> Result<(), String> {
    check_picture(&option.picture)?;
    check_link(&option.link)
}

/// Pictures are named from the folder of the project file, so that the two can be moved together; a name that leads
/// out of it could name anything on the machine of whoever opens the file.
pub(super) fn check_picture(path: &str) -> Result<(), String> {
    check_beside("picture", path, "pictures/tub.jpg")
}

/// Checks the path of a file beside the project: what it is, the path, and one that would do.
pub(super) fn check_beside(what: &str, path: &str, such: &str) -> Result<(), String> {
    let bad = path.len() > LONGEST
        || path.starts_with(['/', '\\'])
        || path.contains([':', '\\'])
        || path.chars().any(char::is_control)
        || path.split('/').any(|piece| piece == "..");
    if bad {
        return Err(format!(
            "the {what} `{path}` must be a file beside the project, written from its folder with / between, such as {such}"
        ));
    }
    Ok(())
}

/// Only pages of the web: an address of another sort could start a program.
pub(super) fn check_link(link: &str) -> Result<(), String> {
    let lower = link.to_lowercase();
    let rest = lower.strip_prefix("https://").or_else(|| lower.strip_prefix("http://"));
    let good = link.is_empty()
        || link.len() <= LONGEST
            && !link.chars().any(|c| c.is_whitespace() || c.is_control())
            && rest.is_some_and(|r| !r.is_empty() && !r.starts_with('/'));
    if good {
        Ok(())
    } else {
        Err(format!("the web page `{link}` must begin with https:// or http:// and have no spaces"))
    }
}

/// Checks the colors of finishes.
///
/// # Errors
/// A finish without words, or one that is there twice.
pub fn check_finishes(finishes: &[FinishColor]) -> Result<(), String> {
    for (i, own) in finishes.iter().enumerate() {
        if own.finish.trim().is_empty() {
            return Err("a color has no finish beside it; write the finish as the options do".to_owned());
        }
        if finishes.iter().take(i).any(|f| same_finish(&f.finish, &own.finish)) {
            return Err(format!("the finish `{}` has two colors; keep one", own.finish));
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn colors_are_read_as_they_are_written() {
        for (text, color) in [("#000000", Rgb(0, 0, 0)), ("#a0B1c2", Rgb(160, 177, 194))] {
            assert_eq!(text.parse(), Ok(color));
            assert_eq!(color.to_string(), text.to_lowercase());
        }
        for text in ["", "a0b1c2", "#a0b1c", "#a0b1c2d", "#+0b1c2", "grey"] {
            assert!(text.parse::<Rgb>().is_err(), "{text}");
        }
    }

    #[test]
    fn pictures_stay_beside_the_project() {
        for good in ["", "pictures/tub.jpg", "tub..png", "a b/é.png"] {
            assert_eq!(check_picture(good), Ok(()), "{good}");
        }
        for bad in
            ["/etc/passwd", "../x.png", "a/../../x.png", "c:/x.png", "\\\\host\\x.png", "a\\b.png", "a\n"]
        {
            assert!(check_picture(bad).is_err(), "{bad}");
        }
    }

    #[test]
    fn links_lead_to_the_web_only() {
        for good in ["", "https://example.org/tub?id=1", "HTTP://example.org"] {
            assert_eq!(check_link(good), Ok(()), "{good}");
        }
        for bad in [
            "example.org",
            "file:///etc/passwd",
            "javascript:alert(1)",
            "https://",
            "http:// x",
            "https:///x",
        ] {
            assert!(check_link(bad).is_err(), "{bad}");
        }
    }
}
