//! The sheets `mappings` and `mapping_columns`, written.

use super::cell::{maybe, word};
use crate::model::{DateOrder, DecimalMark, LeadUnit, MapInto, Project};

pub(super) fn mappings(project: &Project, mut put: impl FnMut(Vec<String>)) {
    for mapping in project.mappings.iter() {
        let supplier = mapping.supplier.and_then(|id| project.supplier(id));
        put(vec![
            mapping.key.clone(),
            maybe(supplier.map(|s| s.key.as_str())),
            word(&MapInto::ALL, &mapping.into),
            maybe(mapping.decimal.map(|mark| word(&DecimalMark::ALL, &mark))),
            maybe(mapping.dates.map(|order| word(&DateOrder::ALL, &order))),
            maybe(mapping.lead_unit.map(|unit| word(&LeadUnit::ALL, &unit))),
        ]);
    }
}

pub(super) fn columns(project: &Project, mut put: impl FnMut(Vec<String>)) {
    for mapping in project.mappings.iter() {
        for column in &mapping.columns {
            put(vec![mapping.key.clone(), column.heading.clone(), column.field.word().to_owned()]);
        }
    }
}
