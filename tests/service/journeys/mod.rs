//! The main job end to end.

mod week;
