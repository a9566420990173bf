//! The main job end to end.

mod readings;
mod rules;
mod week;
