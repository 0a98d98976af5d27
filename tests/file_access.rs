//! What writing leaves as it is: links, owners, permissions, files that are not to be written. And a disk that refuses
//! while several files are written.

#[path = "support/ended.rs"]
mod ended;
#[path = "support/refusing.rs"]
mod refusing;
mod support;

use ended::Ended;
use needline::exchange::Progress;
use needline::exchange::file_set::{Folder, NewFile};
use needline::model::file::{copy_whole, load, save, write_whole};
use refusing::Refusing;
use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use support::project;

fn files(folder: &Path) -> BTreeMap<String, String> {
    let name = |e: &fs::DirEntry| e.file_name().to_string_lossy().into_owned();
    let entries = fs::read_dir(folder).unwrap().map(|e| e.unwrap());
    entries.map(|e| (name(&e), fs::read_to_string(e.path()).unwrap_or_default())).collect()
}

/// POSIX, open(2): writing through a link changes what it leads to, and the link stays.
#[cfg(unix)]
#[test]
fn a_link_stays_and_what_it_leads_to_is_written() {
    use std::os::unix::fs::symlink;
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name);
    fs::create_dir(at("far")).unwrap();
    // A link of a link, not from the root; one that leads to nothing yet; one that leads back to itself.
    symlink("far/house.ron", at("one")).unwrap();
    symlink("one", at("two")).unwrap();
    symlink("three", at("three")).unwrap();
    for n in 0..3 {
        let mut house = project("2026-06-01");
        house.settings.name = format!("House {n}");
        save(&house, &at("two"), None).unwrap();
        assert_eq!(load(&at("far/house.ron")).unwrap().0.settings.name, format!("House {n}"));
    }
    assert!(at("one").is_symlink() && at("two").is_symlink());
    let versions: Vec<String> = files(&at("far")).into_keys().collect();
    assert_eq!(versions, ["house.ron", "house.ron.1.bak", "house.ron.2.bak"]);
    let said = save(&project("2026-06-01"), &at("three"), None).unwrap_err().to_string();
    assert!(said.contains("leads back to itself"), "{said}");
    write_whole(&at("two"), b"text").unwrap();
    assert_eq!(fs::read_to_string(at("far/house.ron")).unwrap(), "text");
    let set = [NewFile { path: at("two"), bytes: b"list".to_vec() }];
    Folder::from(folder.path()).write(&set, &Progress::new()).unwrap();
    assert!(at("two").is_symlink());
    assert_eq!(fs::read_to_string(at("far/house.ron")).unwrap(), "list");
}

/// chmod(1): who may read a file is said by whoever owns it, and a file without any right to write is not written.
#[cfg(unix)]
#[test]
fn permissions_and_owner_stay_and_a_read_only_file_is_left() {
    use std::os::unix::fs::{MetadataExt, PermissionsExt, chown};
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("house.ron");
    let house = project("2026-06-01");
    let mode = |path: &Path| fs::metadata(path).unwrap().mode() & 0o777;
    for wanted in [0o600, 0o640, 0o664, 0o666] {
        save(&house, &path, None).unwrap();
        fs::set_permissions(&path, fs::Permissions::from_mode(wanted)).unwrap();
        // Only an administrator can give a file away; without that, the owner is this user before and after.
        let given = chown(&path, Some(4321), Some(4322)).is_ok();
        save(&house, &path, None).unwrap();
        for path in [path.clone(), folder.path().join("house.ron.1.bak")] {
            let data = fs::metadata(&path).unwrap();
            assert_eq!(data.mode() & 0o777, wanted, "{}", path.display());
            assert!(!given || (data.uid(), data.gid()) == (4321, 4322), "{}", path.display());
        }
    }
    let list = folder.path().join("list.csv");
    fs::write(&list, "old").unwrap();
    for path in [&path, &list] {
        fs::set_permissions(path, fs::Permissions::from_mode(0o444)).unwrap();
    }
    let before = files(folder.path());
    let set = [
        NewFile { path: folder.path().join("a.csv"), bytes: vec![1] },
        NewFile { path: list, bytes: vec![] },
    ];
    let said = [
        save(&house, &path, None).unwrap_err().to_string(),
        write_whole(&path, b"").unwrap_err().to_string(),
        Folder::from(folder.path()).write(&set, &Progress::new()).unwrap_err().to_string(),
    ];
    for said in said {
        assert!(said.contains("set to read-only; allow writing to it"), "{said}");
    }
    assert_eq!(files(folder.path()), before);
    assert_eq!(mode(&path), 0o444);
}

/// Whichever step is refused while lists, papers or sheets are written, all files are as they were and none is left over;
/// with a disk that goes on refusing, each file is still the old one or the new one, whole.
#[test]
fn a_set_of_files_is_written_all_or_not_at_all() {
    let set = |folder: &Path| {
        ["a", "b", "c"].map(|name| NewFile { path: folder.join(name), bytes: b"new!".into() })
    };
    let begun = || {
        let folder = tempfile::tempdir().unwrap();
        fs::write(folder.path().join("a"), "old a").unwrap();
        fs::write(folder.path().join("c"), "old c").unwrap();
        folder
    };
    let mut refused = 0;
    loop {
        let folder = begun();
        let before = files(folder.path());
        let disk = Refusing::new(|step, word| step == refused && word != "remove");
        if Folder::from(folder.path()).on(&disk).write(&set(folder.path()), &Progress::new()).is_ok() {
            break;
        }
        assert_eq!(files(folder.path()), before, "step {refused} refused");
        refused += 1;
    }
    // The folder; the record begun, and ended; three files written, two of them kept, three renamed.
    assert_eq!(refused, 11);
    for gone in 0..=refused {
        let folder = begun();
        let disk = Refusing::new(|step, _| step >= gone);
        let _ = Folder::from(folder.path()).on(&disk).write(&set(folder.path()), &Progress::new());
        for (name, text) in files(folder.path()).iter().filter(|(name, _)| !name.starts_with('.')) {
            assert!(
                *text == "new!" || *text == format!("old {name}"),
                "gone at step {gone}: {name} holds {text}"
            );
        }
    }
}

/// A picture that goes along with a project is there whole, or not at all; it is never half there to be taken for the whole.
#[test]
fn a_refused_copy_leaves_nothing_of_it() {
    for refused in 0..3 {
        let folder = tempfile::tempdir().unwrap();
        let (from, to) = (folder.path().join("sill.png"), folder.path().join("other.png"));
        fs::write(&from, "a picture").unwrap();
        let disk = Refusing::new(|step, word| step == refused && word != "remove");
        let copied = copy_whole(&disk, &from, &to);
        assert_eq!(copied.is_ok(), refused == 2, "a copy and its name");
        let mut names = vec!["sill.png".to_owned()];
        if copied.is_ok() {
            names.insert(0, "other.png".to_owned());
            assert_eq!(fs::read_to_string(&to).unwrap(), "a picture");
        }
        assert_eq!(files(folder.path()).into_keys().collect::<Vec<_>>(), names, "step {refused} refused");
    }
}

/// A run that is ended at any step of writing a set leaves what the next run makes whole again: all files are those of before or
/// all those that were to become, and nothing is left over. What somebody put in a place meanwhile stays.
#[test]
fn a_set_whose_run_was_ended_is_finished_or_taken_back_by_the_next_one() {
    let set = |folder: &Path, text: &str| {
        ["a", "b", "c"].map(|name| NewFile { path: folder.join(name), bytes: text.into() })
    };
    let (mut finished, mut taken_back) = (0, 0);
    for last in 0..20 {
        let folder = tempfile::tempdir().unwrap();
        fs::write(folder.path().join("a"), "old a").unwrap();
        fs::write(folder.path().join("c"), "old c").unwrap();
        let before = files(folder.path());
        let disk = Ended::new(last);
        let ended = std::panic::catch_unwind(std::panic::AssertUnwindSafe(|| {
            Folder::from(folder.path())
                .on(&disk)
                .write(&set(folder.path(), "new!"), &Progress::new())
                .unwrap();
        }));
        // Another list is written into the same folder by the next run.
        let other = [NewFile { path: folder.path().join("other"), bytes: b"list".to_vec() }];
        let touched = last % 2 == 1 && files(folder.path()).get("c").is_some_and(|c| c == "old c");
        if touched {
            fs::write(folder.path().join("c"), "by hand").unwrap();
        }
        Folder::from(folder.path()).write(&other, &Progress::new()).unwrap();
        let mut now = files(folder.path());
        assert_eq!(now.remove("other").as_deref(), Some("list"));
        if touched {
            assert_eq!(now.get("c").map(String::as_str), Some("by hand"), "ended at step {last}");
            continue;
        }
        let new: BTreeMap<String, String> = ["a", "b", "c"].map(|n| (n.to_owned(), "new!".to_owned())).into();
        assert!(now == new || now == before, "ended at step {last}: {now:?}");
        finished += usize::from(now == new && ended.is_err());
        taken_back += usize::from(now == before);
        if ended.is_ok() {
            break;
        }
    }
    assert!(finished >= 2 && taken_back >= 3, "{finished} finished, {taken_back} taken back");
}

/// A record that came from elsewhere reaches nothing outside of its folder, and one that is no record stays as it is.
#[test]
fn a_planted_record_of_a_set_does_nothing_elsewhere() {
    let above = tempfile::tempdir().unwrap();
    let folder = above.path().join("lists");
    fs::create_dir(&folder).unwrap();
    let target = above.path().join("house.ron");
    let absolute = target.display().to_string();
    let part = |name: &str| format!(".{name}.1.2.part");
    fs::write(above.path().join(part("house.ron")), "evil").unwrap();
    fs::write(folder.join(part("x")), "evil").unwrap();
    fs::write(&target, "mine").unwrap();
    let lines = [
        format!("../{}\t\t../house.ron", part("house.ron")),
        format!("{}\t\t../house.ron", part("x")),
        format!("{}\t\t{absolute}", part("x")),
        format!("{}\t../house.ron\tx", part("x")),
        format!("x\t\t{}", part("x")),
        format!("{}\t\ty", part("x")),
    ];
    for (n, line) in lines.iter().enumerate() {
        let text = format!("files on their way 1\n{line}\nlisted\nwhole\n");
        let record = folder.join(format!(".set.1.{n:x}.files"));
        fs::write(&record, text).unwrap();
        let list = [NewFile { path: folder.join("list"), bytes: b"list".to_vec() }];
        Folder::from(folder.as_path()).write(&list, &Progress::new()).unwrap();
        assert_eq!(fs::read_to_string(&target).unwrap(), "mine", "{line}");
        assert_eq!(fs::read_to_string(folder.join(part("x"))).unwrap(), "evil", "{line}");
        let _ = fs::remove_file(record);
    }
}
