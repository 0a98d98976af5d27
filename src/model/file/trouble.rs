//! What to do when the system refuses a file, in words.

use std::fmt;
use std::io::{self, ErrorKind};

/// What was refused, with what to do about it. An error that was worded here already is said as it is.
#[derive(Debug, Clone, Copy)]
pub enum Trouble<'a> {
    /// A file could not be read.
    Reading(&'a io::Error),
    /// A file could not be written.
    Writing(&'a io::Error),
}

impl fmt::Display for Trouble<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (error, writing) = match self {
            Trouble::Reading(error) => (error, false),
            Trouble::Writing(error) => (error, true),
        };
        if error.get_ref().is_some() {
            // Ours, with its way out.
            return write!(f, "{error}");
        }
        let words = match (error.kind(), writing) {
            (ErrorKind::NotFound, false) => "there is no such file; look whether it was moved or renamed",
            (ErrorKind::NotFound, true) => {
                "its folder is not there any more; connect its drive again, or save under another name"
            }
            (ErrorKind::PermissionDenied, false) => {
                "you may not read this file; ask whoever owns it, or sign in as somebody who may"
            }
            (ErrorKind::PermissionDenied, true) => {
                "you may not write here; allow it, or save into a folder of your own"
            }
            (ErrorKind::ReadOnlyFilesystem, _) => {
                "this drive can only be read; save under another name on another drive"
            }
            (ErrorKind::StorageFull, _) => {
                "the disk is full; make room on it, or save under another name on another drive"
            }
            (ErrorKind::QuotaExceeded, _) => {
                "your share of this disk is used up; remove something, or save under another name on another drive"
            }
            (ErrorKind::FileTooLarge, _) => {
                "this drive takes no file so large; save under another name on another drive"
            }
            (ErrorKind::InvalidFilename, _) => {
                "this drive takes no such name, or none so long; choose a shorter one of plain letters"
            }
            (ErrorKind::NotADirectory, _) => {
                "a part of this path is a file and no folder; choose another path"
            }
            (ErrorKind::IsADirectory, _) => "this is a folder; choose a file",
            (ErrorKind::ResourceBusy | ErrorKind::ExecutableFileBusy, _) => {
                "another program holds it; close it there and try again"
            }
            (_, false) => return write!(f, "it could not be read ({}); try again", plain(error)),
            (_, true) => {
                return write!(
                    f,
                    "it could not be written ({}); try again, or save under another name",
                    plain(error)
                );
            }
        };
        f.write_str(words)
    }
}

/// What the system said, without its number.
fn plain(error: &io::Error) -> String {
    let text = error.to_string();
    text.split_once(" (os error").map_or(text.as_str(), |(words, _)| words).to_lowercase()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The numbers are those of errno(3) on Linux: 2 no entry, 5 input or output, 13 access, 28 no space, 30 read-only
    /// file system, 36 name too long, 122 quota.
    #[cfg(target_os = "linux")]
    #[test]
    fn every_refusal_says_what_to_do_and_no_number() {
        for number in 1..133 {
            let error = io::Error::from_raw_os_error(number);
            for words in [Trouble::Reading(&error).to_string(), Trouble::Writing(&error).to_string()] {
                assert!(!words.contains("os error") && words.contains(';'), "{number}: {words}");
            }
        }
        for (number, word) in [
            (2, "folder"),
            (5, "try again"),
            (13, "may not"),
            (28, "full"),
            (30, "only be read"),
            (36, "shorter"),
            (122, "share"),
        ] {
            let words = Trouble::Writing(&io::Error::from_raw_os_error(number)).to_string();
            assert!(words.contains(word), "{number}: {words}");
        }
    }
}
