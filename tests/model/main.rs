//! Random histories, sent to the running service and held against a naive reference model.
//!
//! The model knows what was accepted, as plain facts ([`record`]), and works out from them, every time anew and with
//! no code of the product, what every log scales ([`volume`]), which rate pays for it ([`pricing`]) and what everybody
//! has earned ([`earning`]). Beside that it keeps what was posted ([`ledger`]), and so can say beforehand what a
//! draft, a statement, an audit and every refusal must be. A [`history`] is carried out ([`carrying_out`]) in both at
//! once, one random [`step`] after the other, and compared ([`comparing`]) after each of them.
//!
//! Two properties: after every step the two agree ([`random_histories`]), and the order in which the same facts arrive
//! does not change the pay ([`arrival_order`]).
//!
//! A plain run makes a few histories, always the same. `SKIDWAY_MODEL_HISTORIES` asks for more of them and
//! `SKIDWAY_MODEL_SEED` for others, each a whole number; both are printed with what they were. A failure tells the
//! seed, where the two disagree, and the shortest history found that still fails:
//!
//! ```text
//! SKIDWAY_MODEL_HISTORIES=200 SKIDWAY_MODEL_SEED=1000 cargo test -p tests --test model -- --nocapture
//! ```
#![expect(
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::panic,
    reason = "a check that cannot be made has failed"
)]

mod arrival_order;
mod calendar;
mod carrying_out;
mod comparing;
mod division;
mod earning;
mod forms;
mod history;
mod ledger;
mod outfit;
mod pricing;
mod random_histories;
mod reading;
mod record;
mod seed;
mod settling;
mod sql;
mod step;
mod terms;
mod volume;
