//! Purchase lists: for each supplier what is on order and what is to be ordered, to the cent, in five formats.
//!
//! A list holds the parts of all orders of its supplier: those placed, and the one assumed for what is not ordered.
//! Parts that do not count and were never ordered are on no list. [`list`] is what a list says; each format writes
//! that and nothing else.

pub mod columns;
pub mod csv;
pub mod ics;
pub mod list;
pub mod names;
pub mod paper;
pub mod xlsx;

use list::Sums;
pub use list::{Maker, PurchaseList};
pub use names::{file_stem, file_stems};

use crate::engine::Figures;
use crate::exchange::file_set::{ExportError, Folder, NewFile, write_all};
use crate::exchange::outgoing::calendar::Diary;
use crate::exchange::outgoing::print;
use crate::exchange::progress::Progress;
use crate::model::{Money, Project, Sent, SentIn};
use std::collections::BTreeSet;
use std::path::Path;

/// A format of lists.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Format {
    /// Comma-separated values.
    Csv,
    /// A workbook.
    Xlsx,
    /// Pages.
    Pdf,
    /// One page for mail and phone.
    Html,
    /// Dates for a calendar.
    Ics,
}

impl Format {
    /// All, with the words for them, which are also the endings of their files.
    pub const ALL: [(&'static str, Format); 5] = [
        ("csv", Format::Csv),
        ("xlsx", Format::Xlsx),
        ("pdf", Format::Pdf),
        ("html", Format::Html),
        ("ics", Format::Ics),
    ];

    /// The ending of its files.
    pub fn ending(self) -> &'static str {
        Format::ALL.iter().find(|(_, known)| *known == self).map_or("", |(word, _)| word)
    }

    /// What it is good for, in a few words.
    pub fn purpose(self) -> &'static str {
        match self {
            Format::Csv => "CSV, for other programs",
            Format::Xlsx => "XLSX, a workbook that adds up",
            Format::Pdf => "PDF, to print",
            Format::Html => "HTML, for mail and phone",
            Format::Ics => "iCalendar, the dates for a calendar",
        }
    }
}

/// Which lists to write.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ListScope {
    /// All suppliers, one file each and format; one calendar with all of them besides.
    All,
    /// One supplier by position; `None` for parts without one.
    One(Option<usize>),
}

/// Which orders of a supplier are on its list.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum What {
    /// All of them.
    #[default]
    All,
    /// What is to be ordered.
    ToOrder,
    /// What was ordered.
    Ordered,
}

impl What {
    /// All, with the words for them.
    pub const ALL: [(&'static str, What); 3] =
        [("all", What::All), ("to-order", What::ToOrder), ("ordered", What::Ordered)];

    /// Whether an order is on it, which was placed or not.
    pub fn takes(self, placed: bool) -> bool {
        match self {
            What::All => true,
            What::ToOrder => !placed,
            What::Ordered => placed,
        }
    }

    /// What is on such a list.
    pub fn title(self) -> &'static str {
        match self {
            What::All => "all",
            What::ToOrder => "to order",
            What::Ordered => "ordered",
        }
    }

    /// What stands behind the supplier in the name of a file, so that it does not take the place of the whole list.
    fn in_file_names(self) -> &'static str {
        match self {
            What::All => "",
            What::ToOrder => "_to_order",
            What::Ordered => "_ordered",
        }
    }
}

/// A list that was written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Written {
    /// Position of the supplier; `None` for parts without one.
    pub supplier: Option<usize>,
    /// What the supplier is called; empty without one.
    pub name: String,
    /// The name of the file in the folder.
    pub file: String,
    /// How many parts are on it.
    pub parts: usize,
    /// Their sum.
    pub total: Money,
    /// What the sum leaves out, in words; `None` where it is whole.
    pub left_out: Option<String>,
}

/// What came of writing lists.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct ListsWritten {
    /// The lists, by supplier and format.
    pub lists: Vec<Written>,
    /// Files besides, each for all suppliers.
    pub others: Vec<String>,
    /// What the calendars say, to be noted in the project.
    pub said: Vec<Sent>,
    /// Files in the folder, named as lists of suppliers that have nothing on order now. They were left as they are.
    pub left: Vec<String>,
}

/// What to write of purchase lists.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ListPlan {
    /// Whose lists.
    pub scope: ListScope,
    /// Which orders; a calendar holds the dates of all of them, since it is kept and not sent.
    pub what: What,
    /// In which formats.
    pub formats: Vec<Format>,
}

/// Writes the lists asked for into a folder, which is made when it is missing: all of them, or none.
///
/// # Errors
/// Names the file that could not be written; those that were there are whole. Or says that the user stopped it.
pub fn write_lists<'a>(
    project: &Project,
    figures: &Figures,
    folder: impl Into<Folder<'a>>,
    plan: &ListPlan,
    progress: &Progress,
) -> Result<ListsWritten, ExportError> {
    let ListPlan { scope, what, ref formats } = *plan;
    let folder = folder.into();
    let stems = file_stems(project);
    let maker = Maker::new(project, figures);
    let positions: Vec<Option<usize>> = match scope {
        ListScope::All => (0..project.suppliers.len()).map(Some).chain([None]).collect(),
        ListScope::One(position) => vec![position],
    };
    let stem = |position: Option<usize>| position.and_then(|at| stems.get(at)).or(stems.last());
    let mut result = ListsWritten::default();
    let mut files = Vec::new();
    let mut push = |file: &str, bytes| files.push(NewFile { path: folder.path.join(file), bytes });
    // What a calendar takes back hangs on all lists, since whoever keeps it keeps one of all suppliers.
    let dates = formats.contains(&Format::Ics).then(|| Dates::new(project, &maker, figures));
    // Making and writing each count.
    progress.add_steps(positions.len() * formats.len() * 2);
    let mut calendars = 0;
    for position in positions {
        let stem = stem(position).map_or("", String::as_str);
        let some = maker.list_of(position, what);
        let whole = if what == What::All { some.clone() } else { maker.list(position) };
        for format in Format::ALL.map(|(_, format)| format) {
            let asked = formats.contains(&format);
            let file = match format {
                Format::Ics => format!("{stem}.ics"),
                _ => format!("{stem}{}.{}", what.in_file_names(), format.ending()),
            };
            let list = if format == Format::Ics { &whole } else { &some };
            let bytes = match (format, &dates) {
                _ if !asked => None,
                (Format::Ics, Some(dates)) => {
                    let key = position.and_then(|at| project.suppliers.get(at)).map_or("", |s| &s.key);
                    dates.of(list.as_ref(), key).map(|(text, said)| {
                        result.said.extend(said);
                        calendars += 1;
                        text.into_bytes()
                    })
                }
                _ => list.as_ref().map(|list| to_bytes(list, format, &file)).transpose()?,
            };
            if asked {
                progress.step()?;
            }
            let written = bytes.is_some();
            match bytes {
                Some(bytes) => push(&file, bytes),
                None if list.is_none() && folder.path.join(&file).exists() => result.left.push(file.clone()),
                None => {}
            }
            if written {
                let seller = position.and_then(|at| project.suppliers.get(at));
                let sums = list.as_ref().map_or(Sums::default(), |list| list.sums);
                result.lists.push(Written {
                    supplier: position,
                    name: seller.map_or(String::new(), |s| s.name.clone()),
                    file,
                    // A calendar of nothing but what it takes back has none.
                    parts: list.as_ref().map_or(0, |list| list.lines().count()),
                    total: sums.total(),
                    left_out: sums.left_out(),
                });
            } else if asked {
                // Nothing is written of it.
                progress.step()?;
            }
        }
    }
    if scope == ListScope::All
        && let Some(dates) = dates
        && let Some((text, said)) = dates.all()
        && (calendars > 1 || said.len() > result.said.len())
    {
        let file = format!("{}.ics", names::ALL_SUPPLIERS);
        push(&file, text.into_bytes());
        result.others.push(file);
        result.said = said;
    }
    if !files.is_empty() {
        folder.write(&files, progress)?;
    }
    Ok(result)
}

/// The dates of all lists, for calendars.
struct Dates<'a> {
    diary: Diary<'a>,
    lists: Vec<PurchaseList>,
    still: BTreeSet<String>,
}

impl<'a> Dates<'a> {
    fn new(project: &'a Project, maker: &Maker<'_>, figures: &Figures) -> Dates<'a> {
        let positions = (0..project.suppliers.len()).map(Some).chain([None]);
        let lists: Vec<PurchaseList> = positions.filter_map(|at| maker.list(at)).collect();
        let still = ics::still(&lists);
        Dates { diary: Diary::new(project, SentIn::Lists, figures.as_of.date()), lists, still }
    }

    /// The calendar of the supplier with a key, and what it says.
    fn of(&self, list: Option<&PurchaseList>, key: &str) -> Option<(String, Vec<Sent>)> {
        let list = list.map(std::slice::from_ref).unwrap_or_default();
        ics::ics(list, self.diary, &self.still, |whose| whose == key)
    }

    /// The calendar of all suppliers, those that are gone among them.
    fn all(&self) -> Option<(String, Vec<Sent>)> {
        ics::ics(&self.lists, self.diary, &self.still, |_| true)
    }
}

/// Writes the list of one supplier to a file of any name.
///
/// # Errors
/// As [`write_lists`].
pub fn write_list(
    project: &Project,
    figures: &Figures,
    supplier: Option<usize>,
    format: Format,
    path: &Path,
    progress: &Progress,
) -> Result<(), ExportError> {
    progress.add_steps(1);
    let list = Maker::new(project, figures).list_or_empty(supplier, What::All);
    let bytes = to_bytes(&list, format, &path.display().to_string())?;
    write_all(&[NewFile { path: path.to_owned(), bytes }], progress)
}

/// The list in a format; a calendar as if it were the first.
///
/// # Errors
/// Names the file it would have become.
pub fn to_bytes(list: &PurchaseList, format: Format, file: &str) -> Result<Vec<u8>, ExportError> {
    let made = match format {
        Format::Csv => Ok(csv::csv(list).into_bytes()),
        Format::Xlsx => xlsx::xlsx(list),
        Format::Pdf => print::pdf::pdf(&paper::paper(list)),
        Format::Html => Ok(print::html::html(&paper::paper(list)).into_bytes()),
        Format::Ics => {
            let diary = Diary::of_nothing_before(SentIn::Lists, list.as_of);
            let made = ics::ics(std::slice::from_ref(list), diary, &BTreeSet::new(), |_| false);
            Ok(made.map_or(Vec::new(), |(text, _)| text.into_bytes()))
        }
    };
    made.map_err(|why| ExportError::Made { file: file.to_owned(), why })
}
