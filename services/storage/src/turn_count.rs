//! Turns that somebody other than the scaler counted.

use diesel::dsl::sql;
use diesel::sql_types::Bool;
use diesel::{ExpressionMethods, QueryDsl};
use diesel_async::RunQueryDsl;
use jiff::civil::Date;
use kernel::{Id, JobId, TurnCountId};

use crate::schema::turn_count;
use crate::{Books, ContractParty, Page, Stamp, StorageError};

/// How many turns a crew moved, or came in at a mill, on a job on a day.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TurnCount {
    /// Its id.
    pub id: TurnCountId,
    /// The job they came from.
    pub job: JobId,
    /// The day.
    pub counted_on: Date,
    /// The crew that moved them, or the mill where they came in.
    pub party: ContractParty,
    /// How many.
    pub turns: u32,
    /// Who counted.
    pub counted_by: String,
    /// Counts up with each count for the same job, day and party. Not written with a new one: it is counted there.
    pub revision: i32,
    /// Whether no later count took its place. Not written with a new one.
    pub standing: bool,
    /// Who filed it, and when.
    pub made: Stamp,
}

/// Which counts a list is to hold.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct TurnCountFilter {
    /// Of this day or later.
    pub from: Option<Date>,
    /// Of this day or earlier.
    pub to: Option<Date>,
    /// Of this job.
    pub job: Option<JobId>,
    /// Of this crew or mill.
    pub party: Option<ContractParty>,
    /// Only those that no later count took the place of.
    pub standing_only: bool,
}

/// Whether a count is the latest of its job, day and party.
const STANDING: &str = "(NOT EXISTS (SELECT FROM turn_count AS later \
    WHERE later.outfit_id = turn_count.outfit_id AND later.job_id = turn_count.job_id \
      AND later.counted_on = turn_count.counted_on \
      AND later.crew_id IS NOT DISTINCT FROM turn_count.crew_id \
      AND later.mill_id IS NOT DISTINCT FROM turn_count.mill_id AND later.revision > turn_count.revision))";

type Row = (
    (uuid::Uuid, uuid::Uuid, jiff_diesel::Date, Option<uuid::Uuid>, Option<uuid::Uuid>),
    (i32, String, i32, jiff_diesel::Timestamp, String, bool),
);

fn read(row: Row) -> Result<TurnCount, StorageError> {
    let ((id, job, day, crew, mill), (turns, counted_by, revision, at, by, standing)) = row;
    Ok(TurnCount {
        id: TurnCountId::from_uuid(id),
        job: JobId::from_uuid(job),
        counted_on: day.to_jiff(),
        party: ContractParty::read("turn_count", crew, mill)?,
        turns: u32::try_from(turns).map_err(|error| StorageError::inconsistent("turn_count", error))?,
        counted_by,
        revision,
        standing,
        made: Stamp { at: at.to_jiff(), by },
    })
}

fn columns(party: ContractParty) -> (Option<uuid::Uuid>, Option<uuid::Uuid>) {
    match party {
        ContractParty::Crew(crew) => (Some(crew.uuid()), None),
        ContractParty::Mill(mill) => (None, Some(mill.uuid())),
    }
}

impl Books {
    /// Files a count; it takes the place of an earlier one for the same job, day and party. Its revision is counted here
    /// and answered, so nobody else may file one meanwhile ([`Books::close_to_others`]).
    ///
    /// # Errors
    ///
    /// [`StorageError::Refused`] with `NoSuch` for a job, crew or mill that is not the outfit's.
    pub async fn add_turn_count(&mut self, new: &TurnCount) -> Result<i32, StorageError> {
        let (crew, mill) = columns(new.party);
        let mut before = turn_count::table
            .filter(turn_count::outfit_id.eq(self.outfit_uuid()))
            .filter(turn_count::job_id.eq(new.job.uuid()))
            .filter(turn_count::counted_on.eq(jiff_diesel::Date::from(new.counted_on)))
            .select(diesel::dsl::max(turn_count::revision))
            .into_boxed();
        before = match new.party {
            ContractParty::Crew(crew) => before.filter(turn_count::crew_id.eq(crew.uuid())),
            ContractParty::Mill(mill) => before.filter(turn_count::mill_id.eq(mill.uuid())),
        };
        let before: Option<i32> = before.first(&mut self.connection).await?;
        let revision = before.unwrap_or(0).saturating_add(1);
        let turns =
            i32::try_from(new.turns).map_err(|error| StorageError::inconsistent("turn_count", error))?;
        diesel::insert_into(turn_count::table)
            .values((
                turn_count::outfit_id.eq(self.outfit_uuid()),
                turn_count::turn_count_id.eq(new.id.uuid()),
                turn_count::job_id.eq(new.job.uuid()),
                turn_count::counted_on.eq(jiff_diesel::Date::from(new.counted_on)),
                turn_count::crew_id.eq(crew),
                turn_count::mill_id.eq(mill),
                turn_count::turns.eq(turns),
                turn_count::counted_by.eq(&new.counted_by),
                turn_count::revision.eq(revision),
                turn_count::made_at.eq(jiff_diesel::Timestamp::from(new.made.at)),
                turn_count::made_by.eq(&new.made.by),
            ))
            .execute(&mut self.connection)
            .await?;
        Ok(revision)
    }

    /// A page of counts, oldest filed first.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or a row cannot be read.
    pub async fn turn_counts(
        &mut self,
        filter: TurnCountFilter,
        page: Page<TurnCountId>,
    ) -> Result<Vec<TurnCount>, StorageError> {
        let mut query = turn_count::table
            .filter(turn_count::outfit_id.eq(self.outfit_uuid()))
            .filter(turn_count::turn_count_id.gt(page.after.map_or(uuid::Uuid::nil(), Id::uuid)))
            .order(turn_count::turn_count_id)
            .limit(page.limit.into())
            .select((
                (
                    turn_count::turn_count_id,
                    turn_count::job_id,
                    turn_count::counted_on,
                    turn_count::crew_id,
                    turn_count::mill_id,
                ),
                (
                    turn_count::turns,
                    turn_count::counted_by,
                    turn_count::revision,
                    turn_count::made_at,
                    turn_count::made_by,
                    sql::<Bool>(STANDING),
                ),
            ))
            .into_boxed();
        if let Some(day) = filter.from {
            query = query.filter(turn_count::counted_on.ge(jiff_diesel::Date::from(day)));
        }
        if let Some(day) = filter.to {
            query = query.filter(turn_count::counted_on.le(jiff_diesel::Date::from(day)));
        }
        if let Some(job) = filter.job {
            query = query.filter(turn_count::job_id.eq(job.uuid()));
        }
        match filter.party {
            Some(ContractParty::Crew(crew)) => query = query.filter(turn_count::crew_id.eq(crew.uuid())),
            Some(ContractParty::Mill(mill)) => query = query.filter(turn_count::mill_id.eq(mill.uuid())),
            None => {}
        }
        if filter.standing_only {
            query = query.filter(sql::<Bool>(STANDING));
        }
        let rows: Vec<Row> = query.load(&mut self.connection).await?;
        rows.into_iter().map(read).collect()
    }
}
