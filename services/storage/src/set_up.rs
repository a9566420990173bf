//! Looking across outfits, for whoever sets the service up: only as the tables' owner, never as the service.

use diesel::sql_types::{BigInt, Text, Uuid};
use diesel_async::{AsyncConnection, AsyncPgConnection, RunQueryDsl, SimpleAsyncConnection};
use kernel::{Id, OutfitId};

use crate::StorageError;

#[derive(diesel::QueryableByName)]
struct Size {
    #[diesel(sql_type = BigInt)]
    bytes: i64,
}

#[derive(diesel::QueryableByName)]
struct Found {
    #[diesel(sql_type = Uuid)]
    outfit_id: uuid::Uuid,
}

async fn connect(url: &str) -> Result<AsyncPgConnection, StorageError> {
    AsyncPgConnection::establish(url).await.map_err(|error| StorageError::Unavailable(Box::new(error)))
}

/// Whether nobody has ever opened an outfit's books in the database at `url`. Nothing is ever deleted, so a table that
/// takes no room has never held a row; row-level security need not be lifted to see that.
///
/// # Errors
///
/// [`StorageError`] when the database fails.
pub async fn has_no_outfit(url: &str) -> Result<bool, StorageError> {
    let mut connection = connect(url).await?;
    let query = diesel::sql_query("SELECT pg_relation_size('outfit') AS bytes");
    Ok(query.get_result::<Size>(&mut connection).await?.bytes == 0)
}

/// The outfit of this name in the database at `url`, the oldest if there are several.
///
/// Whoever asks must own the tables: row-level security is lifted for one look, in a transaction that is taken back
/// and never waits long for the table.
///
/// # Errors
///
/// [`StorageError`] when the database fails, or whoever asks does not own the tables.
pub async fn outfit_named(url: &str, name: &str) -> Result<Option<OutfitId>, StorageError> {
    let mut connection = connect(url).await?;
    connection
        .batch_execute("BEGIN; SET LOCAL lock_timeout = '5s'; ALTER TABLE outfit NO FORCE ROW LEVEL SECURITY")
        .await?;
    let query = diesel::sql_query("SELECT outfit_id FROM outfit WHERE name = $1 ORDER BY outfit_id LIMIT 1");
    let found: Vec<Found> = query.bind::<Text, _>(name).get_results(&mut connection).await?;
    connection.batch_execute("ROLLBACK").await?;
    Ok(found.into_iter().next().map(|row| OutfitId::from_uuid(row.outfit_id)))
}
