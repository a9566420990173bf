//! What posted settlements added to workers' pay and kept back of it.

use std::collections::BTreeMap;

use ::settlement::{Supplement, SupplementKey};
use diesel::{ExpressionMethods, QueryDsl};
use diesel_async::RunQueryDsl;
use kernel::{AdvanceId, ChargeId, ContractId, Id, SettlementId, WorkerId};

use crate::schema::{settlement_supplement, settlement_take_off};
use crate::{Books, Days, StorageError};

/// What was kept back of something, in the currency's smallest unit. Exactly one of the three ids is there.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct PostedTakeOff {
    /// The contract whose holdback it is.
    pub contract: Option<ContractId>,
    /// The advance that is recovered.
    pub advance: Option<AdvanceId>,
    /// The charge that is taken.
    pub charge: Option<ChargeId>,
    /// What was due.
    pub due_minor: i64,
    /// What was kept back; below zero where it was given back.
    pub taken_minor: i64,
}

/// One worker's pay in a posted settlement, beside the lines of work.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PostedPay {
    /// Whose.
    pub worker: WorkerId,
    /// What was added, as differences.
    pub supplements: Vec<(SupplementKey, i64)>,
    /// What was kept back, in order.
    pub take_offs: Vec<PostedTakeOff>,
}

impl Books {
    /// Keeps what a posted settlement adds and keeps back.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database refuses or fails.
    pub async fn add_pays(&mut self, of: SettlementId, pays: &[PostedPay]) -> Result<(), StorageError> {
        let outfit = self.outfit_uuid();
        for pay in pays {
            let supplements: Vec<_> = pay
                .supplements
                .iter()
                .map(|(key, amount)| {
                    (
                        settlement_supplement::outfit_id.eq(outfit),
                        settlement_supplement::settlement_id.eq(of.uuid()),
                        settlement_supplement::worker_id.eq(pay.worker.uuid()),
                        settlement_supplement::week_ends_on.eq(jiff_diesel::Date::from(key.week)),
                        settlement_supplement::supplement.eq(key.supplement.name()),
                        settlement_supplement::amount_minor.eq(*amount),
                    )
                })
                .collect();
            diesel::insert_into(settlement_supplement::table)
                .values(supplements)
                .execute(&mut self.connection)
                .await?;
            let take_offs: Vec<_> = (1_i16..)
                .zip(&pay.take_offs)
                .map(|(position, one)| {
                    (
                        settlement_take_off::outfit_id.eq(outfit),
                        settlement_take_off::settlement_id.eq(of.uuid()),
                        settlement_take_off::worker_id.eq(pay.worker.uuid()),
                        settlement_take_off::position.eq(position),
                        settlement_take_off::contract_id.eq(one.contract.map(Id::uuid)),
                        settlement_take_off::advance_id.eq(one.advance.map(Id::uuid)),
                        settlement_take_off::charge_id.eq(one.charge.map(Id::uuid)),
                        settlement_take_off::due_minor.eq(one.due_minor),
                        settlement_take_off::taken_minor.eq(one.taken_minor),
                    )
                })
                .collect();
            diesel::insert_into(settlement_take_off::table)
                .values(take_offs)
                .execute(&mut self.connection)
                .await?;
        }
        Ok(())
    }

    /// What was posted of each supplement for the weeks that end within these days.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or a row cannot be read.
    pub async fn posted_supplements(
        &mut self,
        (from, to): Days,
    ) -> Result<BTreeMap<SupplementKey, i64>, StorageError> {
        let mut query = settlement_supplement::table
            .filter(settlement_supplement::outfit_id.eq(self.outfit_uuid()))
            .filter(settlement_supplement::week_ends_on.le(jiff_diesel::Date::from(to)))
            .select((
                settlement_supplement::worker_id,
                settlement_supplement::week_ends_on,
                settlement_supplement::supplement,
                settlement_supplement::amount_minor,
            ))
            .into_boxed();
        if let Some(from) = from {
            query = query.filter(settlement_supplement::week_ends_on.ge(jiff_diesel::Date::from(from)));
        }
        let rows: Vec<(uuid::Uuid, jiff_diesel::Date, String, i64)> = query.load(&mut self.connection).await?;
        let mut sums: BTreeMap<SupplementKey, i64> = BTreeMap::new();
        for (worker, week, name, amount) in rows {
            let known = Supplement::ALL.into_iter().find(|one| one.name() == name);
            let unknown = || StorageError::inconsistent("settlement_supplement", format!("no {name}"));
            let supplement = known.ok_or_else(unknown)?;
            let key = SupplementKey { week: week.to_jiff(), worker: WorkerId::from_uuid(worker), supplement };
            let sum = sums.entry(key).or_default();
            *sum = sum.saturating_add(amount);
        }
        Ok(sums)
    }
}
