//! The main job end to end.

mod previews;
mod rates;
mod readings;
mod rules;
mod sharing;
mod time;
mod week;
