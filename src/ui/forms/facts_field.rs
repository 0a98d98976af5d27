//! The field for facts in the forms of options and parts: one a line, name and value.

use super::fields;
use crate::model::facts::{Fact, check_facts};
use crate::ui::theme::Tokens;
use crate::ui::widgets::pieces;
use egui::Ui;

/// Facts as lines of text.
pub fn to_text(facts: &[Fact]) -> String {
    facts.iter().map(|f| format!("{}: {}", f.name, f.value)).collect::<Vec<_>>().join("\n")
}

/// Draws the field.
pub fn ui(ui: &mut Ui, tokens: &Tokens, text: &mut String) {
    fields::section(ui, tokens, "Facts, one a line, for the rules of what goes with what");
    fields::lines(ui, "Facts", text);
    pieces::muted(
        ui,
        tokens,
        "for example  width: 60 in  or  finish family: warm brass  or  exhaust: 80 cfm",
    );
}

/// Reads the lines.
///
/// # Errors
/// The line that is no fact.
pub fn read(text: &str) -> Result<Vec<Fact>, String> {
    let mut facts = Vec::new();
    for line in text.lines().filter(|l| !l.trim().is_empty()) {
        let Some((name, value)) = line.split_once(':') else {
            return Err(format!("Facts: `{}` has no colon; write name: value", line.trim()));
        };
        let value = value.parse().map_err(|why| format!("Facts, {}: {why}", name.trim()))?;
        facts.push(Fact { name: name.trim().to_owned(), value });
    }
    check_facts(&facts).map_err(|why| format!("Facts: {why}"))?;
    Ok(facts)
}
