//! The sheet `sent`.

use super::import::Import;
use super::read::fill;
use super::row::Cells;
use super::sheet::Sheet;
use crate::exchange::notice::Notice;
use crate::model::dates::FIRST_DAY;
use crate::model::{Sent, SentForm, SentIn};
use std::collections::HashSet;
use std::sync::Arc;

impl Import {
    pub(super) fn sent(&mut self, sheet: &Sheet) {
        let mut all: Vec<Sent> = Vec::new();
        let mut known = HashSet::new();
        for row in &sheet.rows {
            let new = || Sent {
                calendar: SentIn::Lists,
                whose: String::new(),
                uid: String::new(),
                form: SentForm::default(),
                day: FIRST_DAY,
                until: None,
                title: String::new(),
                sequence: 0,
                on: FIRST_DAY,
                digest: String::new(),
            };
            let make = |import: &Import, c: &Cells<'_>| fill(c, import, Sent::FIELDS, new());
            let (sent, good) = self.row(sheet, row, make, |_, sent| sent.check());
            if !good {
                continue;
            }
            let (calendar, whose, uid) = sent.known_by();
            if known.insert((calendar, whose.to_owned(), uid.to_owned())) {
                all.push(sent);
            } else {
                let why = "this uid stands there twice for one calendar; keep one of the rows";
                self.faults.push(Notice::cell(&sheet.file, row.number, "uid", why));
            }
        }
        self.project.sent = Arc::new(all);
    }
}
