//! What is sent and what comes back, whoever sends it.

use std::time::Duration;

use futures_util::future::BoxFuture;
use wire::AttemptOutcome;

use super::target::{Target, TargetProblem};

/// A signed event, ready to go.
#[derive(Clone, Debug)]
pub struct Outgoing {
    /// Where to.
    pub target: Target,
    /// The event's id.
    pub id: String,
    /// Seconds since 1970.
    pub timestamp: i64,
    /// The signatures.
    pub signature: String,
    /// The body.
    pub body: Vec<u8>,
}

/// What came back.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Answer {
    /// An HTTP status, and perhaps for how long to stay away.
    Status {
        /// The status.
        status: u16,
        /// What `Retry-After` asks for.
        retry_after: Option<Duration>,
    },
    /// Nobody was there.
    NotReached,
    /// Somebody was there, and did not answer.
    NoAnswer,
    /// The name leads where events may not be sent.
    TargetRefused,
    /// It was never sent, because it could not be signed.
    NotSigned,
}

impl Answer {
    /// A status without anything else.
    ///
    /// ```
    /// use api::events::sending::Answer;
    /// assert_eq!(Answer::of(204).outcome(), wire::AttemptOutcome::Delivered);
    /// ```
    #[must_use]
    pub const fn of(status: u16) -> Self {
        Self::Status { status, retry_after: None }
    }

    /// What it means, as Standard Webhooks 1.0.0 reads statuses.
    ///
    /// ```
    /// use api::events::sending::Answer;
    /// use wire::AttemptOutcome;
    /// assert_eq!(Answer::of(302).outcome(), AttemptOutcome::Redirected);
    /// assert_eq!(Answer::of(410).outcome(), AttemptOutcome::Gone);
    /// assert_eq!(Answer::of(429).outcome(), AttemptOutcome::Throttled);
    /// ```
    #[must_use]
    pub const fn outcome(self) -> AttemptOutcome {
        match self {
            Self::Status { status: 200..=299, .. } => AttemptOutcome::Delivered,
            Self::Status { status: 300..=399, .. } => AttemptOutcome::Redirected,
            Self::Status { status: 410, .. } => AttemptOutcome::Gone,
            Self::Status { status: 429 | 502 | 504, .. } => AttemptOutcome::Throttled,
            Self::Status { .. } => AttemptOutcome::Refused,
            Self::NotReached => AttemptOutcome::NotReached,
            Self::NoAnswer => AttemptOutcome::NoAnswer,
            Self::TargetRefused => AttemptOutcome::TargetRefused,
            Self::NotSigned => AttemptOutcome::NotSigned,
        }
    }

    /// The status, if there was one.
    #[must_use]
    pub const fn status(self) -> Option<u16> {
        match self {
            Self::Status { status, .. } => Some(status),
            _ => None,
        }
    }
}

/// Whatever sends.
pub trait Sender: Send + Sync {
    /// Whether events may be sent to an address, as far as can be seen now.
    ///
    /// # Errors
    ///
    /// [`TargetProblem`] when they may not.
    fn check<'a>(&'a self, url: &'a str) -> BoxFuture<'a, Result<Target, TargetProblem>>;

    /// Sends once, and waits for the answer only so long.
    fn send<'a>(&'a self, outgoing: &'a Outgoing) -> BoxFuture<'a, Answer>;

    /// The address of a subscription, read again before each sending: the operator may have changed what is allowed.
    ///
    /// # Errors
    ///
    /// [`TargetProblem`] when events may not be sent there any more.
    fn target(&self, url: &str) -> Result<Target, TargetProblem>;
}
