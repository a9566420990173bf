//! Workers, crews, mills and jobs: things that have a name, unique in the outfit, and are filed once.

use diesel::{ExpressionMethods, OptionalExtension, QueryDsl};
use diesel_async::RunQueryDsl;
use kernel::{CrewId, Id, JobId, MillId, WorkerId};

use crate::schema::{crew, job, mill, worker};
use crate::{Books, Page, Stamp, StorageError};

/// A thing with a name.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Named<I> {
    /// Its id.
    pub id: I,
    /// Its name, unique among its kind in the outfit.
    pub name: String,
    /// Who filed it, and when.
    pub made: Stamp,
}

/// Writes the three operations that every named record has.
macro_rules! named_records {
    ($($table:ident . $column:ident as $id:ty: $add:ident, $find:ident, $list:ident;)+) => {
        impl Books {$(
            #[doc = concat!("Files a ", stringify!($table), ".")]
            ///
            /// # Errors
            ///
            /// [`StorageError::Refused`] with `NameTaken` when the outfit has one of that name.
            pub async fn $add(&mut self, id: $id, name: &str, made: &Stamp) -> Result<(), StorageError> {
                diesel::insert_into($table::table)
                    .values((
                        $table::outfit_id.eq(self.outfit_uuid()),
                        $table::$column.eq(id.uuid()),
                        $table::name.eq(name),
                        $table::made_at.eq(jiff_diesel::Timestamp::from(made.at)),
                        $table::made_by.eq(&made.by),
                    ))
                    .execute(&mut self.connection)
                    .await?;
                Ok(())
            }

            #[doc = concat!("The ", stringify!($table), " with this id, if the outfit has it.")]
            ///
            /// # Errors
            ///
            /// [`StorageError`] when the database fails.
            pub async fn $find(&mut self, id: $id) -> Result<Option<Named<$id>>, StorageError> {
                let row = $table::table
                    .filter($table::outfit_id.eq(self.outfit_uuid()))
                    .filter($table::$column.eq(id.uuid()))
                    .select(($table::$column, $table::name, $table::made_at, $table::made_by))
                    .first::<Row>(&mut self.connection)
                    .await
                    .optional()?;
                Ok(row.map(read))
            }

            #[doc = concat!("A page of the outfit's ", stringify!($table), " records, oldest first.")]
            ///
            /// # Errors
            ///
            /// [`StorageError`] when the database fails.
            pub async fn $list(&mut self, page: Page<$id>) -> Result<Vec<Named<$id>>, StorageError> {
                let rows = $table::table
                    .filter($table::outfit_id.eq(self.outfit_uuid()))
                    .filter($table::$column.gt(page.after.map_or(uuid::Uuid::nil(), Id::uuid)))
                    .order($table::$column)
                    .limit(page.limit.into())
                    .select(($table::$column, $table::name, $table::made_at, $table::made_by))
                    .load::<Row>(&mut self.connection)
                    .await?;
                Ok(rows.into_iter().map(read).collect())
            }
        )+}
    };
}

type Row = (uuid::Uuid, String, jiff_diesel::Timestamp, String);

fn read<I: Id>((id, name, at, by): Row) -> Named<I> {
    Named { id: I::from_uuid(id), name, made: Stamp { at: at.to_jiff(), by } }
}

named_records! {
    worker.worker_id as WorkerId: add_worker, worker, workers;
    crew.crew_id as CrewId: add_crew, crew, crews;
    mill.mill_id as MillId: add_mill, mill, mills;
    job.job_id as JobId: add_job, job, jobs;
}
