//! What is kept of one filing.

use jiff::Timestamp;
use kernel::Entropy;
use serde::{Deserialize, Serialize};
use serde_json::Value;
use wire::Problem;

use super::Owner;

/// What makes it safe to send a filing twice.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Key {
    /// The body names itself, as a ticket does by its book and number: this is the name, `ticket A 17`.
    Name(String),
    /// The header `Idempotency-Key` carries this.
    Header(String),
}

impl Key {
    /// A key that nothing else carries (the String item of RFC 9651).
    ///
    /// ```
    /// use client::outbox::Key;
    /// assert_ne!(Key::new(&kernel::SystemEntropy), Key::new(&kernel::SystemEntropy));
    /// ```
    #[must_use]
    pub fn new(entropy: &dyn Entropy) -> Self {
        let mut bytes = [0; 16];
        entropy.fill(&mut bytes);
        Self::Header(format!("\"{}\"", kernel::hexadecimal(&bytes)))
    }

    pub(crate) fn header(&self) -> Option<&str> {
        match self {
            Self::Name(_) => None,
            Self::Header(key) => Some(key),
        }
    }
}

/// What has to be answered first, and what of its reply goes into the path.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Follows {
    /// The number of the entry that has to be answered first.
    pub entry: u64,
    /// The member of its reply that takes the place of `{member}` in the path, such as `ticket_id`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub member: Option<String>,
}

/// Something to be filed: an operation, what it is told, and a line for people.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Filing {
    /// The operation's id: `post_ticket`.
    pub operation: String,
    /// Where it is posted to: `/v1/tickets`.
    pub path: String,
    /// What is posted.
    pub body: Value,
    /// What makes it safe to send twice.
    pub key: Key,
    /// What it is, in a few words for people: `ticket A 17, 12 sticks`.
    pub says: String,
    /// The member of the body that is set to the moment of sending, each time: `sent_at` of a ticket.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub stamp: Option<String>,
    /// What has to be answered before it is sent.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub follows: Option<Follows>,
}

/// What the service answered.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Answer {
    /// When.
    pub at: Timestamp,
    /// Whether it had been done before, so that nothing has changed.
    pub replayed: bool,
    /// The reply.
    pub reply: Value,
}

/// That the service refused it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Refusal {
    /// When.
    pub at: Timestamp,
    /// Why.
    pub problem: Problem,
}

/// That somebody set it aside.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Dropped {
    /// When.
    pub at: Timestamp,
    /// Why.
    pub because: String,
}

/// Where an entry is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Place {
    /// To be sent.
    Waiting,
    /// Refused by the service; somebody has to decide.
    Refused,
    /// Answered.
    Sent,
    /// Set aside by somebody.
    Dropped,
}

impl Place {
    /// Every place, the one that counts first where an entry was being moved when the program ended.
    pub(super) const ALL: [Self; 4] = [Self::Dropped, Self::Sent, Self::Refused, Self::Waiting];

    /// The place as it is written.
    ///
    /// ```
    /// assert_eq!(client::outbox::Place::Waiting.name(), "waiting");
    /// ```
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Waiting => "waiting",
            Self::Refused => "refused",
            Self::Sent => "sent",
            Self::Dropped => "dropped",
        }
    }
}

impl std::fmt::Display for Place {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        formatter.write_str(self.name())
    }
}

/// One filing, and what became of it. No token is in it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Entry {
    /// Its number, ascending in the order of keeping.
    pub number: u64,
    /// When it was kept.
    pub made_at: Timestamp,
    /// Whose books it is for, and who filed it.
    pub owner: Owner,
    /// What is filed.
    pub filing: Filing,
    /// How often it was sent.
    #[serde(default)]
    pub tries: u32,
    /// When it was sent last.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tried_at: Option<Timestamp>,
    /// Why nothing came of that, in words.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub told: Option<String>,
    /// What the service answered.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub answer: Option<Answer>,
    /// Why it was refused.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub refusal: Option<Refusal>,
    /// Why it was set aside.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub dropped: Option<Dropped>,
}
