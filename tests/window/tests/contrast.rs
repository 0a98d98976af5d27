//! Every color that is drawn against what it is drawn on, in every area, page, form and sheet, light and dark: text at
//! least 4.5 to 1 (WCAG 2.2, 1.4.3), marks that carry meaning at least 3 to 1 (1.4.11). What is measured is what was
//! drawn, and no list of colors.

#![cfg(feature = "gui")]

mod support;

use egui::{Color32, Theme};
use needline::ui::theme::Tokens;
use needline::ui::theme::tokens::{DARK, LIGHT};
use std::collections::BTreeMap;
use support::audit::{Drawn, contrast, drawings, is_picture};
use support::every;

/// Colors of lines and grounds that only set things apart: nothing is told by them alone.
fn sets_apart(tokens: &Tokens, color: Color32) -> bool {
    let grounds =
        [tokens.strip, tokens.work, tokens.card, tokens.picked, tokens.hovered, tokens.line, tokens.day_off];
    // A faint line is one that lets its ground through.
    grounds.contains(&color) || color.a() < 250
}

#[test]
fn every_color_is_seen_on_what_it_stands_on() {
    let folder = tempfile::tempdir().unwrap();
    let first = every::open(&folder, 1440.0, 900.0, Theme::Light);
    let project = first.state().project().unwrap().clone();
    drop(first);
    let (mut faults, mut pairs) = (BTreeMap::new(), BTreeMap::new());
    for (theme, tokens) in [(Theme::Light, LIGHT), (Theme::Dark, DARK)] {
        for (name, show) in every::scenes(&project) {
            let mut harness = every::open(&folder, 1440.0, 900.0, theme);
            every::show(&mut harness, &show);
            let drawn = Drawn::of(&harness);
            for (text, ground) in drawn.grounds() {
                let least = if is_picture(text) { 3.0 } else { 4.5 };
                *pairs.entry((text.color.to_array(), ground.to_array(), "text")).or_insert(0) += 1;
                let found = contrast(text.color, ground);
                if found < least {
                    let pair = (text.color.to_hex(), ground.to_hex());
                    faults
                        .entry((format!("{theme:?}"), pair))
                        .or_insert_with(|| format!("{name}: {:?} is {found:.2}", text.words));
                }
            }
            let things = drawings(&harness);
            for (mark, ground) in drawn.mark_grounds() {
                let of_a_thing = things.iter().any(|rect| rect.expand(2.0).contains_rect(mark.rect));
                if of_a_thing || sets_apart(&tokens, mark.color) {
                    continue;
                }
                *pairs.entry((mark.color.to_array(), ground.to_array(), "mark")).or_insert(0) += 1;
                let found = contrast(mark.color, ground);
                if found < 3.0 {
                    let pair = (mark.color.to_hex(), ground.to_hex());
                    faults
                        .entry((format!("{theme:?}"), pair))
                        .or_insert_with(|| format!("{name}: a mark at {:?} is {found:.2}", mark.rect));
                }
            }
        }
    }
    let drawn: usize = pairs.values().sum();
    println!("{} pairs of colors, drawn {drawn} times", pairs.len());
    let all: Vec<String> = faults.iter().map(|(pair, fault)| format!("{pair:?} {fault}")).collect();
    assert!(all.is_empty(), "{} faults:\n{}", all.len(), all.join("\n"));
}
