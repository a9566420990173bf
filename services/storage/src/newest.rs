//! How far the ids in the books have come.

use diesel_async::RunQueryDsl;
use kernel::{AuditEntryId, Id};

use crate::{StorageError, Store};

#[derive(diesel::QueryableByName)]
struct NewestRow {
    #[diesel(sql_type = diesel::sql_types::Nullable<diesel::sql_types::Uuid>)]
    newest: Option<uuid::Uuid>,
}

impl Store {
    /// The newest id of a change over all outfits; none where nothing was ever changed.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails.
    pub async fn newest_change(&self) -> Result<Option<AuditEntryId>, StorageError> {
        let mut connection = self.connections.get().await?;
        let row: NewestRow =
            diesel::sql_query("SELECT newest_change() AS newest").get_result(&mut connection).await?;
        Ok(row.newest.map(AuditEntryId::from_uuid))
    }
}
