//! Events: what the service tells other tools of, in the form of Standard Webhooks 1.0.0.

use jiff::Timestamp;
use jiff::civil::Date;
use kernel::{
    EventSubscriptionId, JobId, LandingId, MillId, Money, SettlementId, StatementId, TicketId, WorkerId,
};
use serde::{Deserialize, Serialize};

/// What a tool can be told of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum EventKind {
    /// A ticket was taken into the books, and corrects none.
    #[serde(rename = "ticket.accepted")]
    TicketAccepted,
    /// A ticket took the place of another, or made it void.
    #[serde(rename = "ticket.corrected")]
    TicketCorrected,
    /// A week was settled for good.
    #[serde(rename = "week.posted")]
    WeekPosted,
    /// A payee's statement of a posted week can be fetched.
    #[serde(rename = "statement.ready")]
    StatementReady,
}

impl EventKind {
    /// Every kind there is.
    pub const ALL: [Self; 4] =
        [Self::TicketAccepted, Self::TicketCorrected, Self::WeekPosted, Self::StatementReady];

    /// The name used in JSON.
    ///
    /// ```
    /// assert_eq!(wire::EventKind::WeekPosted.name(), "week.posted");
    /// ```
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::TicketAccepted => "ticket.accepted",
            Self::TicketCorrected => "ticket.corrected",
            Self::WeekPosted => "week.posted",
            Self::StatementReady => "statement.ready",
        }
    }
}

/// An event as it is sent: the body of a delivery, and what its signature is over.
///
/// ```
/// let text = r#"{"type": "week.posted", "timestamp": "2031-06-09T12:00:00Z", "data": {
///     "settlement_id": "0197a000-0000-7000-8000-000000000001", "week_ends_on": "2031-06-07", "statements": 3,
///     "due_to_workers": {"amount": "31.20", "currency": "USD"},
///     "due_from_mills": {"amount": "80.00", "currency": "USD"}}}"#;
/// let event: wire::Event = serde_json::from_str(text)?;
/// assert!(matches!(event.content, wire::EventContent::WeekPosted(week) if week.statements == 3));
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Event {
    /// What happened, and to what.
    #[serde(flatten)]
    pub content: EventContent,
    /// When it happened.
    pub timestamp: Timestamp,
}

/// What happened, and to what: ids and totals. Whoever wants more asks the API for it, with a token of his own.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "type", content = "data")]
pub enum EventContent {
    /// A ticket was taken into the books.
    #[serde(rename = "ticket.accepted")]
    TicketAccepted(TicketAccepted),
    /// A ticket took the place of another.
    #[serde(rename = "ticket.corrected")]
    TicketCorrected(TicketCorrected),
    /// A week was settled for good.
    #[serde(rename = "week.posted")]
    WeekPosted(WeekPosted),
    /// A statement can be fetched.
    #[serde(rename = "statement.ready")]
    StatementReady(StatementReady),
    /// Somebody tries whether a subscription works. Nothing has happened in the books.
    #[serde(rename = "subscription.trial")]
    SubscriptionTrial(SubscriptionTrial),
}

impl EventContent {
    /// The name in `type`.
    ///
    /// ```
    /// use wire::{EventContent, SubscriptionTrial};
    /// let subscription_id = "0197a000-0000-7000-8000-000000000001".parse()?;
    /// let trial = EventContent::SubscriptionTrial(SubscriptionTrial { subscription_id, says: None });
    /// assert_eq!(trial.name(), "subscription.trial");
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    #[must_use]
    pub const fn name(&self) -> &'static str {
        match self {
            Self::TicketAccepted(_) => EventKind::TicketAccepted.name(),
            Self::TicketCorrected(_) => EventKind::TicketCorrected.name(),
            Self::WeekPosted(_) => EventKind::WeekPosted.name(),
            Self::StatementReady(_) => EventKind::StatementReady.name(),
            Self::SubscriptionTrial(_) => "subscription.trial",
        }
    }
}

/// A ticket that was taken into the books.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema), schema(as = TicketAcceptedEvent))]
pub struct TicketAccepted {
    /// The ticket.
    pub ticket_id: TicketId,
    /// The scale book.
    pub book: String,
    /// The number in the book.
    pub number: i64,
    /// The job.
    pub job_id: JobId,
    /// The landing.
    pub landing_id: LandingId,
    /// The day it was scaled.
    #[cfg_attr(feature = "openapi", schema(value_type = String, format = Date))]
    pub scaled_on: Date,
    /// How many pieces stand on it.
    pub pieces: u32,
}

/// A ticket that took the place of another.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema), schema(as = TicketCorrectedEvent))]
pub struct TicketCorrected {
    /// The ticket that now stands.
    pub ticket_id: TicketId,
    /// The one whose place it took.
    pub corrects: TicketId,
    /// Whether it only makes the other void: it has no pieces.
    pub void: bool,
    /// The scale book.
    pub book: String,
    /// The number in the book.
    pub number: i64,
    /// The job.
    pub job_id: JobId,
    /// The landing.
    pub landing_id: LandingId,
    /// The day it was scaled.
    #[cfg_attr(feature = "openapi", schema(value_type = String, format = Date))]
    pub scaled_on: Date,
    /// How many pieces stand on it.
    pub pieces: u32,
}

/// A week that was settled for good.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema), schema(as = WeekPostedEvent))]
pub struct WeekPosted {
    /// The settlement.
    pub settlement_id: SettlementId,
    /// The week's last day.
    #[cfg_attr(feature = "openapi", schema(value_type = String, format = Date))]
    pub week_ends_on: Date,
    /// How many statements it made.
    pub statements: u32,
    /// What the settlement makes due to workers, all together: earned and added, less what was kept back.
    pub due_to_workers: Money,
    /// What it makes due from mills, all together.
    pub due_from_mills: Money,
}

/// A statement that can be fetched.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema), schema(as = StatementReadyEvent))]
pub struct StatementReady {
    /// The statement.
    pub statement_id: StatementId,
    /// The settlement that made it.
    pub settlement_id: SettlementId,
    /// The week's last day.
    #[cfg_attr(feature = "openapi", schema(value_type = String, format = Date))]
    pub week_ends_on: Date,
    /// The worker it is for; absent for a mill.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub worker_id: Option<WorkerId>,
    /// The mill it is for; absent for a worker.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub mill_id: Option<MillId>,
    /// What the work of the settlement came to.
    pub earned: Money,
    /// The balance afterwards.
    pub closing: Money,
}

/// That somebody tries whether a subscription works.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema), schema(as = SubscriptionTrialEvent))]
pub struct SubscriptionTrial {
    /// The subscription.
    pub subscription_id: EventSubscriptionId,
    /// What was asked to be sent along.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub says: Option<String>,
}
