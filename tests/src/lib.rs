//! What the tests of the running service share: a service on its own database, and people who call it.
#![expect(
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test that cannot be set up has failed, and says so where it stands"
)]

mod actor;
mod app;
mod bare;
mod database;
mod documented;
mod ear;
mod following;
mod furnished;
mod inspector;
mod program;
mod receiver;
mod visitor;

pub use actor::{Actor, KEY_HEADER, Reply, new_key};
pub use app::{NOW, RETIRED_SEED, TestApp, deliver_with};
mod issuer;

pub use bare::{BareApp, Outside};
pub use database::{empty_database, migrated_database};
pub use documented::operation_for;
pub use ear::Ear;
pub use following::pieces_sum_to_lines;
pub use furnished::{Furnished, log, ticket};
pub use inspector::{Inspector, RowCounts};
pub use issuer::{AUDIENCE, Issuer};
pub use program::skid;
pub use receiver::{Heard, Receiver};
pub use visitor::{Form, Shown, Visitor};
