//! Cruises: what was measured on standing trees.

use diesel::{
    BoolExpressionMethods, ExpressionMethods, JoinOnDsl, NullableExpressionMethods, OptionalExtension,
    QueryDsl,
};
use diesel_async::RunQueryDsl;
use jiff::civil::Date;
use kernel::{CruiseId, Id, JobId};
use scaling::standing::Cruise as Measured;

use crate::reversal::{ReversedColumns, reversed};
use crate::schema::{cruise, cruise_withdrawal};
use crate::{Books, Page, Reversed, Stamp, StorageError};

/// A cruise.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Cruise {
    /// Its id.
    pub id: CruiseId,
    /// The job whose tract was cruised.
    pub job: JobId,
    /// The day it was done, or its last day.
    pub cruised_on: Date,
    /// Who measured.
    pub cruiser: String,
    /// What was measured, and how trees get their volume.
    pub measured: Measured,
    /// What else there is to say.
    pub remarks: Option<String>,
    /// Who filed it, and when.
    pub made: Stamp,
}

/// A cruise, and whether it stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CruiseState {
    /// The cruise.
    pub cruise: Cruise,
    /// That it was taken back.
    pub withdrawn: Option<Reversed>,
}

/// Which cruises a list is to hold.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct CruiseFilter {
    /// Of this job.
    pub job: Option<JobId>,
    /// Done on this day or later.
    pub from: Option<Date>,
    /// Done on this day or earlier.
    pub to: Option<Date>,
    /// Only those that stand.
    pub standing: bool,
}

type Facts = (uuid::Uuid, uuid::Uuid, jiff_diesel::Date, String, serde_json::Value, Option<String>);
type Row = (Facts, (jiff_diesel::Timestamp, String), ReversedColumns);

fn unreadable(why: impl std::fmt::Display) -> StorageError {
    StorageError::inconsistent("cruise", why)
}

fn read((facts, (at, by), withdrawn): Row) -> Result<CruiseState, StorageError> {
    let (id, job, cruised_on, cruiser, measured, remarks) = facts;
    let cruise = Cruise {
        id: CruiseId::from_uuid(id),
        job: JobId::from_uuid(job),
        cruised_on: cruised_on.to_jiff(),
        cruiser,
        measured: serde_json::from_value(measured).map_err(unreadable)?,
        remarks,
        made: Stamp { at: at.to_jiff(), by },
    };
    Ok(CruiseState { cruise, withdrawn: reversed(withdrawn) })
}

/// A cruise beside what took it back, if anything did.
macro_rules! cruises {
    () => {
        cruise::table
            .left_join(
                cruise_withdrawal::table.on(cruise_withdrawal::outfit_id
                    .eq(cruise::outfit_id)
                    .and(cruise_withdrawal::cruise_id.eq(cruise::cruise_id))),
            )
            .select((
                (
                    cruise::cruise_id,
                    cruise::job_id,
                    cruise::cruised_on,
                    cruise::cruiser,
                    cruise::measured,
                    cruise::remarks,
                ),
                (cruise::made_at, cruise::made_by),
                (
                    cruise_withdrawal::reason.nullable(),
                    cruise_withdrawal::made_at.nullable(),
                    cruise_withdrawal::made_by.nullable(),
                ),
            ))
    };
}

impl Books {
    /// Files a cruise.
    ///
    /// # Errors
    ///
    /// [`StorageError::Refused`] with `NoSuch` for a job that is not the outfit's.
    pub async fn add_cruise(&mut self, new: &Cruise) -> Result<(), StorageError> {
        diesel::insert_into(cruise::table)
            .values((
                cruise::outfit_id.eq(self.outfit_uuid()),
                cruise::cruise_id.eq(new.id.uuid()),
                cruise::job_id.eq(new.job.uuid()),
                cruise::cruised_on.eq(jiff_diesel::Date::from(new.cruised_on)),
                cruise::cruiser.eq(&new.cruiser),
                cruise::measured.eq(serde_json::to_value(&new.measured).map_err(unreadable)?),
                cruise::remarks.eq(&new.remarks),
                cruise::made_at.eq(jiff_diesel::Timestamp::from(new.made.at)),
                cruise::made_by.eq(&new.made.by),
            ))
            .execute(&mut self.connection)
            .await?;
        Ok(())
    }

    /// Takes a cruise back.
    ///
    /// # Errors
    ///
    /// [`StorageError::Refused`] with `ReversedAlready` when it was taken back before, with `NoSuch` when the outfit has
    /// no such cruise.
    pub async fn withdraw_cruise(&mut self, id: CruiseId, withdrawn: &Reversed) -> Result<(), StorageError> {
        diesel::insert_into(cruise_withdrawal::table)
            .values((
                cruise_withdrawal::outfit_id.eq(self.outfit_uuid()),
                cruise_withdrawal::cruise_id.eq(id.uuid()),
                cruise_withdrawal::reason.eq(&withdrawn.reason),
                cruise_withdrawal::made_at.eq(jiff_diesel::Timestamp::from(withdrawn.made.at)),
                cruise_withdrawal::made_by.eq(&withdrawn.made.by),
            ))
            .execute(&mut self.connection)
            .await?;
        Ok(())
    }

    /// The cruise with this id, if the outfit has it.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or a row cannot be read.
    pub async fn cruise(&mut self, id: CruiseId) -> Result<Option<CruiseState>, StorageError> {
        cruises!()
            .filter(cruise::outfit_id.eq(self.outfit_uuid()))
            .filter(cruise::cruise_id.eq(id.uuid()))
            .first::<Row>(&mut self.connection)
            .await
            .optional()?
            .map(read)
            .transpose()
    }

    /// A page of cruises, oldest filed first.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or a row cannot be read.
    pub async fn cruises(
        &mut self,
        filter: CruiseFilter,
        page: Page<CruiseId>,
    ) -> Result<Vec<CruiseState>, StorageError> {
        let mut query = cruises!()
            .filter(cruise::outfit_id.eq(self.outfit_uuid()))
            .filter(cruise::cruise_id.gt(page.after.map_or(uuid::Uuid::nil(), Id::uuid)))
            .order(cruise::cruise_id)
            .limit(page.limit.into())
            .into_boxed();
        if let Some(job) = filter.job {
            query = query.filter(cruise::job_id.eq(job.uuid()));
        }
        if let Some(from) = filter.from {
            query = query.filter(cruise::cruised_on.ge(jiff_diesel::Date::from(from)));
        }
        if let Some(to) = filter.to {
            query = query.filter(cruise::cruised_on.le(jiff_diesel::Date::from(to)));
        }
        if filter.standing {
            query = query.filter(cruise_withdrawal::made_at.is_null());
        }
        let rows = query.load::<Row>(&mut self.connection).await?;
        rows.into_iter().map(read).collect()
    }
}
