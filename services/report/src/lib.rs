//! The audit's report as sections: each a heading, words, charts, and after every chart its figures as a table.
//!
//! Everything is a pure function of [`wire::AuditReport`], so the page to print and the desk show the same figures: those that the
//! API answers. A table keeps for each row what it is made of ([`table::Table::made_of`]); whoever shows it decides whether
//! that becomes links ([`table::Table::shown_with`]) or is left out.

pub mod charts;
pub mod sections;
pub mod table;
pub mod words;

pub use sections::{Section, figure, sections};
