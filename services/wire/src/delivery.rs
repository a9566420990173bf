//! Deliveries: what was sent to a tool, what came of it, and sending again what could not be delivered.

use jiff::Timestamp;
use kernel::EventId;
use serde::{Deserialize, Serialize};

use crate::EventKind;

/// What came of sending an event once.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum AttemptOutcome {
    /// Answered 2xx: the tool has it.
    Delivered,
    /// Answered with a status that says no.
    Refused,
    /// Answered 3xx. Another address is never followed: change the subscription's.
    Redirected,
    /// Answered 410: the subscription ends.
    Gone,
    /// Answered 429, 502 or 504: it is to go slower.
    Throttled,
    /// Nobody could be reached at the address.
    NotReached,
    /// Reached, and not answered in time.
    NoAnswer,
    /// The name of the address leads where events may not be sent.
    TargetRefused,
    /// The subscription's secret cannot be read by this service: its key has changed. Make a new secret.
    NotSigned,
}

impl AttemptOutcome {
    /// Every outcome there is.
    pub const ALL: [Self; 9] = [
        Self::Delivered,
        Self::Refused,
        Self::Redirected,
        Self::Gone,
        Self::Throttled,
        Self::NotReached,
        Self::NoAnswer,
        Self::TargetRefused,
        Self::NotSigned,
    ];

    /// The name used in JSON.
    ///
    /// ```
    /// assert_eq!(wire::AttemptOutcome::NotReached.name(), "not_reached");
    /// ```
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Delivered => "delivered",
            Self::Refused => "refused",
            Self::Redirected => "redirected",
            Self::Gone => "gone",
            Self::Throttled => "throttled",
            Self::NotReached => "not_reached",
            Self::NoAnswer => "no_answer",
            Self::TargetRefused => "target_refused",
            Self::NotSigned => "not_signed",
        }
    }
}

/// Where a delivery stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum DeliveryState {
    /// It was tried, and will be again. What happened later waits behind it.
    Waiting,
    /// The tool has it.
    Delivered,
    /// It was given up after the last try, and stands in the dead letters until it is replayed.
    Dead,
    /// The subscription ended before the tool had it.
    Dropped,
}

/// One sending of an event.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema), schema(as = DeliveryAttempt))]
pub struct AttemptView {
    /// Counts up from 1.
    pub number: u16,
    /// When it was sent.
    pub began_at: Timestamp,
    /// What came of it.
    pub outcome: AttemptOutcome,
    /// The HTTP status that was answered; absent where nothing was.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub status: Option<u16>,
    /// How long it took.
    pub milliseconds: u32,
}

/// An event on its way to a tool, or there.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema), schema(as = Delivery))]
pub struct DeliveryView {
    /// The event, as the header `webhook-id` names it: the same for every try, and for every subscription.
    #[cfg_attr(feature = "openapi", schema(value_type = String, format = Uuid))]
    pub event_id: EventId,
    /// Its kind.
    #[serde(rename = "type")]
    pub kind: EventKind,
    /// When it happened.
    pub happened_at: Timestamp,
    /// Where it stands.
    pub state: DeliveryState,
    /// How often it has been asked to be sent again after it was given up.
    pub replays: u16,
    /// The times it was sent since, oldest first.
    pub attempts: Vec<AttemptView>,
    /// It is not sent again before this; absent where it is not sent again.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub not_before: Option<Timestamp>,
}

/// Asks that dead letters be sent again.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct DeadLetterReplay {
    /// Which, by event; all of them when left out, at most 500 at once.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[cfg_attr(feature = "openapi", schema(value_type = Option<Vec<String>>, max_items = 500))]
    pub event_ids: Option<Vec<EventId>>,
}

/// Which dead letters are sent again. They come late: after events that happened later.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct DeadLetterReplayed {
    /// The events, in the order in which they happened.
    #[cfg_attr(feature = "openapi", schema(value_type = Vec<String>))]
    pub event_ids: Vec<EventId>,
}
