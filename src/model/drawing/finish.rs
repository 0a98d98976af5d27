//! Words of finishes and the color each brings to mind.

use super::mix;
use crate::model::look::Rgb;

/// Words and colors.
const FINISHES: &[(&str, u32)] = &[
    ("white", 0xf4f3ee),
    ("cream", 0xf0e8d2),
    ("ivory", 0xf2ecd9),
    ("almond", 0xe9dcc3),
    ("beige", 0xdccfb4),
    ("oatmeal", 0xd9cfbb),
    ("linen", 0xe5dccb),
    ("pearl", 0xe9e6dd),
    ("primed", 0xecebe6),
    ("sand", 0xd8c7a3),
    ("tan", 0xcbb08a),
    ("taupe", 0xa89a8a),
    ("clay", 0xb9805f),
    ("terracotta", 0xb8653f),
    ("red", 0xa6473c),
    ("yellow", 0xe0bf5c),
    ("gray", 0x9a9c9e),
    ("grey", 0x9a9c9e),
    ("charcoal", 0x45484b),
    ("slate", 0x5c656e),
    ("black", 0x232527),
    ("blackened", 0x2e3032),
    ("iron", 0x3b3d3f),
    ("navy", 0x27394f),
    ("blue", 0x4d6f91),
    ("mist", 0xb9cac4),
    ("sage", 0x9aa88d),
    ("green", 0x5f7a62),
    ("chrome", 0xd3d9dd),
    ("steel", 0xb6babd),
    ("stainless", 0xb6babd),
    ("nickel", 0xb7b1a7),
    ("silver", 0xc3c6c8),
    ("pewter", 0x8d8f8e),
    ("galvanized", 0xb4b9bb),
    ("brass", 0xc0a05a),
    ("gold", 0xc9a646),
    ("bronze", 0x5b4636),
    ("copper", 0xb06a45),
    ("walnut", 0x5f432f),
    ("brown", 0x6e5240),
    ("hickory", 0xb58a5a),
    ("maple", 0xdcb98a),
    ("cherry", 0x8e4a33),
    ("birch", 0xe3c9a0),
    ("pine", 0xdcbd84),
    ("fir", 0xc99a66),
    ("oak", 0xc4a06c),
    ("cedar", 0xa9714b),
    ("wood", 0xcfa873),
    ("lumber", 0xd9b684),
    ("rattan", 0xc9a36a),
    ("kraft", 0xb9976c),
    ("stone", 0xc4bfb4),
    ("limestone", 0xcfc7b6),
    ("marble", 0xe8e7e4),
    ("quartz", 0xe2dfd9),
    ("granite", 0x77787a),
    ("soapstone", 0x4d5352),
    ("concrete", 0xa8a7a2),
    ("clear", 0xdfeaee),
    ("frosted", 0xe3ebee),
];

/// Words that make what follows them darker, by so many hundredths.
const DARKER: [(&str, u32); 2] = [("dark", 38), ("deep", 30)];
/// Words that make what follows them lighter, by so many hundredths.
const LIGHTER: [(&str, u32); 3] = [("pale", 48), ("light", 38), ("soft", 22)];

fn rgb(hex: u32) -> Rgb {
    let [_, red, green, blue] = hex.to_be_bytes();
    Rgb(red, green, blue)
}

/// The words that have a color, with it.
pub fn finish_words() -> impl Iterator<Item = (&'static str, Rgb)> {
    FINISHES.iter().map(|(word, hex)| (*word, rgb(*hex)))
}

/// The color of a piece of a description. The last word with a color counts, so that `white oak` is oak and `matte
/// black` black; a word before it can make it darker or lighter.
fn color(piece: &str) -> Option<(&'static str, Rgb)> {
    let words: Vec<&str> = piece.split(|c: char| !c.is_alphanumeric()).filter(|w| !w.is_empty()).collect();
    let (at, (word, color)) =
        words.iter().enumerate().rev().find_map(|(at, word)| {
            finish_words().find(|(known, _)| known == word).map(|found| (at, found))
        })?;
    let before = words.get(..at).unwrap_or_default();
    let by = |all: &[(&str, u32)]| all.iter().find(|(sign, _)| before.contains(sign)).map(|(_, by)| *by);
    let color = match (by(&DARKER), by(&LIGHTER)) {
        (Some(by), _) => mix(color, Rgb(0, 0, 0), by),
        (None, Some(by)) => mix(color, Rgb(255, 255, 255), by),
        (None, None) => color,
    };
    Some((word, color))
}

/// The color of a finish described in words, and a second one where it has two, as `black and white`; nothing when no
/// word is known. What comes first counts first: `white oak, clear` is oak, with a clear coat that has no color.
pub fn colors_in_words(finish: &str) -> (Option<Rgb>, Option<Rgb>) {
    let mut text = finish.to_lowercase();
    for between in [" and ", " with ", " on ", " over ", ";", "/"] {
        text = text.replace(between, ",");
    }
    let mut found = text.split(',').filter_map(color);
    let Some((_, first)) = found.next() else { return (None, None) };
    let second = found.find(|(word, color)| !matches!(*word, "clear" | "frosted") && *color != first);
    (Some(first), second.map(|(_, color)| color))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_finish_itself_counts_before_its_coat_and_its_frame() {
        let of = |word: &str| finish_words().find(|(known, _)| *known == word).map(|(_, color)| color);
        for (finish, first, second) in [
            ("white oak, clear", of("oak"), None),
            ("Matte BLACK", of("black"), None),
            ("clear glass, brushed nickel", of("clear"), of("nickel")),
            ("black and white", of("black"), of("white")),
            (
                "white inside, dark bronze outside",
                of("white"),
                Some(mix(of("bronze").unwrap(), Rgb(0, 0, 0), 38)),
            ),
            ("black glass", of("black"), None),
            ("standard", None, None),
            ("", None, None),
            (",,;/ and ", None, None),
            ("blackish", None, None),
            ("white, white", of("white"), None),
        ] {
            assert_eq!(colors_in_words(finish), (first, second), "{finish}");
        }
        let gray = colors_in_words("gray").0.unwrap();
        assert!(colors_in_words("pale gray").0.unwrap().0 > gray.0);
        assert!(colors_in_words("dark gray").0.unwrap().0 < gray.0);
        assert!(colors_in_words("gray, dark").0.unwrap() == gray);
    }
}
