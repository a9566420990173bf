//! Subscriptions of tools to events, and the sealed secrets that deliveries are signed with.

use diesel::dsl::sql;
use diesel::sql_types::Text;
use diesel::{BoolExpressionMethods, ExpressionMethods, JoinOnDsl, NullableExpressionMethods, QueryDsl};
use diesel_async::RunQueryDsl;
use kernel::{EventSubscriptionId, Id, SigningSecretId};

use crate::derivation::{small, small_back};
use crate::schema::{event_subscription, event_subscription_end, signing_secret};
use crate::{Books, Page, Stamp, StorageError};

/// That a subscription has ended.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SubscriptionEnd {
    /// Why.
    pub reason: String,
    /// Who ended it, and when.
    pub made: Stamp,
}

/// A tool that is told of events.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct EventSubscription {
    /// Its id.
    pub id: EventSubscriptionId,
    /// Where its events are sent.
    pub url: String,
    /// The kinds of event it is told of, by name.
    pub kinds: Vec<String>,
    /// Which tool it is.
    pub says: String,
    /// Who made it, and when.
    pub made: Stamp,
    /// That it has ended.
    pub ended: Option<SubscriptionEnd>,
}

/// A secret, sealed under a key that the database does not know.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SealedSecret {
    /// Its id.
    pub id: SigningSecretId,
    /// The subscription whose deliveries it signs.
    pub subscription: EventSubscriptionId,
    /// The secret, sealed.
    pub sealed: Vec<u8>,
    /// For how many hours the secret before it goes on signing.
    pub overlap_hours: u16,
    /// Who made it, and when.
    pub made: Stamp,
}

type Row = (
    (uuid::Uuid, String, Vec<String>, String, jiff_diesel::Timestamp, String),
    Option<(String, jiff_diesel::Timestamp, String)>,
);

/// Subscriptions with their ends, oldest first.
macro_rules! subscriptions {
    ($books:ident) => {
        event_subscription::table
            .left_join(
                event_subscription_end::table.on(event_subscription_end::outfit_id
                    .eq(event_subscription::outfit_id)
                    .and(event_subscription_end::subscription_id.eq(event_subscription::subscription_id))),
            )
            .filter(event_subscription::outfit_id.eq($books.outfit_uuid()))
            .order(event_subscription::subscription_id)
            .select((
                (
                    event_subscription::subscription_id,
                    event_subscription::url,
                    event_subscription::kinds,
                    event_subscription::says,
                    event_subscription::made_at,
                    event_subscription::made_by,
                ),
                (
                    event_subscription_end::reason,
                    event_subscription_end::ended_at,
                    event_subscription_end::ended_by,
                )
                    .nullable(),
            ))
    };
}

fn read(((id, url, kinds, says, at, by), ended): Row) -> EventSubscription {
    EventSubscription {
        id: EventSubscriptionId::from_uuid(id),
        url,
        kinds,
        says,
        made: Stamp { at: at.to_jiff(), by },
        ended: ended.map(|(reason, at, by)| SubscriptionEnd { reason, made: Stamp { at: at.to_jiff(), by } }),
    }
}

impl Books {
    /// Files a subscription. It is told of what is not over yet in this moment.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database refuses or fails.
    pub async fn add_event_subscription(&mut self, new: &EventSubscription) -> Result<(), StorageError> {
        diesel::insert_into(event_subscription::table)
            .values((
                event_subscription::outfit_id.eq(self.outfit_uuid()),
                event_subscription::subscription_id.eq(new.id.uuid()),
                event_subscription::url.eq(&new.url),
                event_subscription::kinds.eq(&new.kinds),
                event_subscription::says.eq(&new.says),
                event_subscription::made_in.eq(sql::<Text>("pg_current_snapshot()::text")),
                event_subscription::made_at.eq(jiff_diesel::Timestamp::from(new.made.at)),
                event_subscription::made_by.eq(&new.made.by),
            ))
            .execute(&mut self.connection)
            .await?;
        Ok(())
    }

    /// Adds a secret to a subscription.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database refuses or fails.
    pub async fn add_signing_secret(&mut self, new: &SealedSecret) -> Result<(), StorageError> {
        diesel::insert_into(signing_secret::table)
            .values((
                signing_secret::outfit_id.eq(self.outfit_uuid()),
                signing_secret::secret_id.eq(new.id.uuid()),
                signing_secret::subscription_id.eq(new.subscription.uuid()),
                signing_secret::sealed.eq(&new.sealed),
                signing_secret::overlap_hours.eq(small(new.overlap_hours)?),
                signing_secret::made_at.eq(jiff_diesel::Timestamp::from(new.made.at)),
                signing_secret::made_by.eq(&new.made.by),
            ))
            .execute(&mut self.connection)
            .await?;
        Ok(())
    }

    /// Ends a subscription; answers whether it lasted until now.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database refuses or fails.
    pub async fn end_event_subscription(
        &mut self,
        id: EventSubscriptionId,
        end: &SubscriptionEnd,
    ) -> Result<bool, StorageError> {
        let added = diesel::insert_into(event_subscription_end::table)
            .values((
                event_subscription_end::outfit_id.eq(self.outfit_uuid()),
                event_subscription_end::subscription_id.eq(id.uuid()),
                event_subscription_end::reason.eq(&end.reason),
                event_subscription_end::ended_at.eq(jiff_diesel::Timestamp::from(end.made.at)),
                event_subscription_end::ended_by.eq(&end.made.by),
            ))
            .on_conflict_do_nothing()
            .execute(&mut self.connection)
            .await?;
        Ok(added == 1)
    }

    /// The subscription with this id, if the outfit has it.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails.
    pub async fn event_subscription(
        &mut self,
        id: EventSubscriptionId,
    ) -> Result<Option<EventSubscription>, StorageError> {
        let rows: Vec<Row> = subscriptions!(self)
            .filter(event_subscription::subscription_id.eq(id.uuid()))
            .load(&mut self.connection)
            .await?;
        Ok(rows.into_iter().next().map(read))
    }

    /// A page of the outfit's subscriptions, oldest first.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails.
    pub async fn event_subscriptions(
        &mut self,
        page: Page<EventSubscriptionId>,
    ) -> Result<Vec<EventSubscription>, StorageError> {
        let rows: Vec<Row> = subscriptions!(self)
            .filter(event_subscription::subscription_id.gt(page.after.map_or(uuid::Uuid::nil(), Id::uuid)))
            .limit(page.limit.into())
            .load(&mut self.connection)
            .await?;
        Ok(rows.into_iter().map(read).collect())
    }

    /// The subscriptions that have not ended, oldest first.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails.
    pub async fn lasting_event_subscriptions(&mut self) -> Result<Vec<EventSubscription>, StorageError> {
        let rows: Vec<Row> = subscriptions!(self)
            .filter(event_subscription_end::subscription_id.is_null())
            .load(&mut self.connection)
            .await?;
        Ok(rows.into_iter().map(read).collect())
    }

    /// The secrets of a subscription, newest first, sealed.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or a row cannot be read.
    pub async fn signing_secrets(
        &mut self,
        subscription: EventSubscriptionId,
    ) -> Result<Vec<SealedSecret>, StorageError> {
        let rows: Vec<(uuid::Uuid, Vec<u8>, i16, jiff_diesel::Timestamp, String)> = signing_secret::table
            .filter(signing_secret::outfit_id.eq(self.outfit_uuid()))
            .filter(signing_secret::subscription_id.eq(subscription.uuid()))
            .order(signing_secret::secret_id.desc())
            .select((
                signing_secret::secret_id,
                signing_secret::sealed,
                signing_secret::overlap_hours,
                signing_secret::made_at,
                signing_secret::made_by,
            ))
            .load(&mut self.connection)
            .await?;
        rows.into_iter()
            .map(|(id, sealed, overlap, at, by)| {
                Ok(SealedSecret {
                    id: SigningSecretId::from_uuid(id),
                    subscription,
                    sealed,
                    overlap_hours: small_back(overlap)?,
                    made: Stamp { at: at.to_jiff(), by },
                })
            })
            .collect()
    }
}
