//! What was posted, and what stood in the books at the moment it was: for computing a posted week again.

use std::collections::{BTreeMap, BTreeSet};

use ::settlement::{Payee, Supplement, SupplementKey};
use diesel::sql_types::{BigInt, Bool, Date as SqlDate, Nullable, SmallInt, Uuid as SqlUuid};
use diesel::{ExpressionMethods, QueryDsl, QueryableByName};
use diesel_async::RunQueryDsl;
use jiff::civil::Date;
use kernel::{
    AdvanceId, ChargeId, ContractId, DerivationId, Fixed, Id, JournalEntryId, PaymentId, ReleaseId,
    SettlementId, TermsId, VolumeAdjustmentId, WorkerId,
};

use crate::derivation::small_back;
use crate::schema::{
    reversal, settlement_posting, settlement_supplement, settlement_take_off, statement,
    volume_adjustment_reversal,
};
use crate::settlement::payee;
use crate::{Books, PostedPay, PostedTakeOff, Stamp, StorageError, Undone, WorkedDay};

/// A week that was posted.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PostedWeek {
    /// Its settlement.
    pub settlement: SettlementId,
    /// The week's last day.
    pub week_ends_on: Date,
    /// Its entry in the journal; none when there was nothing to pay.
    pub entry: Option<JournalEntryId>,
    /// Who posted it, and when.
    pub posted: Stamp,
}

/// The moment of a posting, told by an id that was made in it while nobody else wrote. What had been made before has a
/// smaller id, what was made afterwards a greater one; ids ascend so within one instance of the service.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Moment(uuid::Uuid);

impl Moment {
    /// After everything that is in the books.
    pub const END: Self = Self(uuid::Uuid::max());

    /// Whether the record with this id was there already.
    #[must_use]
    pub fn is_after(self, id: impl Id) -> bool {
        id.uuid() < self.0
    }
}

/// Something that stood at a moment and that the postings up to it do not pay just once, or the other way round.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Stray {
    /// The derivation; for time, the entry under its own id.
    pub counted: DerivationId,
    /// The terms and the rate's position in them, from 1; none for time that no line pays.
    pub rate: Option<(TermsId, u16)>,
    /// Whether it stood.
    pub stood: bool,
    /// How many times it is paid.
    pub times: i64,
}

#[derive(QueryableByName)]
struct StrayRow {
    #[diesel(sql_type = SqlUuid)]
    counted: uuid::Uuid,
    #[diesel(sql_type = Nullable<SqlUuid>)]
    terms_id: Option<uuid::Uuid>,
    #[diesel(sql_type = Nullable<SmallInt>)]
    rate_number: Option<i16>,
    #[diesel(sql_type = Bool)]
    stood: bool,
    #[diesel(sql_type = BigInt)]
    times: i64,
}

/// What the lines posted up to a week count, once for each time more that they enter it than they withdraw it. What check
/// scales added is left out: one of them may lie on several lines.
macro_rules! counted_by {
    ($which:literal) => {
        concat!(
            "counted AS (
                 SELECT line.terms_id, line.rate_number, one.id, sum(one.times)::bigint AS times
                 FROM settlement_line AS line
                 JOIN settlement_posting AS posting
                   ON posting.outfit_id = line.outfit_id AND posting.settlement_id = line.settlement_id
                 CROSS JOIN LATERAL (SELECT unnest(line.entered) AS id, 1 AS times
                                     UNION ALL SELECT unnest(line.withdrawn), -1) AS one
                 WHERE line.outfit_id = $1 AND posting.week_ends_on <= $2
                   AND NOT EXISTS (SELECT FROM volume_adjustment AS adjustment
                                   WHERE adjustment.outfit_id = line.outfit_id
                                     AND adjustment.volume_adjustment_id = one.id)
                   AND line.worker_id ",
            $which,
            " GROUP BY line.terms_id, line.rate_number, one.id
              HAVING sum(one.times) <> 0)"
        )
    };
}

const STRAY_WORK: &str = concat!(
    "WITH ",
    counted_by!("IS NULL"),
    ", stood AS (
        SELECT made.terms_id, accrual.rate_number, made.derivation_id AS id
        FROM derivation AS made
        JOIN accrual ON accrual.outfit_id = made.outfit_id AND accrual.derivation_id = made.derivation_id
        JOIN ticket ON ticket.outfit_id = made.outfit_id AND ticket.ticket_id = made.ticket_id
        WHERE made.outfit_id = $1 AND made.derivation_id < $3 AND ticket.scaled_on <= $2
          AND NOT EXISTS (SELECT FROM derivation AS later
                          WHERE later.outfit_id = made.outfit_id AND later.ticket_id = made.ticket_id
                            AND later.contract_id = made.contract_id AND later.revision > made.revision
                            AND later.derivation_id < $3)
          AND NOT EXISTS (SELECT FROM ticket AS correction
                          WHERE correction.outfit_id = made.outfit_id AND correction.corrects = made.ticket_id
                            AND correction.ticket_id < $3))
    SELECT id AS counted, terms_id, rate_number, stood.id IS NOT NULL AS stood, coalesce(counted.times, 0) AS times
    FROM stood FULL JOIN counted USING (terms_id, rate_number, id)
    WHERE stood.id IS NULL OR counted.times IS DISTINCT FROM 1
    ORDER BY counted, rate_number LIMIT $4"
);

const STRAY_TIME: &str = concat!(
    "WITH ",
    counted_by!("IS NOT NULL"),
    ", stood AS (
        SELECT entry.time_entry_id AS id
        FROM time_entry AS entry
        WHERE entry.outfit_id = $1 AND entry.time_entry_id < $3 AND entry.worked_on <= $2
          AND entry.what_for = 'paid' AND entry.hours IS NOT NULL
          AND NOT EXISTS (SELECT FROM time_entry AS correction
                          WHERE correction.outfit_id = entry.outfit_id
                            AND correction.corrects = entry.time_entry_id AND correction.time_entry_id < $3))
    SELECT id AS counted, terms_id, rate_number, stood.id IS NOT NULL AS stood, coalesce(counted.times, 0) AS times
    FROM stood FULL JOIN counted USING (id)
    WHERE stood.id IS NULL OR counted.times IS DISTINCT FROM 1
    ORDER BY counted, rate_number LIMIT $4"
);

const HOURS: &str = "
SELECT worker_id, worked_on,
       coalesce(sum(hours) FILTER (WHERE what_for = 'piece_work'), 0)::bigint AS piece_work,
       coalesce(sum(hours) FILTER (WHERE what_for = 'rest'), 0)::bigint AS rest,
       coalesce(sum(hours) FILTER (WHERE what_for = 'paid'), 0)::bigint AS paid
FROM time_entry AS entry
WHERE outfit_id = $1 AND worked_on <= $2 AND time_entry_id < $3 AND hours IS NOT NULL
  AND NOT EXISTS (SELECT FROM time_entry AS correction
                  WHERE correction.outfit_id = entry.outfit_id AND correction.corrects = entry.time_entry_id
                    AND correction.time_entry_id < $3)
GROUP BY worker_id, worked_on
ORDER BY worker_id, worked_on";

#[derive(QueryableByName)]
struct HoursRow {
    #[diesel(sql_type = SqlUuid)]
    worker_id: uuid::Uuid,
    #[diesel(sql_type = SqlDate)]
    worked_on: jiff_diesel::Date,
    #[diesel(sql_type = BigInt)]
    piece_work: i64,
    #[diesel(sql_type = BigInt)]
    rest: i64,
    #[diesel(sql_type = BigInt)]
    paid: i64,
}

impl Books {
    /// The weeks posted up to and including one, or all of them, in their order.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails.
    pub async fn posted_weeks(&mut self, up_to: Option<Date>) -> Result<Vec<PostedWeek>, StorageError> {
        type Row = (uuid::Uuid, jiff_diesel::Date, Option<uuid::Uuid>, jiff_diesel::Timestamp, String);
        let mut query = settlement_posting::table
            .filter(settlement_posting::outfit_id.eq(self.outfit_uuid()))
            .order(settlement_posting::week_ends_on)
            .select((
                settlement_posting::settlement_id,
                settlement_posting::week_ends_on,
                settlement_posting::journal_entry_id,
                settlement_posting::posted_at,
                settlement_posting::posted_by,
            ))
            .into_boxed();
        if let Some(week) = up_to {
            query = query.filter(settlement_posting::week_ends_on.le(jiff_diesel::Date::from(week)));
        }
        let rows: Vec<Row> = query.load(&mut self.connection).await?;
        Ok(rows
            .into_iter()
            .map(|(id, week, entry, at, by)| PostedWeek {
                settlement: SettlementId::from_uuid(id),
                week_ends_on: week.to_jiff(),
                entry: entry.map(JournalEntryId::from_uuid),
                posted: Stamp { at: at.to_jiff(), by },
            })
            .collect())
    }

    /// When a week was posted, told by ids; none when it paid nothing to nobody, and so left nothing to tell it by.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails.
    pub async fn moment_of(&mut self, week: &PostedWeek) -> Result<Option<Moment>, StorageError> {
        let first: Option<uuid::Uuid> = statement::table
            .filter(statement::outfit_id.eq(self.outfit_uuid()))
            .filter(statement::settlement_id.eq(week.settlement.uuid()))
            .order(statement::statement_id)
            .select(statement::statement_id)
            .load::<uuid::Uuid>(&mut self.connection)
            .await?
            .into_iter()
            .next();
        let made = [week.entry.map(Id::uuid), first];
        Ok(made.into_iter().flatten().min().map(Moment))
    }

    /// What was added to pay and kept back of it in these settlements, for each worker who had either.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or a row cannot be read.
    pub async fn posted_pays(
        &mut self,
        of: &[SettlementId],
    ) -> Result<BTreeMap<(SettlementId, WorkerId), PostedPay>, StorageError> {
        let ids: Vec<_> = of.iter().map(|id| id.uuid()).collect();
        let supplements: Vec<(uuid::Uuid, uuid::Uuid, jiff_diesel::Date, String, i64)> =
            settlement_supplement::table
                .filter(settlement_supplement::outfit_id.eq(self.outfit_uuid()))
                .filter(settlement_supplement::settlement_id.eq_any(&ids))
                .select((
                    settlement_supplement::settlement_id,
                    settlement_supplement::worker_id,
                    settlement_supplement::week_ends_on,
                    settlement_supplement::supplement,
                    settlement_supplement::amount_minor,
                ))
                .load(&mut self.connection)
                .await?;
        let mut pays = BTreeMap::new();
        let nothing = |worker| PostedPay { worker, supplements: Vec::new(), take_offs: Vec::new() };
        for (settlement, worker, week, name, amount) in supplements {
            let (settlement, worker) = (SettlementId::from_uuid(settlement), WorkerId::from_uuid(worker));
            let known = Supplement::ALL.into_iter().find(|one| one.name() == name);
            let unknown = || StorageError::inconsistent("settlement_supplement", format!("no {name}"));
            let key = SupplementKey { week: week.to_jiff(), worker, supplement: known.ok_or_else(unknown)? };
            let pay: &mut PostedPay = pays.entry((settlement, worker)).or_insert_with(|| nothing(worker));
            pay.supplements.push((key, amount));
        }
        for pay in pays.values_mut() {
            pay.supplements.sort_by_key(|(key, _)| *key);
        }
        for (settlement, worker, take_off) in self.posted_take_offs(&ids).await? {
            let pay = pays.entry((settlement, worker)).or_insert_with(|| nothing(worker));
            pay.take_offs.push(take_off);
        }
        Ok(pays)
    }

    async fn posted_take_offs(
        &mut self,
        of: &[uuid::Uuid],
    ) -> Result<Vec<(SettlementId, WorkerId, PostedTakeOff)>, StorageError> {
        type Row = (
            (uuid::Uuid, uuid::Uuid),
            (Option<uuid::Uuid>, Option<uuid::Uuid>, Option<uuid::Uuid>),
            (i64, i64),
        );
        let rows: Vec<Row> = settlement_take_off::table
            .filter(settlement_take_off::outfit_id.eq(self.outfit_uuid()))
            .filter(settlement_take_off::settlement_id.eq_any(of))
            .order((
                settlement_take_off::settlement_id,
                settlement_take_off::worker_id,
                settlement_take_off::position,
            ))
            .select((
                (settlement_take_off::settlement_id, settlement_take_off::worker_id),
                (
                    settlement_take_off::contract_id,
                    settlement_take_off::advance_id,
                    settlement_take_off::charge_id,
                ),
                (settlement_take_off::due_minor, settlement_take_off::taken_minor),
            ))
            .load(&mut self.connection)
            .await?;
        let read = |((settlement, worker), (contract, advance, charge), (due_minor, taken_minor)): Row| {
            let take_off = PostedTakeOff {
                contract: contract.map(ContractId::from_uuid),
                advance: advance.map(AdvanceId::from_uuid),
                charge: charge.map(ChargeId::from_uuid),
                due_minor,
                taken_minor,
            };
            (SettlementId::from_uuid(settlement), WorkerId::from_uuid(worker), take_off)
        };
        Ok(rows.into_iter().map(read).collect())
    }

    /// Everything that had been taken back before a moment.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails.
    pub async fn undone_before(&mut self, moment: Moment) -> Result<Vec<Undone>, StorageError> {
        type Row = (Option<uuid::Uuid>, Option<uuid::Uuid>, Option<uuid::Uuid>, Option<uuid::Uuid>);
        let rows: Vec<Row> = reversal::table
            .filter(reversal::outfit_id.eq(self.outfit_uuid()))
            .filter(reversal::reversal_id.lt(moment.0))
            .select((reversal::charge_id, reversal::advance_id, reversal::payment_id, reversal::release_id))
            .load(&mut self.connection)
            .await?;
        let read = |(charge, advance, payment, release): Row| {
            let charge = charge.map(|id| Undone::Charge(ChargeId::from_uuid(id)));
            let advance = advance.map(|id| Undone::Advance(AdvanceId::from_uuid(id)));
            let payment = payment.map(|id| Undone::Payment(PaymentId::from_uuid(id)));
            charge.or(advance).or(payment).or(release.map(|id| Undone::Release(ReleaseId::from_uuid(id))))
        };
        Ok(rows.into_iter().filter_map(read).collect())
    }

    /// The volume adjustments that had been taken back before a moment.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails.
    pub async fn adjustments_taken_back_before(
        &mut self,
        moment: Moment,
    ) -> Result<BTreeSet<VolumeAdjustmentId>, StorageError> {
        let ids: Vec<uuid::Uuid> = volume_adjustment_reversal::table
            .filter(volume_adjustment_reversal::outfit_id.eq(self.outfit_uuid()))
            .filter(volume_adjustment_reversal::reversal_id.lt(moment.0))
            .select(volume_adjustment_reversal::volume_adjustment_id)
            .load(&mut self.connection)
            .await?;
        Ok(ids.into_iter().map(VolumeAdjustmentId::from_uuid).collect())
    }

    /// The hours that counted at a moment, of days up to and including one.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails.
    pub async fn hours_at(&mut self, moment: Moment, up_to: Date) -> Result<Vec<WorkedDay>, StorageError> {
        let rows: Vec<HoursRow> = diesel::sql_query(HOURS)
            .bind::<SqlUuid, _>(self.outfit_uuid())
            .bind::<SqlDate, _>(jiff_diesel::Date::from(up_to))
            .bind::<SqlUuid, _>(moment.0)
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

    /// Work and paid time that stood at the moment a week was posted and that the lines posted up to it do not pay just
    /// once, and what they pay though it did not stand; of each so many at the most.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or a row cannot be read.
    pub async fn strays(
        &mut self,
        week: Date,
        moment: Moment,
        limit: u16,
    ) -> Result<(Vec<Stray>, Vec<Stray>), StorageError> {
        Ok((
            self.stray(STRAY_WORK, week, moment, limit).await?,
            self.stray(STRAY_TIME, week, moment, limit).await?,
        ))
    }

    async fn stray(
        &mut self,
        query: &str,
        week: Date,
        moment: Moment,
        limit: u16,
    ) -> Result<Vec<Stray>, StorageError> {
        let rows: Vec<StrayRow> = diesel::sql_query(query)
            .bind::<SqlUuid, _>(self.outfit_uuid())
            .bind::<SqlDate, _>(jiff_diesel::Date::from(week))
            .bind::<SqlUuid, _>(moment.0)
            .bind::<BigInt, _>(i64::from(limit))
            .load(&mut self.connection)
            .await?;
        rows.into_iter()
            .map(|row| {
                let rate = row.rate_number.map(small_back).transpose()?;
                Ok(Stray {
                    counted: DerivationId::from_uuid(row.counted),
                    rate: row.terms_id.map(TermsId::from_uuid).zip(rate),
                    stood: row.stood,
                    times: row.times,
                })
            })
            .collect()
    }

    /// What each payee's last statement before a moment closed with.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails.
    pub async fn closings_before(&mut self, moment: Moment) -> Result<BTreeMap<Payee, i64>, StorageError> {
        let rows: Vec<(Option<uuid::Uuid>, Option<uuid::Uuid>, i64)> = statement::table
            .filter(statement::outfit_id.eq(self.outfit_uuid()))
            .filter(statement::statement_id.lt(moment.0))
            .distinct_on((statement::worker_id, statement::mill_id))
            .order((statement::worker_id, statement::mill_id, statement::statement_id.desc()))
            .select((statement::worker_id, statement::mill_id, statement::closing_minor))
            .load(&mut self.connection)
            .await?;
        rows.into_iter().map(|(worker, mill, closing)| Ok((payee(worker, mill)?, closing))).collect()
    }
}
