//! Bringing a database to the shape this version needs.

use diesel_async::{AsyncConnection, AsyncMigrationHarness, AsyncPgConnection};
use diesel_migrations::{EmbeddedMigrations, MigrationHarness, embed_migrations};

/// Every migration, compiled into the program.
const MIGRATIONS: EmbeddedMigrations = embed_migrations!("../../migrations");

/// Why the database could not be brought to shape.
#[derive(Debug, thiserror::Error)]
pub enum MigrationError {
    /// It cannot be reached.
    #[error("the database cannot be reached to migrate it")]
    Connect(#[source] diesel::ConnectionError),
    /// A migration failed; Postgres rolled it back.
    #[error("a migration failed: {0}")]
    Failed(Box<dyn std::error::Error + Send + Sync>),
    /// The thread that migrates could not be run to its end.
    #[error("the migrating thread failed: {0}")]
    Thread(String),
}

/// Applies the migrations that the database lacks, and answers with their names.
///
/// Blocks the calling thread. Two programs that start at once do not collide: one waits for the other.
///
/// # Errors
///
/// [`MigrationError`]; what was applied before the failure stays applied.
pub fn migrate(url: &str) -> Result<Vec<String>, MigrationError> {
    on_own_thread(url, |harness| harness.run_pending_migrations(MIGRATIONS).map(names))
}

/// Takes every migration back, newest first. For tests: it drops every table.
///
/// # Errors
///
/// [`MigrationError`].
pub fn revert_all(url: &str) -> Result<Vec<String>, MigrationError> {
    on_own_thread(url, |harness| harness.revert_all_migrations(MIGRATIONS).map(names))
}

type Harness = AsyncMigrationHarness<AsyncPgConnection>;
type Applied<T> = Result<T, Box<dyn std::error::Error + Send + Sync>>;

fn names(versions: Vec<diesel::migration::MigrationVersion<'_>>) -> Vec<String> {
    versions.iter().map(ToString::to_string).collect()
}

/// The migration harness blocks, which only a multi-threaded runtime allows, and callers may be on any kind.
fn on_own_thread(
    url: &str,
    work: impl FnOnce(&mut Harness) -> Applied<Vec<String>> + Send,
) -> Result<Vec<String>, MigrationError> {
    std::thread::scope(|scope| {
        let migrating = scope.spawn(|| {
            let runtime = tokio::runtime::Builder::new_multi_thread()
                .worker_threads(1)
                .enable_all()
                .build()
                .map_err(|error| MigrationError::Thread(error.to_string()))?;
            runtime.block_on(async {
                let mut connection =
                    AsyncPgConnection::establish(url).await.map_err(MigrationError::Connect)?;
                // Held until the connection closes: a second program waits here, then finds nothing to do.
                diesel_async::SimpleAsyncConnection::batch_execute(
                    &mut connection,
                    "SELECT pg_advisory_lock(hashtextextended('skidway migrations', 0))",
                )
                .await
                .map_err(|error| MigrationError::Failed(Box::new(error)))?;
                work(&mut AsyncMigrationHarness::new(connection)).map_err(MigrationError::Failed)
            })
        });
        migrating.join().unwrap_or_else(|_| Err(MigrationError::Thread("it panicked".to_owned())))
    })
}
