//! Outfits' own log rules: every version of every table, as it was filed.

use diesel::{ExpressionMethods, OptionalExtension, QueryDsl};
use diesel_async::RunQueryDsl;
use kernel::{Id, LogTableId, VolumeUnit};
use scaling::{FiledTable, LogTable};

use crate::schema::log_table;
use crate::{Books, Page, Stamp, StorageError};

/// A table to be filed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LogTableFiling {
    /// The id it gets, unless the same table is filed under its title already.
    pub id: LogTableId,
    /// The table.
    pub table: LogTable,
    /// The SHA-256 of its document.
    pub fingerprint: [u8; 32],
    /// Who files it, and when.
    pub filed: Stamp,
}

/// A version of a table as it stands in the books.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LogTableRecord {
    /// Its id, version and cells.
    pub table: FiledTable,
    /// Who filed it, and when.
    pub filed: Stamp,
}

/// A version of a table as a list shows it, without its cells.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LogTableEntry {
    /// Its id.
    pub id: LogTableId,
    /// What the outfit calls it.
    pub title: String,
    /// Which version of the tables of its title it is.
    pub version: u32,
    /// The unit of its volumes.
    pub unit: VolumeUnit,
    /// Who filed it, and when.
    pub filed: Stamp,
}

type Row = (uuid::Uuid, i32, serde_json::Value, jiff_diesel::Timestamp, String);
type EntryRow = (uuid::Uuid, String, i32, String, jiff_diesel::Timestamp, String);

fn unreadable(why: impl std::fmt::Display) -> StorageError {
    StorageError::inconsistent("log_table", why)
}

fn read((id, version, document, at, by): Row) -> Result<LogTableRecord, StorageError> {
    let table = FiledTable {
        table_id: LogTableId::from_uuid(id),
        version: u32::try_from(version).map_err(unreadable)?,
        table: serde_json::from_value(document).map_err(unreadable)?,
    };
    Ok(LogTableRecord { table, filed: Stamp { at: at.to_jiff(), by } })
}

fn read_entry((id, title, version, unit, at, by): EntryRow) -> Result<LogTableEntry, StorageError> {
    Ok(LogTableEntry {
        id: LogTableId::from_uuid(id),
        title,
        version: u32::try_from(version).map_err(unreadable)?,
        unit: serde_json::from_value(unit.into()).map_err(unreadable)?,
        filed: Stamp { at: at.to_jiff(), by },
    })
}

const COLUMNS: (
    log_table::log_table_id,
    log_table::version,
    log_table::document,
    log_table::filed_at,
    log_table::filed_by,
) = (
    log_table::log_table_id,
    log_table::version,
    log_table::document,
    log_table::filed_at,
    log_table::filed_by,
);

impl Books {
    /// Files a table as the next version under its title, and answers true with it; the same table filed under the same
    /// title before, whichever version it is, is answered as it stands, with false. The books must be closed to others.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or a row cannot be read.
    pub async fn file_log_table(
        &mut self,
        new: &LogTableFiling,
    ) -> Result<(bool, LogTableRecord), StorageError> {
        let heading = new.table.heading();
        let of_title = || {
            log_table::table
                .filter(log_table::outfit_id.eq(self.outfit_uuid()))
                .filter(log_table::title.eq(heading.title.as_str()))
        };
        let (same, latest) = (of_title(), of_title());
        let same = same
            .filter(log_table::fingerprint.eq(new.fingerprint.as_slice()))
            .select(COLUMNS)
            .first::<Row>(&mut self.connection)
            .await
            .optional()?;
        if let Some(same) = same {
            return Ok((false, read(same)?));
        }
        let latest: Option<i32> =
            latest.select(diesel::dsl::max(log_table::version)).first(&mut self.connection).await?;
        let version = latest.unwrap_or(0).saturating_add(1);
        diesel::insert_into(log_table::table)
            .values((
                log_table::outfit_id.eq(self.outfit_uuid()),
                log_table::log_table_id.eq(new.id.uuid()),
                log_table::title.eq(heading.title.as_str()),
                log_table::version.eq(version),
                log_table::unit.eq(heading.unit.name()),
                log_table::document.eq(serde_json::to_value(&new.table).map_err(unreadable)?),
                log_table::fingerprint.eq(new.fingerprint.as_slice()),
                log_table::filed_at.eq(jiff_diesel::Timestamp::from(new.filed.at)),
                log_table::filed_by.eq(&new.filed.by),
            ))
            .execute(&mut self.connection)
            .await?;
        let version = u32::try_from(version).map_err(unreadable)?;
        let table = FiledTable { table_id: new.id, version, table: new.table.clone() };
        Ok((true, LogTableRecord { table, filed: new.filed.clone() }))
    }

    /// The version of a table with this id, if the outfit has it.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or the row cannot be read.
    pub async fn log_table(&mut self, id: LogTableId) -> Result<Option<LogTableRecord>, StorageError> {
        log_table::table
            .filter(log_table::outfit_id.eq(self.outfit_uuid()))
            .filter(log_table::log_table_id.eq(id.uuid()))
            .select(COLUMNS)
            .first::<Row>(&mut self.connection)
            .await
            .optional()?
            .map(read)
            .transpose()
    }

    /// A page of the versions of the outfit's tables, oldest first.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or a row cannot be read.
    pub async fn log_tables(&mut self, page: Page<LogTableId>) -> Result<Vec<LogTableEntry>, StorageError> {
        let rows = log_table::table
            .filter(log_table::outfit_id.eq(self.outfit_uuid()))
            .filter(log_table::log_table_id.gt(page.after.map_or(uuid::Uuid::nil(), Id::uuid)))
            .order(log_table::log_table_id)
            .limit(page.limit.into())
            .select((
                log_table::log_table_id,
                log_table::title,
                log_table::version,
                log_table::unit,
                log_table::filed_at,
                log_table::filed_by,
            ))
            .load::<EntryRow>(&mut self.connection)
            .await?;
        rows.into_iter().map(read_entry).collect()
    }
}
