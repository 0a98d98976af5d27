//! Parts, orders, deliveries and returns: how much is bought, when it comes, and what it costs.
#![doc = include_str!("../../../assets/manual/quantity.md")]
#![doc = include_str!("../../../assets/manual/arrival.md")]
#![doc = include_str!("../../../assets/manual/orders.md")]

pub mod deliveries;
pub mod lead;
pub mod order_after;
pub mod order_days;
pub mod orders;
pub mod own_orders;
mod part_figures;
pub mod parts;
pub mod returns;
pub mod takeoff;
