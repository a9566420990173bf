//! Truth tables: what goes in, what must come out, one line each.
#![expect(clippy::unwrap_used, reason = "a test that cannot make its input has failed")]

mod common;

#[path = "tables/accruals.rs"]
mod accruals;
#[path = "tables/books.rs"]
mod books;
#[path = "tables/figures.rs"]
mod figures;
#[path = "tables/rates.rs"]
mod rates;
