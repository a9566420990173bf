//! Volume against pay by stage, and the report: recomputed from the tickets another way, followed down, and kept apart.

mod apart;
pub mod busy;
mod checked;
mod following;
mod naive;
pub mod page;
mod pay;
mod report;
mod stages;
