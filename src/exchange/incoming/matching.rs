//! How rows of a supplier's list find the parts of a project: by hand, by key, by article number, and by name when told.

use super::read::ListRow;
use crate::model::{MapField, Part, PartId, Project, Selection, SelectionOption, SupplierId};
use std::collections::{BTreeMap, HashMap, HashSet};

/// How rows find their parts.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Matching {
    /// Whose list it is; parts of others are left alone.
    pub supplier: Option<SupplierId>,
    /// Take a name that is just that of one part, where neither key nor article is known.
    pub by_name: bool,
    /// Rows that the user gave to a part, by the number of the row.
    pub by_hand: BTreeMap<usize, PartId>,
}

/// The parts of a project by what lists know them by.
pub(super) struct Index<'a> {
    pub by_id: HashMap<PartId, (&'a Selection, &'a SelectionOption, &'a Part)>,
    keys: HashMap<String, Vec<PartId>>,
    foreign: HashMap<String, &'a Part>,
    articles: HashMap<String, Vec<PartId>>,
    bare: HashMap<String, Vec<PartId>>,
    names: HashMap<String, Vec<PartId>>,
}

/// An article number as it is compared: a spreadsheet drops the zeros in front of one that is all figures.
pub(super) fn bare(article: &str) -> String {
    let lower = article.to_lowercase();
    if lower.bytes().all(|b| b.is_ascii_digit()) { lower.trim_start_matches('0').to_owned() } else { lower }
}

impl<'a> Index<'a> {
    pub fn new(project: &'a Project, supplier: Option<SupplierId>) -> Index<'a> {
        let mut index = Index {
            by_id: HashMap::new(),
            keys: HashMap::new(),
            foreign: HashMap::new(),
            articles: HashMap::new(),
            bare: HashMap::new(),
            names: HashMap::new(),
        };
        for (selection, option, part) in project.all_parts() {
            index.by_id.insert(part.id, (selection, option, part));
            if supplier.is_some() && part.supplier != supplier {
                index.foreign.insert(part.key.to_lowercase(), part);
                continue;
            }
            index.keys.entry(part.key.to_lowercase()).or_default().push(part.id);
            if !part.article.trim().is_empty() {
                let article = part.article.trim().to_lowercase();
                index.bare.entry(bare(&article)).or_default().push(part.id);
                index.articles.entry(article).or_default().push(part.id);
            }
            let own = part.name.to_lowercase();
            let whole = format!("{} {}", option.name, part.name).to_lowercase();
            for name in HashSet::from([own, whole, option.name.to_lowercase()]) {
                index.names.entry(name).or_default().push(part.id);
            }
        }
        index
    }

    /// The parts a row speaks of: one by its key, all with its article number.
    pub fn find(&self, row: &ListRow, matching: &Matching) -> Result<Vec<PartId>, String> {
        if let Some(id) = matching.by_hand.get(&row.number) {
            return Ok(vec![*id]);
        }
        let key = row.text(MapField::Key).to_lowercase();
        if !key.is_empty() {
            if let Some(ids) = self.keys.get(&key) {
                return if ids.len() == 1 {
                    Ok(ids.clone())
                } else {
                    Err(format!("several parts have the key `{}` in other letters", row.text(MapField::Key)))
                };
            }
            if let Some(part) = self.foreign.get(&key) {
                return Err(format!(
                    "the part `{}` is bought from another supplier, or from none yet; give it this supplier first",
                    part.key
                ));
            }
        }
        let article = row.text(MapField::Article).to_lowercase();
        if !article.is_empty() {
            if let Some(ids) = self.articles.get(&article) {
                return Ok(ids.clone());
            }
            if let Some(ids) = self.bare.get(&bare(&article)).filter(|_| !bare(&article).is_empty()) {
                return Ok(ids.clone());
            }
            // A key of ours in the supplier's column.
            if let Some(ids) = self.keys.get(&article) {
                return Ok(ids.clone());
            }
        }
        let name = row.text(MapField::Name).to_lowercase();
        if matching.by_name
            && !name.is_empty()
            && let Some(ids) = self.names.get(&name)
        {
            if let [only] = ids.as_slice() {
                return Ok(vec![*only]);
            }
            return Err(format!(
                "several parts are called `{}`; give them article numbers",
                row.text(MapField::Name)
            ));
        }
        Ok(Vec::new())
    }
}
