//! Pictures, and manuals, of what is in the document: copied into a folder beside the project file, read off the frame, made small, and kept while
//! they are looked at. The document holds only their paths from that folder.

use crate::exchange::picture;
use crate::model::file::Trouble;
use crate::model::handover::MOST_OF_A_MANUAL;
use crate::model::{ChangeId, OptionId, PartId, Project, PunchId, file};
use crate::ui::theme::Tokens;
use crate::ui::view::{Outbox, Request};
use crate::ui::widgets::pieces;
use egui::{ColorImage, Context, Role, TextureFilter, TextureHandle, TextureOptions, Ui, WidgetInfo};
use image::ImageFormat;
use std::collections::HashMap;
use std::fmt;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, PoisonError};

/// What has a picture.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Pictured {
    /// An option.
    Option(OptionId),
    /// A change.
    Change(ChangeId),
    /// Something on the punch list.
    Punch(PunchId),
}

impl Pictured {
    /// Its name and the path of its picture, which is empty where it has none.
    pub fn known(self, project: &Project) -> Option<(&str, &str)> {
        match self {
            Pictured::Option(id) => project.option(id).map(|(_, o)| (o.name.as_str(), o.picture.as_str())),
            Pictured::Change(id) => project.change(id).map(|c| (c.what.as_str(), c.picture.as_str())),
            Pictured::Punch(id) => project.punch(id).map(|p| (p.what.as_str(), p.picture.as_str())),
        }
    }
}

/// What a file stands beside the project for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Beside {
    /// A picture.
    Picture(Pictured),
    /// The manual of a part.
    Manual(PartId),
}

/// Pixels of the longer side of what is kept; enough for a look at full height.
const SIDE: u32 = 768;
/// Pictures kept at once, of at most two and a half million bytes each.
const MOST_KEPT: usize = 48;
/// What there is to show for a path.
#[derive(Clone)]
pub enum Shown {
    /// The project was never saved, so there is no folder to look in.
    NoFolder,
    /// Being read.
    Reading,
    /// The picture.
    Ready(TextureHandle),
    /// Why there is none.
    Fault(String),
}

type Answer = Arc<Mutex<Option<Result<ColorImage, String>>>>;

#[derive(Clone)]
enum Slot {
    Reading(Answer),
    Done(Shown),
}

/// Pictures that were asked for.
#[derive(Clone, Default)]
pub struct Pictures {
    folder: Option<PathBuf>,
    /// By path from the folder: when it was last asked for, and what came of it.
    kept: HashMap<String, (u64, Slot)>,
    asked: u64,
}

impl fmt::Debug for Pictures {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Pictures").field("folder", &self.folder).field("kept", &self.kept.len()).finish()
    }
}

impl Pictures {
    /// Where the project file stands now. Everything is read again when that changed.
    pub fn stand_in(&mut self, folder: Option<PathBuf>) {
        if self.folder != folder {
            self.kept.clear();
            self.folder = folder;
        }
    }

    /// Reads everything again, for files that changed outside.
    pub fn forget(&mut self) {
        self.kept.clear();
    }

    /// The picture at a path from the folder of the project. It is read on a thread of its own, which asks for a frame
    /// when it is done.
    pub fn get(&mut self, ctx: &Context, path: &str) -> Shown {
        let Some(folder) = &self.folder else { return Shown::NoFolder };
        self.asked += 1;
        let now = self.asked;
        if !self.kept.contains_key(path) {
            if self.kept.len() >= MOST_KEPT {
                let oldest =
                    self.kept.iter().min_by_key(|(_, (used, _))| *used).map(|(path, _)| path.clone());
                oldest.map(|path| self.kept.remove(&path));
            }
            let answer = Answer::default();
            read_behind(folder.join(path), answer.clone(), ctx.clone());
            self.kept.insert(path.to_owned(), (now, Slot::Reading(answer)));
        }
        let Some((used, slot)) = self.kept.get_mut(path) else { return Shown::Reading };
        *used = now;
        if let Slot::Reading(answer) = slot {
            let done = answer.lock().unwrap_or_else(PoisonError::into_inner).take();
            let Some(done) = done else { return Shown::Reading };
            *slot = Slot::Done(match done {
                Ok(picture) => Shown::Ready(ctx.load_texture(path, picture, smooth())),
                Err(why) => Shown::Fault(why),
            });
        }
        match slot {
            Slot::Done(shown) => shown.clone(),
            Slot::Reading(_) => Shown::Reading,
        }
    }
}

/// Drawn much smaller than it is kept, a picture would glitter without smaller copies of itself.
fn smooth() -> TextureOptions {
    TextureOptions { mipmap_mode: Some(TextureFilter::Linear), ..TextureOptions::LINEAR }
}

fn read_behind(path: PathBuf, answer: Answer, ctx: Context) {
    std::thread::spawn(move || {
        let picture = read(&path, SIDE);
        *answer.lock().unwrap_or_else(PoisonError::into_inner) = Some(picture);
        ctx.request_repaint();
    });
}

fn read(path: &Path, side: u32) -> Result<ColorImage, String> {
    let picture = picture::read(path, side)?.to_rgba8();
    let size = [picture.width() as usize, picture.height() as usize];
    Ok(ColorImage::from_rgba_unmultiplied(size, picture.as_raw()))
}

/// The name of a folder beside a project file.
fn folder_name(project: &Path, of: &str) -> String {
    let stem = project.file_stem().unwrap_or_default().to_string_lossy();
    format!("{}_{of}", plain(&stem))
}

/// A text that can stand in a path on every system.
fn plain(text: &str) -> String {
    let kept = |c: char| if c.is_alphanumeric() || matches!(c, '-' | '_' | '.' | ' ') { c } else { '_' };
    text.chars().map(kept).collect::<String>().trim_matches(['.', ' ']).to_owned()
}

/// Copies a picture into the folder beside the project file, under a name after the option. Gives back its path from
/// the folder of the project file.
///
/// # Errors
/// In words, with what to do: the file cannot be read, is no PNG or JPEG, or cannot be copied.
pub fn take(project: &Path, option: &str, from: &Path) -> Result<String, String> {
    let shown = from.display();
    let bytes = std::fs::read(from).map_err(|why| format!("{shown}: {}", Trouble::Reading(&why)))?;
    let ending = match image::guess_format(&bytes) {
        Ok(ImageFormat::Png) => "png",
        Ok(ImageFormat::Jpeg) => "jpg",
        _ => return Err(format!("{shown} is no picture that can be shown; take a PNG or JPEG file")),
    };
    picture::open(from).map_err(|why| format!("{shown} {why}"))?;
    keep(project, "pictures", option, ending, &bytes)
}

/// Copies a manual into a folder of its own beside the project file, under a name after its part.
///
/// # Errors
/// As [`take`]; any file may be a manual that is not larger than [`MOST_OF_A_MANUAL`].
pub fn take_manual(project: &Path, part: &str, from: &Path) -> Result<String, String> {
    let bytes =
        file::read_at_most(from, MOST_OF_A_MANUAL).map_err(|why| format!("{}: {why}", from.display()))?;
    let ending = plain(&from.extension().unwrap_or_default().to_string_lossy());
    keep(project, "manuals", part, if ending.is_empty() { "txt" } else { &ending }, &bytes)
}

/// Writes a file into a folder beside the project file, under a name that no other file has there.
fn keep(project: &Path, of: &str, base: &str, ending: &str, bytes: &[u8]) -> Result<String, String> {
    let name = folder_name(project, of);
    let folder = project.parent().unwrap_or(Path::new("")).join(&name);
    let failed = |why: std::io::Error| format!("{}: {}", folder.display(), Trouble::Writing(&why));
    std::fs::create_dir_all(&folder).map_err(failed)?;
    let base = plain(base);
    for n in 1..10_000 {
        let file = if n == 1 { format!("{base}.{ending}") } else { format!("{base}_{n}.{ending}") };
        let path = folder.join(&file);
        if path.exists() {
            // The same file again is not copied again; another one never replaces it, since undo may need it.
            if std::fs::read(&path).is_ok_and(|known| known == *bytes) {
                return Ok(format!("{name}/{file}"));
            }
            continue;
        }
        file::write_whole(&path, bytes).map_err(failed)?;
        return Ok(format!("{name}/{file}"));
    }
    Err(format!("{} holds too many files of this name; tidy it up", folder.display()))
}

/// Brings the pictures and manuals of a project along when it is saved into another folder. What is there already stays.
///
/// # Errors
/// The files that could not be copied, in words. Those that were missing before are not spoken of.
pub fn bring_along(project: &Project, old: &Path, new: &Path) -> Result<(), String> {
    let (Some(from), Some(to)) = (old.parent(), new.parent()) else { return Ok(()) };
    if from == to {
        return Ok(());
    }
    let options = project.selections.iter().flat_map(|s| &s.options).map(|o| o.picture.as_str());
    let changes = project.changes.iter().map(|c| c.picture.as_str());
    let punch = project.punch.iter().map(|p| p.picture.as_str());
    let manuals = project.handover.iter().filter(|h| !h.is_page()).map(|h| h.manual.as_str());
    let all = options.chain(changes).chain(punch).chain(manuals);
    let mut failed = Vec::new();
    for path in all.filter(|p| !p.is_empty()) {
        let (source, goal) = (from.join(path), to.join(path));
        if goal.exists() || !source.is_file() {
            continue;
        }
        let folder = goal.parent().map_or(Ok(()), std::fs::create_dir_all);
        // Half a picture would be taken for the whole one the next time.
        if let Err(why) = folder.and_then(|()| file::copy_whole(&file::System, &source, &goal)) {
            failed.push(format!("{path}: {}", Trouble::Writing(&why)));
        }
    }
    if failed.is_empty() {
        Ok(())
    } else {
        Err(format!("The project is saved, but these files could not be copied: {}", failed.join("; ")))
    }
}

/// Offers to look at a picture, where there is one.
pub fn link(ui: &mut Ui, tokens: &Tokens, project: &Project, of: Pictured, out: &mut Outbox) {
    let Some((what, picture)) = of.known(project) else { return };
    if picture.is_empty() {
        return;
    }
    let link = pieces::link(ui, tokens, "picture");
    let spoken = format!("Picture of {what}");
    link.widget_info(|| WidgetInfo::labeled(Role::Button, true, &spoken));
    if link.clicked() {
        out.push(Request::Look(of));
    }
}

/// Whether a file looks like a picture by its name.
pub fn is_picture(path: &Path) -> bool {
    let ending = path.extension().unwrap_or_default().to_string_lossy().to_lowercase();
    matches!(ending.as_str(), "png" | "jpg" | "jpeg")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::Change;
    use image::RgbImage;

    fn png(folder: &Path, name: &str, width: u32, height: u32) -> PathBuf {
        let path = folder.join(name);
        let dots = RgbImage::from_fn(width, height, |x, _| image::Rgb([(x % 256) as u8, 90, 30]));
        dots.save_with_format(&path, ImageFormat::Png).unwrap();
        path
    }

    #[test]
    fn a_picture_is_copied_beside_the_project_once() {
        let folder = tempfile::tempdir().unwrap();
        let source = png(folder.path(), "photo.PNG", 4, 3);
        let project = folder.path().join("our house.ron");
        let first = take(&project, "bath_tub", &source).unwrap();
        assert_eq!(first, "our house_pictures/bath_tub.png");
        assert_eq!(take(&project, "bath_tub", &source).unwrap(), first, "the same picture");
        let other = png(folder.path(), "other.png", 5, 3);
        assert_eq!(take(&project, "bath_tub", &other).unwrap(), "our house_pictures/bath_tub_2.png");
        assert_eq!(std::fs::read(folder.path().join(first)).unwrap(), std::fs::read(source).unwrap());
    }

    #[test]
    fn what_is_no_picture_is_refused_in_words() {
        let folder = tempfile::tempdir().unwrap();
        let project = folder.path().join("p.ron");
        let text = folder.path().join("a.png");
        std::fs::write(&text, "not a picture").unwrap();
        assert!(take(&project, "x", &text).unwrap_err().contains("take a PNG or JPEG file"));
        let mut cut = std::fs::read(png(folder.path(), "b.png", 40, 30)).unwrap();
        cut.truncate(20);
        std::fs::write(&text, cut).unwrap();
        assert!(take(&project, "x", &text).unwrap_err().contains("cannot be read as a picture"));
        assert!(!folder.path().join("p_pictures").exists(), "nothing was made");
        assert_eq!(read(&folder.path().join("gone.png"), 10).unwrap_err(), "not found");
    }

    #[test]
    fn large_pictures_are_made_small() {
        let folder = tempfile::tempdir().unwrap();
        let small = read(&png(folder.path(), "a.png", 2000, 500), SIDE).unwrap();
        assert_eq!(small.size, [768, 192]);
        assert_eq!(read(&png(folder.path(), "b.png", 30, 20), SIDE).unwrap().size, [30, 20]);
    }

    #[test]
    fn pictures_go_along_into_another_folder() {
        let (a, b) = (tempfile::tempdir().unwrap(), tempfile::tempdir().unwrap());
        let (old, new) = (a.path().join("p.ron"), b.path().join("p.ron"));
        let path = take(&old, "tub", &png(a.path(), "photo.png", 4, 4)).unwrap();
        let sample = Path::new(env!("CARGO_MANIFEST_DIR")).join("sample_projects/hall_bath.ron");
        let (project, _) = file::load(&sample).unwrap();
        let options: Vec<_> = project.selections.iter().flat_map(|s| &s.options).map(|o| o.id).collect();
        let with = |project: &Project, at: usize, path: &str| {
            project.apply(&crate::model::Action::SetPicture(options[at], path.to_owned())).unwrap()
        };
        let project = with(&with(&project, 0, &path), 1, "gone.png");
        let sill = png(a.path(), "sill.png", 4, 4);
        let mut change = Change::new(ChangeId(project.next_id));
        change.key = "sill".to_owned();
        (change.what, change.picture) = ("Replace the sill".to_owned(), "sill.png".to_owned());
        let project = project.apply(&crate::model::Action::PutChange(change)).unwrap();
        assert_eq!(bring_along(&project, &old, &new), Ok(()));
        assert!(b.path().join(path).is_file());
        assert!(!b.path().join("gone.png").exists());
        assert_eq!(std::fs::read(b.path().join("sill.png")).unwrap(), std::fs::read(sill).unwrap());
    }
}
