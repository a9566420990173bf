//! Laws that must hold for every input, tried on random ones.
#![expect(clippy::unwrap_used, reason = "a test that cannot make its input has failed")]

mod common;

#[path = "laws/accruing.rs"]
mod accruing;
#[path = "laws/dividing.rs"]
mod dividing;
#[path = "laws/paying.rs"]
mod paying;
#[path = "laws/rating.rs"]
mod rating;
#[path = "laws/settling.rs"]
mod settling;
