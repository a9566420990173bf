//! How far the ids in the books have come.

use diesel_async::{AsyncPgConnection, RunQueryDsl};
use kernel::{AuditEntryId, Id, IdSource};

use crate::prepared::Prepared;
use crate::{Books, StorageError, Store};

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
        let question = async |connection: &mut AsyncPgConnection| {
            let newest = diesel::sql_query("SELECT newest_change() AS newest");
            let row: NewestRow = newest.get_result(connection).await?;
            Ok(row.newest.map(AuditEntryId::from_uuid))
        };
        self.connections.ask(question).await
    }
}

/// One look at the end of the primary key.
const NEWEST: &str = "
SELECT (SELECT audit_entry_id FROM audit_entry WHERE outfit_id = $ ORDER BY audit_entry_id DESC LIMIT 1) AS newest";

impl Books {
    /// Sees to it that the ids that are made from now on come after all that are in these books, whichever instance made them
    /// and however far its clock is from ours. What was there at a posting is told by ids, and so is which of two statements
    /// or enrolment codes is the later one.
    ///
    /// Every change has an entry in the audit trail, whose id is the last that is made for it. It must be a statement of its own
    /// behind the lock: one that waits for the lock sees the books as they were before it waited.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails.
    pub async fn go_on(&mut self, ids: &IdSource) -> Result<(), StorageError> {
        let newest = Prepared::new(NEWEST).bind::<diesel::sql_types::Uuid, _>(self.outfit_uuid());
        let row: NewestRow = newest.get_result(&mut self.connection).await?;
        if let Some(newest) = row.newest {
            ids.go_on_after(AuditEntryId::from_uuid(newest));
        }
        Ok(())
    }
}
