//! Who changed what: one entry for each accepted change.

use diesel::dsl::sql;
use diesel::sql_types::BigInt;
use diesel::{ExpressionMethods, QueryDsl};
use diesel_async::RunQueryDsl;
use jiff::Timestamp;
use kernel::{AuditEntryId, Id};
use uuid::Uuid;

use crate::schema::audit_entry;
use crate::{Books, Page, Stamp, StorageError};

/// One accepted change.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AuditEntry {
    /// Its id.
    pub id: AuditEntryId,
    /// Who made the change, and when.
    pub made: Stamp,
    /// As what.
    pub role: String,
    /// By which operation of the API.
    pub operation: String,
    /// The record that was made or changed.
    pub about: Uuid,
    /// The request, as the log names it; none for what came by no request.
    pub request: Option<Uuid>,
}

/// Which entries.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct AuditFilter {
    /// Changes made by this subject.
    pub made_by: Option<String>,
    /// By this operation.
    pub operation: Option<String>,
    /// Of this record.
    pub about: Option<Uuid>,
    /// Made at this time or later.
    pub from: Option<Timestamp>,
    /// Made before this time.
    pub before: Option<Timestamp>,
}

type Row = (Uuid, jiff_diesel::Timestamp, String, String, String, Uuid, Option<Uuid>);

impl Books {
    /// Writes down that a change was accepted; goes with the change or not at all.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database refuses or fails.
    pub async fn enter_audit(&mut self, entry: &AuditEntry) -> Result<(), StorageError> {
        diesel::insert_into(audit_entry::table)
            .values((
                audit_entry::outfit_id.eq(self.outfit_uuid()),
                audit_entry::audit_entry_id.eq(entry.id.uuid()),
                audit_entry::transaction_id.eq(sql::<BigInt>("pg_current_xact_id()::text::bigint")),
                audit_entry::made_at.eq(jiff_diesel::Timestamp::from(entry.made.at)),
                audit_entry::made_by.eq(&entry.made.by),
                audit_entry::role.eq(&entry.role),
                audit_entry::operation.eq(&entry.operation),
                audit_entry::about.eq(entry.about),
                audit_entry::request_id.eq(entry.request),
            ))
            .execute(&mut self.connection)
            .await?;
        Ok(())
    }

    /// A page of entries, oldest first.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails.
    pub async fn audit_entries(
        &mut self,
        filter: &AuditFilter,
        page: Page<AuditEntryId>,
    ) -> Result<Vec<AuditEntry>, StorageError> {
        let mut query = audit_entry::table
            .filter(audit_entry::outfit_id.eq(self.outfit_uuid()))
            .filter(audit_entry::audit_entry_id.gt(page.after.map_or(Uuid::nil(), Id::uuid)))
            .order(audit_entry::audit_entry_id)
            .limit(page.limit.into())
            .select((
                audit_entry::audit_entry_id,
                audit_entry::made_at,
                audit_entry::made_by,
                audit_entry::role,
                audit_entry::operation,
                audit_entry::about,
                audit_entry::request_id,
            ))
            .into_boxed();
        if let Some(made_by) = &filter.made_by {
            query = query.filter(audit_entry::made_by.eq(made_by));
        }
        if let Some(operation) = &filter.operation {
            query = query.filter(audit_entry::operation.eq(operation));
        }
        if let Some(about) = filter.about {
            query = query.filter(audit_entry::about.eq(about));
        }
        if let Some(from) = filter.from {
            query = query.filter(audit_entry::made_at.ge(jiff_diesel::Timestamp::from(from)));
        }
        if let Some(before) = filter.before {
            query = query.filter(audit_entry::made_at.lt(jiff_diesel::Timestamp::from(before)));
        }
        let rows = query.load::<Row>(&mut self.connection).await?;
        Ok(rows.into_iter().map(read).collect())
    }
}

fn read((id, at, by, role, operation, about, request): Row) -> AuditEntry {
    let made = Stamp { at: at.to_jiff(), by };
    AuditEntry { id: AuditEntryId::from_uuid(id), made, role, operation, about, request }
}
