//! What is on order from a supplier, from the same value as its purchase list: what is to come and when it is needed. It
//! holds no price; the list does.

use super::{Card, Page, Section, Standing, empty};
use crate::engine::Figures;
use crate::exchange::outgoing::lists::list::{LineState, ListLine, Maker};
use crate::exchange::outgoing::print::words::{date, joined, quantity};
use crate::model::{Project, SupplierId};

/// The page.
pub fn page(project: &Project, figures: &Figures, supplier: SupplierId) -> Option<Page> {
    let at = project.suppliers.iter().position(|s| s.id == supplier)?;
    let mut page = empty(project, figures, format!("On order: {}", project.suppliers.get(at)?.name));
    let list = Maker::new(project, figures).list(Some(at));
    let orders = list.iter().flat_map(|list| &list.orders).filter(|order| order.placed.is_some());
    for order in orders {
        let cards: Vec<Card> = order
            .lines
            .iter()
            .filter(|line| line.state == LineState::Ordered && line.back.is_none())
            .map(card)
            .collect();
        if cards.is_empty() {
            continue;
        }
        let placed = order.placed.map_or(String::new(), |day| format!("Ordered {}", date(day)));
        page.sections.push(Section {
            title: placed,
            lead: [order.number.clone()]
                .into_iter()
                .filter(|n| !n.is_empty())
                .map(|n| format!("Number {n}"))
                .collect(),
            cards,
        });
    }
    page.lead.push(match page.sections.is_empty() {
        true => "Nothing is on its way.".to_owned(),
        false => "Please say where one of these days does not hold.".to_owned(),
    });
    if !project.settings.ship_to.trim().is_empty() {
        page.lead.push(format!("Goods are brought to: {}", project.settings.ship_to));
    }
    Some(page)
}

fn card(line: &ListLine) -> Card {
    let part = if line.part == line.option { "" } else { line.part.as_str() };
    let mut card = Card::of(joined(&[&line.option, part], ": "));
    card.more = joined(&[&line.finish, &line.article], ", ");
    card.facts.push(("Quantity".to_owned(), quantity(line.quantity, &line.unit)));
    if let Some(day) = line.promised_on {
        card.facts.push(("Promised for".to_owned(), date(day)));
    }
    if let Some(day) = line.need_date {
        card.facts.push(("Needed on site".to_owned(), date(day)));
    }
    card.state = match (line.expected, line.late) {
        (Some(day), true) => (Standing::Bad, format!("Expected {}, after it is needed", date(day))),
        (Some(day), false) => (Standing::Good, format!("Expected {}", date(day))),
        (None, _) => (Standing::Plain, "No day is known".to_owned()),
    };
    card
}
