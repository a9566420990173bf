//! Bringing a database to the shape this version needs.

use diesel::migration::{Migration, MigrationSource};
use diesel::pg::Pg;
use diesel_async::{AsyncConnection, AsyncMigrationHarness, AsyncPgConnection, RunQueryDsl};
use diesel_migrations::{EmbeddedMigrations, MigrationHarness, embed_migrations};

use crate::StorageError;

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

/// How the shape of a database stands against what this version needs.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MigrationState {
    /// How many migrations the database has, later ones than this version knows among them.
    pub applied: usize,
    /// How many this version needs.
    pub expected: usize,
    /// The ones that it needs and the database lacks, oldest first.
    pub missing: Vec<String>,
}

/// A migration that the database has.
#[derive(diesel::QueryableByName)]
struct AppliedRow {
    #[diesel(sql_type = diesel::sql_types::Text)]
    version: String,
}

/// Reads which migrations a database has.
pub(crate) async fn migration_state(
    connection: &mut AsyncPgConnection,
) -> Result<MigrationState, StorageError> {
    let rows: Vec<AppliedRow> =
        diesel::sql_query("SELECT version FROM __diesel_schema_migrations").load(connection).await?;
    let known: Vec<Box<dyn Migration<Pg>>> = MIGRATIONS
        .migrations()
        .map_err(|error| StorageError::inconsistent("__diesel_schema_migrations", error))?;
    let mut needed: Vec<String> =
        known.iter().map(|migration| migration.name().version().to_string()).collect();
    needed.sort_unstable();
    let expected = needed.len();
    needed.retain(|version| !rows.iter().any(|row| row.version == *version));
    Ok(MigrationState { applied: rows.len(), expected, missing: needed })
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
