//! What the tests of the running service share: a service on its own database, and people who call it.

mod actor;
mod app;
mod database;
mod furnished;

pub use actor::{Actor, Reply};
pub use app::TestApp;
pub use database::{empty_database, migrated_database};
pub use furnished::{Furnished, log, ticket};
