//! The running service, through HTTP, each test on a database of its own.

mod client;
mod concurrency;
mod coverage;
mod document;
mod examples;
mod journeys;
mod raw;
mod refusals;
mod world;
