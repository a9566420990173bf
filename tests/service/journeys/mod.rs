//! The main job end to end.

mod accounting_tool;
mod batches;
mod crew_sheet;
mod culls;
mod export;
mod journal;
mod margin;
mod money;
mod own_table;
mod piles;
mod previews;
mod rates;
mod readings;
mod rules;
mod several_weeks;
mod sharing;
mod time;
mod void_tickets;
mod wages;
mod week;
