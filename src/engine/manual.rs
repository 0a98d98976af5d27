//! How the figures are computed, in words: the one text that stands in the documentation of the engine and in the help
//! of the window.

/// A section of the manual: the first line of its text is its title.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Section(&'static str);

macro_rules! sections {
    ($($name:literal),* $(,)?) => {
        /// All sections, in the order in which the figures hang on each other.
        pub const SECTIONS: &[Section] =
            &[$(Section(include_str!(concat!("../../assets/manual/", $name, ".md")))),*];
    };
}

sections!(
    "calendar",
    "plan",
    "arrival",
    "specs",
    "forecast",
    "quantity",
    "orders",
    "money",
    "returns",
    "fits",
    "gates",
    "people",
    "in_use",
    "week",
    "closing_out",
    "log",
    "risk",
    "curve",
    "alternatives",
);

impl Section {
    /// Its title.
    pub fn title(self) -> &'static str {
        self.0.lines().next().unwrap_or_default().trim_start_matches("# ")
    }

    /// Its paragraphs.
    pub fn paragraphs(self) -> impl Iterator<Item = &'static str> {
        self.0.split("\n\n").skip(1).map(str::trim)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_section_has_a_title_and_says_something() {
        for section in SECTIONS {
            assert!(!section.title().is_empty() && !section.title().contains('#'), "{section:?}");
            assert!(section.paragraphs().all(|p| !p.is_empty() && !p.contains('\n')), "{}", section.title());
            assert!(section.paragraphs().count() > 0, "{}", section.title());
        }
    }
}
