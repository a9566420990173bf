//! Sheets of tickets: comma-separated values (RFC 4180) with one row a piece, as people with spreadsheets keep them.
//!
//! `columns` says which columns there are, `rows` gathers rows into tickets as they would be sent in JSON, `cells` leads
//! from a part of such a ticket back to its cell, and `places` finds what the sheet calls by name.

mod cells;
mod columns;
mod places;
mod rows;

pub use cells::Cells;
pub use columns::{TEMPLATE, template};
pub use places::Places;
pub use rows::{SheetTicket, read};
