//! The desk, page by page, as a browser without script reads it.
#![expect(
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a check that cannot be made has failed, and says so where it stands"
)]

mod audit;
mod contracts;
mod door;
mod frame;
mod week;
mod yard;
