//! The desk, page by page, as a browser without script reads it.

mod audit;
mod contracts;
mod door;
mod frame;
mod yard;
