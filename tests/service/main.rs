//! The running service, through HTTP, each test on a database of its own.
#![expect(
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    clippy::string_slice,
    reason = "a check that cannot be made has failed, and says so where it stands"
)]

mod access;
mod auditing;
mod check_scales;
mod client;
mod clocks_apart;
mod concurrency;
mod coverage;
mod derived_timber;
mod document;
mod events;
mod examples;
mod exceptions;
mod explaining;
mod filing;
mod journeys;
mod late_changes;
mod outside;
mod papers;
mod people;
mod raw;
mod reading;
mod rederiving;
mod refusals;
mod running;
mod seal_samples;
mod seals;
mod taking_in;
mod world;
mod yard;
