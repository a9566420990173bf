//! Deliveries of events: every sending, what became of each event, and dead letters that are sent again.

use diesel::QueryableByName;
use diesel::sql_types::{
    Array, BigInt, Bool, Integer, Nullable, SmallInt, Text, Timestamptz, Uuid as SqlUuid,
};
use diesel_async::RunQueryDsl;
use jiff::Timestamp;
use kernel::{AuditEntryId, EventSubscriptionId, Id};
use uuid::Uuid;

use crate::derivation::{small, small_back};
use crate::{Books, Stamp, StorageError};

/// Where an event stands among all of its outfit: in the order of transactions, then of entries, then of an entry's own
/// events.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct EventPlace {
    /// The transaction.
    pub transaction: i64,
    /// The entry.
    pub entry: AuditEntryId,
    /// Which of the entry's events, from 0.
    pub part: u32,
}

/// One turn of an event at one subscription.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct DeliveryPlace {
    /// The event.
    pub event: EventPlace,
    /// 0 for its own turn; each replay is a round more.
    pub round: u16,
}

/// That an event was delivered in a round, or given up.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Settled {
    /// The event and the round.
    pub place: DeliveryPlace,
    /// The event's id.
    pub event: Uuid,
    /// Its kind, by name.
    pub kind: String,
    /// When it happened.
    pub happened_at: Timestamp,
    /// Whether the entry has no event behind this one for the subscription.
    pub closes_entry: bool,
    /// Whether it was delivered; otherwise it was given up.
    pub delivered: bool,
    /// When that was settled.
    pub at: Timestamp,
}

/// One sending.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Attempt {
    /// The event and the round.
    pub place: DeliveryPlace,
    /// Counts up from 1 in each round.
    pub number: u16,
    /// The event's id.
    pub event: Uuid,
    /// Its kind, by name.
    pub kind: String,
    /// When it happened.
    pub happened_at: Timestamp,
    /// When it was sent.
    pub began_at: Timestamp,
    /// What came of it, by name.
    pub outcome: String,
    /// The HTTP status that was answered.
    pub status: Option<u16>,
    /// How long it took.
    pub milliseconds: u32,
    /// It is not sent again before this; none where it is not sent again in this round.
    pub not_before: Option<Timestamp>,
}

/// An event's turn at a subscription, with all its sendings.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Delivery {
    /// The event and the round.
    pub place: DeliveryPlace,
    /// Whether it was delivered or given up; none while it waits.
    pub delivered: Option<bool>,
    /// The sendings, oldest first; never none.
    pub attempts: Vec<Attempt>,
}

#[derive(QueryableByName)]
struct PlaceRow {
    #[diesel(sql_type = BigInt)]
    transaction_id: i64,
    #[diesel(sql_type = SqlUuid)]
    audit_entry_id: Uuid,
    #[diesel(sql_type = Integer)]
    part: i32,
    #[diesel(sql_type = SmallInt)]
    round: i16,
}

#[derive(QueryableByName)]
struct SettledRow {
    #[diesel(embed)]
    place: PlaceRow,
    #[diesel(sql_type = SqlUuid)]
    event_id: Uuid,
    #[diesel(sql_type = Text)]
    kind: String,
    #[diesel(sql_type = Timestamptz)]
    happened_at: jiff_diesel::Timestamp,
    #[diesel(sql_type = Bool)]
    closes_entry: bool,
    #[diesel(sql_type = Bool)]
    delivered: bool,
    #[diesel(sql_type = Timestamptz)]
    settled_at: jiff_diesel::Timestamp,
}

#[derive(QueryableByName)]
struct AttemptRow {
    #[diesel(embed)]
    place: PlaceRow,
    #[diesel(sql_type = SmallInt)]
    number: i16,
    #[diesel(sql_type = SqlUuid)]
    event_id: Uuid,
    #[diesel(sql_type = Text)]
    kind: String,
    #[diesel(sql_type = Timestamptz)]
    happened_at: jiff_diesel::Timestamp,
    #[diesel(sql_type = Timestamptz)]
    began_at: jiff_diesel::Timestamp,
    #[diesel(sql_type = Text)]
    outcome: String,
    #[diesel(sql_type = Nullable<SmallInt>)]
    status: Option<i16>,
    #[diesel(sql_type = Integer)]
    milliseconds: i32,
    #[diesel(sql_type = Nullable<Timestamptz>)]
    not_before: Option<jiff_diesel::Timestamp>,
    #[diesel(sql_type = Nullable<Bool>)]
    delivered: Option<bool>,
}

/// Which deliveries a list is to hold, and in which order.
const NEWEST_FIRST: &str = "
SELECT transaction_id, audit_entry_id, part, round FROM delivery_attempt
WHERE outfit_id = $1 AND subscription_id = $2 AND number = 1
  AND ($3 IS NULL OR (transaction_id, audit_entry_id, part, round) < ($3, $4, $5, $6))
ORDER BY transaction_id DESC, audit_entry_id DESC, part DESC, round DESC LIMIT $7";
const DEAD_OLDEST_FIRST: &str = "
SELECT transaction_id, audit_entry_id, part, round FROM delivery
WHERE outfit_id = $1 AND subscription_id = $2 AND NOT delivered
  AND ($3 IS NULL OR (transaction_id, audit_entry_id, part, round) > ($3, $4, $5, $6))
  AND NOT EXISTS (SELECT FROM delivery_replay AS replay
                  WHERE replay.outfit_id = delivery.outfit_id
                    AND replay.subscription_id = delivery.subscription_id
                    AND replay.transaction_id = delivery.transaction_id
                    AND replay.audit_entry_id = delivery.audit_entry_id
                    AND replay.part = delivery.part AND replay.given_up_round = delivery.round)
ORDER BY transaction_id, audit_entry_id, part, round LIMIT $7";

pub(crate) fn part_back(part: i32) -> Result<u32, StorageError> {
    u32::try_from(part).map_err(|why| StorageError::inconsistent("delivery", why))
}

fn whole(number: u32) -> Result<i32, StorageError> {
    i32::try_from(number).map_err(|why| StorageError::inconsistent("delivery", why))
}

impl PlaceRow {
    fn read(&self) -> Result<DeliveryPlace, StorageError> {
        let entry = AuditEntryId::from_uuid(self.audit_entry_id);
        let event = EventPlace { transaction: self.transaction_id, entry, part: part_back(self.part)? };
        Ok(DeliveryPlace { event, round: small_back(self.round)? })
    }
}

impl AttemptRow {
    fn read(self) -> Result<Attempt, StorageError> {
        Ok(Attempt {
            place: self.place.read()?,
            number: small_back(self.number)?,
            event: self.event_id,
            kind: self.kind,
            happened_at: self.happened_at.to_jiff(),
            began_at: self.began_at.to_jiff(),
            outcome: self.outcome,
            status: self.status.map(small_back).transpose()?,
            milliseconds: part_back(self.milliseconds)?,
            not_before: self.not_before.map(|at| at.to_jiff()),
        })
    }
}

impl Books {
    /// Writes down that an event was sent once.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database refuses, as for a number that is there already, or fails.
    pub async fn add_delivery_attempt(
        &mut self,
        subscription: EventSubscriptionId,
        new: &Attempt,
    ) -> Result<(), StorageError> {
        diesel::sql_query(
            "INSERT INTO delivery_attempt (outfit_id, subscription_id, transaction_id, audit_entry_id, part, round,
                 number, event_id, kind, happened_at, began_at, outcome, status, milliseconds, not_before)
             VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14, $15)",
        )
        .bind::<SqlUuid, _>(self.outfit_uuid())
        .bind::<SqlUuid, _>(subscription.uuid())
        .bind::<BigInt, _>(new.place.event.transaction)
        .bind::<SqlUuid, _>(new.place.event.entry.uuid())
        .bind::<Integer, _>(whole(new.place.event.part)?)
        .bind::<SmallInt, _>(small(new.place.round)?)
        .bind::<SmallInt, _>(small(new.number)?)
        .bind::<SqlUuid, _>(new.event)
        .bind::<Text, _>(&new.kind)
        .bind::<Timestamptz, _>(jiff_diesel::Timestamp::from(new.happened_at))
        .bind::<Timestamptz, _>(jiff_diesel::Timestamp::from(new.began_at))
        .bind::<Text, _>(&new.outcome)
        .bind::<Nullable<SmallInt>, _>(new.status.map(small).transpose()?)
        .bind::<Integer, _>(whole(new.milliseconds)?)
        .bind::<Nullable<Timestamptz>, _>(new.not_before.map(jiff_diesel::Timestamp::from))
        .execute(&mut self.connection)
        .await?;
        Ok(())
    }

    /// Writes down that an event was delivered, or given up.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database refuses, as for one that was settled already, or fails.
    pub async fn settle_delivery(
        &mut self,
        subscription: EventSubscriptionId,
        settled: &Settled,
    ) -> Result<(), StorageError> {
        diesel::sql_query(
            "INSERT INTO delivery (outfit_id, subscription_id, transaction_id, audit_entry_id, part, round, event_id,
                 kind, happened_at, closes_entry, delivered, settled_at)
             VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12)",
        )
        .bind::<SqlUuid, _>(self.outfit_uuid())
        .bind::<SqlUuid, _>(subscription.uuid())
        .bind::<BigInt, _>(settled.place.event.transaction)
        .bind::<SqlUuid, _>(settled.place.event.entry.uuid())
        .bind::<Integer, _>(whole(settled.place.event.part)?)
        .bind::<SmallInt, _>(small(settled.place.round)?)
        .bind::<SqlUuid, _>(settled.event)
        .bind::<Text, _>(&settled.kind)
        .bind::<Timestamptz, _>(jiff_diesel::Timestamp::from(settled.happened_at))
        .bind::<Bool, _>(settled.closes_entry)
        .bind::<Bool, _>(settled.delivered)
        .bind::<Timestamptz, _>(jiff_diesel::Timestamp::from(settled.at))
        .execute(&mut self.connection)
        .await?;
        Ok(())
    }

    /// The last sending of an event in a round.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or a row cannot be read.
    pub async fn last_delivery_attempt(
        &mut self,
        subscription: EventSubscriptionId,
        place: DeliveryPlace,
    ) -> Result<Option<Attempt>, StorageError> {
        Ok(self.delivery_attempts(subscription, &[place]).await?.pop().map(|(attempt, _)| attempt))
    }

    /// The replays that may be sent now: asked for, neither delivered nor given up, and not to be waited with; in the
    /// order in which the events happened.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or a row cannot be read.
    pub async fn waiting_replays(
        &mut self,
        subscription: EventSubscriptionId,
        now: Timestamp,
        limit: u16,
    ) -> Result<Vec<Settled>, StorageError> {
        let rows: Vec<SettledRow> = diesel::sql_query(
            "SELECT transaction_id, audit_entry_id, part, replay.round, event_id, kind, happened_at, closes_entry,
                    delivered, settled_at
             FROM delivery_replay AS replay
             JOIN delivery USING (outfit_id, subscription_id, transaction_id, audit_entry_id, part)
             WHERE outfit_id = $1 AND subscription_id = $2 AND delivery.round = replay.given_up_round
               AND NOT EXISTS (SELECT FROM delivery AS done
                               WHERE done.outfit_id = replay.outfit_id
                                 AND done.subscription_id = replay.subscription_id
                                 AND done.transaction_id = replay.transaction_id
                                 AND done.audit_entry_id = replay.audit_entry_id
                                 AND done.part = replay.part AND done.round = replay.round)
               AND NOT EXISTS (SELECT FROM delivery_attempt AS tried
                               WHERE tried.outfit_id = replay.outfit_id
                                 AND tried.subscription_id = replay.subscription_id
                                 AND tried.transaction_id = replay.transaction_id
                                 AND tried.audit_entry_id = replay.audit_entry_id
                                 AND tried.part = replay.part AND tried.round = replay.round
                                 AND tried.not_before > $4)
             ORDER BY transaction_id, audit_entry_id, part, replay.round LIMIT $3",
        )
        .bind::<SqlUuid, _>(self.outfit_uuid())
        .bind::<SqlUuid, _>(subscription.uuid())
        .bind::<BigInt, _>(i64::from(limit))
        .bind::<Timestamptz, _>(jiff_diesel::Timestamp::from(now))
        .load(&mut self.connection)
        .await?;
        rows.into_iter()
            .map(|row| {
                Ok(Settled {
                    place: row.place.read()?,
                    event: row.event_id,
                    kind: row.kind,
                    happened_at: row.happened_at.to_jiff(),
                    closes_entry: row.closes_entry,
                    delivered: row.delivered,
                    at: row.settled_at.to_jiff(),
                })
            })
            .collect()
    }

    /// Has dead letters sent again: each of these rounds was given up.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database refuses, as for one that was not given up, or fails.
    pub async fn add_replays(
        &mut self,
        subscription: EventSubscriptionId,
        given_up: &[DeliveryPlace],
        asked: &Stamp,
    ) -> Result<(), StorageError> {
        let places = Places::new(given_up)?;
        diesel::sql_query(
            "INSERT INTO delivery_replay (outfit_id, subscription_id, transaction_id, audit_entry_id, part, round,
                 given_up_round, asked_at, asked_by)
             SELECT $1, $2, place.transaction_id, place.audit_entry_id, place.part, place.round + 1, place.round,
                    $7, $8
             FROM unnest($3, $4, $5, $6) AS place (transaction_id, audit_entry_id, part, round)
             ON CONFLICT DO NOTHING",
        )
        .bind::<SqlUuid, _>(self.outfit_uuid())
        .bind::<SqlUuid, _>(subscription.uuid())
        .bind::<Array<BigInt>, _>(places.transactions)
        .bind::<Array<SqlUuid>, _>(places.entries)
        .bind::<Array<Integer>, _>(places.parts)
        .bind::<Array<SmallInt>, _>(places.rounds)
        .bind::<Timestamptz, _>(jiff_diesel::Timestamp::from(asked.at))
        .bind::<Text, _>(&asked.by)
        .execute(&mut self.connection)
        .await?;
        Ok(())
    }

    /// What was sent to a subscription, newest event first, behind `after`.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or a row cannot be read.
    pub async fn deliveries(
        &mut self,
        subscription: EventSubscriptionId,
        after: Option<DeliveryPlace>,
        limit: u16,
    ) -> Result<Vec<Delivery>, StorageError> {
        let mut deliveries = self.deliveries_by(NEWEST_FIRST, subscription, after, limit).await?;
        deliveries.reverse();
        Ok(deliveries)
    }

    /// What was given up and not asked for again, oldest event first, behind `after`.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or a row cannot be read.
    pub async fn dead_letters(
        &mut self,
        subscription: EventSubscriptionId,
        after: Option<DeliveryPlace>,
        limit: u16,
    ) -> Result<Vec<Delivery>, StorageError> {
        self.deliveries_by(DEAD_OLDEST_FIRST, subscription, after, limit).await
    }

    /// The deliveries of a list, in the order of their places.
    async fn deliveries_by(
        &mut self,
        list: &str,
        subscription: EventSubscriptionId,
        after: Option<DeliveryPlace>,
        limit: u16,
    ) -> Result<Vec<Delivery>, StorageError> {
        let part = after.map(|after| whole(after.event.part)).transpose()?;
        let round = after.map(|after| small(after.round)).transpose()?;
        let rows: Vec<PlaceRow> = diesel::sql_query(list)
            .bind::<SqlUuid, _>(self.outfit_uuid())
            .bind::<SqlUuid, _>(subscription.uuid())
            .bind::<Nullable<BigInt>, _>(after.map(|after| after.event.transaction))
            .bind::<Nullable<SqlUuid>, _>(after.map(|after| after.event.entry.uuid()))
            .bind::<Nullable<Integer>, _>(part)
            .bind::<Nullable<SmallInt>, _>(round)
            .bind::<BigInt, _>(i64::from(limit))
            .load(&mut self.connection)
            .await?;
        let places = rows.iter().map(PlaceRow::read).collect::<Result<Vec<_>, _>>()?;
        let mut deliveries: Vec<Delivery> = Vec::new();
        for (attempt, delivered) in self.delivery_attempts(subscription, &places).await? {
            match deliveries.last_mut().filter(|delivery| delivery.place == attempt.place) {
                Some(delivery) => delivery.attempts.push(attempt),
                None => {
                    deliveries.push(Delivery { place: attempt.place, delivered, attempts: vec![attempt] });
                }
            }
        }
        Ok(deliveries)
    }

    /// Every sending at these places, in order, each with what became of the event in that round.
    async fn delivery_attempts(
        &mut self,
        subscription: EventSubscriptionId,
        places: &[DeliveryPlace],
    ) -> Result<Vec<(Attempt, Option<bool>)>, StorageError> {
        let places = Places::new(places)?;
        let rows: Vec<AttemptRow> = diesel::sql_query(
            "SELECT attempt.transaction_id, attempt.audit_entry_id, attempt.part, attempt.round, attempt.number,
                    attempt.event_id, attempt.kind, attempt.happened_at, attempt.began_at, attempt.outcome,
                    attempt.status, attempt.milliseconds, attempt.not_before, delivery.delivered
             FROM unnest($3, $4, $5, $6) AS place (transaction_id, audit_entry_id, part, round)
             JOIN delivery_attempt AS attempt USING (transaction_id, audit_entry_id, part, round)
             LEFT JOIN delivery
               USING (outfit_id, subscription_id, transaction_id, audit_entry_id, part, round)
             WHERE outfit_id = $1 AND subscription_id = $2
             ORDER BY transaction_id, audit_entry_id, part, round, number",
        )
        .bind::<SqlUuid, _>(self.outfit_uuid())
        .bind::<SqlUuid, _>(subscription.uuid())
        .bind::<Array<BigInt>, _>(places.transactions)
        .bind::<Array<SqlUuid>, _>(places.entries)
        .bind::<Array<Integer>, _>(places.parts)
        .bind::<Array<SmallInt>, _>(places.rounds)
        .load(&mut self.connection)
        .await?;
        rows.into_iter()
            .map(|row| {
                let delivered = row.delivered;
                Ok((row.read()?, delivered))
            })
            .collect()
    }
}

/// Places as columns.
struct Places {
    transactions: Vec<i64>,
    entries: Vec<Uuid>,
    parts: Vec<i32>,
    rounds: Vec<i16>,
}

impl Places {
    fn new(places: &[DeliveryPlace]) -> Result<Self, StorageError> {
        Ok(Self {
            transactions: places.iter().map(|place| place.event.transaction).collect(),
            entries: places.iter().map(|place| place.event.entry.uuid()).collect(),
            parts: places.iter().map(|place| whole(place.event.part)).collect::<Result<_, _>>()?,
            rounds: places.iter().map(|place| small(place.round)).collect::<Result<_, _>>()?,
        })
    }
}
