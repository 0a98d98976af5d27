//! What `swap`, `return` and `swaps` do.

use super::args::{KnockOn, ReturnRequest, SwapRequest};
use super::verbs::{check_target, input, load, load_and_compute, one_line, typed};
use super::{Failure, GOOD, Outcome};
use crate::engine::Figures;
use crate::engine::log;
use crate::engine::swap::{self, Fate, Price, SwapPreview, Wish};
use crate::exchange::outgoing::json::swaps;
use crate::exchange::sheets::export_swaps;
use crate::exchange::typed::Typed;
use crate::model::{Action, PartId, Project, Return, ReturnId, ReturnState, file};
use std::io::Write;
use std::path::Path;

/// `swap`: prints what it would do, and does it when a file is named to write to.
pub fn swap(request: &SwapRequest, out: &mut dyn Write) -> Result<Outcome, Failure> {
    match (&request.target.out, request.preview) {
        (Some(_), true) => return bad_use("swap --preview writes nothing, so it takes no --out"),
        (None, false) => return bad_use("swap needs --out FILE, or --preview to look only"),
        _ => {}
    }
    let (project, figures) = load_and_compute(&request.of)?;
    let preview = swap::preview(&project, &figures, &wish(&project, &figures, request)?).map_err(input)?;
    if let Some(path) = &request.target.out {
        check_target(Some(&request.of.file), path, request.target.force)?;
    }
    print_preview(&project, &figures, &preview, request.json, out)?;
    if let Some(path) = &request.target.out {
        let next = log::take(&project, &figures, &preview.action).map_err(input)?.project;
        file::save(&next, path, None).map_err(input)?;
        if !request.json {
            let key = next.swaps.last().map_or("", |s| &s.key);
            writeln!(out, "made as {}, written to {}", one_line(key), path.display())?;
        }
    }
    Ok(Outcome::Exit(GOOD))
}

fn bad_use<T>(why: &str) -> Result<T, Failure> {
    Err(Failure::Use(why.to_owned()))
}

fn wish(project: &Project, figures: &Figures, request: &SwapRequest) -> Result<Wish, Failure> {
    let on = figures.as_of.date();
    let mut wish = match (&request.selection, &request.to, &request.reverse) {
        (Some(selection), Some(to), None) => {
            let found = project.selections.iter().find(|s| s.key == *selection);
            let found = found.ok_or_else(|| input(format!("there is no selection `{selection}`")))?;
            let option = found.options.iter().find(|o| o.key == *to).ok_or_else(|| {
                let keys: Vec<&str> = found.options.iter().map(|o| o.key.as_str()).collect();
                input(format!("`{selection}` has no option `{to}`; there are {}", keys.join(", ")))
            })?;
            Wish::new(found.id, option.id, on)
        }
        (None, None, Some(key)) => {
            let found = project.swaps.iter().find(|s| s.key == *key).map(|s| s.id);
            let known: Vec<&str> = project.swaps.iter().map(|s| s.key.as_str()).collect();
            found.and_then(|id| Wish::reversing(project, id, on)).ok_or_else(|| {
                let known = if known.is_empty() {
                    "the log is empty".to_owned()
                } else {
                    format!("there are {}", known.join(", "))
                };
                input(format!("there is no swap `{key}`; {known}"))
            })?
        }
        _ => return bad_use("swap needs --selection KEY and --to KEY, or --reverse SWAP"),
    };
    wish.why.clone_from(&request.why);
    let reader = Typed::of(&project.settings, on);
    for KnockOn { key, cost, days } in &request.price {
        let cost = typed("--price", reader.money(cost))?;
        wish.prices.push(Price { key: key.clone(), cost, days: *days });
    }
    for (key, freight) in &request.send_back {
        let part = ordered_part(project, &wish, key)?;
        let freight = freight.as_ref().map(|text| typed("--send-back", reader.money(text))).transpose()?;
        let state = ReturnState::GoingBack;
        wish.fates.push(Fate { part, state, freight: freight.unwrap_or_default() });
    }
    for key in &request.keep {
        let part = ordered_part(project, &wish, key)?;
        wish.fates.push(Fate { part, state: ReturnState::Kept, freight: crate::model::Money::ZERO });
    }
    Ok(wish)
}

/// An ordered part of the choice that is left.
fn ordered_part(project: &Project, wish: &Wish, key: &str) -> Result<PartId, Failure> {
    let choice = project.selection(wish.selection).and_then(|s| s.choice());
    let parts = choice.map_or(&[][..], |o| &o.parts);
    let found = parts.iter().find(|p| p.key == key && p.is_ordered());
    found.map(|p| p.id).ok_or_else(|| input(format!("`{key}` is no ordered part of the choice that is left")))
}

fn print_preview(
    project: &Project,
    figures: &Figures,
    preview: &SwapPreview,
    json: bool,
    out: &mut dyn Write,
) -> Result<(), Failure> {
    if json {
        let value = swaps::preview(project, figures.as_of, preview);
        let text = serde_json::to_string_pretty(&value).map_err(input)?;
        writeln!(out, "{text}")?;
        return Ok(());
    }
    for line in swaps::preview_lines(project, figures.as_of, preview) {
        writeln!(out, "{}", one_line(&line))?;
    }
    Ok(())
}

/// `return`: notes what becomes of a part.
pub fn return_of(request: &ReturnRequest, out: &mut dyn Write) -> Result<Outcome, Failure> {
    let Some(path) = &request.target.out else { return bad_use("return needs --out FILE") };
    let (project, figures) = load_and_compute(&request.of)?;
    let found = project.all_parts().find(|(_, _, p)| p.key == request.part).map(|(_, _, p)| p.id);
    let part = found.ok_or_else(|| input(format!("there is no part `{}`", request.part)))?;
    let known = project.returns.iter().find(|r| r.part == part).cloned();
    let mut r = known.unwrap_or_else(|| Return::new(ReturnId(project.next_id), part));
    r.state = request.state;
    r.went_back_on = (request.state == ReturnState::WentBack).then(|| figures.as_of.date());
    let reader = Typed::of(&project.settings, figures.as_of.date());
    if let Some(text) = &request.credit {
        r.credit = Some(typed("--credit", reader.money(text))?);
    }
    if let Some(text) = &request.freight {
        r.freight = typed("--freight", reader.money(text))?;
    }
    if let Some(text) = &request.restock {
        r.restock_pct = Some(typed("--restock", reader.percent(text))?);
    }
    if let Some(note) = &request.note {
        r.note.clone_from(note);
    }
    check_target(Some(&request.of.file), path, request.target.force)?;
    let next = log::take(&project, &figures, &Action::PutReturn(r)).map_err(input)?.project;
    let after = crate::engine::compute(&next, figures.as_of.date());
    file::save(&next, path, None).map_err(input)?;
    let currency = project.settings.currency;
    let money = |f: &Figures| {
        let total = &f.money.total;
        format!(
            "forecast {}, ordered {}, paid {} {currency}",
            total.forecast.to_plain(currency),
            total.ordered.to_plain(currency),
            total.paid.to_plain(currency)
        )
    };
    let came = figures.part(part).is_some_and(|f| f.on_site);
    writeln!(out, "{} {}", request.part, request.state.words(came))?;
    writeln!(out, "before: {}", money(&figures))?;
    writeln!(out, "after: {}", money(&after))?;
    Ok(Outcome::Exit(GOOD))
}

/// `swaps`: the log as CSV.
pub fn swaps(path: &Path, room: Option<&str>, out: &mut dyn Write) -> Result<Outcome, Failure> {
    let project = load(path)?;
    let room = match room {
        None => None,
        Some(key) => {
            let found = project.rooms.iter().find(|r| r.key == key).map(|r| r.id);
            Some(found.ok_or_else(|| input(format!("there is no room `{key}`")))?)
        }
    };
    out.write_all(export_swaps::log_csv(&project, room).as_bytes())?;
    Ok(Outcome::Exit(GOOD))
}
