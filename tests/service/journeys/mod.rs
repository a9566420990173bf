//! The main job end to end.

mod accounting_tool;
mod crew_sheet;
mod export;
mod journal;
mod margin;
mod own_table;
mod piles;
mod readings;
mod rules;
mod several_weeks;
mod week;
