//! Rows in the form of a quote: what its price leaves out, and the installments it is paid in.

use super::fields;
use crate::model::{DueAt, Installment, LeftOut, PhaseId, Project};
use crate::ui::theme::Tokens;
use crate::ui::widgets::drop_down::one_of;
use crate::ui::widgets::pieces;
use egui::{Role, TextEdit, Ui, WidgetInfo};

/// What the price leaves out, as it is typed.
#[derive(Default)]
pub struct LeftOutRows(Vec<[String; 2]>);

/// The installments, as they are typed.
#[derive(Default)]
pub struct InstallmentRows(Vec<Row>);

struct Row {
    what: String,
    /// A percent, or an amount.
    share: String,
    due_on: String,
    phase: Option<PhaseId>,
    at: DueAt,
    paid_on: String,
    paid: String,
    waiver_on: String,
}

/// A short field with a name that is read aloud.
fn field(ui: &mut Ui, name: &str, text: &mut String, width: f32, hint: &str) {
    let field = ui.add(TextEdit::singleline(text).desired_width(width).hint_text(hint));
    field.widget_info(|| WidgetInfo::labeled(Role::TextInput, true, fields::spoken(name)));
    field.on_hover_text(name);
}

impl LeftOutRows {
    /// Rows for what a quote leaves out.
    pub fn new(left_out: &[LeftOut]) -> LeftOutRows {
        LeftOutRows(left_out.iter().map(|l| [l.what.clone(), shown(l.amount.map(|m| m.amount()))]).collect())
    }

    /// Draws them.
    pub fn ui(&mut self, ui: &mut Ui, tokens: &Tokens) {
        fields::section(ui, tokens, "Left out of the price: what, and what it would cost");
        let mut gone = None;
        for (i, [what, amount]) in self.0.iter_mut().enumerate() {
            ui.push_id(("left", i), |ui| {
                fields::numbered(i + 1, || {
                    ui.horizontal(|ui| {
                        field(ui, "Left out", what, 220.0, "haul-off, permit fees");
                        field(ui, "Would cost", amount, 100.0, "not priced");
                        if pieces::icon_button(
                            ui,
                            lucide_icons::Icon::Trash2,
                            &fields::spoken("Remove what is left out"),
                        )
                        .clicked()
                        {
                            gone = Some(i);
                        }
                    })
                });
            });
        }
        if let Some(i) = gone {
            self.0.remove(i);
        }
        if pieces::link(ui, tokens, "+ something left out").clicked() {
            self.0.push(Default::default());
        }
    }

    /// What was typed; rows with nothing in them are dropped.
    ///
    /// # Errors
    /// What is wrong with which field.
    pub fn read(&self) -> Result<Vec<LeftOut>, String> {
        let filled = self.0.iter().filter(|row| row.iter().any(|text| !text.trim().is_empty()));
        let one = |[what, amount]: &[String; 2]| {
            let amount = match amount.trim() {
                "" => None,
                text => Some(fields::amount("Would cost", text)?),
            };
            Ok(LeftOut { what: fields::required("Left out", what)?, amount })
        };
        filled.map(one).collect()
    }
}

impl InstallmentRows {
    /// Rows for the installments of a quote.
    pub fn new(installments: &[Installment]) -> InstallmentRows {
        let row = |i: &Installment| Row {
            what: i.what.clone(),
            share: match (i.pct, i.amount) {
                (Some(pct), _) => format!("{}%", pct.normalize()),
                (None, amount) => shown(amount.map(|m| m.amount())),
            },
            due_on: fields::shown(i.due_on),
            phase: i.phase,
            at: i.at.unwrap_or(DueAt::Finish),
            paid_on: fields::shown(i.paid_on),
            paid: shown(i.paid.map(|m| m.amount())),
            waiver_on: fields::shown(i.waiver_on),
        };
        InstallmentRows(installments.iter().map(row).collect())
    }

    /// Draws them.
    pub fn ui(&mut self, ui: &mut Ui, project: &Project, tokens: &Tokens) {
        fields::section(ui, tokens, "Paid in installments");
        let mut gone = None;
        for (i, row) in self.0.iter_mut().enumerate() {
            ui.push_id(("installment", i), |ui| {
                fields::numbered(i + 1, || {
                    ui.horizontal_wrapped(|ui| {
                        ui.spacing_mut().item_spacing.x = 4.0;
                        field(ui, "For", &mut row.what, 140.0, "deposit, held back");
                        field(ui, "Percent or amount", &mut row.share, 70.0, "10% or 1,200");
                        ui.label("due");
                        let phases = project.phases.iter().map(|p| (p.name.as_str(), Some(p.id)));
                        let all = std::iter::once(("on a day", None)).chain(phases);
                        one_of(ui, &fields::spoken("Due with"), 130.0, &mut row.phase, all);
                        if row.phase.is_some() {
                            row.due_on.clear();
                            let names = [
                                ("starts", DueAt::Start),
                                ("is finished", DueAt::Finish),
                                ("passes", DueAt::Passed),
                            ];
                            one_of(ui, &fields::spoken("Due when it"), 84.0, &mut row.at, names);
                        } else {
                            field(ui, "Due on", &mut row.due_on, 92.0, "at the end");
                        }
                        ui.label("paid");
                        field(ui, "Paid on", &mut row.paid_on, 92.0, "not yet");
                        field(ui, "Paid, all of it when empty", &mut row.paid, 70.0, "all of it");
                        ui.label("waiver");
                        field(ui, "Waiver of lien on", &mut row.waiver_on, 92.0, "none");
                        if pieces::icon_button(
                            ui,
                            lucide_icons::Icon::Trash2,
                            &fields::spoken("Remove installment"),
                        )
                        .clicked()
                        {
                            gone = Some(i);
                        }
                    })
                });
                ui.add_space(4.0);
            });
        }
        if let Some(i) = gone {
            self.0.remove(i);
        }
        if pieces::link(ui, tokens, "+ an installment").clicked() {
            let text = String::new;
            self.0.push(Row {
                what: text(),
                share: text(),
                due_on: text(),
                phase: None,
                at: DueAt::Finish,
                paid_on: text(),
                paid: text(),
                waiver_on: text(),
            });
        }
        if !self.0.is_empty() {
            pieces::muted(
                ui,
                tokens,
                "Lien law and waiver forms differ by state: ask the lender, the title company or a lawyer.",
            );
        }
    }

    /// What was typed.
    ///
    /// # Errors
    /// What is wrong with which field.
    pub fn read(&self) -> Result<Vec<Installment>, String> {
        self.0.iter().map(Row::read).collect()
    }
}

impl Row {
    fn read(&self) -> Result<Installment, String> {
        let share = fields::required("Percent or amount", &self.share)?;
        let (pct, amount) = match share.trim().strip_suffix('%') {
            Some(pct) => (Some(fields::percent("Percent or amount", pct)?), None),
            None => (None, Some(fields::amount("Percent or amount", &share)?)),
        };
        let paid = match self.paid.trim() {
            "" => None,
            text => Some(fields::amount("Paid", text)?),
        };
        Ok(Installment {
            what: fields::required("For", &self.what)?,
            pct,
            amount,
            due_on: fields::day("Due on", &self.due_on)?,
            phase: self.phase,
            at: self.phase.map(|_| self.at).filter(|at| *at != DueAt::Finish),
            paid_on: fields::day("Paid on", &self.paid_on)?,
            paid,
            waiver_on: fields::day("Waiver of lien on", &self.waiver_on)?,
        })
    }
}

fn shown(amount: Option<rust_decimal::Decimal>) -> String {
    amount.map_or(String::new(), |amount| amount.normalize().to_string())
}
