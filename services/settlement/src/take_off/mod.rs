//! What is kept back from a worker's pay: holdback, advances recovered, charges. Never below zero, and where a minimum
//! protects the pay, never below that; what could not be taken is carried forward.
//!
//! What may be kept back from wages, and how far, is for local law and a licensed professional to decide: 29 CFR
//! 531.35 to 531.37 are the sources of the default, under which nothing but what a record names as board or lodging
//! cuts into the minimum.

mod charge_kind;
mod due;
mod taking;

pub use charge_kind::ChargeKind;
pub use due::{HoldbackTerms, Recovery, holdback_due, recovery_due};
pub use taking::{Due, Keeping, Purse, TakeOff, take_off};
