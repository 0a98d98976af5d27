//! The one driver of forms: draws the fields of a noun and reads them back.

use super::supplier_form::{closed_ranges, closed_text};
use super::{facts_field, fields};
use crate::exchange::typed;
use crate::model::Project;
use crate::model::field::{At, Field, Kind};
use crate::ui::theme::Tokens;
use egui::Ui;
use rust_decimal::Decimal;

/// A thing in a form: what is picked stands in the thing, what is typed stands beside it until it is read.
pub struct TableForm<T: 'static> {
    fields: &'static [Field<T>],
    /// Positions of the fields that are shown, as they are drawn.
    order: Vec<usize>,
    /// What was there, with what was picked since.
    pub thing: T,
    texts: Vec<String>,
}

/// How a field is shown, where the table alone does not say.
pub enum Look {
    /// As its table says.
    Usual,
    /// With another hint.
    Hint(String),
    /// With these choices, by name and number.
    Among(Vec<(String, u32)>),
    /// With these names for its words.
    Named(Vec<&'static str>),
    /// By what is drawn below it.
    Below,
    /// Not at all.
    Hidden,
}

impl<T: Clone> TableForm<T> {
    /// A form over a thing.
    pub fn new(fields: &'static [Field<T>], thing: T) -> TableForm<T> {
        let texts = fields.iter().map(|field| shown(&field.kind, &thing)).collect();
        let (mut order, moved): (Vec<usize>, Vec<usize>) = (0..fields.len())
            .filter(|at| !fields[*at].title.is_empty())
            .partition(|at| fields[*at].after.is_empty());
        for at in moved {
            let behind = order.iter().position(|other| fields[*other].name == fields[at].after);
            order.insert(behind.map_or(order.len(), |behind| behind + 1), at);
        }
        TableForm { fields, order, thing, texts }
    }

    /// What is typed in a field; empty where there is none of the name.
    pub fn text(&self, name: &str) -> &str {
        let at = self.fields.iter().position(|field| field.name == name);
        at.and_then(|at| self.texts.get(at)).map_or("", String::as_str)
    }

    /// Types something into a field.
    pub fn set_text(&mut self, name: &str, text: &str) {
        for (field, typed) in self.fields.iter().zip(&mut self.texts) {
            if field.name == name {
                text.clone_into(typed);
            }
        }
    }

    /// Draws the fields; `look` says how those are shown of which the table says too little.
    pub fn ui(
        &mut self,
        ui: &mut Ui,
        project: &Project,
        tokens: &Tokens,
        look: impl Fn(&TableForm<T>, &str) -> Look,
    ) {
        self.ui_with(ui, project, tokens, look, |_, _, _| ());
    }

    /// The same, with what is drawn below a field, by its name.
    pub fn ui_with(
        &mut self,
        ui: &mut Ui,
        project: &Project,
        tokens: &Tokens,
        look: impl Fn(&TableForm<T>, &str) -> Look,
        mut below: impl FnMut(&mut TableForm<T>, &mut Ui, &str),
    ) {
        for at in self.order.clone() {
            let field = &self.fields[at];
            let look = look(self, field.name);
            if matches!(look, Look::Hidden) {
                continue;
            }
            if !field.section.is_empty() {
                fields::section(ui, tokens, field.section);
            }
            if !matches!(look, Look::Below) {
                self.field(ui, project, tokens, at, &look);
            }
            let name = field.name;
            below(self, ui, name);
        }
    }

    fn field(&mut self, ui: &mut Ui, project: &Project, tokens: &Tokens, at: usize, look: &Look) {
        let Field { title, hint, none, shown, kind, .. } = &self.fields[at];
        let hint = if let Look::Hint(hint) = look { hint.as_str() } else { *hint };
        let (thing, text) = (&mut self.thing, &mut self.texts[at]);
        match kind {
            Kind::Apart(_) => {}
            Kind::Lines(_) | Kind::Closed(_) | Kind::Holidays(_) => fields::lines_hint(ui, title, text, hint),
            Kind::Facts(_) => facts_field::ui(ui, tokens, text),
            Kind::Date(_) if hint.is_empty() => fields::date(ui, title, text),
            Kind::Date(_) => fields::date_hint(ui, title, text, hint),
            Kind::YesNo(at) if !at.maybe => {
                let mut yes = (at.get)(thing).unwrap_or(false);
                fields::flag(ui, title, &mut yes);
                (at.set)(thing, Some(yes));
            }
            Kind::YesNo(at) => choose(ui, title, none, at, thing, &fields::words(&YES_NO)),
            Kind::Word(words, at) => {
                let names = match look {
                    Look::Named(names) => names.as_slice(),
                    _ if shown.is_empty() => *words,
                    _ => *shown,
                };
                let all: Vec<(String, usize)> =
                    names.iter().enumerate().map(|(i, word)| ((*word).to_owned(), i)).collect();
                choose(ui, title, none, at, thing, &all);
            }
            Kind::Of(noun, at) => match look {
                Look::Among(all) => choose(ui, title, none, at, thing, all),
                _ => {
                    let all = noun.choices(project);
                    if let Some(name) = choose_or_new(ui, title, none, at, thing, &all, noun.new_word()) {
                        (at.set)(thing, Some(super::made::ask(ui.ctx(), project, *noun, &name)));
                    }
                }
            },
            _ => {
                let left = fields::typed(ui, title, text, hint, typed_as(kind)).lost_focus();
                if left {
                    self.settle(at);
                }
            }
        }
    }

    /// Lets the unit and the bounds follow a lead time that is typed with them: `6-8 weeks`.
    fn settle(&mut self, at: usize) {
        let Kind::Lead(_, unit) = &self.fields[at].kind else { return };
        // The bounds of a lead time are counted as it is.
        if self.fields[at].name != "lead" {
            return;
        }
        let Ok(Some(typed)) = fields::lead("", &self.texts[at]) else { return };
        if let Some(named) = typed.unit {
            (unit.set)(&mut self.thing, Some(named));
        }
        self.texts[at] = typed.count.to_string();
        if let (Some(min), Some(max)) = (typed.min, typed.max) {
            self.set_text("lead_min", &min.to_string());
            self.set_text("lead_max", &max.to_string());
        }
    }

    /// The thing as the form has it.
    ///
    /// # Errors
    /// What is wrong, behind the name of its field.
    pub fn read(&mut self) -> Result<T, String> {
        (0..self.fields.len()).for_each(|at| self.settle(at));
        let mut thing = self.thing.clone();
        self.order.iter().try_for_each(|at| read(&self.fields[*at], &mut thing, &self.texts[*at]))?;
        Ok(thing)
    }
}

const YES_NO: [(&str, bool); 2] = [("yes", true), ("no", false)];

fn choose<T, V: PartialEq + Clone>(
    ui: &mut Ui,
    title: &str,
    none: &str,
    at: &At<T, V>,
    thing: &mut T,
    all: &[(String, V)],
) {
    choose_or_new(ui, title, none, at, thing, all, None);
}

/// The same, where one that is not there may be named, which is given back.
fn choose_or_new<T, V: PartialEq + Clone>(
    ui: &mut Ui,
    title: &str,
    none: &str,
    at: &At<T, V>,
    thing: &mut T,
    all: &[(String, V)],
    new: Option<&str>,
) -> Option<String> {
    let before = (at.get)(thing);
    let mut now = before.clone();
    let empty = at.maybe.then(|| (none.to_owned(), None));
    let options: Vec<(String, Option<V>)> = empty
        .into_iter()
        .chain(all.iter().map(|(name, value)| (name.clone(), Some(value.clone()))))
        .collect();
    let made = fields::choice_or_new(ui, title, &mut now, &options, new);
    if now != before {
        (at.set)(thing, now);
    }
    made
}

/// What a text is read as while it is typed; `None` for words.
fn typed_as<T>(kind: &Kind<T>) -> Option<typed::Kind> {
    Some(match kind {
        Kind::Money(_) => typed::Kind::Money,
        Kind::Number(_) => typed::Kind::Number,
        Kind::Percent(_) => typed::Kind::Percent,
        Kind::Whole(_) | Kind::Days(_) | Kind::Signed(_) => typed::Kind::Whole,
        Kind::CalendarDays(_) => typed::Kind::Days,
        Kind::OpenDays(_) => typed::Kind::WorkingDays,
        Kind::Lead(..) => typed::Kind::Lead,
        _ => return None,
    })
}

/// The text of a field that is typed. What may not be missing is left empty when it is zero.
fn shown<T>(kind: &Kind<T>, thing: &T) -> String {
    let decimal = |maybe: bool, value: Option<Decimal>| match value {
        Some(value) if maybe || !value.is_zero() => value.to_string(),
        _ => String::new(),
    };
    match kind {
        Kind::Key(at) | Kind::Name(at) | Kind::Text(at) | Kind::Lines(at) | Kind::Address(at) => {
            (at.get)(thing).unwrap_or_default()
        }
        Kind::Money(at) => decimal(at.maybe, (at.get)(thing).map(|m| m.amount())),
        Kind::Number(at) => decimal(at.maybe, (at.get)(thing).map(|n| n.normalize())),
        Kind::Percent(at) => decimal(at.maybe, (at.get)(thing)),
        Kind::Whole(at) | Kind::CalendarDays(at) | Kind::OpenDays(at) | Kind::Lead(at, _) => {
            fields::shown((at.get)(thing))
        }
        Kind::Days(at) | Kind::Signed(at) => fields::shown((at.get)(thing)),
        Kind::Date(at) => fields::shown((at.get)(thing)),
        Kind::Parsed(parsed) | Kind::Stated(parsed) => (parsed.get)(thing),
        Kind::Facts(at) => facts_field::to_text(&(at.get)(thing).unwrap_or_default()),
        Kind::Holidays(at) => fields::shown((at.get)(thing)).replace(' ', "\n"),
        Kind::Closed(at) => closed_text(&(at.get)(thing).unwrap_or_default()),
        Kind::Apart(_) | Kind::YesNo(_) | Kind::Word(..) | Kind::Of(..) => String::new(),
    }
}

/// Reads what is typed in a field into a thing. Empty is nothing where something may be missing, else zero.
fn read<T>(field: &Field<T>, thing: &mut T, text: &str) -> Result<(), String> {
    let title = field.title;
    let empty = text.trim().is_empty();
    let missing = |maybe: bool| maybe && empty;
    match &field.kind {
        Kind::Key(at) | Kind::Name(at) => (at.set)(thing, Some(fields::required(title, text)?)),
        Kind::Text(at) | Kind::Lines(at) | Kind::Address(at) => {
            let text = if field.asked { fields::required(title, text)? } else { text.trim().to_owned() };
            (at.set)(thing, if missing(at.maybe) { None } else { Some(text) });
        }
        Kind::Money(at) if missing(at.maybe) => (at.set)(thing, None),
        Kind::Money(at) => (at.set)(thing, Some(fields::amount(title, text)?)),
        Kind::Number(at) | Kind::Percent(at) if missing(at.maybe) => (at.set)(thing, None),
        Kind::Number(at) => (at.set)(thing, Some(fields::decimal(title, text)?)),
        Kind::Percent(at) => (at.set)(thing, Some(fields::percent(title, text)?)),
        Kind::Whole(at) | Kind::CalendarDays(at) | Kind::OpenDays(at) => {
            let value = match field.kind {
                Kind::CalendarDays(_) => fields::days(title, text),
                Kind::OpenDays(_) => fields::working_days(title, text),
                _ => fields::whole(title, text),
            };
            (at.set)(thing, value?.or((!at.maybe).then_some(0)));
        }
        Kind::Lead(at, unit) => {
            let lead = fields::lead(title, text)?;
            if lead.is_some_and(|l| l.min.is_some() || l.unit.is_some() && l.unit != (unit.get)(thing)) {
                return Err(format!("{title}: write one number, counted as the likely lead time is"));
            }
            (at.set)(thing, lead.map(|l| l.count).or((!at.maybe).then_some(0)));
        }
        Kind::Days(at) | Kind::Signed(at) => {
            let value = fields::whole(title, text)?;
            (at.set)(thing, value.or((!at.maybe).then_some(0)));
        }
        Kind::Date(at) => {
            let day = fields::day(title, text)?;
            if day.is_none() && !at.maybe {
                return Err(format!("{title}: write the day"));
            }
            (at.set)(thing, day);
        }
        Kind::Parsed(parsed) | Kind::Stated(parsed) => {
            (parsed.set)(thing, text).map_err(|why| format!("{title}: {why}"))?;
        }
        Kind::Holidays(at) => (at.set)(thing, Some(fields::holidays(title, text)?)),
        Kind::Facts(at) => (at.set)(thing, Some(facts_field::read(text)?)),
        Kind::Closed(at) => {
            let before = (at.get)(thing).unwrap_or_default();
            (at.set)(thing, Some(closed_ranges(text, &before).map_err(|why| format!("{title}: {why}"))?));
        }
        Kind::Apart(_) | Kind::YesNo(_) | Kind::Word(..) | Kind::Of(..) => {}
    }
    Ok(())
}
