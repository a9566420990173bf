//! The main job end to end.

mod own_table;
mod week;
