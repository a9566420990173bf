//! The main job end to end.

mod money;
mod own_table;
mod piles;
mod previews;
mod rates;
mod readings;
mod rules;
mod sharing;
mod time;
mod wages;
mod week;
