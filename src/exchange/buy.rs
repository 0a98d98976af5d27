//! Purchase lists: for each supplier what is on order and what is to be ordered, to the cent.
//!
//! A list holds the parts of all orders of its supplier: those placed, and the one assumed for what is not ordered.
//! Parts that do not count and were never ordered are on no list.

use super::cell::{guard, maybe, money, number, push_record};
use super::export::{WriteError, make_folder, write_text};
use super::figures_json::quantity_text;
use crate::engine::orders::Order;
use crate::engine::{Figures, PartFigures};
use crate::model::caution::{WHO_DECIDES, of_phase};
use crate::model::{Money, Part, Project, Selection, SelectionOption};
use std::collections::HashSet;
use std::path::Path;

/// The columns of a purchase list.
pub const COLUMNS: [&str; 22] = [
    "order",
    "key",
    "selection",
    "option",
    "finish",
    "part",
    "room",
    "phase",
    "quantity",
    "unit",
    "unit_price",
    "discount_pct",
    "amount",
    "freight",
    "tax",
    "total",
    "order_by",
    "need_date",
    "expected",
    "state",
    "promised_on",
    "caution",
];

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
}

/// Writes one CSV file for each supplier with something on order or to order, into a folder that is made when it is
/// missing.
///
/// # Errors
/// Names the file that could not be written; those before it have been.
pub fn write_lists(project: &Project, figures: &Figures, folder: &Path) -> Result<Vec<Written>, WriteError> {
    make_folder(folder)?;
    let names = file_names(project);
    let mut written = Vec::new();
    let positions = (0..project.suppliers.len()).map(Some).chain([None]);
    let parts = all_parts(project);
    for (supplier, file) in positions.zip(names) {
        let orders: Vec<&Order> = figures.orders.iter().filter(|o| o.supplier == supplier).collect();
        if orders.is_empty() {
            continue;
        }
        write_text(folder.join(&file), &csv(project, figures, &parts, &orders))?;
        written.push(Written {
            supplier,
            name: supplier.and_then(|s| project.suppliers.get(s)).map_or(String::new(), |s| s.name.clone()),
            file,
            parts: orders.iter().map(|o| o.parts.len()).sum(),
            total: orders.iter().map(|o| o.total()).sum(),
        });
    }
    Ok(written)
}

/// The list of one supplier as CSV text; `None` is for parts without a supplier.
pub fn list_csv(project: &Project, figures: &Figures, supplier: Option<usize>) -> String {
    let orders: Vec<&Order> = figures.orders.iter().filter(|o| o.supplier == supplier).collect();
    csv(project, figures, &all_parts(project), &orders)
}

type Place<'a> = (&'a Selection, &'a SelectionOption, &'a Part);

fn all_parts(project: &Project) -> Vec<Place<'_>> {
    project.all_parts().collect()
}

fn csv(project: &Project, figures: &Figures, parts: &[Place<'_>], orders: &[&Order]) -> String {
    let currency = project.settings.currency;
    let mut out = String::new();
    push_record(&mut out, COLUMNS);
    let mut sums = [Money::ZERO; 4];
    for order in orders {
        let placed = order.placed.map_or_else(|| "to order".to_owned(), |day| format!("placed {day}"));
        for at in &order.parts {
            let (Some((selection, option, part)), Some(f)) = (parts.get(*at), figures.parts.get(*at)) else {
                continue;
            };
            let amounts = [f.amount, f.freight, f.tax, f.total()];
            for (sum, amount) in sums.iter_mut().zip(amounts) {
                *sum = sum.plus(amount);
            }
            let [amount, freight, tax, total] = amounts.map(|a| a.to_plain(currency));
            let room = project.room(selection.room).map_or("", |r| &r.name);
            let phase = f.phase.and_then(|p| project.phases.get(p as usize)).map_or("", |p| &p.name);
            let quantity = quantity_text(f.quantity_to_buy, f.takeoff_error).unwrap_or_default();
            push_record(
                &mut out,
                [
                    placed.as_str(),
                    &guard(&part.key),
                    &guard(&selection.name),
                    &guard(&option.name),
                    &guard(&option.finish),
                    &guard(&part.name),
                    &guard(room),
                    &guard(phase),
                    &quantity,
                    &guard(&part.unit),
                    &money(part.unit_price, currency),
                    &number(part.discount_pct),
                    &amount,
                    &freight,
                    &tax,
                    &total,
                    &maybe(f.order_by),
                    &maybe(f.need_date),
                    &f.arrival.to_string(),
                    figures.returns.of(*at).map_or_else(|| state(part), |r| r.state.words()),
                    &maybe(part.promised_on),
                    &caution(project, f),
                ],
            );
        }
    }
    let sums = sums.map(|sum| sum.to_plain(currency));
    let total = COLUMNS.iter().enumerate().map(|(i, column)| match (i, *column) {
        (0, _) => "total",
        (_, "amount") => &sums[0],
        (_, "freight") => &sums[1],
        (_, "tax") => &sums[2],
        (_, "total") => &sums[3],
        _ => "",
    });
    push_record(&mut out, total);
    out
}

/// What can hurt in the phase that needs a part, and who decides.
fn caution(project: &Project, f: &PartFigures) -> String {
    let phase = f.phase.and_then(|p| project.phases.get(p as usize));
    let found = phase.map_or(Vec::new(), |p| of_phase(p, project.settings.year_built));
    let titles: Vec<&str> = found.iter().map(|c| c.hazard.title()).collect();
    if titles.is_empty() { String::new() } else { format!("{}. {WHO_DECIDES}", titles.join(", ")) }
}

fn state(part: &Part) -> &'static str {
    if part.is_on_site() {
        "on site"
    } else if part.is_ordered() {
        "ordered"
    } else {
        "to order"
    }
}

/// The name of a supplier's file: small plain letters and digits of its key, so that every file system takes it,
/// and like no other name of the project. `None` is for parts without a supplier.
pub fn file_name(project: &Project, supplier: Option<usize>) -> String {
    let names = file_names(project);
    supplier.and_then(|at| names.get(at)).or(names.last()).cloned().unwrap_or_default()
}

/// File names by supplier position, and last the one for parts without a supplier.
fn file_names(project: &Project) -> Vec<String> {
    const NO_SUPPLIER: &str = "no_supplier";
    let mut taken = HashSet::from([NO_SUPPLIER.to_owned()]);
    let mut names: Vec<String> = project
        .suppliers
        .iter()
        .map(|supplier| {
            let stem = safe_stem(&supplier.key);
            let mut name = stem.clone();
            let mut n = 1_usize;
            while !taken.insert(name.clone()) {
                n += 1;
                name = format!("{stem}_{n}");
            }
            format!("{name}.csv")
        })
        .collect();
    names.push(format!("{NO_SUPPLIER}.csv"));
    names
}

/// Names that mean a device on some systems, whatever follows the dot.
const DEVICES: [&str; 4] = ["con", "prn", "aux", "nul"];

fn safe_stem(key: &str) -> String {
    let mut stem = String::new();
    for c in key.chars().take(60) {
        if c.is_ascii_alphanumeric() || c == '-' {
            stem.push(c.to_ascii_lowercase());
        } else if !stem.is_empty() && !stem.ends_with('_') {
            stem.push('_');
        }
    }
    let stem = stem.trim_matches(['_', '-']);
    let port = stem.len() == 4 && (stem.starts_with("com") || stem.starts_with("lpt"));
    match stem {
        "" => "supplier".to_owned(),
        device if port || DEVICES.contains(&device) => format!("{device}_"),
        plain => plain.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::{Supplier, SupplierId};
    use std::sync::Arc;

    #[test]
    fn file_names_are_safe_and_differ() {
        let mut project = Project::new("x", chrono::NaiveDate::from_ymd_opt(2026, 1, 5).unwrap());
        let keys = ["Stone & Top", "stone/top", "../up", "CON", "com1", "日本", "no_supplier", "stone_top_2"];
        let supplier = |(i, key): (usize, &&str)| Supplier::new(SupplierId(i as u32 + 1), key, key);
        project.suppliers = Arc::new(keys.iter().enumerate().map(supplier).collect());
        let names: Vec<String> = (0..keys.len()).map(|i| file_name(&project, Some(i))).collect();
        assert_eq!(
            names,
            [
                "stone_top.csv",
                "stone_top_2.csv",
                "up.csv",
                "con_.csv",
                "com1_.csv",
                "supplier.csv",
                "no_supplier_2.csv",
                "stone_top_2_2.csv"
            ]
        );
        assert_eq!(file_name(&project, None), "no_supplier.csv");
    }
}
