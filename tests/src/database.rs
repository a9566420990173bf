//! A database for every test, copied from one that was migrated once.

use std::sync::OnceLock;

use localpg::ThrowawayDatabase;

const TEMPLATE: &str = "migrated";

/// An empty database that vanishes with the value.
///
/// # Panics
///
/// When there is no Postgres to make it in.
#[must_use]
pub fn empty_database() -> ThrowawayDatabase {
    localpg::throwaway_database(None).expect("a private Postgres can be started")
}

/// A database in the shape of the newest migration, that vanishes with the value.
///
/// # Panics
///
/// When there is no Postgres to make it in, or a migration fails.
#[must_use]
pub fn migrated_database() -> ThrowawayDatabase {
    static MIGRATED: OnceLock<()> = OnceLock::new();
    MIGRATED.get_or_init(|| {
        let cluster = localpg::throwaway().expect("a private Postgres can be started");
        cluster.create_database(TEMPLATE, None).expect("the template can be made");
        storage::migrate(&cluster.database_url(TEMPLATE)).expect("the migrations apply");
    });
    localpg::throwaway_database(Some(TEMPLATE)).expect("the template can be copied")
}
