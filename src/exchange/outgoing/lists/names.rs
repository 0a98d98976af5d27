//! Names of files: small plain letters and digits, so that every file system takes them, and no two alike.

use crate::model::Project;
use std::collections::HashSet;

/// The stem of the list of parts without a supplier.
const NO_SUPPLIER: &str = "no_supplier";
/// The stem of what holds all suppliers.
pub const ALL_SUPPLIERS: &str = "all_suppliers";

/// The name of a supplier's file without its ending; `None` is for parts without a supplier.
pub fn file_stem(project: &Project, supplier: Option<usize>) -> String {
    let names = file_stems(project);
    supplier.and_then(|at| names.get(at)).or(names.last()).cloned().unwrap_or_default()
}

/// File names by supplier position, and last the one for parts without a supplier; all without their endings.
pub fn file_stems(project: &Project) -> Vec<String> {
    let mut taken = HashSet::from([NO_SUPPLIER.to_owned(), ALL_SUPPLIERS.to_owned()]);
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
            name
        })
        .collect();
    names.push(NO_SUPPLIER.to_owned());
    names
}

/// Names that mean a device on some systems, whatever follows the dot.
const DEVICES: [&str; 4] = ["con", "prn", "aux", "nul"];

/// A stem that every file system takes.
pub fn safe_stem(key: &str) -> String {
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
        let keys = [
            "Stone & Top",
            "stone/top",
            "../up",
            "CON",
            "com1",
            "日本",
            "no_supplier",
            "stone_top_2",
            "all suppliers",
        ];
        let supplier = |(i, key): (usize, &&str)| Supplier::new(SupplierId(i as u32 + 1), key, key);
        project.suppliers = Arc::new(keys.iter().enumerate().map(supplier).collect());
        let names: Vec<String> = (0..keys.len()).map(|i| file_stem(&project, Some(i))).collect();
        assert_eq!(
            names,
            [
                "stone_top",
                "stone_top_2",
                "up",
                "con_",
                "com1_",
                "supplier",
                "no_supplier_2",
                "stone_top_2_2",
                "all_suppliers_2"
            ]
        );
        assert_eq!(file_stem(&project, None), "no_supplier");
    }
}
