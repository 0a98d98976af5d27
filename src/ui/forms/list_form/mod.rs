//! The form over a list from elsewhere: what its columns hold, what was read, what would change, and the button that does
//! it.

mod choices;
mod outcome;
mod preview;

use crate::exchange::incoming::accept::{self, Wish};
use crate::exchange::incoming::changes::{self, joined, summary};
use crate::exchange::incoming::read;
use crate::exchange::incoming::selections::{self, May, Plan};
use crate::exchange::incoming::setup::recognize;
use crate::exchange::incoming::{
    Additions, Book, Change, ChangeOf, Grid, Matching, PriceList, Reading, Setup,
};
use crate::model::{Action, MapInto, PartId, Project, SelectionId, SupplierId};
use crate::ui::shell::modals;
use crate::ui::theme::Tokens;
use crate::ui::widgets::pieces;
use egui::{RichText, Ui};
use std::collections::{BTreeMap, BTreeSet, HashMap};

/// What is shown below the preview.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Tab {
    /// What would change or be added.
    Does,
    /// Bad rows.
    Bad,
    /// Rows that belong to no part.
    Unmatched,
    /// What is worth knowing.
    Remarks,
}

/// What the fields of the form say; what is read depends on nothing else.
#[derive(Debug, Clone, PartialEq)]
struct Fields {
    sheet: usize,
    setup: Setup,
    supplier: Option<SupplierId>,
    by_name: bool,
    by_hand: BTreeMap<usize, PartId>,
    may: May,
}

/// What was read and what it would do.
struct Seen {
    fields: Fields,
    headings: Vec<String>,
    reading: Reading,
    list: PriceList,
    plan: Plan,
    bad_rows: BTreeSet<usize>,
    /// Why a cell is bad, by row and heading; for whole rows under an empty heading.
    faults: HashMap<(usize, String), String>,
}

/// A list that is looked at.
pub struct ListForm {
    book: Book,
    fields: Fields,
    /// How many columns were as remembered, where a mapping fitted.
    remembered: bool,
    /// Ticks that were set or taken away by hand.
    ticks: HashMap<(PartId, ChangeOf), bool>,
    add_rows: BTreeSet<usize>,
    add_to: Option<SelectionId>,
    skip_bad: bool,
    remember: bool,
    tab: Tab,
    seen: Option<Seen>,
    error: Option<String>,
}

/// What came of the form in a frame.
#[derive(Debug, Clone, PartialEq)]
pub enum ListAnswer {
    /// Still open.
    Open,
    /// Closed without a change.
    Closed,
    /// Done, with the change.
    Act(Box<Action>),
}

impl ListForm {
    /// Opens the form on a file that was read.
    pub fn new(book: Book, project: &Project) -> ListForm {
        let sheet = book.likely();
        let mut form = ListForm {
            book,
            fields: Fields {
                sheet,
                setup: Setup::guess(&Grid::default(), project, None, None),
                supplier: None,
                by_name: false,
                by_hand: BTreeMap::new(),
                may: May::default(),
            },
            remembered: false,
            ticks: HashMap::new(),
            add_rows: BTreeSet::new(),
            add_to: None,
            skip_bad: false,
            remember: true,
            tab: Tab::Does,
            seen: None,
            error: None,
        };
        form.guess(project, None);
        form.look(project);
        // Whose list it is shows by the parts it speaks of.
        form.fields.supplier = form.fields.supplier.or(form.seen.as_ref().and_then(|s| s.list.whose));
        form
    }

    fn grid(&self) -> &Grid {
        static NOTHING: std::sync::LazyLock<Grid> = std::sync::LazyLock::new(Grid::default);
        self.book.grids.get(self.fields.sheet).unwrap_or(&NOTHING)
    }

    /// Reads the columns as remembered, else as guessed. A supplier that nobody picked is taken from what is remembered.
    fn guess(&mut self, project: &Project, into: Option<MapInto>) {
        let supplier = self.fields.supplier;
        let known = recognize(self.grid(), project, supplier, into);
        self.remembered = known.is_some();
        match known {
            Some(known) => {
                self.fields.supplier = known.supplier.or(supplier);
                self.fields.setup = known.setup;
            }
            None => self.fields.setup = Setup::guess(self.grid(), project, supplier, into),
        }
        self.forget_rows();
    }

    /// What was said of single rows means nothing any more.
    fn forget_rows(&mut self) {
        self.fields.by_hand.clear();
        self.add_rows.clear();
        self.ticks.clear();
    }

    /// Reads the list again when a field has changed.
    fn look(&mut self, project: &Project) {
        if self.seen.as_ref().is_some_and(|s| s.fields == self.fields) {
            return;
        }
        let grid = self.grid();
        let fields = self.fields.clone();
        let place = grid.place();
        let reading = read::read(grid, &fields.setup, project.settings.currency);
        let matching =
            Matching { supplier: fields.supplier, by_name: fields.by_name, by_hand: fields.by_hand.clone() };
        let (list, plan) = match fields.setup.into {
            MapInto::Prices => (changes::compare(project, &reading, &matching, &place), Plan::default()),
            MapInto::Selections => {
                let plan = selections::plan(project, &reading, fields.supplier, fields.may, &place);
                (PriceList::default(), plan)
            }
        };
        let all = || reading.bad.iter().chain(&list.bad).chain(&plan.bad);
        let bad_rows = all().filter_map(|n| n.row).collect();
        let faults = all()
            .filter_map(|n| Some(((n.row?, n.column.clone().unwrap_or_default()), n.message.clone())))
            .collect();
        let headings = grid.headings(fields.setup.header);
        self.seen = Some(Seen { fields, headings, reading, list, plan, bad_rows, faults });
        self.error = None;
    }

    /// Whether a change is ticked: by hand, else when nothing speaks against it.
    fn is_ticked(&self, change: &Change) -> bool {
        self.ticks.get(&(change.part, change.of)).copied().unwrap_or(change.doubt.is_none())
    }

    /// What the button does now, in words; `None` when that is nothing.
    fn words(&self) -> Option<String> {
        let seen = self.seen.as_ref()?;
        if self.fields.setup.into == MapInto::Selections {
            let words = seen.plan.summary();
            return (!words.is_empty()).then(|| format!("Add {}", joined(&words)));
        }
        let mut words = Vec::new();
        let changed = summary(seen.list.changes.iter().filter(|c| self.is_ticked(c)));
        if !changed.is_empty() {
            words.push(format!("Change {}", joined(&changed)));
        }
        if let Some(additions) = self.additions(seen) {
            let options = crate::model::words::counted(additions.rows.len(), "option", "options");
            words.push(format!("{} {options}", if words.is_empty() { "Add" } else { "add" }));
        }
        (!words.is_empty()).then(|| words.join(", "))
    }

    /// The change that the button makes now, tried on the document first.
    fn action(&self, project: &Project) -> Result<Option<Action>, String> {
        let Some(seen) = &self.seen else { return Ok(None) };
        let supplier = self.fields.supplier;
        let setup = &self.fields.setup;
        let mapping = Some(()).filter(|()| self.remember);
        let mapping =
            mapping.and_then(|()| setup.to_mapping(self.grid(), project, supplier, project.next_id));
        let file = self.book.file.as_str();
        let action = match setup.into {
            MapInto::Prices => {
                let additions = self.additions(seen);
                let accepted = |c: &Change| self.is_ticked(c);
                let wish =
                    Wish { accepted: &accepted, additions: additions.as_ref(), supplier, mapping, file };
                accept::action(project, &seen.reading, &seen.list, wish)?
            }
            MapInto::Selections => seen.plan.action(project, mapping, file),
        };
        match action {
            Some(action) => project.apply(&action).map(|_| Some(action)).map_err(|e| e.to_string()),
            None => Ok(None),
        }
    }

    fn additions(&self, seen: &Seen) -> Option<Additions> {
        let selection = self.add_to?;
        let unmatched = seen.list.unmatched.iter().filter_map(|at| seen.reading.rows.get(*at));
        let rows: Vec<usize> = unmatched.map(|r| r.number).filter(|n| self.add_rows.contains(n)).collect();
        (!rows.is_empty()).then_some(Additions { selection, rows })
    }

    /// Draws the form.
    pub fn show(&mut self, ctx: &egui::Context, project: &Project, tokens: &Tokens) -> ListAnswer {
        self.look(project);
        let mut answer = ListAnswer::Open;
        let space = ctx.content_rect().size();
        let width = (space.x - 64.0).clamp(560.0, 1280.0);
        let asked = modals::show(ctx, "list", width, true, |ui| {
            ui.spacing_mut().item_spacing.y = 6.0;
            self.title(ui, project, tokens);
            self.choices(ui, project);
            self.look(project);
            self.questions(ui, tokens);
            // The rest of the window is shared by the list and what it does.
            let used = ui.min_rect().height();
            let left = (space.y - used - 190.0).max(220.0);
            self.preview(ui, tokens, left * 0.44);
            self.look(project);
            self.outcome(ui, project, tokens, left * 0.56);
            self.look(project);
            if let Some(error) = &self.error {
                ui.add(egui::Label::new(RichText::new(error).color(tokens.late)).wrap());
            }
            answer = self.buttons(ui, project, tokens);
        });
        if asked.closes && answer == ListAnswer::Open {
            answer = ListAnswer::Closed;
        }
        answer
    }

    fn title(&mut self, ui: &mut Ui, project: &Project, tokens: &Tokens) {
        ui.horizontal_wrapped(|ui| {
            ui.label(pieces::strong("Bring in a list", 18.0));
            let grid = self.grid();
            let about = format!("{}, {}", grid.place(), grid.read_as);
            pieces::muted(ui, tokens, about);
            if self.remembered {
                let whose = self.fields.supplier.and_then(|id| project.supplier(id));
                let whose = whose.map_or(String::new(), |s| format!(" for {}", s.name));
                pieces::muted(ui, tokens, format!("The columns are as remembered{whose}."));
            }
        });
    }

    fn buttons(&mut self, ui: &mut Ui, project: &Project, tokens: &Tokens) -> ListAnswer {
        let mut answer = ListAnswer::Open;
        let bad = self.seen.as_ref().map_or(0, |s| s.bad_rows.len());
        let words = self.words();
        ui.horizontal_wrapped(|ui| {
            if bad > 0 {
                let rows = crate::model::words::counted(bad, "bad row", "bad rows");
                ui.checkbox(&mut self.skip_bad, format!("Leave out {rows}"));
            }
            let whose = self.fields.supplier.and_then(|id| project.supplier(id));
            let whose = whose.map_or("lists like this".to_owned(), |s| s.name.clone());
            ui.checkbox(&mut self.remember, format!("Remember the columns for {whose}"));
        });
        let ready = words.is_some() && (bad == 0 || self.skip_bad);
        ui.horizontal(|ui| {
            let text = words.as_deref().unwrap_or(match self.fields.setup.into {
                MapInto::Prices => "Nothing is ticked",
                MapInto::Selections => "Nothing to add",
            });
            let button = ui.add_enabled(ready, pieces::primary(tokens, text));
            let why = match words {
                Some(_) => "There are bad rows; leave them out, or correct the list",
                None => "Nothing would change",
            };
            let clicked = button.on_disabled_hover_text(why).clicked();
            if clicked || (ready && modals::done(ui.ctx())) {
                match self.action(project) {
                    Ok(Some(action)) => answer = ListAnswer::Act(Box::new(action)),
                    Ok(None) => {}
                    Err(why) => self.error = Some(why),
                }
            }
            if ui.button("Cancel").clicked() {
                ui.close();
            }
            if bad > 0 && !self.skip_bad {
                pieces::muted(
                    ui,
                    tokens,
                    "All of it or nothing: bad rows have to be left out or corrected first.",
                );
            }
        });
        answer
    }
}
