//! Subscriptions to events, and what was sent to them.

use kernel::EventSubscriptionId;
use serde::Serialize;
use wire::{
    DeadLetterReplay, DeadLetterReplayed, DeliveryView, EventSubscriptionCreate, EventSubscriptionEnd,
    EventSubscriptionFiled, EventSubscriptionTrial, EventSubscriptionView, Listing, SigningSecretCreate,
    SigningSecretMade, TrialOutcome,
};

use crate::exchange::Repeat;
use crate::{Client, ClientError, PageQuery};

/// Which page of deliveries or dead letters.
///
/// ```
/// use client::DeliveryQuery;
/// assert_eq!(serde_json::to_string(&DeliveryQuery::default())?, "{}");
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct DeliveryQuery {
    /// The `next` of the page before; none for the first page.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub after: Option<String>,
    /// How many at the most: 1 to 500.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub limit: Option<u16>,
}

const SUBSCRIPTIONS: &str = "/v1/event-subscriptions";

impl Client {
    /// Has a tool told of events; the answer holds the secret that it knows the service by.
    ///
    /// # Errors
    ///
    /// [`ClientError`]; refused where events may not be sent to the address.
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// let body = r#"{"url": "https://payroll.example/", "kinds": ["week.posted"], "says": "Payroll"}"#;
    /// let filed = client.file_event_subscription(&serde_json::from_str(body)?).await?;
    /// println!("{}", filed.secret.as_str());
    /// # Ok(()) }
    /// ```
    pub async fn file_event_subscription(
        &self,
        subscription: &EventSubscriptionCreate,
    ) -> Result<EventSubscriptionFiled, ClientError> {
        Ok(self.post(SUBSCRIPTIONS, subscription, Repeat::Keyed).await?.body)
    }

    /// Lists the subscriptions, oldest first.
    ///
    /// # Errors
    ///
    /// [`ClientError`].
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// for one in client.list_event_subscriptions(&client::PageQuery::default()).await?.items {
    ///     println!("{} {}", one.says, one.url);
    /// }
    /// # Ok(()) }
    /// ```
    pub async fn list_event_subscriptions(
        &self,
        page: &PageQuery,
    ) -> Result<Listing<EventSubscriptionView>, ClientError> {
        self.get_with(SUBSCRIPTIONS, page).await
    }

    /// Shows a subscription.
    ///
    /// # Errors
    ///
    /// [`ClientError`]; refused when it is not in the books.
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// let id = "0197a000-0000-7000-8000-000000000001".parse()?;
    /// println!("{}", client.show_event_subscription(id).await?.url);
    /// # Ok(()) }
    /// ```
    pub async fn show_event_subscription(
        &self,
        id: EventSubscriptionId,
    ) -> Result<EventSubscriptionView, ClientError> {
        self.get(&format!("{SUBSCRIPTIONS}/{id}")).await
    }

    /// Ends a subscription.
    ///
    /// # Errors
    ///
    /// [`ClientError`]; refused when it has ended.
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// let id = "0197a000-0000-7000-8000-000000000001".parse()?;
    /// let end = wire::EventSubscriptionEnd { reason: "no more".to_owned().try_into()? };
    /// client.end_event_subscription(id, &end).await?;
    /// # Ok(()) }
    /// ```
    pub async fn end_event_subscription(
        &self,
        id: EventSubscriptionId,
        end: &EventSubscriptionEnd,
    ) -> Result<EventSubscriptionView, ClientError> {
        Ok(self.post(&format!("{SUBSCRIPTIONS}/{id}/end"), end, Repeat::Keyed).await?.body)
    }

    /// Exchanges the secret of a subscription; the old one signs as well for a while.
    ///
    /// # Errors
    ///
    /// [`ClientError`]; refused when it has ended, or when several secrets sign already.
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// let id = "0197a000-0000-7000-8000-000000000001".parse()?;
    /// let made = client.make_signing_secret(id, &wire::SigningSecretCreate::default()).await?;
    /// println!("{}", made.secret.as_str());
    /// # Ok(()) }
    /// ```
    pub async fn make_signing_secret(
        &self,
        id: EventSubscriptionId,
        wanted: &SigningSecretCreate,
    ) -> Result<SigningSecretMade, ClientError> {
        Ok(self.post(&format!("{SUBSCRIPTIONS}/{id}/secrets"), wanted, Repeat::Keyed).await?.body)
    }

    /// Sends one event that nothing has happened for, and tells what was answered to it.
    ///
    /// # Errors
    ///
    /// [`ClientError`]; refused when the subscription has ended.
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// let id = "0197a000-0000-7000-8000-000000000001".parse()?;
    /// let tried = client.try_event_subscription(id, &wire::EventSubscriptionTrial::default()).await?;
    /// println!("{}", tried.outcome.name());
    /// # Ok(()) }
    /// ```
    pub async fn try_event_subscription(
        &self,
        id: EventSubscriptionId,
        trial: &EventSubscriptionTrial,
    ) -> Result<TrialOutcome, ClientError> {
        Ok(self.post(&format!("{SUBSCRIPTIONS}/{id}/trial"), trial, Repeat::Harmless).await?.body)
    }

    /// Lists what was sent to a subscription, newest event first.
    ///
    /// # Errors
    ///
    /// [`ClientError`]; refused when it is not in the books.
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// let id = "0197a000-0000-7000-8000-000000000001".parse()?;
    /// for one in client.list_deliveries(id, &client::DeliveryQuery::default()).await?.items {
    ///     println!("{} {:?}", one.kind.name(), one.state);
    /// }
    /// # Ok(()) }
    /// ```
    pub async fn list_deliveries(
        &self,
        id: EventSubscriptionId,
        page: &DeliveryQuery,
    ) -> Result<Listing<DeliveryView>, ClientError> {
        self.get_with(&format!("{SUBSCRIPTIONS}/{id}/deliveries"), page).await
    }

    /// Lists the events that were given up, oldest first.
    ///
    /// # Errors
    ///
    /// [`ClientError`]; refused when the subscription is not in the books.
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// let id = "0197a000-0000-7000-8000-000000000001".parse()?;
    /// let dead = client.list_dead_letters(id, &client::DeliveryQuery::default()).await?;
    /// println!("{} on this page", dead.items.len());
    /// # Ok(()) }
    /// ```
    pub async fn list_dead_letters(
        &self,
        id: EventSubscriptionId,
        page: &DeliveryQuery,
    ) -> Result<Listing<DeliveryView>, ClientError> {
        self.get_with(&format!("{SUBSCRIPTIONS}/{id}/dead-letters"), page).await
    }

    /// Has events sent again that were given up.
    ///
    /// # Errors
    ///
    /// [`ClientError`]; refused when one of them is not among the dead letters.
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// let id = "0197a000-0000-7000-8000-000000000001".parse()?;
    /// let replayed = client.replay_dead_letters(id, &wire::DeadLetterReplay::default()).await?;
    /// println!("{} are sent again", replayed.event_ids.len());
    /// # Ok(()) }
    /// ```
    pub async fn replay_dead_letters(
        &self,
        id: EventSubscriptionId,
        which: &DeadLetterReplay,
    ) -> Result<DeadLetterReplayed, ClientError> {
        Ok(self.post(&format!("{SUBSCRIPTIONS}/{id}/dead-letters/replay"), which, Repeat::Keyed).await?.body)
    }
}
