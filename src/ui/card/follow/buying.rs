//! The cards of a supplier and of an order.

use super::{fact, heading, line};
use crate::engine::Day;
use crate::exchange::outgoing::lists::ListScope;
use crate::exchange::outgoing::pages::PageFor;
use crate::model::{OrderId, Subject, SupplierId};
use crate::ui::areas::house::ledger_facts::part_at;
use crate::ui::format;
use crate::ui::view::{Outbox, Request, View};
use egui::Ui;

/// A supplier: how it is reached, its terms, its orders and what is still to be ordered from it.
pub fn supplier(ui: &mut Ui, view: &View<'_>, id: SupplierId, out: &mut Outbox) {
    let Some(at) = view.figures.index.of(id.0) else { return };
    let Some(supplier) = view.project.suppliers.get(at).filter(|supplier| supplier.id == id) else { return };
    let days = |n: u32| format::count(n as i32, "day");
    let percent =
        |p: rust_decimal::Decimal| if p.is_zero() { String::new() } else { format!("{}%", p.normalize()) };
    fact(ui, view, "Contact", &supplier.contact);
    fact(ui, view, "Phone", &supplier.phone);
    fact(ui, view, "E-mail", &supplier.email);
    fact(ui, view, "Account", &supplier.account);
    let shipping = if supplier.ship_days > 0 { days(supplier.ship_days) } else { String::new() };
    fact(ui, view, "On the way", &shipping);
    fact(ui, view, "Deposit", &percent(supplier.deposit_pct));
    fact(
        ui,
        view,
        "Takes back",
        &supplier.return_days.map_or("not noted".to_owned(), |n| format!("within {}", days(n))),
    );
    fact(ui, view, "Restocking", &percent(supplier.restock_pct));
    fact(ui, view, "Delivery", &supplier.ship_note);
    if let Some(money) = view.figures.money.by_supplier.get(at) {
        fact(ui, view, "Forecast", &format::money(money.forecast, view.currency()));
        fact(ui, view, "To pay", &format::money(money.to_pay(), view.currency()));
    }
    ui.horizontal_wrapped(|ui| {
        if ui.button("Export its list…").clicked() {
            out.push(Request::ExportLists(ListScope::One(Some(at))));
        }
        let page = ui.button("Page for a phone…");
        if page.on_hover_text("What is on its way, without prices, to be sent to them").clicked() {
            out.push(Request::SharePage(PageFor::Supplier(id)));
        }
    });
    let orders: Vec<_> = view.project.orders.iter().filter(|order| order.supplier == id).collect();
    if !orders.is_empty() {
        heading(ui, view, "Orders", orders.len());
    }
    for order in orders {
        let placed = order.placed_on.map_or("not placed".to_owned(), |on| {
            format!("placed {}", format::day_short(Day::from(on), view.as_of()))
        });
        line(
            ui,
            view,
            Subject::Order(order.id),
            &order.called(view.project),
            (&placed, view.tokens.muted),
            out,
        );
    }
    let open = view.facts().to_order_of.get(at).map_or(&[][..], Vec::as_slice);
    if !open.is_empty() {
        heading(ui, view, "To order", open.len());
    }
    for at in open {
        part_line(ui, view, *at as usize, out);
    }
}

/// An order: its number, what it comes to, and its lines.
pub fn order(ui: &mut Ui, view: &View<'_>, id: OrderId, out: &mut Outbox) {
    let Some(own) = view.project.order(id) else { return };
    let money = |sum| format::money(sum, view.currency());
    if let Some(supplier) = view.project.supplier(own.supplier) {
        line(ui, view, Subject::Supplier(supplier.id), &supplier.name, ("supplier", view.tokens.muted), out);
    }
    fact(ui, view, "Number", &own.number);
    let placed = own.placed_on.map_or("not yet".to_owned(), |on| format::day(Day::from(on), view.as_of()));
    fact(ui, view, "Placed", &placed);
    fact(ui, view, "Note", &own.note);
    let Some(figures) = view.figures.orders.iter().find(|order| order.own == Some(id)) else { return };
    fact(ui, view, "Goods", &money(figures.goods));
    fact(ui, view, "Freight", &money(figures.freight));
    fact(ui, view, "Tax", &money(figures.tax));
    fact(ui, view, "Comes to", &money(figures.total()));
    let lines: Vec<usize> = figures.all_parts().collect();
    heading(ui, view, "Lines", lines.len());
    for at in lines {
        part_line(ui, view, at, out);
    }
}

/// A part with where it stands.
fn part_line(ui: &mut Ui, view: &View<'_>, at: usize, out: &mut Outbox) {
    let Some(f) = view.figures.parts.get(at) else { return };
    let Some((selection, option, part)) = part_at(view.project, view.figures, at) else { return };
    let name = if part.name == selection.name || option.parts.len() == 1 {
        option.name.clone()
    } else {
        format!("{}: {}", option.name, part.name)
    };
    let (words, tone) = match (f.on_site, f.placed.is_some(), f.order_by) {
        (true, ..) => ("on site".to_owned(), view.tokens.good),
        (_, true, _) => (
            format!("arrives {}", format::expected(f, view.as_of())),
            if f.late { view.tokens.late } else { view.tokens.muted },
        ),
        (_, _, Some(by)) => (
            format!("order by {}", format::day_short(by, view.as_of())),
            crate::ui::widgets::pieces::in_hand_color(by.since(view.as_of()), view.tokens, view.tokens.muted),
        ),
        _ => ("no order-by day".to_owned(), view.tokens.muted),
    };
    line(ui, view, Subject::Part(part.id), &name, (&words, tone), out);
}
