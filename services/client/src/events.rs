//! Receiving events: whether a delivery is really the service's, as Standard Webhooks 1.0.0 lays it out.
//!
//! A tool that is told of events gets a POST with three headers and a JSON body. Before it believes a word of it, it
//! calls [`verify`] with the body exactly as it came, byte for byte, and the secret it was given when the subscription
//! was filed. Then it reads the body as a [`wire::Event`], and answers 2xx once it has it safely. What was answered
//! otherwise, or not at all, is sent again with the same id; so remember the ids, and do nothing twice.
//!
//! ```
//! use client::events::{Delivery, Secret, sign, verify};
//!
//! let secret: Secret = "whsec_C2FVsBQIhrscChlQIMV+b5sSYspob7oD".parse()?;
//! let (now, body) = ("2031-06-09T12:00:00Z".parse()?, br#"{"type": "week.posted"}"#);
//! let signature = sign(std::slice::from_ref(&secret), "event-1", now, body);
//! let delivery = Delivery { id: "event-1", timestamp: "1938772800", signature: &signature, body };
//! assert!(verify(&delivery, &[secret], now).is_ok());
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

use aws_lc_rs::hmac;
use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use jiff::{SignedDuration, Timestamp};

/// The header that names the event: the same however often it is sent.
pub const ID_HEADER: &str = "webhook-id";
/// The header that says when it was sent, in seconds since 1970.
pub const TIMESTAMP_HEADER: &str = "webhook-timestamp";
/// The header that holds the signatures.
pub const SIGNATURE_HEADER: &str = "webhook-signature";

/// How far the two clocks may be apart, either way.
const TOLERANCE: SignedDuration = SignedDuration::from_mins(5);
/// What a secret's text begins with.
const SECRET_PREFIX: &str = "whsec_";
/// What a signature by HMAC-SHA256 begins with.
const SIGNATURE_PREFIX: &str = "v1,";

/// Why a delivery is not to be believed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum VerifyError {
    /// The header is not a number of seconds.
    #[error("the header webhook-timestamp is not a whole number of seconds since 1970")]
    TimestampUnreadable,
    /// Somebody may be sending again what he once overheard; or a clock is wrong.
    #[error("the delivery is more than five minutes old: check this machine's clock, otherwise drop it")]
    TooOld,
    /// A clock is wrong.
    #[error("the delivery is more than five minutes ahead: check this machine's clock, otherwise drop it")]
    TooNew,
    /// None of the signatures is by any of the secrets.
    #[error("no signature is by a secret of ours: drop the delivery, or check that the secret is the newest")]
    NotSigned,
}

impl VerifyError {
    /// The stable name of the problem.
    ///
    /// ```
    /// assert_eq!(client::events::VerifyError::TooOld.code(), "too-old");
    /// ```
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Self::TimestampUnreadable => "timestamp-unreadable",
            Self::TooOld => "too-old",
            Self::TooNew => "too-new",
            Self::NotSigned => "not-signed",
        }
    }
}

/// Why a text is no secret. The text is not shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum SecretError {
    /// The beginning is missing.
    #[error("the secret does not begin with {SECRET_PREFIX}: copy the whole of it")]
    Prefix,
    /// What follows is not base64.
    #[error("the secret is not base64 after {SECRET_PREFIX}: copy it again, all on one line")]
    NotBase64,
    /// Too short to be safe, or longer than the standard allows.
    #[error("the secret does not have 24 to 64 bytes")]
    Length,
}

impl SecretError {
    /// The stable name of the problem.
    ///
    /// ```
    /// assert_eq!(client::events::SecretError::Length.code(), "length");
    /// ```
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Self::Prefix => "prefix",
            Self::NotBase64 => "not-base64",
            Self::Length => "length",
        }
    }
}

/// A secret that deliveries are signed with: 24 to 64 bytes. Never printed.
///
/// ```
/// use client::events::Secret;
/// let secret: Secret = "whsec_C2FVsBQIhrscChlQIMV+b5sSYspob7oD".parse()?;
/// assert_eq!(secret.bytes().len(), 24);
/// assert!("whsec_".parse::<Secret>().is_err());
/// assert!(!format!("{secret:?}").contains("C2FV"));
/// # Ok::<(), client::events::SecretError>(())
/// ```
#[derive(Clone, PartialEq, Eq)]
pub struct Secret(Vec<u8>);

impl Secret {
    /// Takes bytes for a secret.
    ///
    /// # Errors
    ///
    /// [`SecretError::Length`] when there are not 24 to 64 of them.
    ///
    /// ```
    /// assert!(client::events::Secret::from_bytes(&[7; 32]).is_ok());
    /// assert!(client::events::Secret::from_bytes(&[7; 23]).is_err());
    /// ```
    pub fn from_bytes(bytes: &[u8]) -> Result<Self, SecretError> {
        if (24..=64).contains(&bytes.len()) { Ok(Self(bytes.to_vec())) } else { Err(SecretError::Length) }
    }

    /// The bytes.
    #[must_use]
    pub fn bytes(&self) -> &[u8] {
        &self.0
    }

    /// The text that is handed over: `whsec_` and base64.
    ///
    /// ```
    /// let secret = client::events::Secret::from_bytes(&[0; 24])?;
    /// assert_eq!(secret.text(), "whsec_AAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA");
    /// # Ok::<(), client::events::SecretError>(())
    /// ```
    #[must_use]
    pub fn text(&self) -> String {
        format!("{SECRET_PREFIX}{}", STANDARD.encode(&self.0))
    }

    fn key(&self) -> hmac::Key {
        hmac::Key::new(hmac::HMAC_SHA256, &self.0)
    }
}

impl std::str::FromStr for Secret {
    type Err = SecretError;

    fn from_str(text: &str) -> Result<Self, SecretError> {
        let rest = text.trim().strip_prefix(SECRET_PREFIX).ok_or(SecretError::Prefix)?;
        Self::from_bytes(&STANDARD.decode(rest).map_err(|_| SecretError::NotBase64)?)
    }
}

impl std::fmt::Debug for Secret {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        formatter.write_str("Secret(hidden)")
    }
}

/// A delivery as it came in.
#[derive(Clone, Copy, Debug)]
pub struct Delivery<'a> {
    /// The header [`ID_HEADER`].
    pub id: &'a str,
    /// The header [`TIMESTAMP_HEADER`].
    pub timestamp: &'a str,
    /// The header [`SIGNATURE_HEADER`].
    pub signature: &'a str,
    /// The body as it came, not read and written again.
    pub body: &'a [u8],
}

/// What a signature is over: id, seconds and body, with full stops between them.
fn signed_text(id: &str, timestamp: &str, body: &[u8]) -> Vec<u8> {
    [id.as_bytes(), b".", timestamp.as_bytes(), b".", body].concat()
}

/// The header [`SIGNATURE_HEADER`] for a delivery sent at `at`: one signature for each secret. For whoever sends; and
/// for tests of whoever receives.
///
/// The case is the first published one of Standard Webhooks 1.0.0.
///
/// ```
/// use client::events::{Secret, sign};
/// let secret: Secret = "whsec_C2FVsBQIhrscChlQIMV+b5sSYspob7oD".parse()?;
/// let body = br#"{"email":"test@example.com","username":"test_user"}"#;
/// let at = jiff::Timestamp::from_second(1_649_367_553)?;
/// assert_eq!(
///     sign(&[secret], "msg_27UH4WbU6Z5A5EzD8u03UvzRbpk", at, body),
///     "v1,tZ1I4/hDygAJgO5TYxiSd6Sd0kDW6hPenDe+bTa3Kkw="
/// );
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[must_use]
pub fn sign(secrets: &[Secret], id: &str, at: Timestamp, body: &[u8]) -> String {
    let text = signed_text(id, &at.as_second().to_string(), body);
    let one = |secret: &Secret| {
        format!("{SIGNATURE_PREFIX}{}", STANDARD.encode(hmac::sign(&secret.key(), &text).as_ref()))
    };
    secrets.iter().map(one).collect::<Vec<_>>().join(" ")
}

/// Whether a delivery was signed with one of our secrets, less than five minutes from `now`.
///
/// While a secret is being exchanged for another a delivery carries a signature for each; one good one is enough, and a
/// receiver may give both secrets for a while. Signatures are compared in the same time wherever they differ.
///
/// # Errors
///
/// [`VerifyError`]: then nothing in the delivery is to be believed.
///
/// ```
/// use client::events::{Delivery, Secret, VerifyError, verify};
/// let secret: Secret = "whsec_C2FVsBQIhrscChlQIMV+b5sSYspob7oD".parse()?;
/// let forged = Delivery { id: "event-1", timestamp: "1939636800", signature: "v1,", body: b"{}" };
/// let now = jiff::Timestamp::from_second(1_939_636_800)?;
/// assert_eq!(verify(&forged, &[secret], now), Err(VerifyError::NotSigned));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn verify(delivery: &Delivery<'_>, secrets: &[Secret], now: Timestamp) -> Result<(), VerifyError> {
    let seconds = delivery.timestamp.parse().map_err(|_| VerifyError::TimestampUnreadable)?;
    let sent = Timestamp::from_second(seconds).map_err(|_| VerifyError::TimestampUnreadable)?;
    // The header counts whole seconds, so the receiver's clock is read in whole seconds too.
    let age = SignedDuration::from_secs(now.as_second().saturating_sub(sent.as_second()));
    if age > TOLERANCE {
        return Err(VerifyError::TooOld);
    }
    if age < -TOLERANCE {
        return Err(VerifyError::TooNew);
    }
    let text = signed_text(delivery.id, delivery.timestamp, delivery.body);
    let keys: Vec<_> = secrets.iter().map(Secret::key).collect();
    let signatures = delivery.signature.split(' ').filter_map(|one| one.strip_prefix(SIGNATURE_PREFIX));
    let good = signatures
        .filter_map(|signature| STANDARD.decode(signature).ok())
        .any(|signature| keys.iter().any(|key| hmac::verify(key, &text, &signature).is_ok()));
    if good { Ok(()) } else { Err(VerifyError::NotSigned) }
}
