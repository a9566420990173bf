//! Mill tallies: what mills sawed out of the logs that were delivered to them.

use audit::LumberState;
use diesel::{
    BoolExpressionMethods, ExpressionMethods, JoinOnDsl, NullableExpressionMethods, OptionalExtension,
    QueryDsl,
};
use diesel_async::RunQueryDsl;
use jiff::civil::Date;
use kernel::{Fixed, Id, JobId, MillId, MillTallyId};

use crate::reversal::{ReversedColumns, reversed};
use crate::schema::{mill_tally, mill_tally_withdrawal};
use crate::{Books, Page, Reversed, Stamp, StorageError};

/// What a mill sawed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MillTally {
    /// Its id.
    pub id: MillTallyId,
    /// The mill.
    pub mill: MillId,
    /// The job whose logs they were; none where logs of all jobs were sawn together.
    pub job: Option<JobId>,
    /// The first day whose logs are in it.
    pub first_day: Date,
    /// The last.
    pub last_day: Date,
    /// Board feet, line by line: one line without a species, or one for each species.
    pub lumber: Vec<(Option<String>, Fixed)>,
    /// In which state it was tallied.
    pub lumber_state: LumberState,
    /// Who says so.
    pub tallied_by: String,
    /// What else there is to say.
    pub remarks: Option<String>,
    /// Who filed it, and when.
    pub made: Stamp,
}

/// A mill tally, and whether it stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MillTallyState {
    /// The tally.
    pub tally: MillTally,
    /// That it was taken back.
    pub withdrawn: Option<Reversed>,
}

/// Which mill tallies a list is to hold.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct MillTallyFilter {
    /// Of this mill.
    pub mill: Option<MillId>,
    /// Of this job alone.
    pub job: Option<JobId>,
    /// Whose days reach to this one or past it.
    pub from: Option<Date>,
    /// Whose days begin on this one or before it.
    pub to: Option<Date>,
    /// Only those that stand.
    pub standing: bool,
}

type Facts = (
    uuid::Uuid,
    uuid::Uuid,
    Option<uuid::Uuid>,
    jiff_diesel::Date,
    jiff_diesel::Date,
    Vec<Option<String>>,
    Vec<i64>,
);
type Row = (Facts, (String, String, Option<String>, jiff_diesel::Timestamp, String), ReversedColumns);

fn unreadable(why: impl std::fmt::Display) -> StorageError {
    StorageError::inconsistent("mill_tally", why)
}

fn read((facts, says, withdrawn): Row) -> Result<MillTallyState, StorageError> {
    let (id, mill, job, first_day, last_day, species, board_feet) = facts;
    let (state, tallied_by, remarks, at, by) = says;
    let tally = MillTally {
        id: MillTallyId::from_uuid(id),
        mill: MillId::from_uuid(mill),
        job: job.map(JobId::from_uuid),
        first_day: first_day.to_jiff(),
        last_day: last_day.to_jiff(),
        lumber: species.into_iter().zip(board_feet.into_iter().map(Fixed::from_millionths)).collect(),
        lumber_state: serde_json::from_value(state.into()).map_err(unreadable)?,
        tallied_by,
        remarks,
        made: Stamp { at: at.to_jiff(), by },
    };
    Ok(MillTallyState { tally, withdrawn: reversed(withdrawn) })
}

/// A tally beside what took it back, if anything did.
macro_rules! tallies {
    () => {
        mill_tally::table
            .left_join(
                mill_tally_withdrawal::table.on(mill_tally_withdrawal::outfit_id
                    .eq(mill_tally::outfit_id)
                    .and(mill_tally_withdrawal::mill_tally_id.eq(mill_tally::mill_tally_id))),
            )
            .select((
                (
                    mill_tally::mill_tally_id,
                    mill_tally::mill_id,
                    mill_tally::job_id,
                    mill_tally::first_day,
                    mill_tally::last_day,
                    mill_tally::species,
                    mill_tally::board_feet,
                ),
                (
                    mill_tally::lumber_state,
                    mill_tally::tallied_by,
                    mill_tally::remarks,
                    mill_tally::made_at,
                    mill_tally::made_by,
                ),
                (
                    mill_tally_withdrawal::reason.nullable(),
                    mill_tally_withdrawal::made_at.nullable(),
                    mill_tally_withdrawal::made_by.nullable(),
                ),
            ))
    };
}

impl Books {
    /// Files a mill tally.
    ///
    /// # Errors
    ///
    /// [`StorageError::Refused`] with `NoSuch` for a mill or a job that is not the outfit's.
    pub async fn add_mill_tally(&mut self, new: &MillTally) -> Result<(), StorageError> {
        let species: Vec<_> = new.lumber.iter().map(|(species, _)| species.as_deref()).collect();
        let board_feet: Vec<_> = new.lumber.iter().map(|(_, board_feet)| board_feet.millionths()).collect();
        diesel::insert_into(mill_tally::table)
            .values((
                mill_tally::outfit_id.eq(self.outfit_uuid()),
                mill_tally::mill_tally_id.eq(new.id.uuid()),
                mill_tally::mill_id.eq(new.mill.uuid()),
                mill_tally::job_id.eq(new.job.map(Id::uuid)),
                mill_tally::first_day.eq(jiff_diesel::Date::from(new.first_day)),
                mill_tally::last_day.eq(jiff_diesel::Date::from(new.last_day)),
                mill_tally::species.eq(species),
                mill_tally::board_feet.eq(board_feet),
                mill_tally::lumber_state.eq(new.lumber_state.name()),
                mill_tally::tallied_by.eq(&new.tallied_by),
                mill_tally::remarks.eq(&new.remarks),
                mill_tally::made_at.eq(jiff_diesel::Timestamp::from(new.made.at)),
                mill_tally::made_by.eq(&new.made.by),
            ))
            .execute(&mut self.connection)
            .await?;
        Ok(())
    }

    /// Takes a mill tally back.
    ///
    /// # Errors
    ///
    /// [`StorageError::Refused`] with `ReversedAlready` when it was taken back before, with `NoSuch` when the outfit has
    /// no such tally.
    pub async fn withdraw_mill_tally(
        &mut self,
        id: MillTallyId,
        withdrawn: &Reversed,
    ) -> Result<(), StorageError> {
        diesel::insert_into(mill_tally_withdrawal::table)
            .values((
                mill_tally_withdrawal::outfit_id.eq(self.outfit_uuid()),
                mill_tally_withdrawal::mill_tally_id.eq(id.uuid()),
                mill_tally_withdrawal::reason.eq(&withdrawn.reason),
                mill_tally_withdrawal::made_at.eq(jiff_diesel::Timestamp::from(withdrawn.made.at)),
                mill_tally_withdrawal::made_by.eq(&withdrawn.made.by),
            ))
            .execute(&mut self.connection)
            .await?;
        Ok(())
    }

    /// The mill tally with this id, if the outfit has it.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or a row cannot be read.
    pub async fn mill_tally(&mut self, id: MillTallyId) -> Result<Option<MillTallyState>, StorageError> {
        tallies!()
            .filter(mill_tally::outfit_id.eq(self.outfit_uuid()))
            .filter(mill_tally::mill_tally_id.eq(id.uuid()))
            .first::<Row>(&mut self.connection)
            .await
            .optional()?
            .map(read)
            .transpose()
    }

    /// A page of mill tallies, oldest filed first.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or a row cannot be read.
    pub async fn mill_tallies(
        &mut self,
        filter: MillTallyFilter,
        page: Page<MillTallyId>,
    ) -> Result<Vec<MillTallyState>, StorageError> {
        let mut query = tallies!()
            .filter(mill_tally::outfit_id.eq(self.outfit_uuid()))
            .filter(mill_tally::mill_tally_id.gt(page.after.map_or(uuid::Uuid::nil(), Id::uuid)))
            .order(mill_tally::mill_tally_id)
            .limit(page.limit.into())
            .into_boxed();
        if let Some(mill) = filter.mill {
            query = query.filter(mill_tally::mill_id.eq(mill.uuid()));
        }
        if let Some(job) = filter.job {
            query = query.filter(mill_tally::job_id.eq(job.uuid()));
        }
        if let Some(from) = filter.from {
            query = query.filter(mill_tally::last_day.ge(jiff_diesel::Date::from(from)));
        }
        if let Some(to) = filter.to {
            query = query.filter(mill_tally::first_day.le(jiff_diesel::Date::from(to)));
        }
        if filter.standing {
            query = query.filter(mill_tally_withdrawal::made_at.is_null());
        }
        let rows = query.load::<Row>(&mut self.connection).await?;
        rows.into_iter().map(read).collect()
    }
}
