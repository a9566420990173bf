//! Reading: pages, filters, tags, rows, and what a yard lives with.

mod arrivals;
mod filters;
mod pages;
mod rows;
mod scale_books;
mod tags;
