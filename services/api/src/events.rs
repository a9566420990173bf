//! Telling other tools what happens in the books: events are read out of the audit entries, signed, and sent.

pub mod address;
pub mod allowed;
pub mod courier;
pub mod happening;
pub mod http_sender;
pub mod line;
pub mod running;
pub mod schedule;
pub mod secrets;
pub mod sending;
pub mod target;
