//! How crews divide their pay, from a date on.

use diesel::{ExpressionMethods, QueryDsl};
use diesel_async::RunQueryDsl;
use jiff::civil::Date;
use kernel::{CrewId, Fixed, Id, ShareSetId, WorkerId};
use settlement::ShareMethod;

use crate::schema::{share, share_set};
use crate::{Books, Stamp, StorageError};

/// One member's part of a crew's pay.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Share {
    /// The member.
    pub worker: WorkerId,
    /// His parts; what counts is their proportion to the crew's sum of parts.
    pub parts: Fixed,
}

/// A crew's division of its pay from a date on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ShareSet {
    /// Its id.
    pub id: ShareSetId,
    /// The crew.
    pub crew: CrewId,
    /// The first day it holds for.
    pub effective_from: Date,
    /// Counts up with each set filed for the crew; of two from the same day the higher one holds.
    pub revision: i32,
    /// How they share; where it is not by parts, every part is one.
    pub method: ShareMethod,
    /// The members in the order that settles ties between cents.
    pub shares: Vec<Share>,
    /// Who filed it, and when.
    pub made: Stamp,
}

impl Books {
    /// Files a division of a crew's pay; the revision is counted here.
    ///
    /// # Errors
    ///
    /// [`StorageError::Refused`] with `NoSuch` when the crew or a worker is not the outfit's.
    pub async fn add_share_set(&mut self, new: &ShareSet) -> Result<i32, StorageError> {
        let outfit = self.outfit_uuid();
        let latest: Option<i32> = share_set::table
            .filter(share_set::outfit_id.eq(outfit))
            .filter(share_set::crew_id.eq(new.crew.uuid()))
            .select(diesel::dsl::max(share_set::revision))
            .first(&mut self.connection)
            .await?;
        let revision = latest.unwrap_or(0).saturating_add(1);
        diesel::insert_into(share_set::table)
            .values((
                share_set::outfit_id.eq(outfit),
                share_set::share_set_id.eq(new.id.uuid()),
                share_set::crew_id.eq(new.crew.uuid()),
                share_set::effective_from.eq(jiff_diesel::Date::from(new.effective_from)),
                share_set::revision.eq(revision),
                share_set::method.eq(new.method.name()),
                share_set::made_at.eq(jiff_diesel::Timestamp::from(new.made.at)),
                share_set::made_by.eq(&new.made.by),
            ))
            .execute(&mut self.connection)
            .await?;
        let shares: Vec<_> = (1_i16..)
            .zip(&new.shares)
            .map(|(position, one)| {
                (
                    share::outfit_id.eq(outfit),
                    share::share_set_id.eq(new.id.uuid()),
                    share::position.eq(position),
                    share::worker_id.eq(one.worker.uuid()),
                    share::parts_millionths.eq(one.parts.millionths()),
                )
            })
            .collect();
        diesel::insert_into(share::table).values(shares).execute(&mut self.connection).await?;
        Ok(revision)
    }

    /// Every division of pay that the outfit has filed, of one crew or of all, by crew, day and revision.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails.
    pub async fn share_sets(&mut self, of: Option<CrewId>) -> Result<Vec<ShareSet>, StorageError> {
        type SetRow =
            (uuid::Uuid, uuid::Uuid, jiff_diesel::Date, i32, Option<String>, jiff_diesel::Timestamp, String);
        let outfit = self.outfit_uuid();
        let mut query = share_set::table
            .filter(share_set::outfit_id.eq(outfit))
            .order((share_set::crew_id, share_set::effective_from, share_set::revision))
            .select((
                share_set::share_set_id,
                share_set::crew_id,
                share_set::effective_from,
                share_set::revision,
                share_set::method,
                share_set::made_at,
                share_set::made_by,
            ))
            .into_boxed();
        if let Some(crew) = of {
            query = query.filter(share_set::crew_id.eq(crew.uuid()));
        }
        let sets: Vec<SetRow> = query.load(&mut self.connection).await?;
        let ids: Vec<_> = sets.iter().map(|(id, ..)| *id).collect();
        let shares: Vec<(uuid::Uuid, uuid::Uuid, i64)> = share::table
            .filter(share::outfit_id.eq(outfit))
            .filter(share::share_set_id.eq_any(ids))
            .order((share::share_set_id, share::position))
            .select((share::share_set_id, share::worker_id, share::parts_millionths))
            .load(&mut self.connection)
            .await?;
        sets.into_iter()
            .map(|(id, crew, from, revision, method, at, by)| {
                Ok(ShareSet {
                    id: ShareSetId::from_uuid(id),
                    crew: CrewId::from_uuid(crew),
                    effective_from: from.to_jiff(),
                    revision,
                    method: share_method(method)?,
                    shares: shares
                        .iter()
                        .filter(|(set, ..)| *set == id)
                        .map(|(_, worker, parts)| Share {
                            worker: WorkerId::from_uuid(*worker),
                            parts: Fixed::from_millionths(*parts),
                        })
                        .collect(),
                    made: Stamp { at: at.to_jiff(), by },
                })
            })
            .collect()
    }
}

/// The method of a share set; those from before there was a choice have none, and share by parts.
fn share_method(name: Option<String>) -> Result<ShareMethod, StorageError> {
    let read = name.map(|name| serde_json::from_value(name.into())).transpose();
    Ok(read.map_err(|error| StorageError::inconsistent("share_set", error))?.unwrap_or_default())
}
