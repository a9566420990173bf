//! The main job end to end.

mod piles;
mod readings;
mod rules;
mod week;
