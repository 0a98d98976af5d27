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

pub use list::{Maker, PurchaseList};
pub use names::{file_stem, file_stems};

use crate::engine::Figures;
use crate::exchange::file_set::{ExportError, Folder, NewFile, write_all};
use crate::exchange::outgoing::print;
use crate::exchange::progress::Progress;
use crate::model::{Money, Project};
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
    let (mut files, mut lists) = (Vec::new(), Vec::new());
    // Making and writing each count.
    progress.add_steps(positions.len() * formats.len() * 2);
    for position in positions {
        let stem = stem(position).map_or("", String::as_str);
        let whole = maker.list(position);
        let some = if what == What::All { whole.clone() } else { maker.list_of(position, what) };
        let name_of = |format: Format| match format {
            Format::Ics => format!("{stem}.ics"),
            _ => format!("{stem}{}.{}", what.in_file_names(), format.ending()),
        };
        for format in Format::ALL.map(|(_, format)| format) {
            let asked = formats.contains(&format);
            let list = if format == Format::Ics { &whole } else { &some };
            let file = name_of(format);
            let Some(list) = list else {
                result.left.extend(Some(file).filter(|name| folder.path.join(name).exists()));
                if asked {
                    progress.step()?;
                    progress.step()?;
                }
                continue;
            };
            if !asked {
                continue;
            }
            files.push(NewFile { path: folder.path.join(&file), bytes: to_bytes(list, format, &file)? });
            result.lists.push(Written {
                supplier: position,
                name: list.supplier.clone().unwrap_or_default(),
                file,
                parts: list.lines().count(),
                total: list.sums.total(),
                left_out: list.sums.left_out(),
            });
            progress.step()?;
        }
        lists.extend(whole);
    }
    if scope == ListScope::All && formats.contains(&Format::Ics) && lists.len() > 1 {
        let file = format!("{}.ics", names::ALL_SUPPLIERS);
        files.push(NewFile { path: folder.path.join(&file), bytes: ics::ics(&lists).into_bytes() });
        result.others.push(file);
    }
    if !files.is_empty() {
        folder.write(&files, progress)?;
    }
    Ok(result)
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

/// The list in a format.
///
/// # Errors
/// Names the file it would have become.
pub fn to_bytes(list: &PurchaseList, format: Format, file: &str) -> Result<Vec<u8>, ExportError> {
    let made = match format {
        Format::Csv => Ok(csv::csv(list).into_bytes()),
        Format::Xlsx => xlsx::xlsx(list),
        Format::Pdf => print::pdf::pdf(&paper::paper(list)),
        Format::Html => Ok(print::html::html(&paper::paper(list)).into_bytes()),
        Format::Ics => Ok(ics::ics(std::slice::from_ref(list)).into_bytes()),
    };
    made.map_err(|why| ExportError::Made { file: file.to_owned(), why })
}
