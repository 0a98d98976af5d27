//! Another option in one row: its name, what one costs, how long it takes and who sells it. The rest is as beside it.

use crate::exchange::typed::Kind;
use crate::model::field::Noun;
use crate::model::sibling::{self, Row, RowLead};
use crate::model::{Action, Selection, SelectionId, SupplierId};
use crate::ui::forms::fields;
use crate::ui::session::Session;
use crate::ui::theme::tokens::{space, type_size};
use crate::ui::view::{Form, Outbox, View};
use crate::ui::widgets::drop_down::{Picked, pick};
use crate::ui::widgets::pieces;
use egui::{Key, RichText, Role, TextEdit, Ui, WidgetInfo};

/// What is typed in the row.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct AddRow {
    of: Option<SelectionId>,
    name: String,
    price: String,
    lead: String,
    supplier: Option<Seller>,
    fault: Option<String>,
    /// The name is to have the keyboard, for the next one.
    again: bool,
}

/// Who sells it.
#[derive(Debug, Clone, PartialEq, Eq)]
enum Seller {
    Known(SupplierId),
    /// One that is added with the option.
    New(String),
}

/// Draws the row.
pub fn ui(ui: &mut Ui, view: &View<'_>, session: &mut Session, selection: &Selection, out: &mut Outbox) {
    if session.add_row.of != Some(selection.id) {
        session.add_row = AddRow { of: Some(selection.id), ..AddRow::default() };
    }
    let row = &mut session.add_row;
    let tokens = view.tokens;
    let like = sibling::sibling(selection);
    let blank = like.is_some_and(|like| selection.options.len() == 1 && sibling::is_blank(like));
    let title = if blank { "Name the first candidate" } else { "Add an option" };
    pieces::group_title(ui, tokens, title);
    let mut entered = false;
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = space::S;
        let mut field = |ui: &mut Ui, text: &mut String, width: f32, hint: &str, spoken: &str| {
            let field = ui.add(TextEdit::singleline(text).desired_width(width).hint_text(hint));
            field.widget_info(|| WidgetInfo::labeled(Role::TextInput, true, spoken));
            entered |= field.lost_focus() && ui.input(|i| i.key_pressed(Key::Enter));
            field
        };
        let name = field(
            ui,
            &mut row.name,
            (ui.available_width() - 20.0).min(190.0),
            "name",
            "Name of the new option",
        );
        if std::mem::take(&mut row.again) {
            name.request_focus();
        }
        field(ui, &mut row.price, 84.0, "price of one", "Price of the new option");
        field(ui, &mut row.lead, 84.0, "6-8 weeks", "Lead time of the new option");
        seller(
            ui,
            view,
            row,
            like.and_then(|like| sibling::main_part(like).and_then(|at| like.parts.get(at)?.supplier)),
        );
        if pieces::primary_button(ui, tokens, if blank { "Name it" } else { "Add" }).clicked() {
            entered = true;
        }
    });
    let understood = [(Kind::Money, &row.price), (Kind::Lead, &row.lead)];
    let words: Vec<String> = understood
        .into_iter()
        .filter_map(|(kind, text)| fields::reader().understood(kind, text).ok().flatten())
        .collect();
    if !words.is_empty() {
        pieces::muted(ui, tokens, words.join(", "));
    }
    if let Some(like) = like.filter(|like| like.parts.len() > 1)
        && let Some(part) = sibling::main_part(like).and_then(|at| like.parts.get(at))
    {
        pieces::muted(ui, tokens, format!("price and lead time of {}; the other parts stay open", part.name));
    }
    if let Some(fault) = &row.fault {
        ui.add(egui::Label::new(RichText::new(fault).size(type_size::BODY).color(tokens.late)).wrap());
    }
    if pieces::link(ui, tokens, "all of its fields…").on_hover_text("Finish, picture, page, facts").clicked()
    {
        out.edit(Form::Option(selection.id, None));
    }
    // Enter in a row in which nothing is typed is no wish.
    if entered && !(row.name.trim().is_empty() && row.price.trim().is_empty() && row.lead.trim().is_empty()) {
        match wanted(view, selection, row) {
            Ok(action) => {
                out.act(action);
                *row =
                    AddRow { of: row.of, again: true, supplier: row.supplier.clone(), ..AddRow::default() };
                if matches!(row.supplier, Some(Seller::New(_))) {
                    row.supplier = None;
                }
            }
            Err(why) => row.fault = Some(why),
        }
    }
}

/// Who sells it: as beside it until another is picked.
fn seller(ui: &mut Ui, view: &View<'_>, row: &mut AddRow, beside: Option<SupplierId>) {
    if row.supplier.is_none() {
        row.supplier = beside.map(Seller::Known);
    }
    let suppliers = &view.project.suppliers;
    let shown = match &row.supplier {
        None => "supplier",
        Some(Seller::New(name)) => name.as_str(),
        Some(Seller::Known(id)) => view.project.supplier(*id).map_or("supplier", |s| s.name.as_str()),
    }
    .to_owned();
    let lines: Vec<(&str, bool)> =
        suppliers.iter().map(|s| (s.name.as_str(), row.supplier == Some(Seller::Known(s.id)))).collect();
    let picked = pick(ui, "Supplier of the new option", shown, 120.0, &lines, Noun::Supplier.new_word()).1;
    match picked {
        Some(Picked::Line(at)) => row.supplier = suppliers.get(at).map(|s| Seller::Known(s.id)),
        Some(Picked::New(name)) => row.supplier = Some(Seller::New(name)),
        None => {}
    }
}

/// The change that the row asks for.
fn wanted(view: &View<'_>, selection: &Selection, row: &AddRow) -> Result<Action, String> {
    let name = fields::required("Name", &row.name)?;
    let price = match row.price.trim() {
        "" => None,
        text => Some(fields::amount("Price", text)?),
    };
    let lead = fields::lead("Lead time", &row.lead)?.map(|lead| RowLead {
        likely: lead.count,
        range: lead.min.zip(lead.max),
        unit: lead.unit,
    });
    let mut project = view.project.clone();
    let mut actions = Vec::new();
    let supplier = match &row.supplier {
        None => None,
        Some(Seller::Known(id)) => Some(*id),
        Some(Seller::New(called)) => {
            let id = project.next_id;
            if let Some(made) = Noun::Supplier.make(&project, id, called) {
                project = project.apply(&made).map_err(|why| why.to_string())?;
                actions.push(made);
            }
            Some(SupplierId(id))
        }
    };
    let typed = Row { name: name.clone(), price, lead, supplier };
    actions.extend(sibling::put(&project, selection.id, &typed).ok_or("Name: write a name")?);
    let action = Action::Batch { label: format!("add {name}"), actions };
    // What the document refuses is said here, with the row still filled in.
    view.project.apply(&action).map_err(|why| why.to_string())?;
    Ok(action)
}
