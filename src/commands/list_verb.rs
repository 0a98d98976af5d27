//! What `import-list` does: a list from elsewhere is looked at, and taken into a project when told.

use super::list_args::{Accept, Columns, Creates, HeaderRow, ListRequest};
use super::verbs::{check_target, input, load, one_line, usual_day};
use super::{Failure, GOOD, Outcome, PROBLEMS};
use crate::engine::log;
use crate::exchange::Progress;
use crate::exchange::incoming::accept;
use crate::exchange::incoming::changes::{self, joined, summary};
use crate::exchange::incoming::read::{self, answers};
use crate::exchange::incoming::selections::May;
use crate::exchange::incoming::setup::recognize;
use crate::exchange::incoming::{
    self, Additions, Book, Change, Grid, Matching, PriceList, Reading, Setup, selections,
};
use crate::exchange::notice::Notice;
use crate::model::words::counted;
use crate::model::{Action, MapField, MapInto, Project, SupplierId, file};
use std::collections::BTreeSet;
use std::io::Write;

/// Longest lists of a kind that a preview prints.
const MOST_LINES: usize = 200;

/// `import-list`.
pub fn import_list(
    request: &ListRequest,
    out: &mut dyn Write,
    err: &mut dyn Write,
) -> Result<Outcome, Failure> {
    let bad_use = |why: &str| Err(Failure::Use(why.to_owned()));
    if request.accept.is_empty() && !request.preview {
        return bad_use(
            "import-list needs --preview to look only, or --accept all, --accept unit_price,lead or --accept PART:FIELD",
        );
    }
    if request.preview && (request.target.out.is_some() || !request.accept.is_empty()) {
        return bad_use("import-list --preview writes nothing, so it takes neither --accept nor --out");
    }
    let project = load(&request.into)?;
    if let Some(path) = &request.target.out {
        check_target(Some(&request.into), path, request.target.force)?;
    }
    let book = incoming::read_file(&request.list, &Progress::new()).map_err(input)?;
    let grid = sheet(&book, request.sheet.as_deref())?;
    let told = supplier(&project, request)?;
    let (setup, known) = set_up(&project, grid, told, request)?;
    let supplier = told.or(known.and_then(|k| k.1)).or_else(|| whose(&project, grid, &setup));
    print_setup(&project, grid, &setup, known.is_some(), supplier, out)?;
    let reading = read::read(grid, &setup, project.settings.currency);
    for question in &reading.questions {
        let (column, text) = (one_line(&question.column), one_line(&question.text));
        writeln!(err, "{}, column {column}: {text} ({})", grid.place(), answers(question.asks))?;
    }
    print_notices("remark: ", &reading.remarks, out)?;
    if reading.questions.iter().any(|question| question.asks.holds_all()) {
        writeln!(err, "needline: nothing was written; answer the question first")?;
        return Ok(Outcome::Exit(PROBLEMS));
    }
    match setup.into {
        MapInto::Prices => prices(request, &project, grid, &setup, supplier, &reading, out, err),
        MapInto::Selections => add_selections(request, &project, grid, &setup, supplier, &reading, out, err),
    }
}

fn sheet<'a>(book: &'a Book, name: Option<&str>) -> Result<&'a Grid, Failure> {
    let at = match name {
        None => book.likely(),
        Some(name) => book.sheet(name).ok_or_else(|| {
            let names: Vec<&str> = book.grids.iter().filter_map(|g| g.sheet.as_deref()).collect();
            input(format!(
                "there is no sheet `{name}` with rows in {}; there are {}",
                book.file,
                names.join(", ")
            ))
        })?,
    };
    book.grids.get(at).ok_or_else(|| input(format!("there are no rows in {}", book.file)))
}

fn supplier(project: &Project, request: &ListRequest) -> Result<Option<SupplierId>, Failure> {
    let Some(key) = &request.supplier else { return Ok(None) };
    let found = project.suppliers.iter().find(|s| s.key.eq_ignore_ascii_case(key));
    let keys: Vec<&str> = project.suppliers.iter().map(|s| s.key.as_str()).collect();
    let unknown =
        || input(format!("there is no supplier with the key `{key}`; there are {}", keys.join(", ")));
    found.map(|s| Some(s.id)).ok_or_else(unknown)
}

/// The supplier of all parts that a list of prices speaks of, where nobody said whose it is.
fn whose(project: &Project, grid: &Grid, setup: &Setup) -> Option<SupplierId> {
    if setup.into != MapInto::Prices {
        return None;
    }
    let reading = read::read(grid, setup, project.settings.currency);
    changes::compare(project, &reading, &Matching::default(), &grid.place()).whose
}

type KnownMapping = (crate::model::MappingId, Option<SupplierId>);

/// How the list is read: as remembered, else as guessed; then as told.
fn set_up(
    project: &Project,
    grid: &Grid,
    supplier: Option<SupplierId>,
    request: &ListRequest,
) -> Result<(Setup, Option<KnownMapping>), Failure> {
    let known = recognize(grid, project, supplier, request.kind).filter(|_| request.header.is_none());
    let mut setup = match &known {
        Some(known) => known.setup.clone(),
        None => Setup::guess(grid, project, supplier, request.kind),
    };
    if let Some(HeaderRow(header)) = request.header {
        if let Some(row) = header
            && !grid.rows.iter().any(|r| r.number == row)
        {
            return Err(input(format!("--header: there is nothing in row {row} of {}", grid.place())));
        }
        setup.header = header;
        setup.guess_fields(grid, project, supplier);
    }
    let headings = grid.headings(setup.header);
    for (field, heading) in request.map.iter().flat_map(|Columns(pairs)| pairs) {
        if !field.goes_with(setup.into) {
            let word = field.word();
            return Err(Failure::Use(format!(
                "--map: {word} does not go with this kind of list; --as prices or --as selections says which it is"
            )));
        }
        if heading.is_empty() {
            setup.take_away(*field);
            continue;
        }
        let at = headings
            .iter()
            .position(|h| h == heading)
            .or_else(|| headings.iter().position(|h| h.eq_ignore_ascii_case(heading)))
            .or_else(|| (0..grid.width).find(|c| incoming::grid::letter(*c).eq_ignore_ascii_case(heading)))
            .ok_or_else(|| {
                input(format!("--map: there is no column `{heading}`; there are {}", headings.join(", ")))
            })?;
        setup.set(at, Some(*field));
    }
    setup.decimal = request.decimal.or(setup.decimal);
    setup.dates = request.dates.or(setup.dates);
    setup.lead_unit = request.lead_unit.or(setup.lead_unit);
    setup.any_currency = request.any_currency;
    Ok((setup, known.map(|k| (k.mapping, k.supplier))))
}

fn print_setup(
    project: &Project,
    grid: &Grid,
    setup: &Setup,
    remembered: bool,
    supplier: Option<SupplierId>,
    out: &mut dyn Write,
) -> Result<(), Failure> {
    let headings = grid.headings(setup.header);
    let of =
        supplier.and_then(|id| project.supplier(id)).map_or(String::new(), |s| format!(" of {}", s.name));
    let what = match setup.into {
        MapInto::Prices => format!("prices and lead times{of}"),
        MapInto::Selections => "selections with their options".to_owned(),
    };
    let header = setup.header.map_or("no headings".to_owned(), |row| format!("headings in row {row}"));
    writeln!(out, "{}: {}, {header}, read as {}", grid.place(), grid.read_as, one_line(&what))?;
    let from = if remembered { "remembered" } else { "guessed" };
    writeln!(out, "columns, {from}:")?;
    for (heading, field) in headings.iter().zip(&setup.fields) {
        let word = field.map_or("left out", MapField::word);
        writeln!(out, "  {} = {word}", one_line(heading))?;
    }
    Ok(())
}

fn print_notices(before: &str, notices: &[Notice], out: &mut dyn Write) -> Result<(), Failure> {
    for notice in notices.iter().take(MOST_LINES) {
        writeln!(out, "{before}{}", one_line(&notice.to_string()))?;
    }
    if notices.len() > MOST_LINES {
        writeln!(out, "{before}and {} more", notices.len() - MOST_LINES)?;
    }
    Ok(())
}

/// Says what is wrong; whether it stops the import.
fn bad_rows(
    request: &ListRequest,
    reading: &Reading,
    more: &[Notice],
    err: &mut dyn Write,
) -> Result<bool, Failure> {
    print_notices("", &reading.bad, err)?;
    print_notices("", more, err)?;
    let mut rows: BTreeSet<usize> = reading.bad_rows.clone();
    rows.extend(more.iter().filter_map(|n| n.row));
    if rows.is_empty() {
        return Ok(false);
    }
    let bad = counted(rows.len(), "bad row", "bad rows");
    if request.preview {
        writeln!(err, "{bad}")?;
    } else if request.skip_bad_rows {
        writeln!(err, "{bad} left out")?;
    } else {
        writeln!(
            err,
            "needline: {bad}; nothing was written. Correct them, or add --skip-bad-rows to leave them out"
        )?;
        return Ok(true);
    }
    Ok(false)
}

#[expect(clippy::too_many_arguments, reason = "one verb's pieces, used once")]
fn prices(
    request: &ListRequest,
    project: &Project,
    grid: &Grid,
    setup: &Setup,
    supplier: Option<SupplierId>,
    reading: &Reading,
    out: &mut dyn Write,
    err: &mut dyn Write,
) -> Result<Outcome, Failure> {
    let mut matching = Matching { supplier, by_name: request.by_name, ..Matching::default() };
    for (row, key) in &request.matches {
        let part = project.all_parts().find(|(_, _, p)| p.key == *key);
        let (_, _, part) = part.ok_or_else(|| input(format!("--match: there is no part `{key}`")))?;
        matching.by_hand.insert(*row, part.id);
    }
    let list = changes::compare(project, reading, &matching, &grid.place());
    print_changes(reading, &list, out)?;
    if bad_rows(request, reading, &list.bad, err)? {
        return Ok(Outcome::Exit(PROBLEMS));
    }
    let bad = !reading.bad.is_empty() || !list.bad.is_empty();
    if request.preview {
        return Ok(Outcome::Exit(if bad { PROBLEMS } else { GOOD }));
    }
    check_accepted(request, &list)?;
    let accepted = |change: &Change| {
        request.accept.iter().any(|a| match a {
            Accept::All => change.doubt.is_none(),
            Accept::Field(of) => change.of == *of && change.doubt.is_none(),
            Accept::One(key, of) => change.key == *key && change.of == *of,
        })
    };
    let additions = match &request.add_to {
        None => None,
        Some(key) => {
            let selection = project.selections.iter().find(|s| s.key == *key);
            let selection =
                selection.ok_or_else(|| input(format!("--add-to: there is no selection `{key}`")))?;
            let rows =
                list.unmatched.iter().filter_map(|at| reading.rows.get(*at)).map(|r| r.number).collect();
            Some(Additions { selection: selection.id, rows })
        }
    };
    let remembered =
        if request.forget { None } else { setup.to_mapping(grid, project, supplier, project.next_id) };
    let wish = accept::Wish {
        accepted: &accepted,
        additions: additions.as_ref(),
        supplier,
        mapping: remembered,
        file: &grid.file,
    };
    let action = accept::action(project, reading, &list, wish).map_err(input)?;
    finish(request, project, action, out)
}

/// A change named by hand must be there.
fn check_accepted(request: &ListRequest, list: &PriceList) -> Result<(), Failure> {
    for accept in &request.accept {
        if let Accept::One(key, of) = accept
            && !list.changes.iter().any(|c| c.key == *key && c.of == *of)
        {
            return Err(input(format!("--accept: the list changes no {} of a part `{key}`", of.word())));
        }
    }
    Ok(())
}

fn print_changes(reading: &Reading, list: &PriceList, out: &mut dyn Write) -> Result<(), Failure> {
    for change in list.changes.iter().take(MOST_LINES * 10) {
        let Change { key, name, row, of, old, new, doubt, .. } = change;
        let doubt = doubt.as_ref().map_or(String::new(), |d| format!(" ? {d}"));
        let line = format!("{key}:{} row {row}, {name}: {old} -> {new}{doubt}", of.word());
        writeln!(out, "{}", one_line(&line))?;
    }
    for row in list.unmatched.iter().filter_map(|at| reading.rows.get(*at)).take(MOST_LINES) {
        let article = row.text(MapField::Article);
        let article = if article.is_empty() { String::new() } else { format!("{article} ") };
        writeln!(out, "not in the project: row {}, {article}{}", row.number, one_line(row.called()))?;
    }
    let doubtful = list.changes.iter().filter(|c| c.doubt.is_some()).count();
    let mut words = vec![counted(list.matched, "part found", "parts found")];
    words.extend(summary(list.changes.iter()).into_iter().map(|w| format!("{w} to change")));
    if doubtful > 0 {
        words.push(format!("{doubtful} of these to be looked at (?), which --accept all leaves out"));
    }
    if !list.unmatched.is_empty() {
        words.push(format!("{} not in the project", counted(list.unmatched.len(), "row", "rows")));
    }
    writeln!(out, "{}", words.join(", "))?;
    Ok(())
}

#[expect(clippy::too_many_arguments, reason = "one verb's pieces, used once")]
fn add_selections(
    request: &ListRequest,
    project: &Project,
    grid: &Grid,
    setup: &Setup,
    supplier: Option<SupplierId>,
    reading: &Reading,
    out: &mut dyn Write,
    err: &mut dyn Write,
) -> Result<Outcome, Failure> {
    let may = May {
        rooms: request.create.contains(&Creates::Rooms),
        suppliers: request.create.contains(&Creates::Suppliers),
        fill_down: request.fill_down,
    };
    let plan = selections::plan(project, reading, supplier, may, &grid.place());
    for (row, words) in plan.adds.iter().take(MOST_LINES * 10) {
        writeln!(out, "row {row}: {}", one_line(words))?;
    }
    print_notices("remark: ", &plan.there, out)?;
    let unknown =
        [("room", "rooms", &plan.unknown_rooms), ("supplier", "suppliers", &plan.unknown_suppliers)];
    for (one, many, names) in unknown {
        if !names.is_empty() {
            let list: Vec<String> = names.iter().map(|n| one_line(n)).collect();
            writeln!(out, "not in the project: {} {}", counted(names.len(), one, many), list.join(", "))?;
        }
    }
    let words = plan.summary();
    writeln!(out, "{} to add", if words.is_empty() { "nothing".to_owned() } else { joined(&words) })?;
    if bad_rows(request, reading, &plan.bad, err)? {
        return Ok(Outcome::Exit(PROBLEMS));
    }
    if request.preview {
        let bad = !reading.bad.is_empty() || !plan.bad.is_empty();
        return Ok(Outcome::Exit(if bad { PROBLEMS } else { GOOD }));
    }
    if !request.accept.contains(&Accept::All) {
        return Err(Failure::Use("selections are added all together: --accept all".to_owned()));
    }
    let remembered =
        if request.forget { None } else { setup.to_mapping(grid, project, supplier, project.next_id) };
    finish(request, project, plan.action(project, remembered, &grid.file), out)
}

/// Makes the change and writes the project.
fn finish(
    request: &ListRequest,
    project: &Project,
    action: Option<Action>,
    out: &mut dyn Write,
) -> Result<Outcome, Failure> {
    let Some(action) = action else {
        writeln!(out, "nothing to change; nothing was written")?;
        return Ok(Outcome::Exit(GOOD));
    };
    let next = log::take_on(project, &action, usual_day(project)).map_err(input)?;
    let path = request.target.out.as_ref().unwrap_or(&request.into);
    file::save(&next, path, None).map_err(input)?;
    writeln!(out, "{}, written to {}", one_line(&action.label(project)), path.display())?;
    Ok(Outcome::Exit(GOOD))
}
