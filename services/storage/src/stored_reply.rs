//! Requests that carry a key are done once, however often they are sent: what was answered is kept beside what was
//! done, in one transaction.

use diesel::sql_types::{Bool, Text};
use diesel::{ExpressionMethods, OptionalExtension, QueryDsl, QueryableByName};
use diesel_async::RunQueryDsl;
use kernel::{AuditEntryId, Id};
use uuid::Uuid;

use crate::schema::stored_reply;
use crate::{Books, StorageError};

/// The key of a request: one caller's, for one operation.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RequestKey {
    /// The caller.
    pub made_by: String,
    /// The operation.
    pub operation: String,
    /// The key that came with the request.
    pub key: String,
}

/// What was answered to a request with a key.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StoredReply {
    /// SHA-256 of what was asked.
    pub fingerprint: [u8; 32],
    /// The body of the reply; none where it held a secret.
    pub reply: Option<String>,
    /// The change it was the reply to.
    pub entry: AuditEntryId,
}

#[derive(QueryableByName)]
struct Held {
    #[diesel(sql_type = Bool)]
    held: bool,
}

impl Books {
    /// Holds a key until the transaction ends; answers false when another request holds it at this moment.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails.
    pub async fn hold_key(&mut self, key: &RequestKey) -> Result<bool, StorageError> {
        let RequestKey { made_by, operation, key } = key;
        let named = format!("{}\n{made_by}\n{operation}\n{key}", self.outfit());
        let held: Held =
            diesel::sql_query("SELECT pg_try_advisory_xact_lock(hashtextextended($1, 1)) AS held")
                .bind::<Text, _>(named)
                .get_result(&mut self.connection)
                .await?;
        Ok(held.held)
    }

    /// What was answered to the request with this key, if it was done.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or the row cannot be read.
    pub async fn stored_reply(&mut self, key: &RequestKey) -> Result<Option<StoredReply>, StorageError> {
        let row: Option<(Vec<u8>, Option<String>, Uuid)> = stored_reply::table
            .filter(stored_reply::outfit_id.eq(self.outfit_uuid()))
            .filter(stored_reply::made_by.eq(&key.made_by))
            .filter(stored_reply::operation.eq(&key.operation))
            .filter(stored_reply::idempotency_key.eq(&key.key))
            .select((stored_reply::fingerprint, stored_reply::reply, stored_reply::audit_entry_id))
            .first(&mut self.connection)
            .await
            .optional()?;
        row.map(|(fingerprint, reply, entry)| {
            let fingerprint = fingerprint
                .try_into()
                .map_err(|_| StorageError::inconsistent("stored_reply", "the fingerprint is no SHA-256"))?;
            Ok(StoredReply { fingerprint, reply, entry: AuditEntryId::from_uuid(entry) })
        })
        .transpose()
    }

    /// Keeps what is answered to the request with this key.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database refuses or fails.
    pub async fn add_stored_reply(
        &mut self,
        key: &RequestKey,
        new: &StoredReply,
    ) -> Result<(), StorageError> {
        diesel::insert_into(stored_reply::table)
            .values((
                stored_reply::outfit_id.eq(self.outfit_uuid()),
                stored_reply::made_by.eq(&key.made_by),
                stored_reply::operation.eq(&key.operation),
                stored_reply::idempotency_key.eq(&key.key),
                stored_reply::fingerprint.eq(&new.fingerprint[..]),
                stored_reply::reply.eq(&new.reply),
                stored_reply::audit_entry_id.eq(new.entry.uuid()),
            ))
            .execute(&mut self.connection)
            .await?;
        Ok(())
    }
}
