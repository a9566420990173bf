//! The service: REST over the books.
//!
//! A request comes in through [`http`] (who is calling, may they, is the body of the right form), is turned into
//! the domain's types by an operation in [`routes`], computed by the pure crates `scaling` and `settlement` with the
//! glue in [`books`], and kept by `storage` in one transaction. No step goes back up.

pub mod access;
pub mod books;
pub mod commands;
pub mod config;
pub mod demo;
pub mod events;
pub mod http;
pub mod reports;
pub mod routes;
pub mod running;
pub mod service;
pub mod telemetry;

/// What programs that serve ask for memory: a ticket is many small pieces of it, and the system's own allocator took a tenth
/// of a request's processor time.
pub use mimalloc::MiMalloc as Allocator;
