//! The main job end to end.

mod money;
mod own_table;
mod piles;
mod readings;
mod rules;
mod week;
