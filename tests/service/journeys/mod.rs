//! The main job end to end.

mod accounting_tool;
mod batches;
mod check_scales;
mod crew_sheet;
mod cruises;
mod culls;
mod export;
mod journal;
mod margin;
mod money;
mod overrun;
mod own_table;
mod piles;
mod previews;
mod rates;
mod readings;
mod rules;
pub mod several_weeks;
mod sharing;
mod time;
mod void_tickets;
mod volume_adjustments;
mod wages;
mod week;
