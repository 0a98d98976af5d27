//! The words of numbers, days and lead times, which are data.

use crate::model::LeadUnit;
use serde::Deserialize;
use std::collections::HashMap;
use std::sync::LazyLock;

/// Words by what they are for; the file says what each list holds.
#[derive(Debug, Default, Deserialize)]
pub struct Words {
    pub currencies: HashMap<String, Vec<String>>,
    pub codes: Vec<String>,
    pub months: Vec<Vec<String>>,
    pub at_once: Vec<String>,
    pub not_said: Vec<String>,
    pub before: Vec<String>,
    pub behind: Vec<String>,
    pub lead_units: Vec<(LeadUnit, u32, Vec<String>)>,
    pub hours: Vec<String>,
}

/// All of them, read once.
pub static WORDS: LazyLock<Words> = LazyLock::new(|| ron::from_str(TEXT).unwrap_or_default());

const TEXT: &str = include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/assets/words/typed.ron"));

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::HashSet;

    #[test]
    fn the_words_can_be_read_and_none_means_two_things() {
        let words: Words = ron::from_str(TEXT).unwrap();
        assert_eq!(words.months.len(), 12);
        let once = |lists: &mut dyn Iterator<Item = &Vec<String>>| {
            let mut seen = HashSet::new();
            for word in lists.flatten() {
                assert!(seen.insert(word), "`{word}` stands there twice");
                assert!(!word.trim().is_empty() && word.trim() == word, "`{word}`");
            }
        };
        once(&mut words.months.iter());
        once(&mut words.lead_units.iter().map(|(_, _, list)| list).chain([&words.hours]));
        once(&mut [&words.at_once, &words.not_said].into_iter());
        once(&mut [&words.before].into_iter());
        once(&mut [&words.behind].into_iter());
        let code = |code: &String| code.len() == 3 && code.bytes().all(|b| b.is_ascii_uppercase());
        assert!(words.codes.iter().all(code) && words.currencies.values().flatten().all(code));
        assert!(
            words.currencies.keys().all(|sign| *sign == sign.to_uppercase() && !words.codes.contains(sign))
        );
        let small = words.at_once.iter().chain(&words.not_said).chain(&words.before).chain(&words.behind);
        assert!(small.chain(words.months.iter().flatten()).all(|w| *w == w.to_lowercase()));
    }
}
