//! The database: the shape that the migrations give it, and the guards that it keeps by itself.
#![expect(
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::panic,
    reason = "a check that cannot be made has failed"
)]

mod adding_up;
mod catalogue;
mod history;
mod journal;
mod late_changes;
mod migrations;
mod outfits_apart;
mod records_stand;
mod schema;
mod session;
mod shape;
mod silent;
mod spread;
mod transactions;
