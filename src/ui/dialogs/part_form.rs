//! The form of a part: what, from whom, for which phase, how much, how long it takes, what it costs, what happened.

use super::facts_field;
use super::fields;
use super::house_forms::shown_decimal;
use crate::model::ids::key_from_name;
use crate::model::{
    Action, Laying, LeadUnit, NeededAt, OptionId, Part, PartId, PhaseId, Project, SupplierId,
};
use crate::ui::theme::Tokens;
use crate::ui::widgets::pieces;
use egui::Ui;
use rust_decimal::Decimal;

/// A part.
pub struct PartForm {
    option: OptionId,
    old: Option<Part>,
    name: String,
    article: String,
    supplier: Option<SupplierId>,
    phase: Option<PhaseId>,
    at: NeededAt,
    quantity: String,
    unit: String,
    pack: String,
    laying: Option<Laying>,
    waste: String,
    price: String,
    discount: String,
    taxable: bool,
    lead: String,
    lead_unit: LeadUnit,
    lead_min: String,
    lead_max: String,
    hold: String,
    ordered: String,
    promised: String,
    received: String,
    installed: String,
    paid: String,
    in_wall: Option<bool>,
    facts: String,
}

impl PartForm {
    /// Opens the form; `None` when the part or its option is gone.
    pub fn new(project: &Project, option: OptionId, id: Option<PartId>) -> Option<PartForm> {
        project.option(option)?;
        let old = match id {
            Some(id) => Some(project.part(id)?.2.clone()),
            None => None,
        };
        let p = old.clone().unwrap_or_else(|| Part::new(PartId(0), "", ""));
        Some(PartForm {
            option,
            name: p.name,
            article: p.article,
            supplier: p.supplier,
            phase: p.phase,
            at: p.at,
            quantity: p.quantity.to_string(),
            unit: p.unit,
            pack: fields::shown(p.pack),
            laying: p.laying,
            waste: shown_decimal(p.waste_pct),
            price: shown_decimal(p.unit_price.amount()),
            discount: shown_decimal(p.discount_pct),
            taxable: p.taxable,
            lead: p.lead.to_string(),
            lead_unit: p.lead_unit,
            lead_min: fields::shown(p.lead_min),
            lead_max: fields::shown(p.lead_max),
            hold: fields::shown(p.hold),
            ordered: fields::shown(p.ordered_on),
            promised: fields::shown(p.promised_on),
            received: fields::shown(p.received_on),
            installed: fields::shown(p.installed_on),
            paid: shown_decimal(p.paid.amount()),
            in_wall: p.in_wall,
            facts: facts_field::to_text(&p.facts),
            old,
        })
    }

    /// Draws the fields.
    pub fn ui(&mut self, ui: &mut Ui, project: &Project, tokens: &Tokens) {
        fields::text(ui, "Name", &mut self.name);
        let mut suppliers = vec![("none yet".to_owned(), None)];
        suppliers.extend(project.suppliers.iter().map(|s| (s.name.clone(), Some(s.id))));
        fields::choice(ui, "Supplier", &mut self.supplier, &suppliers);
        fields::text_hint(ui, "Article number", &mut self.article, "the supplier's own, for price lists");
        let mut phases = vec![("none yet".to_owned(), None)];
        phases.extend(project.phases.iter().map(|p| (p.name.clone(), Some(p.id))));
        fields::choice(ui, "Needed by", &mut self.phase, &phases);
        fields::choice(ui, "Needed for its", &mut self.at, &fields::words(&NeededAt::ALL));
        let walls = [("as the phase says", None), ("yes", Some(true)), ("no", Some(false))];
        fields::choice(ui, "Behind the wall", &mut self.in_wall, &fields::words(&walls));
        fields::section(ui, tokens, "How much");
        fields::text_hint(
            ui,
            "Quantity",
            &mut self.quantity,
            "a number, or floor, walls, baseboard, band(3,4.5), sqm(floor)",
        );
        fields::text(ui, "Unit", &mut self.unit);
        fields::text_hint(ui, "Units in a pack", &mut self.pack, "empty when it is not packed");
        let ways = [("not said", None)].into_iter().chain(Laying::ALL.map(|(word, l)| (word, Some(l))));
        fields::choice(ui, "Laid", &mut self.laying, &fields::words(&ways.collect::<Vec<_>>()));
        let usual = self.laying.map_or("0".to_owned(), |l| format!("{} is usual", l.usual_waste()));
        fields::text_hint(ui, "Waste, percent", &mut self.waste, &usual);
        fields::section(ui, tokens, "Price");
        fields::text(ui, "Price of one unit", &mut self.price);
        fields::text_hint(ui, "Discount, percent", &mut self.discount, "0");
        fields::flag(ui, "Sales tax applies", &mut self.taxable);
        fields::section(ui, tokens, "Lead time, from order to ready");
        fields::text(ui, "Likely", &mut self.lead);
        fields::choice(ui, "Counted in", &mut self.lead_unit, &fields::words(&LeadUnit::ALL));
        fields::text(ui, "Shortest", &mut self.lead_min);
        fields::text(ui, "Longest", &mut self.lead_max);
        let hold = format!("{} as in the settings", project.settings.hold);
        fields::text_hint(ui, "Hold, working days", &mut self.hold, &hold);
        fields::section(ui, tokens, "What happened");
        fields::date(ui, "Ordered on", &mut self.ordered);
        fields::date(ui, "Promised for", &mut self.promised);
        fields::date(ui, "Received on", &mut self.received);
        fields::date(ui, "Built in on", &mut self.installed);
        fields::text_hint(ui, "Paid", &mut self.paid, "0");
        facts_field::ui(ui, tokens, &mut self.facts);
        pieces::muted(
            ui,
            tokens,
            "The hold is the time wanted between arrival and use, to check for damage or acclimate.",
        );
    }

    /// The change the form asks for.
    ///
    /// # Errors
    /// What is wrong with which field.
    pub fn action(&self, project: &Project) -> Result<Action, String> {
        let name = fields::required("Name", &self.name)?;
        let (id, key) = match &self.old {
            Some(old) => (old.id, old.key.clone()),
            None => {
                let base = project.option(self.option).map_or(String::new(), |(s, _)| s.key.clone());
                let keys = project.all_parts().map(|(_, _, p)| p.key.as_str());
                (PartId(project.next_id), key_from_name(&format!("{base} {name}"), keys))
            }
        };
        let pack = fields::decimal("Units in a pack", &self.pack)?;
        Ok(Action::PutPart(
            self.option,
            Part {
                id,
                key,
                name,
                article: self.article.trim().to_owned(),
                supplier: self.supplier,
                phase: self.phase,
                at: self.at,
                quantity: self.quantity.parse()?,
                unit: self.unit.trim().to_owned(),
                pack: (pack != Decimal::ZERO).then_some(pack),
                laying: self.laying,
                waste_pct: fields::percent("Waste", &self.waste)?,
                unit_price: fields::amount("Price of one unit", &self.price)?,
                discount_pct: fields::percent("Discount", &self.discount)?,
                taxable: self.taxable,
                lead: fields::whole("Likely lead time", &self.lead)?.unwrap_or(0),
                lead_unit: self.lead_unit,
                lead_min: fields::whole("Shortest lead time", &self.lead_min)?,
                lead_max: fields::whole("Longest lead time", &self.lead_max)?,
                hold: fields::working_days("Hold", &self.hold)?,
                ordered_on: fields::day("Ordered on", &self.ordered)?,
                promised_on: fields::day("Promised for", &self.promised)?,
                received_on: fields::day("Received on", &self.received)?,
                installed_on: fields::day("Built in on", &self.installed)?,
                paid: fields::amount("Paid", &self.paid)?,
                in_wall: self.in_wall,
                facts: facts_field::read(&self.facts)?,
            },
        ))
    }
}
