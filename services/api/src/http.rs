//! The edge: from bytes to a known caller with a body of the right form, and from a refusal back to bytes.

pub mod accepting;
pub mod app;
pub mod body;
pub mod busy;
pub mod caller;
pub mod comma_separated;
pub mod conditional;
pub mod cursor;
pub mod documenting_reads;
pub mod entity_tag;
pub mod examples;
pub mod fallback;
pub mod filing;
pub mod guard;
pub mod heads;
pub mod lines;
pub mod listing;
pub mod openapi;
pub mod operation;
pub mod parameters;
pub mod query;
pub mod refusal;
pub mod token;
pub mod webhooks;
