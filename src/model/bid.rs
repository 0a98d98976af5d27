//! What belongs to a trade's price: what it leaves out, and the installments it is paid in.

use super::budget::Quote;
use super::field::{Field, Kind, at, field, of, word};
use super::ids::PhaseId;
use super::money::Money;
use super::phase::PhaseKind;
use super::project::Project;
use super::validate::{Checked, amount, day, percent};
use chrono::NaiveDate;
use rust_decimal::Decimal;
use serde::de::{Deserializer, SeqAccess, Visitor, value::SeqAccessDeserializer};
use serde::{Deserialize, Serialize};

/// Something that a price leaves out and somebody will have to be paid for.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LeftOut {
    /// What it is.
    pub what: String,
    /// What it would cost; `None` while nobody has said, which is never zero.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub amount: Option<Money>,
}

impl LeftOut {
    /// Its fields, in the order of the columns.
    pub const FIELDS: &'static [Field<LeftOut>] = &[
        field("what", "Left out", Kind::Text(at!(what))).required(),
        field("amount", "Would cost", Kind::Money(at!(amount?))).hint("not priced when empty"),
    ];

    /// Something left out that nobody has priced.
    pub fn new(what: &str) -> LeftOut {
        LeftOut { what: what.to_owned(), amount: None }
    }

    /// Checks it by itself.
    pub fn check(&self) -> Checked {
        if self.what.trim().is_empty() {
            return Err("say what is left out".to_owned());
        }
        amount("the price of what is left out", self.amount.unwrap_or_default())
    }

    /// What lines of text say is left out, one a line, none of it priced.
    pub fn of_lines(text: &str) -> Vec<LeftOut> {
        text.lines().map(str::trim).filter(|line| !line.is_empty()).map(LeftOut::new).collect()
    }
}

/// Up to schema 3 this was a text, one thing a line.
pub(super) fn left_out<'de, D: Deserializer<'de>>(from: D) -> Result<Vec<LeftOut>, D::Error> {
    struct Either;
    impl<'de> Visitor<'de> for Either {
        type Value = Vec<LeftOut>;
        fn expecting(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
            f.write_str("a list of what is left out, or a text")
        }
        fn visit_str<E>(self, text: &str) -> Result<Vec<LeftOut>, E> {
            Ok(LeftOut::of_lines(text))
        }
        fn visit_seq<A: SeqAccess<'de>>(self, list: A) -> Result<Vec<LeftOut>, A::Error> {
            Deserialize::deserialize(SeqAccessDeserializer::new(list))
        }
    }
    from.deserialize_any(Either)
}

/// A part in which a price is paid: a deposit, progress, or what is held back until the end.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Installment {
    /// What it is for.
    pub what: String,
    /// Its share of the price in percent,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pct: Option<Decimal>,
    /// or its amount.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub amount: Option<Money>,
    /// The day it is due,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub due_on: Option<NaiveDate>,
    /// or the phase that it hangs on
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub phase: Option<PhaseId>,
    /// and what of it; its finish when not given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at: Option<DueAt>,
    /// The day it was paid.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub paid_on: Option<NaiveDate>,
    /// What was paid; all of it when only the day is noted.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub paid: Option<Money>,
    /// The day on which a waiver of lien for it came.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub waiver_on: Option<NaiveDate>,
}

/// What of a phase an installment waits for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum DueAt {
    /// Its first day.
    Start,
    /// Its last day.
    Finish,
    /// The visit that passes.
    Passed,
}

impl DueAt {
    /// All of them with their words in sheets.
    pub const ALL: [(&'static str, DueAt); 3] =
        [("start", DueAt::Start), ("finish", DueAt::Finish), ("passed", DueAt::Passed)];
}

impl Installment {
    /// Its fields, in the order of the columns.
    pub const FIELDS: &'static [Field<Installment>] = &[
        field("what", "For", Kind::Text(at!(what))).required().hint("a deposit, progress, what is held back"),
        field("pct", "Percent of the price", Kind::Percent(at!(pct?))),
        field("amount", "or amount", Kind::Money(at!(amount?))),
        field("due_on", "Due on", Kind::Date(at!(due_on?))),
        field("phase", "or with", of!(Phase, PhaseId, phase?)),
        field("at", "at its", word!(DueAt::ALL, at?))
            .shown(&["start", "finish", "passed visit"])
            .none("finish"),
        field("paid_on", "Paid on", Kind::Date(at!(paid_on?))).section("Paid"),
        field("paid", "Paid", Kind::Money(at!(paid?))).hint("all of it when empty"),
        field("waiver_on", "Waiver of lien on", Kind::Date(at!(waiver_on?))),
    ];

    /// An installment of nothing yet.
    pub fn new(what: &str) -> Installment {
        Installment {
            what: what.to_owned(),
            pct: None,
            amount: None,
            due_on: None,
            phase: None,
            at: None,
            paid_on: None,
            paid: None,
            waiver_on: None,
        }
    }

    /// Whether something was paid on it by a day. What has no day counts always.
    pub fn is_paid(&self, by: NaiveDate) -> bool {
        match self.paid_on {
            Some(on) => on <= by,
            None => self.paid.is_some_and(|paid| !paid.is_zero()),
        }
    }

    /// Whether a waiver is on file by a day.
    pub fn has_waiver(&self, by: NaiveDate) -> bool {
        self.waiver_on.is_some_and(|on| on <= by)
    }

    /// Checks it by itself.
    pub fn check(&self) -> Checked {
        if self.what.trim().is_empty() {
            return Err("say what the installment is for".to_owned());
        }
        match (self.pct, self.amount) {
            (Some(_), Some(_)) => return Err("write a percent or an amount, not both".to_owned()),
            (None, None) => return Err("write the percent of the price, or the amount".to_owned()),
            (Some(pct), None) => percent("the installment", pct)?,
            (None, Some(sum)) => amount("the installment", sum)?,
        }
        day("the due day", self.due_on)?;
        day("the day of payment", self.paid_on)?;
        day("the day of the waiver", self.waiver_on)?;
        amount("paid", self.paid.unwrap_or_default())?;
        match (self.due_on, self.phase, self.at) {
            (Some(_), Some(_), _) => {
                return Err("it is due on a day or with a phase; keep one of them".to_owned());
            }
            (_, None, Some(_)) => return Err("name the phase that it is due with".to_owned()),
            _ => {}
        }
        match (self.waiver_on, self.paid_on) {
            (Some(waiver), None) => Err(format!(
                "the waiver came on {waiver}, before its payment: nothing is noted as paid; write the day of payment"
            )),
            (Some(waiver), Some(paid)) if waiver < paid => {
                Err(format!("the waiver came on {waiver}, before its payment on {paid}; check the days"))
            }
            _ => Ok(()),
        }
    }

    /// Checks what it names.
    pub fn check_in(&self, project: &Project) -> Checked {
        self.check()?;
        let Some(id) = self.phase else { return Ok(()) };
        let Some(phase) = project.phase(id) else {
            return Err("the installment names a phase that is not in the project".to_owned());
        };
        if self.at == Some(DueAt::Passed) && phase.kind != PhaseKind::Inspection {
            return Err(format!("{} is no inspection, so nothing passes; write start or finish", phase.name));
        }
        Ok(())
    }
}

impl Quote {
    /// Whether only one of it and another quote is accepted: both are for the same scope. Without a scope several may be.
    pub fn competes_with(&self, other: &Quote) -> bool {
        let scope = self.scope_read();
        self.id != other.id && !scope.is_empty() && scope == other.scope_read()
    }

    /// Its scope as it is held against that of others: without capitals, spaces and punctuation, which people type one way
    /// today and another way tomorrow. Between two digits something stays, so that "1-2" is not "12". Empty where there
    /// is no scope.
    pub fn scope_read(&self) -> String {
        let mut read = String::new();
        let mut apart = false;
        for letter in self.scope.trim().chars() {
            if !letter.is_alphanumeric() {
                apart = true;
                continue;
            }
            let digits = letter.is_numeric() && read.chars().next_back().is_some_and(char::is_numeric);
            if std::mem::take(&mut apart) && digits {
                read.push(' ');
            }
            read.extend(letter.to_lowercase());
        }
        // Of nothing but signs the signs are left.
        if read.is_empty() { self.scope.trim().to_owned() } else { read }
    }

    /// What it comes to with what is left out and priced. Others that are left out, and priced by nobody, come on top.
    pub fn leveled(&self) -> Money {
        self.amount.plus(self.left_out.iter().filter_map(|l| l.amount).sum())
    }

    /// How many things it leaves out that nobody has priced.
    pub fn holes(&self) -> usize {
        self.left_out.iter().filter(|l| l.amount.is_none()).count()
    }

    /// Whether anything is left out that nobody has priced, so that its price is a least one.
    pub fn has_holes(&self) -> bool {
        self.holes() > 0
    }

    /// Checks that its installments do not come to more than its amount.
    pub fn check_installments(&self) -> Checked {
        let pct: Decimal = self.installments.iter().filter_map(|i| i.pct).sum();
        let sums: Money = self.installments.iter().filter_map(|i| i.amount).sum();
        let share = self.amount.amount() * pct / Decimal::ONE_HUNDRED;
        let all = share + sums.amount();
        if all > self.amount.amount() {
            return Err(format!(
                "the installments come to {}, above the amount {} of the bid; lower one of them",
                all.normalize(),
                self.amount.amount().normalize()
            ));
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_was_left_out_in_a_text_becomes_things_without_a_price() {
        let old: Quote =
            ron::from_str("(id:1,key:\"q\",amount:\"900\",leaves_out:\"permit fees\\nhaul-off\")").unwrap();
        assert_eq!(old.left_out, [LeftOut::new("permit fees"), LeftOut::new("haul-off")]);
        assert!(old.has_holes() && old.leveled() == old.amount);
        let priced: Quote = ron::from_str(
            "(id:1,key:\"q\",amount:\"900\",left_out:[(what:\"haul-off\",amount:Some(\"25.50\"))])",
        )
        .unwrap();
        assert!(!priced.has_holes());
        assert_eq!(priced.leveled().amount().to_string(), "925.50");
    }
}
