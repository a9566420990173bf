//! The desk, page by page, as a browser without script reads it.

mod door;
mod frame;
mod yard;
