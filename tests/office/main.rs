//! `skid` in the office and for the contractor: in a terminal and over pipes, against the real service.
#![expect(
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test that cannot be set up has failed, and says so where it stands"
)]

#[cfg(test)]
mod bookkeeper;
#[cfg(test)]
mod contractor;
#[cfg(test)]
mod filing;
#[cfg(test)]
mod importing;
#[cfg(test)]
mod machine;
#[cfg(test)]
mod terminal;
