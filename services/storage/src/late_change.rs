//! What came into weeks that were posted already. The database writes it down by itself; see the migration.

use diesel::{ExpressionMethods, QueryDsl};
use diesel_async::RunQueryDsl;
use jiff::civil::Date;
use kernel::{Id, SettlementId};

use crate::schema::{late_change, settlement_posting};
use crate::{Books, StorageError};

/// Days from one to another, both among them; without a first one, every day up to the last.
pub type Days = (Option<Date>, Date);

impl Books {
    /// The days of posted weeks that may be paid otherwise since the latest posting. Nobody may change the books
    /// meanwhile ([`Books::close_to_others`]).
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails.
    pub async fn late_changes(&mut self) -> Result<Vec<(Date, Date)>, StorageError> {
        let Some(latest) = self.latest_posting().await? else { return Ok(Vec::new()) };
        let rows: Vec<(jiff_diesel::Date, jiff_diesel::Date)> = late_change::table
            .filter(late_change::outfit_id.eq(self.outfit_uuid()))
            .filter(late_change::settlement_id.eq(latest))
            .distinct()
            .order((late_change::from_day, late_change::to_day))
            .select((late_change::from_day, late_change::to_day))
            .load(&mut self.connection)
            .await?;
        Ok(rows.into_iter().map(|(from, to)| (from.to_jiff(), to.to_jiff())).collect())
    }

    /// Writes down that the days between two may be paid otherwise, by the settlement in which it was found. Without a
    /// posting there is nothing to write down.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database refuses or fails.
    pub async fn add_late_change(
        &mut self,
        (from, to): (Date, Date),
        by: SettlementId,
    ) -> Result<(), StorageError> {
        let Some(latest) = self.latest_posting().await? else { return Ok(()) };
        diesel::insert_into(late_change::table)
            .values((
                late_change::outfit_id.eq(self.outfit_uuid()),
                late_change::settlement_id.eq(latest),
                late_change::from_day.eq(jiff_diesel::Date::from(from)),
                late_change::to_day.eq(jiff_diesel::Date::from(to)),
                late_change::record_id.eq(by.uuid()),
            ))
            .execute(&mut self.connection)
            .await?;
        Ok(())
    }

    async fn latest_posting(&mut self) -> Result<Option<uuid::Uuid>, StorageError> {
        let latest: Vec<uuid::Uuid> = settlement_posting::table
            .filter(settlement_posting::outfit_id.eq(self.outfit_uuid()))
            .order(settlement_posting::week_ends_on.desc())
            .limit(1)
            .select(settlement_posting::settlement_id)
            .load(&mut self.connection)
            .await?;
        Ok(latest.into_iter().next())
    }
}
