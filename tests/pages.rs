//! Pages for a phone, of every sample and everybody they are for.

mod common;

use common::{run, sample_folders};
use needline::engine::{self, Figures};
use needline::exchange::import_folder;
use needline::exchange::outgoing::pages::{Page, PageFor, Standing, html, page};
use needline::model::{Action, OptionState, PhaseKind, Project};
use std::path::PathBuf;

fn samples() -> Vec<(Project, Figures)> {
    let one = |folder: &PathBuf| {
        let project = import_folder(folder).unwrap().0;
        let figures = engine::compute(&project, project.settings.as_of.unwrap());
        (project, figures)
    };
    sample_folders().iter().map(one).collect()
}

fn all_of(project: &Project) -> Vec<PageFor> {
    let mut all = vec![PageFor::Choices(None), PageFor::Visit(None)];
    all.extend(project.rooms.iter().map(|room| PageFor::Choices(Some(room.id))));
    all.extend(project.crews.iter().map(|crew| PageFor::Crew(crew.id)));
    all.extend(project.suppliers.iter().map(|supplier| PageFor::Supplier(supplier.id)));
    let inspections = project.phases.iter().filter(|p| p.kind == PhaseKind::Inspection);
    all.extend(inspections.map(|phase| PageFor::Visit(Some(phase.id))));
    all
}

/// The words of a page without its markup and its style.
fn words(text: &str) -> String {
    let body = text.split("<body>").nth(1).unwrap();
    let mut out = String::new();
    let mut inside = false;
    for c in body.chars() {
        match c {
            '<' => inside = true,
            '>' => (inside, _) = (false, out.push(' ')),
            _ if !inside => out.push(c),
            _ => {}
        }
    }
    out
}

/// Nothing is fetched, nothing runs, and no key of ours is on a page that leaves the house.
#[test]
fn a_page_needs_nothing_else_and_tells_no_key() {
    let mut looked_at = 0;
    for (project, figures) in samples() {
        let keys: Vec<&str> = project
            .selections
            .iter()
            .flat_map(|s| {
                s.options.iter().flat_map(|o| o.parts.iter().map(|p| p.key.as_str()).chain([o.key.as_str()]))
            })
            .chain(project.phases.iter().map(|p| p.key.as_str()))
            .chain(project.suppliers.iter().map(|s| s.key.as_str()))
            .filter(|key| key.contains('_'))
            .collect();
        assert!(keys.len() > 5);
        for of in all_of(&project) {
            let text = html(&page(&project, &figures, of, None).unwrap());
            looked_at += 1;
            for forbidden in ["<script", "http:", "https:", "url(", "@import", "src=\"/", "<link"] {
                assert!(!text.contains(forbidden), "{of:?} holds {forbidden}");
            }
            let words = words(&text);
            for key in &keys {
                assert!(!words.split_whitespace().any(|word| word == *key), "{of:?} tells the key {key}");
            }
        }
    }
    println!("{looked_at} pages");
}

/// What a choice would make of the house is what it makes of it once it is made.
#[test]
fn what_a_choice_would_make_of_the_house_is_what_it_makes_of_it() {
    let mut looked_at = 0;
    for (project, figures) in samples() {
        let shown = page(&project, &figures, PageFor::Choices(None), None).unwrap();
        let open: Vec<_> = project
            .selections
            .iter()
            .filter(|s| !s.options.is_empty() && s.options.iter().all(|o| o.state != OptionState::Chosen))
            .collect();
        assert_eq!(shown.sections.len(), open.len());
        for selection in open {
            let section = shown.sections.iter().find(|s| s.title == selection.name).unwrap();
            assert_eq!(section.cards.len(), selection.options.len());
            for (option, card) in selection.options.iter().zip(&section.cards) {
                looked_at += 1;
                let made = project.apply(&Action::Choose(option.id)).unwrap();
                let after = engine::compute(&made, figures.as_of.date());
                let finish = after.forecast_finish.unwrap().date().format("%a %b %-d, %Y").to_string();
                let fact = |name: &str| {
                    card.facts
                        .iter()
                        .find(|(n, _)| n == name)
                        .map(|(_, value)| value.as_str())
                        .unwrap_or_default()
                };
                assert!(fact("Finish").starts_with(&finish), "{}: {}", option.name, fact("Finish"));
                let more = after.money.total.forecast.less(figures.money.total.forecast);
                let currency = project.settings.currency;
                let amount = |text: &str| text.split(' ').next().unwrap().replace(',', "");
                match (more.is_zero(), more.is_negative()) {
                    (true, _) => assert_eq!(fact("Forecast of the house"), "as now"),
                    (_, back) => {
                        let way = if back { " less" } else { " more" };
                        assert!(fact("Forecast of the house").ends_with(way));
                        assert_eq!(amount(fact("Forecast of the house")), more.abs().to_plain(currency));
                    }
                }
                // A candidate is late when one of its parts would come after its day.
                let late = option.parts.iter().filter_map(|p| figures.part(p.id)).any(|f| f.late);
                assert_eq!(card.state.0 == Standing::Bad, late, "{}: {:?}", option.name, card.state);
                if let Some(strip) = card.strip {
                    assert!(
                        strip.first <= strip.ordered
                            && strip.ordered <= strip.arrives
                            && strip.arrives <= strip.last
                    );
                    assert!(strip.first <= strip.needed.max(strip.first) && strip.needed <= strip.last);
                }
            }
        }
    }
    assert!(looked_at > 20, "{looked_at}");
}

/// A supplier is told nothing of money, and sees what is on its way from it and nothing else.
#[test]
fn a_supplier_sees_what_is_on_its_way() {
    let mut on_the_way = 0;
    for (project, figures) in samples() {
        for (at, supplier) in project.suppliers.iter().enumerate() {
            let shown: Page = page(&project, &figures, PageFor::Supplier(supplier.id), None).unwrap();
            let cards: usize = shown.sections.iter().map(|s| s.cards.len()).sum();
            let own = project.all_parts().zip(&figures.parts).filter(|((_, _, part), f)| {
                f.supplier == Some(at as u32) && part.ordered_on.is_some() && !f.on_site && f.live
            });
            assert!(cards >= own.count(), "{}", supplier.name);
            on_the_way += cards;
            for currency in ["USD", "$"] {
                assert!(!words(&html(&shown)).contains(currency), "{} is told an amount", supplier.name);
            }
        }
    }
    assert!(on_the_way > 3);
}

/// Words that are markup stay words.
#[test]
fn words_stay_words() {
    let (mut project, figures) = samples().remove(1);
    let hostile = "</style><script>alert(1)</script>\"'&\u{202e}";
    project.settings.name = hostile.to_owned();
    project.settings.phone = hostile.to_owned();
    project.settings.ship_to = hostile.to_owned();
    for selection in std::sync::Arc::make_mut(&mut project.selections) {
        std::sync::Arc::make_mut(selection).name = hostile.to_owned();
    }
    for of in all_of(&project) {
        let text = html(&page(&project, &figures, of, None).unwrap());
        assert!(!text.contains("<script"), "{of:?}");
        assert_eq!(text.matches("</style>").count(), 1, "{of:?}");
    }
}

#[test]
fn the_verb_writes_a_page_and_says_what_is_missing() {
    let folder = tempfile::tempdir().unwrap();
    let project = folder.path().join("house.ron");
    assert_eq!(run(&[&"import", &sample_folders()[1], &"--out", &project]).0, 0);
    let out = folder.path().join("page.html");
    for (words, wanted) in [(vec!["--for", "choices"], "To choose"), (vec!["--for", "visit"], "Inspection")] {
        let mut all: Vec<&dyn AsRef<std::ffi::OsStr>> = vec![&"share", &project, &"--out", &out, &"--force"];
        all.extend(words.iter().map(|word| word as &dyn AsRef<std::ffi::OsStr>));
        let (code, said, err) = run(&all);
        assert_eq!((code, err.as_str()), (0, ""));
        assert!(said.contains(wanted), "{said}");
        assert!(std::fs::read_to_string(&out).unwrap().contains(&format!(">{wanted}<")));
    }
    let (code, _, err) = run(&[&"share", &project, &"--for", &"choices", &"--out", &out]);
    assert_eq!(code, 2);
    assert!(err.contains("--force"), "{err}");
    let (code, _, err) = run(&[&"share", &project, &"--for", &"supplier", &"--out", &out, &"--force"]);
    assert_eq!(code, 2);
    assert!(err.contains("--key says which supplier; there are "), "{err}");
    let (code, _, err) =
        run(&[&"share", &project, &"--for", &"choices", &"--key", &"nowhere", &"--out", &out, &"--force"]);
    assert_eq!(code, 2);
    assert!(err.contains("there is no room with the key `nowhere`; there are "), "{err}");
    let (code, _, err) = run(&[&"share", &project, &"--for", &"everybody", &"--out", &out]);
    assert_eq!(code, 2);
    assert!(err.contains("`everybody` is no page; there are choices, crew, supplier, visit"), "{err}");
}

/// Whoever approves, and a crew, answer with one touch: a message to the number of the house (RFC 5724) that says what it is
/// about, with each letter that parts an address written by its number (RFC 3986 section 2.1). Nothing is asked for what is
/// approved already, or without a number.
#[test]
fn an_answer_is_one_touch() {
    let folder = sample_folders().into_iter().find(|f| f.ends_with("laundry_room")).unwrap();
    let project = import_folder(&folder).unwrap().0;
    let figures = engine::compute(&project, project.settings.as_of.unwrap());
    let crew = project.crews.iter().find(|c| c.key == "finisher").unwrap().id;
    let text = html(&page(&project, &figures, PageFor::Crew(crew), None).unwrap());
    let sent =
        "sms:+15550140?body=Done%3A%20End%20cap%20of%20the%20counter%20is%20loose%20%28Laundry%20room%29";
    assert!(text.contains(&format!("href=\"{sent}\"")), "{text}");
    assert_eq!(text.matches("It is done").count(), 3);

    let washer = project.selections.iter().find(|s| s.key == "washer").unwrap();
    let open = project.apply(&Action::Reopen(washer.id)).unwrap();
    let figures = engine::compute(&open, project.settings.as_of.unwrap());
    let text = html(&page(&open, &figures, PageFor::Choices(None), None).unwrap());
    // One of the two was approved of.
    assert_eq!(text.matches("Yes to this one").count(), 1);
    assert!(
        text.contains(
            "?body=Laundry%20room%2C%20Washer%3A%20yes%20to%20Top-load%20washer%2C%204.2%20cu%20ft%2C%20white"
        ),
        "{text}"
    );
    assert!(text.contains("by J. Example, Sat Aug 22, 2026"));
    let mut nobody = open.clone();
    nobody.settings.phone.clear();
    let text = html(&page(&nobody, &figures, PageFor::Choices(None), None).unwrap());
    assert!(!text.contains("sms:") && !text.contains("Yes to this one"));
}
