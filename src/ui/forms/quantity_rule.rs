//! Below the quantity of a part: the measures of its room to pick from, and what comes out while it is typed.

use super::fields;
use super::table_form::TableForm;
use crate::engine::takeoff::{RoomSize, Steps, needed, steps};
use crate::model::quantity::{Expr, Measure, Quantity, shown};
use crate::model::{Part, Room, Units};
use crate::ui::theme::Tokens;
use crate::ui::widgets::pieces;
use egui::{RichText, Ui};
use rust_decimal::Decimal;

/// Draws what comes out, and on a wish the measures.
pub fn ui(
    ui: &mut Ui,
    tokens: &Tokens,
    form: &mut TableForm<Part>,
    (room, size): (Option<&Room>, &RoomSize),
    picking: &mut bool,
) {
    let (text, color) = match comes_out(form, room, size) {
        Ok(words) if words.is_empty() => (String::new(), tokens.muted),
        Ok(words) => (words, tokens.text),
        Err(why) => (why, tokens.late),
    };
    ui.horizontal_wrapped(|ui| {
        if !text.is_empty() {
            ui.add(egui::Label::new(RichText::new(text).color(color)).wrap());
        }
        let words = if *picking { "without the room" } else { "measure by the room\u{2026}" };
        if pieces::link(ui, tokens, words).clicked() {
            *picking = !*picking;
        }
    });
    if *picking {
        measures(ui, tokens, form, (room, size));
    }
}

/// The measures of the room with what they are; a click puts the word of one into the rule.
fn measures(
    ui: &mut Ui,
    tokens: &Tokens,
    form: &mut TableForm<Part>,
    (room, size): (Option<&Room>, &RoomSize),
) {
    let measured = !size.floor.is_zero() && room.is_some_and(|room| !room.height.is_zero());
    let mut taken = None;
    let mut any = false;
    ui.horizontal_wrapped(|ui| {
        for (word, measure) in Measure::ALL {
            let Ok(value) = needed(&Quantity::Rule(Expr::Measure(measure)), room, size) else { continue };
            // What nobody has measured is not zero; a measured room without a window has none.
            if value.is_zero() && !measured {
                continue;
            }
            any = true;
            let unit = unit(measure, size.units);
            let button = pieces::row_button(
                ui,
                &format!("{word}  {} {unit}", shown(value.round_dp(2))),
                &format!("Use {word}, {} {unit}", shown(value.round_dp(2))),
            );
            if button.clicked() {
                taken = Some(word);
            }
        }
    });
    if !any {
        pieces::muted(ui, tokens, "Nobody has measured the room yet; its form takes its sizes.");
    }
    if let Ok(Quantity::Fixed(number)) = fields::reader().quantity(form.text("quantity")) {
        pieces::muted(ui, tokens, format!("A measure takes the place of {}.", shown(number)));
    }
    pieces::muted(
        ui,
        tokens,
        "Numbers and + - * / go with them: floor*1.1, walls/90+1, band(3,4.5) for a band of wall between two heights.",
    );
    if let Some(word) = taken {
        let text = with_word(form.text("quantity"), word);
        form.set_text("quantity", &text);
    }
}

/// A rule with another measure: in place of a number alone, else behind what stands there.
pub fn with_word(text: &str, word: &str) -> String {
    let text = text.trim();
    let open = text.ends_with(['+', '-', '*', '/', '(', ',']);
    match fields::reader().quantity(text) {
        _ if text.is_empty() => word.to_owned(),
        Ok(Quantity::Fixed(_)) => word.to_owned(),
        _ if open => format!("{text}{word}"),
        _ => format!("{text}+{word}"),
    }
}

fn unit(measure: Measure, units: Units) -> String {
    match Expr::Measure(measure).plain_dimension() {
        Some(1) => units.length().to_owned(),
        Some(3) => format!("cu {}", units.length()),
        _ => units.area().to_owned(),
    }
}

/// What is bought, in words, with how it comes about; nothing where it is what is typed.
fn comes_out(form: &TableForm<Part>, room: Option<&Room>, size: &RoomSize) -> Result<String, String> {
    let reader = fields::reader();
    let text = form.text("quantity");
    if text.trim().is_empty() {
        return Ok(String::new());
    }
    let number = |name: &str| -> Result<Option<Decimal>, String> {
        let text = form.text(name);
        if text.trim().is_empty() {
            Ok(None)
        } else {
            reader.number(text).map(Some).map_err(|why| why.to_string())
        }
    };
    let part = Part {
        quantity: reader.quantity(text).map_err(|why| why.to_string())?,
        pack: number("pack")?,
        waste_pct: number("waste_pct")?.unwrap_or_default(),
        unit: form.text("unit").to_owned(),
        ..form.thing.clone()
    };
    let found = steps(&part, room, size).map_err(|why| why.message().to_owned())?;
    let plain = matches!(part.quantity, Quantity::Fixed(_)) && found.to_buy == found.net;
    Ok(if plain { String::new() } else { words(&found, &part.unit) })
}

/// The steps in words.
pub fn words(steps: &Steps, unit: &str) -> String {
    let amount = |n: Decimal| crate::model::words::quantity(n, unit);
    let mut text = amount(steps.net);
    if let Some(waste) = steps.waste {
        text += &format!(", with {} percent waste {}", waste.normalize(), amount(steps.with_waste));
    }
    match steps.packs {
        Some((packs, pack)) => {
            let one = if packs == Decimal::ONE { "pack" } else { "packs" };
            text + &format!(": {} {one} of {} are {}", shown(packs), pack.normalize(), amount(steps.to_buy))
        }
        None => text,
    }
}
