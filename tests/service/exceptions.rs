//! Exceptions: a fault planted of every kind is found and nothing else is, and clean seasons have none.

mod clean;
mod listing;
mod planted;
mod season;
mod standing_out;
mod sticks;
mod tampered;
mod turns;
