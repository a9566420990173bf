//! Hours of workers.

use diesel::{ExpressionMethods, OptionalExtension, QueryDsl, QueryableByName};
use diesel_async::RunQueryDsl;
use jiff::civil::Date;
use kernel::{CrewId, Fixed, Id, JobId, TimeEntryId, WorkerId};
use settlement::{DayHours, Task};

use crate::schema::{standing_time, time_entry};
use crate::{Books, Page, Stamp, StorageError};

/// What hours were for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TimeUse {
    /// Work that is paid by the piece.
    PieceWork,
    /// Rest that is paid.
    Rest,
    /// Work that is paid by time, under a crew's contract on a job.
    Paid {
        /// The job.
        job: JobId,
        /// The crew whose contract pays.
        crew: CrewId,
        /// What was done.
        task: Task,
    },
}

/// The entry that another one takes the place of, and why.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TimeCorrection {
    /// The wrong entry.
    pub of: TimeEntryId,
    /// What was wrong with it.
    pub reason: String,
}

/// Hours of one worker on one day. Never changed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TimeEntry {
    /// Its id.
    pub id: TimeEntryId,
    /// Who worked.
    pub worker: WorkerId,
    /// The day.
    pub worked_on: Date,
    /// How long; none in a correction that only takes the wrong entry away.
    pub hours: Option<DayHours>,
    /// What for.
    pub what_for: TimeUse,
    /// The entry it corrects.
    pub corrects: Option<TimeCorrection>,
    /// Who made it, and when.
    pub made: Stamp,
    /// The entry that took its place; none while it stands. Not written with a new entry.
    pub corrected_by: Option<TimeEntryId>,
}

/// Which entries a list is to hold.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct TimeFilter {
    /// Of this worker.
    pub worker: Option<WorkerId>,
    /// Worked on this day or later.
    pub from: Option<Date>,
    /// Worked on this day or earlier.
    pub to: Option<Date>,
    /// Only those that count: that no other entry corrects, and that have hours.
    pub standing_only: bool,
}

/// What one worker's hours of one day come to, by what they were for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct WorkedDay {
    /// Who worked.
    pub worker: WorkerId,
    /// The day.
    pub day: Date,
    /// Hours of work paid by the piece.
    pub piece_work: Fixed,
    /// Hours of paid rest.
    pub rest: Fixed,
    /// Hours paid by time.
    pub paid: Fixed,
}

type Row = (
    (uuid::Uuid, uuid::Uuid, jiff_diesel::Date, Option<i64>, String),
    (Option<uuid::Uuid>, Option<uuid::Uuid>, Option<String>),
    (Option<uuid::Uuid>, Option<String>, jiff_diesel::Timestamp, String),
);

macro_rules! columns {
    () => {
        (
            (
                time_entry::time_entry_id,
                time_entry::worker_id,
                time_entry::worked_on,
                time_entry::hours,
                time_entry::what_for,
            ),
            (time_entry::job_id, time_entry::crew_id, time_entry::task),
            (time_entry::corrects, time_entry::correction_reason, time_entry::made_at, time_entry::made_by),
        )
    };
}

fn unreadable(why: impl std::fmt::Display) -> StorageError {
    StorageError::inconsistent("time_entry", why)
}

fn read(row: Row) -> Result<TimeEntry, StorageError> {
    let ((id, worker, day, hours, what_for), (job, crew, task), (corrects, reason, at, by)) = row;
    let what_for = match (what_for.as_str(), job, crew, task) {
        ("piece_work", None, None, None) => TimeUse::PieceWork,
        ("rest", None, None, None) => TimeUse::Rest,
        ("paid", Some(job), Some(crew), Some(task)) => TimeUse::Paid {
            job: JobId::from_uuid(job),
            crew: CrewId::from_uuid(crew),
            task: serde_json::from_value(task.into()).map_err(unreadable)?,
        },
        _ => return Err(unreadable("what the hours were for is only partly there")),
    };
    let hours = hours.map(|hours| DayHours::try_from(Fixed::from_millionths(hours)));
    Ok(TimeEntry {
        id: TimeEntryId::from_uuid(id),
        worker: WorkerId::from_uuid(worker),
        worked_on: day.to_jiff(),
        hours: hours.transpose().map_err(unreadable)?,
        what_for,
        corrects: corrects
            .zip(reason)
            .map(|(of, reason)| TimeCorrection { of: TimeEntryId::from_uuid(of), reason }),
        made: Stamp { at: at.to_jiff(), by },
        corrected_by: None,
    })
}

#[derive(QueryableByName)]
struct WorkedRow {
    #[diesel(sql_type = diesel::sql_types::Uuid)]
    worker_id: uuid::Uuid,
    #[diesel(sql_type = diesel::sql_types::Date)]
    worked_on: jiff_diesel::Date,
    #[diesel(sql_type = diesel::sql_types::Bigint)]
    piece_work: i64,
    #[diesel(sql_type = diesel::sql_types::Bigint)]
    rest: i64,
    #[diesel(sql_type = diesel::sql_types::Bigint)]
    paid: i64,
}

const WORKED: &str = "
SELECT worker_id, worked_on,
       coalesce(sum(hours) FILTER (WHERE what_for = 'piece_work'), 0)::bigint AS piece_work,
       coalesce(sum(hours) FILTER (WHERE what_for = 'rest'), 0)::bigint AS rest,
       coalesce(sum(hours) FILTER (WHERE what_for = 'paid'), 0)::bigint AS paid
FROM standing_time
WHERE outfit_id = $1 AND worked_on BETWEEN coalesce($2, '-infinity'::date) AND $3
GROUP BY worker_id, worked_on
ORDER BY worker_id, worked_on";

impl Books {
    /// Adds hours.
    ///
    /// # Errors
    ///
    /// [`StorageError::Refused`] with `NoSuch` when the worker, job or crew is not the outfit's.
    pub async fn add_time_entry(&mut self, new: &TimeEntry) -> Result<(), StorageError> {
        let (what_for, job, crew, task) = match new.what_for {
            TimeUse::PieceWork => ("piece_work", None, None, None),
            TimeUse::Rest => ("rest", None, None, None),
            TimeUse::Paid { job, crew, task } => {
                ("paid", Some(job.uuid()), Some(crew.uuid()), Some(task.name()))
            }
        };
        diesel::insert_into(time_entry::table)
            .values((
                (
                    time_entry::outfit_id.eq(self.outfit_uuid()),
                    time_entry::time_entry_id.eq(new.id.uuid()),
                    time_entry::worker_id.eq(new.worker.uuid()),
                    time_entry::worked_on.eq(jiff_diesel::Date::from(new.worked_on)),
                    time_entry::hours.eq(new.hours.map(|hours| hours.fixed().millionths())),
                    time_entry::what_for.eq(what_for),
                    time_entry::job_id.eq(job),
                    time_entry::crew_id.eq(crew),
                    time_entry::task.eq(task),
                ),
                (
                    time_entry::corrects.eq(new.corrects.as_ref().map(|correction| correction.of.uuid())),
                    time_entry::correction_reason
                        .eq(new.corrects.as_ref().map(|correction| correction.reason.as_str())),
                    time_entry::made_at.eq(jiff_diesel::Timestamp::from(new.made.at)),
                    time_entry::made_by.eq(&new.made.by),
                ),
            ))
            .execute(&mut self.connection)
            .await?;
        Ok(())
    }

    /// The entry with this id, if the outfit has it.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or the row cannot be read.
    pub async fn time_entry(&mut self, id: TimeEntryId) -> Result<Option<TimeEntry>, StorageError> {
        let row = time_entry::table
            .filter(time_entry::outfit_id.eq(self.outfit_uuid()))
            .filter(time_entry::time_entry_id.eq(id.uuid()))
            .select(columns!())
            .first::<Row>(&mut self.connection)
            .await
            .optional()?;
        let found = self.with_time_corrections(row.into_iter().collect()).await?;
        Ok(found.into_iter().next())
    }

    /// The entries with these ids, in the order of their ids.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or a row cannot be read.
    pub async fn time_entries_by_id(&mut self, ids: &[TimeEntryId]) -> Result<Vec<TimeEntry>, StorageError> {
        let ids: Vec<_> = ids.iter().map(|id| id.uuid()).collect();
        let rows = time_entry::table
            .filter(time_entry::outfit_id.eq(self.outfit_uuid()))
            .filter(time_entry::time_entry_id.eq_any(ids))
            .order(time_entry::time_entry_id)
            .select(columns!())
            .load::<Row>(&mut self.connection)
            .await?;
        self.with_time_corrections(rows).await
    }

    /// A page of entries, oldest made first.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or a row cannot be read.
    pub async fn time_entries(
        &mut self,
        filter: TimeFilter,
        page: Page<TimeEntryId>,
    ) -> Result<Vec<TimeEntry>, StorageError> {
        let mut query = time_entry::table
            .filter(time_entry::outfit_id.eq(self.outfit_uuid()))
            .filter(time_entry::time_entry_id.gt(page.after.map_or(uuid::Uuid::nil(), Id::uuid)))
            .order(time_entry::time_entry_id)
            .limit(page.limit.into())
            .select(columns!())
            .into_boxed();
        if let Some(worker) = filter.worker {
            query = query.filter(time_entry::worker_id.eq(worker.uuid()));
        }
        if let Some(from) = filter.from {
            query = query.filter(time_entry::worked_on.ge(jiff_diesel::Date::from(from)));
        }
        if let Some(to) = filter.to {
            query = query.filter(time_entry::worked_on.le(jiff_diesel::Date::from(to)));
        }
        if filter.standing_only {
            let standing = standing_time::table
                .filter(standing_time::outfit_id.eq(self.outfit_uuid()))
                .select(standing_time::time_entry_id);
            query = query.filter(time_entry::time_entry_id.eq_any(standing));
        }
        let rows = query.load::<Row>(&mut self.connection).await?;
        self.with_time_corrections(rows).await
    }

    /// The entries of paid time that count, worked on the days between two, in the order of their ids.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or a row cannot be read.
    pub async fn paid_time(&mut self, from: Option<Date>, to: Date) -> Result<Vec<TimeEntry>, StorageError> {
        // The days are told twice, so that the hours of other days are not even looked at.
        let mut standing = standing_time::table
            .filter(standing_time::outfit_id.eq(self.outfit_uuid()))
            .filter(standing_time::worked_on.le(jiff_diesel::Date::from(to)))
            .select(standing_time::time_entry_id)
            .into_boxed();
        if let Some(from) = from {
            standing = standing.filter(standing_time::worked_on.ge(jiff_diesel::Date::from(from)));
        }
        let mut query = time_entry::table
            .filter(time_entry::outfit_id.eq(self.outfit_uuid()))
            .filter(time_entry::what_for.eq("paid"))
            .filter(time_entry::worked_on.le(jiff_diesel::Date::from(to)))
            .filter(time_entry::time_entry_id.eq_any(standing))
            .order(time_entry::time_entry_id)
            .select(columns!())
            .into_boxed();
        if let Some(from) = from {
            query = query.filter(time_entry::worked_on.ge(jiff_diesel::Date::from(from)));
        }
        let rows = query.load::<Row>(&mut self.connection).await?;
        rows.into_iter().map(read).collect()
    }

    /// The hours that count, by worker and day, of the days between two.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails.
    pub async fn hours_by_day(
        &mut self,
        from: Option<Date>,
        to: Date,
    ) -> Result<Vec<WorkedDay>, StorageError> {
        let rows: Vec<WorkedRow> = diesel::sql_query(WORKED)
            .bind::<diesel::sql_types::Uuid, _>(self.outfit_uuid())
            .bind::<diesel::sql_types::Nullable<diesel::sql_types::Date>, _>(
                from.map(jiff_diesel::Date::from),
            )
            .bind::<diesel::sql_types::Date, _>(jiff_diesel::Date::from(to))
            .load(&mut self.connection)
            .await?;
        Ok(rows
            .into_iter()
            .map(|row| WorkedDay {
                worker: WorkerId::from_uuid(row.worker_id),
                day: row.worked_on.to_jiff(),
                piece_work: Fixed::from_millionths(row.piece_work),
                rest: Fixed::from_millionths(row.rest),
                paid: Fixed::from_millionths(row.paid),
            })
            .collect())
    }

    /// Adds to each entry which other one took its place.
    async fn with_time_corrections(&mut self, rows: Vec<Row>) -> Result<Vec<TimeEntry>, StorageError> {
        let mut entries = rows.into_iter().map(read).collect::<Result<Vec<_>, _>>()?;
        let ids: Vec<_> = entries.iter().map(|entry| entry.id.uuid()).collect();
        let corrections: Vec<(Option<uuid::Uuid>, uuid::Uuid)> = if ids.is_empty() {
            Vec::new()
        } else {
            time_entry::table
                .filter(time_entry::outfit_id.eq(self.outfit_uuid()))
                .filter(time_entry::corrects.eq_any(ids))
                .select((time_entry::corrects, time_entry::time_entry_id))
                .load(&mut self.connection)
                .await?
        };
        let by_corrected: std::collections::HashMap<_, _> = corrections.into_iter().collect();
        for entry in &mut entries {
            let correction = by_corrected.get(&Some(entry.id.uuid())).copied();
            entry.corrected_by = correction.map(TimeEntryId::from_uuid);
        }
        Ok(entries)
    }
}
