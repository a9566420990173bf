//! Subscriptions: which tool is told of what, where, and by which secret it knows us.

use jiff::Timestamp;
use kernel::{EventSubscriptionId, SigningSecretId};
use serde::{Deserialize, Serialize};

use crate::{AttemptOutcome, EventKind, Remark};

/// Why a text is no address for events.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum EventTargetError {
    /// Neither kind of web address.
    #[error("this is no web address: begin it with https://")]
    NoWebAddress,
    /// Longer than any address needs to be.
    #[error("this address has more than 500 characters")]
    TooLong,
    /// A blank, a control character or a letter outside ASCII.
    #[error("this address holds a character that addresses do not have: write it percent-encoded")]
    Character,
}

impl EventTargetError {
    /// The stable name of the problem.
    ///
    /// ```
    /// assert_eq!(wire::EventTargetError::TooLong.code(), "too-long");
    /// ```
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Self::NoWebAddress => "no-web-address",
            Self::TooLong => "too-long",
            Self::Character => "character",
        }
    }
}

/// The text of a web address that events are to be sent to.
///
/// ```
/// use wire::EventTarget;
/// assert!(EventTarget::try_from("https://payroll.example/skidway".to_owned()).is_ok());
/// assert!(EventTarget::try_from("ftp://payroll.example".to_owned()).is_err());
/// ```
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct EventTarget(String);

impl EventTarget {
    /// The text.
    ///
    /// ```
    /// let target = wire::EventTarget::try_from("https://payroll.example".to_owned())?;
    /// assert_eq!(target.as_str(), "https://payroll.example");
    /// # Ok::<(), wire::EventTargetError>(())
    /// ```
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl TryFrom<String> for EventTarget {
    type Error = EventTargetError;

    fn try_from(text: String) -> Result<Self, EventTargetError> {
        if !text.bytes().all(|byte| byte.is_ascii_graphic()) {
            return Err(EventTargetError::Character);
        }
        if text.len() > 500 {
            return Err(EventTargetError::TooLong);
        }
        match text.split_once("://") {
            Some(("https" | "http", rest)) if !rest.is_empty() => Ok(Self(text)),
            _ => Err(EventTargetError::NoWebAddress),
        }
    }
}

impl From<EventTarget> for String {
    fn from(target: EventTarget) -> Self {
        target.0
    }
}

#[cfg(feature = "openapi")]
impl utoipa::PartialSchema for EventTarget {
    fn schema() -> utoipa::openapi::RefOr<utoipa::openapi::schema::Schema> {
        utoipa::openapi::schema::ObjectBuilder::new()
            .schema_type(utoipa::openapi::schema::Type::String)
            .description(Some(
                "Where events are sent: an https address on the public internet, without a user name in it.",
            ))
            .pattern(Some("^https?://"))
            .max_length(Some(500))
            .into()
    }
}

#[cfg(feature = "openapi")]
impl utoipa::ToSchema for EventTarget {}

/// The secret that deliveries are signed with: `whsec_` and base64. Hidden when it is printed for debugging.
///
/// ```
/// let secret = wire::SigningSecret::from("whsec_C2FVsBQIhrscChlQIMV+b5sSYspob7oD".to_owned());
/// assert!(!format!("{secret:?}").contains("C2FV"));
/// ```
#[derive(Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(transparent)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct SigningSecret(String);

impl SigningSecret {
    /// The text, to be handed to the tool that is to know us by it.
    ///
    /// ```
    /// assert_eq!(wire::SigningSecret::from("whsec_".to_owned()).as_str(), "whsec_");
    /// ```
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl From<String> for SigningSecret {
    fn from(text: String) -> Self {
        Self(text)
    }
}

impl std::fmt::Debug for SigningSecret {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        formatter.write_str("SigningSecret(hidden)")
    }
}

/// Asks that a tool be told of what happens from now on.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct EventSubscriptionCreate {
    /// Where its events are sent.
    pub url: EventTarget,
    /// What it is told of; at least one kind, each once.
    #[cfg_attr(feature = "openapi", schema(min_items = 1))]
    pub kinds: Vec<EventKind>,
    /// Which tool it is, for people.
    pub says: Remark,
}

/// A subscription.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema), schema(as = EventSubscription))]
pub struct EventSubscriptionView {
    /// Its id.
    pub subscription_id: EventSubscriptionId,
    /// Where its events are sent.
    pub url: String,
    /// What the tool is told of.
    pub kinds: Vec<EventKind>,
    /// Which tool it is.
    pub says: String,
    /// The secrets that sign now, newest first; never the secrets themselves.
    pub secrets: Vec<SigningSecretView>,
    /// That it has ended; absent while it lasts.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ended: Option<EndedView>,
    /// Who made it.
    pub made_by: String,
    /// When.
    pub made_at: Timestamp,
}

/// A new subscription, with its secret, which is shown this once.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct EventSubscriptionFiled {
    /// The subscription.
    pub subscription: EventSubscriptionView,
    /// The secret that its deliveries are signed with. Keep it now: it is not shown again.
    pub secret: SigningSecret,
}

/// When a subscription ended, and why.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema), schema(as = SubscriptionEnded))]
pub struct EndedView {
    /// Why.
    pub reason: String,
    /// Who ended it; `skidway` where the tool answered 410, that it is gone.
    pub ended_by: String,
    /// When.
    pub ended_at: Timestamp,
}

/// Ends a subscription. What was not delivered yet is not sent any more.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct EventSubscriptionEnd {
    /// Why.
    pub reason: Remark,
}

/// A secret that signs.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema), schema(as = SigningSecretState))]
pub struct SigningSecretView {
    /// Its id.
    pub secret_id: SigningSecretId,
    /// When it was made.
    pub made_at: Timestamp,
    /// When it stops signing; absent for the newest one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub signs_until: Option<Timestamp>,
}

/// Asks for a new secret.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct SigningSecretCreate {
    /// For how many hours the secret before it goes on signing as well: 0 to 168. 24 when left out; 0 where it has
    /// fallen into wrong hands.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[cfg_attr(feature = "openapi", schema(maximum = 168))]
    pub overlap_hours: Option<u8>,
}

/// A new secret, shown this once.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct SigningSecretMade {
    /// Its id.
    pub secret_id: SigningSecretId,
    /// The secret. Keep it now: it is not shown again.
    pub secret: SigningSecret,
    /// When it was made.
    pub made_at: Timestamp,
}

/// Asks for an event that nothing has happened for, to see whether the tool hears it.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct EventSubscriptionTrial {
    /// Sent along in the event, so that it can be told from others.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub says: Option<Remark>,
}

/// What came of a trial. It is sent once, and not again.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct TrialOutcome {
    /// What came of it.
    pub outcome: AttemptOutcome,
    /// The HTTP status that was answered; absent where nothing was.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub status: Option<u16>,
    /// How long it took.
    pub milliseconds: u32,
}
