//! The edge: from bytes to a known caller with a body of the right form, and from a refusal back to bytes.

pub mod app;
pub mod body;
pub mod busy;
pub mod caller;
pub mod examples;
pub mod fallback;
pub mod filing;
pub mod guard;
pub mod lines;
pub mod openapi;
pub mod operation;
pub mod parameters;
pub mod refusal;
pub mod roles;
pub mod token;
pub mod token_key;
pub mod webhooks;
