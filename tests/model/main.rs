//! Random histories, sent to the running service and held against a naive reference model.
//!
//! The model knows what was accepted, as plain [`facts`], and works out from them ([`reckoning`]), every time anew and
//! with no code of the product, what every stick scales, which rates pay for it and what everybody has earned. Beside
//! that it keeps what was posted, and so can say beforehand what a draft, a statement, an audit and every refusal must
//! be. A history ([`histories`]) is carried out in both at once, in the record and in the running [`service`], one
//! random step after the other, and compared after each of them.
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
mod facts;
mod histories;
mod random_histories;
mod reckoning;
mod service;
