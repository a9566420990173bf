//! The main job end to end.

mod piles;
mod week;
