//! The record of a set of files on their way: what a later run needs to finish a set, or to take it back, whose run was ended
//! in the middle.
//!
//! A record stands in the folder of the set, and whoever writes the set holds it locked. It names each file with the one
//! that is written beside it and the second name of the old one, all within the folder: a record that came from elsewhere
//! can do nothing but give a file of that folder the name it says. Before the first file takes its place, `whole` is added:
//! from then on the set is finished, and before that it is taken back. Where somebody has put another file in the place since,
//! that one stays.

use super::access;
use super::disk::{Disk, beside, is_beside};
use std::fs::{self, File, OpenOptions};
use std::io::{self, Read};
use std::path::{Component, Path, PathBuf};
use std::time::SystemTime;

/// The first line of a record.
const HEAD: &str = "files on their way 1";
/// The end of its list.
const LISTED: &str = "listed";
/// All files are written beside their places.
const WHOLE: &str = "whole";
/// The ending of its name.
const ENDING: &str = "files";
/// Bytes of a record that are read; more is none of ours.
const MOST: u64 = 4_000_000;

/// A file of a set.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OnItsWay {
    /// Where it goes.
    pub place: PathBuf,
    /// Where it is written first.
    pub beside: PathBuf,
    /// A second name of the old file, where there is one.
    pub old: Option<PathBuf>,
}

/// A record that is held.
pub struct Record {
    path: PathBuf,
    file: File,
}

impl Record {
    /// Begins a record in a folder, before any file of the set is written. `None` where a file stands elsewhere, or has a
    /// name that a line cannot hold; such a set cannot be finished by another run.
    ///
    /// # Errors
    /// As the system reports.
    pub fn begin(disk: &dyn Disk, folder: &Path, files: &[OnItsWay]) -> io::Result<Option<Record>> {
        let Some(lines) = files.iter().map(|file| line(folder, file)).collect::<Option<Vec<String>>>() else {
            return Ok(None);
        };
        let path = beside(&folder.join("set"), ENDING);
        let text = format!("{HEAD}\n{}\n{LISTED}\n", lines.join("\n"));
        if let Err(refused) = disk.write(&path, text.as_bytes(), None) {
            let _ = disk.remove(&path);
            return Err(refused);
        }
        let file = OpenOptions::new().read(true).append(true).open(&path)?;
        // Another run that came between may have taken it for one that was left; then nobody needs it.
        Ok((file.try_lock().is_ok() && access::same_file(&file, &path)).then_some(Record { path, file }))
    }

    /// Notes that all files are written beside their places.
    ///
    /// # Errors
    /// As the system reports. The set must be taken back then.
    pub fn whole(&mut self, disk: &dyn Disk) -> io::Result<()> {
        disk.append(&mut self.file, format!("{WHOLE}\n").as_bytes())
    }

    /// Removes the record: the set is there, or gone.
    pub fn done(self, disk: &dyn Disk) {
        // One that stays says of files that are not there any more.
        let _ = disk.remove(&self.path);
    }
}

/// A path from the folder, as a line can hold it.
fn named<'a>(folder: &Path, path: &'a Path) -> Option<&'a str> {
    let inner = path.strip_prefix(folder).ok()?;
    let plain = inner.components().all(|part| matches!(part, Component::Normal(_)));
    inner.to_str().filter(|name| plain && !name.is_empty() && !name.contains(['\t', '\n', '\r']))
}

fn line(folder: &Path, file: &OnItsWay) -> Option<String> {
    let place = named(folder, &file.place)?;
    let beside = named(folder, &file.beside)?;
    let old = match &file.old {
        Some(old) => named(folder, old)?,
        None => "",
    };
    Some(format!("{beside}\t{old}\t{place}"))
}

/// What a record says, where it is one of ours.
fn read(folder: &Path, text: &str) -> Option<(Vec<OnItsWay>, bool)> {
    let mut lines = text.lines();
    if lines.next() != Some(HEAD) {
        return None;
    }
    let mut files = Vec::new();
    loop {
        let text = lines.next()?;
        if text == LISTED {
            break;
        }
        let mut parts = text.split('\t');
        let (beside, old, place) = (parts.next()?, parts.next()?, parts.next()?);
        let file = OnItsWay {
            place: folder.join(place),
            beside: folder.join(beside),
            old: (!old.is_empty()).then(|| folder.join(old)),
        };
        // Only names that a set would have given, and only within the folder.
        let ours = line(folder, &file).is_some_and(|known| known == text)
            && is_beside(&file.place, &file.beside, "part")
            && file.old.as_ref().is_none_or(|old| is_beside(&file.place, old, "old"));
        if parts.next().is_some() || !ours {
            return None;
        }
        files.push(file);
    }
    Some((files, lines.next() == Some(WHOLE)))
}

/// Finishes the sets that ended runs left in a folder, or takes them back, so that each is as it was before or as it was to
/// become. Whatever cannot be done is left for the next run.
pub fn finish_left(disk: &dyn Disk, folder: &Path) {
    let begun = fs::read_dir(folder).into_iter().flatten().filter_map(Result::ok).map(|entry| entry.path());
    let mut records: Vec<PathBuf> =
        begun.filter(|path| is_beside(&folder.join("set"), path, ENDING)).collect();
    records.sort();
    for path in records {
        let Ok(file) = File::open(&path) else { continue };
        // One that is held is on its way still.
        if file.try_lock().is_err() || !access::same_file(&file, &path) {
            continue;
        }
        let noted = file.metadata().and_then(|of| of.modified()).ok();
        let mut text = String::new();
        let told = (&file).take(MOST).read_to_string(&mut text).ok();
        let said = told.and_then(|_| read(folder, &text));
        // One that was torn while it was begun lists files of which none is written.
        if said.is_none_or(|said| finish(disk, said, noted).is_ok())
            && (text.is_empty() || HEAD.starts_with(first(&text)))
        {
            let _ = disk.remove(&path);
        }
    }
}

/// The first line of a text.
fn first(text: &str) -> &str {
    text.lines().next().unwrap_or_default()
}

fn finish(
    disk: &dyn Disk,
    (files, whole): (Vec<OnItsWay>, bool),
    noted: Option<SystemTime>,
) -> io::Result<()> {
    for file in &files {
        let waits = file.beside.symlink_metadata().is_ok();
        match (waits, whole && untouched(file, noted)) {
            (true, true) => disk.rename(&file.beside, &file.place)?,
            (true, false) => disk.remove(&file.beside)?,
            (false, _) => {}
        }
        if let Some(old) = file.old.as_ref().filter(|old| old.symlink_metadata().is_ok()) {
            disk.remove(old)?;
        }
    }
    Ok(())
}

/// Whether the place holds what it held when the set was noted. A second name of the old file says nothing about that: it
/// changes with the first.
fn untouched(file: &OnItsWay, noted: Option<SystemTime>) -> bool {
    match file.place.symlink_metadata() {
        Ok(now) => {
            file.old.is_some() && now.modified().ok().zip(noted).is_none_or(|(now, noted)| now < noted)
        }
        Err(_) => file.old.is_none(),
    }
}
