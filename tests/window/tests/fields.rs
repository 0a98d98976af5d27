//! Forms: whatever a table of fields shows in a form is read back from it.

#![cfg(feature = "gui")]

#[path = "../../common/samples.rs"]
mod samples;

use chrono::NaiveDate;
use needline::exchange::typed::Typed;
use needline::model::field::Field;
use needline::model::{LeadUnit, Part, PartId, Project, Settings, Supplier, SupplierId};
use needline::ui::forms::fields;
use needline::ui::forms::table_form::TableForm;
use samples::{Visit, change, visit};

struct Forms {
    house: Project,
    tried: usize,
    lost: Vec<String>,
}

impl Visit for Forms {
    fn noun<T: Clone + PartialEq + std::fmt::Debug>(
        &mut self,
        sheet: &str,
        fields: &'static [Field<T>],
        all: impl Fn(&mut Project) -> Vec<&mut T>,
    ) {
        let mut house = self.house.clone();
        let Some(usual) = all(&mut house).first().map(|thing| (*thing).clone()) else { return };
        for field in fields.iter().filter(|field| !field.title.is_empty()) {
            let mut wanted = usual.clone();
            if !change(field, &mut wanted, &self.house, 0) {
                continue;
            }
            self.tried += 1;
            // What is typed comes from the form of the other thing, what is picked is picked.
            let typed = TableForm::new(fields, wanted.clone());
            let mut form = TableForm::new(fields, usual.clone());
            form.set_text(field.name, typed.text(field.name));
            if typed.text(field.name).is_empty() {
                change(field, &mut form.thing, &self.house, 0);
            }
            match form.read() {
                Ok(read) if read == wanted => {}
                Ok(_) => self.lost.push(format!("{sheet}.{}", field.name)),
                Err(why) => self.lost.push(format!("{sheet}.{}: {why}", field.name)),
            }
        }
    }
}

fn settings() -> Settings {
    Settings::new("House", NaiveDate::from_ymd_opt(2026, 9, 1).unwrap())
}

/// What a form makes of a thing with other texts in some fields.
fn typed<T: Clone>(table: &'static [Field<T>], thing: T, texts: &[(&str, &str)]) -> Result<T, String> {
    fields::read_by(Typed::of(&settings(), settings().start));
    let mut form = TableForm::new(table, thing);
    texts.iter().for_each(|(field, text)| form.set_text(field, text));
    form.read()
}

#[test]
fn a_lead_time_is_typed_with_its_unit_and_bounds() {
    let lead = |texts: &[(&str, &str)]| {
        let part = typed(Part::FIELDS, Part::new(PartId(1), "tile", "Tile"), texts)?;
        Ok::<_, String>((part.lead, part.lead_unit, part.lead_min, part.lead_max))
    };
    assert_eq!(lead(&[("lead", "3 weeks")]), Ok((Some(3), LeadUnit::Weeks, None, None)));
    assert_eq!(lead(&[("lead", "6-8 wks")]), Ok((Some(8), LeadUnit::Weeks, Some(6), Some(8))));
    assert_eq!(
        lead(&[("lead", "12 days"), ("lead_min", "10 days")]),
        Ok((Some(12), LeadUnit::Days, Some(10), None))
    );
    assert_eq!(
        lead(&[("lead", "3 weeks"), ("lead_min", "10 days")]).unwrap_err(),
        "Shortest: write one number, counted as the likely lead time is"
    );
    assert!(lead(&[("lead", "soon")]).unwrap_err().starts_with("Likely: `soon` is no lead time; write"));
}

#[test]
fn days_and_percents_of_a_supplier_are_typed_with_their_words() {
    let texts = [
        ("ship_days", "1 week"),
        ("net_days", "30 days"),
        ("return_days", "3 weeks"),
        ("tax_pct", "8.25%"),
        ("freight_flat", "$1,250"),
    ];
    let read = typed(Supplier::FIELDS, Supplier::new(SupplierId(1), "tiles", "Tiles"), &texts).unwrap();
    assert_eq!((read.ship_days, read.net_days, read.return_days), (7, 30, Some(21)));
    assert_eq!(read.tax_pct.to_string(), "8.25");
    assert_eq!(read.freight.flat.amount().to_string(), "1250");
}

#[test]
fn own_holidays_are_typed_as_people_write_days_one_a_line() {
    let read = |text: &str| {
        typed(Settings::FIELDS, settings(), &[("holidays", text)])
            .map(|settings| settings.holidays.to_string())
    };
    for text in [
        "us-federal\nDec 24\n12/31/2026",
        "us-federal 2026-12-24 2026-12-31",
        "12/31/26\nus-federal\nThu Dec 24, 2026",
    ] {
        assert_eq!(read(text).as_deref(), Ok("us-federal 2026-12-24 2026-12-31"), "{text}");
    }
    assert_eq!(read("Dec 24").as_deref(), Ok("none 2026-12-24"));
    assert_eq!(
        read("us-federal\nsoon").unwrap_err(),
        "Holidays: `soon` is neither us-federal, none nor a date like 2026-07-03"
    );
}

#[test]
fn every_field_comes_back_from_its_form() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../../sample_projects/orchard_house");
    let (house, _) = needline::exchange::import_folder(std::path::Path::new(path)).unwrap();
    let mut forms = Forms { house, tried: 0, lost: Vec::new() };
    visit(&mut forms);
    assert_eq!(forms.lost, Vec::<String>::new());
    assert!(forms.tried > 70, "{} fields", forms.tried);
}
