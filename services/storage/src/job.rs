//! The landings of a job.

use diesel::{ExpressionMethods, OptionalExtension, QueryDsl};
use diesel_async::RunQueryDsl;
use kernel::{Id, JobId, LandingId};

use crate::schema::landing;
use crate::{Books, Stamp, StorageError};

/// A place on a job where timber is piled and scaled.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Landing {
    /// Its id.
    pub id: LandingId,
    /// The job it is on.
    pub job: JobId,
    /// Its name, unique on the job.
    pub name: String,
    /// Who filed it, and when.
    pub made: Stamp,
}

impl Books {
    /// Files a landing.
    ///
    /// # Errors
    ///
    /// [`StorageError::Refused`] with `NoSuch` for a job that is not the outfit's, `NameTaken` for a repeated name.
    pub async fn add_landing(&mut self, new: &Landing) -> Result<(), StorageError> {
        diesel::insert_into(landing::table)
            .values((
                landing::outfit_id.eq(self.outfit_uuid()),
                landing::landing_id.eq(new.id.uuid()),
                landing::job_id.eq(new.job.uuid()),
                landing::name.eq(&new.name),
                landing::made_at.eq(jiff_diesel::Timestamp::from(new.made.at)),
                landing::made_by.eq(&new.made.by),
            ))
            .execute(&mut self.connection)
            .await?;
        Ok(())
    }

    /// The landings of a job, oldest first.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails.
    pub async fn landings(&mut self, job: JobId) -> Result<Vec<Landing>, StorageError> {
        let rows = landing::table
            .filter(landing::outfit_id.eq(self.outfit_uuid()))
            .filter(landing::job_id.eq(job.uuid()))
            .order(landing::landing_id)
            .select((landing::landing_id, landing::job_id, landing::name, landing::made_at, landing::made_by))
            .load::<Row>(&mut self.connection)
            .await?;
        Ok(rows.into_iter().map(read).collect())
    }

    /// The landing with this id, if the outfit has it.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails.
    pub async fn landing(&mut self, id: LandingId) -> Result<Option<Landing>, StorageError> {
        let row = landing::table
            .filter(landing::outfit_id.eq(self.outfit_uuid()))
            .filter(landing::landing_id.eq(id.uuid()))
            .select((landing::landing_id, landing::job_id, landing::name, landing::made_at, landing::made_by))
            .first::<Row>(&mut self.connection)
            .await
            .optional()?;
        Ok(row.map(read))
    }
}

type Row = (uuid::Uuid, uuid::Uuid, String, jiff_diesel::Timestamp, String);

fn read((id, job, name, at, by): Row) -> Landing {
    Landing {
        id: LandingId::from_uuid(id),
        job: JobId::from_uuid(job),
        name,
        made: Stamp { at: at.to_jiff(), by },
    }
}
