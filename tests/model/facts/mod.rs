//! What is known: what was accepted, as plain facts, and the days it happened on.

pub mod calendar;
pub mod hours;
pub mod money;
pub mod record;
pub mod wage_terms;
