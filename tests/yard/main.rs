//! `skid` in the yard: typed at a real terminal, killed at any moment, with a service that comes and goes.
#![expect(
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::string_slice,
    reason = "a check that cannot be made has failed, and says so where it stands"
)]

mod dialogue;
mod killed;
mod phone;
mod piped;
mod signal;
