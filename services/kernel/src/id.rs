//! Ids: one type for each kind of thing, all of them UUIDs of version 7 (RFC 9562).
//!
//! They are made without a shared counter, sort by the time they were made, and cannot be mistaken for one another.

use std::sync::{Arc, Mutex};

use uuid::Uuid;

use crate::{Clock, Entropy};

/// What every kind of id can do.
pub trait Id: Copy {
    /// The kind, in plain words, as error texts name it.
    const KIND: &'static str;

    /// Takes a UUID to be an id of this kind.
    fn from_uuid(uuid: Uuid) -> Self;

    /// The bare UUID.
    fn uuid(self) -> Uuid;
}

/// Declares the kinds of id: each line makes a type of its own.
macro_rules! id_kinds {
    ($($(#[$doc:meta])* $name:ident = $kind:literal;)+) => {$(
        $(#[$doc])*
        #[derive(Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, serde::Serialize, serde::Deserialize)]
        #[serde(transparent)]
        pub struct $name(Uuid);

        impl Id for $name {
            const KIND: &'static str = $kind;

            fn from_uuid(uuid: Uuid) -> Self {
                Self(uuid)
            }

            fn uuid(self) -> Uuid {
                self.0
            }
        }

        impl std::fmt::Display for $name {
            fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                std::fmt::Display::fmt(&self.0, formatter)
            }
        }

        impl std::fmt::Debug for $name {
            fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                write!(formatter, "{} {}", $kind, self.0)
            }
        }

        impl std::str::FromStr for $name {
            type Err = uuid::Error;

            fn from_str(text: &str) -> Result<Self, Self::Err> {
                text.parse().map(Self)
            }
        }

        #[cfg(feature = "openapi")]
        impl utoipa::PartialSchema for $name {
            fn schema() -> utoipa::openapi::RefOr<utoipa::openapi::schema::Schema> {
                crate::openapi::id_schema($kind)
            }
        }

        #[cfg(feature = "openapi")]
        impl utoipa::ToSchema for $name {}
    )+};
}

id_kinds! {
    /// The business that owns the books; nothing crosses from one to another.
    OutfitId = "outfit";
    /// A person who is paid.
    WorkerId = "worker";
    /// People who work and are paid together.
    CrewId = "crew";
    /// A crew's division of its pay from a date on.
    ShareSetId = "share set";
    /// A mill that buys or takes in timber.
    MillId = "mill";
    /// A tract being logged.
    JobId = "job";
    /// A place on a job where timber is piled and scaled.
    LandingId = "landing";
    /// An agreement to pay a crew, or by which a mill pays the outfit.
    ContractId = "contract";
    /// What a contract says from a date on.
    TermsId = "terms";
    /// One scaling event in a scale book.
    TicketId = "ticket";
    /// What one contract's terms made of one ticket.
    DerivationId = "derivation";
    /// A decision to leave an unpriced piece out of the pay.
    SetAsideId = "set-aside";
    /// Hours of one worker on one day.
    TimeEntryId = "time entry";
    /// What an outfit pays by the hour beside the pieces, from a date on.
    WageTermsId = "wage terms";
    /// Something a worker is charged for.
    ChargeId = "charge";
    /// Money handed to a worker before it was earned.
    AdvanceId = "advance";
    /// Money handed to a worker, or handed over by a mill.
    PaymentId = "payment";
    /// Holdback that is let go.
    ReleaseId = "release";
    /// That a record of money or time does not stand.
    ReversalId = "reversal";
    /// A week's settlement.
    SettlementId = "settlement";
    /// What one payee has coming from one settlement.
    StatementId = "statement";
    /// A balanced entry in the journal.
    JournalEntryId = "journal entry";
    /// One version of an outfit's own log rule, filed as a table.
    LogTableId = "log table";
    /// A task on a ticket that nothing paid for when the ticket was worked out.
    UnpricedId = "unpriced task";
    /// Numbers of a scale book that will never come.
    VoidedNumbersId = "voided numbers";
    /// What a scaler may show for himself.
    ScalerCertificateId = "scaler's certificate";
    /// One accepted change, as the audit trail has it.
    AuditEntryId = "audit entry";
    /// The key that an outfit's seals are signed with.
    SealKeyId = "seal key";
    /// A signed fingerprint of everything that was accepted up to a moment.
    SealId = "seal";
    /// Turns that somebody other than the scaler counted.
    TurnCountId = "turn count";
    /// A sample that was scaled again by somebody else.
    CheckScaleId = "check scale";
    /// A volume that is added to or taken from a contract's scale after a check scale.
    VolumeAdjustmentId = "volume adjustment";
    /// What a mill sawed out of logs.
    MillTallyId = "mill tally";
    /// An estimate of standing timber.
    CruiseId = "cruise";
    /// An access token.
    TokenId = "token";
    /// Somebody who signs in with a name and a password.
    AccountId = "account";
    /// Leave to set an account's password once.
    EnrolmentId = "enrolment";
    /// An account's password.
    PasswordId = "password";
    /// Access that was granted, and can be revoked.
    GrantId = "access grant";
    /// What keeps somebody signed in.
    RefreshTokenId = "refresh token";
    /// One try to sign in.
    SignInAttemptId = "try to sign in";
    /// One request to the service.
    RequestId = "request";
    /// That a tool of the outfit's is told of what happens in the books.
    EventSubscriptionId = "event subscription";
    /// A secret that events are signed with.
    SigningSecretId = "signing secret";
    /// Something that tools are told of. Where several follow from one change, some are UUIDs of version 8.
    EventId = "event";
}

/// Makes ids from a clock and a source of random bytes.
///
/// Ids of one source always ascend: within one millisecond, or when the clock is set back, the next id is the last
/// one plus one (RFC 9562, section 6.2, method 2). So a list in the order of ids is in the order of making.
///
/// ```
/// use std::sync::Arc;
/// use kernel::{Entropy, Id, IdSource, SettableClock, TicketId};
///
/// struct Nines;
/// impl Entropy for Nines {
///     fn fill(&self, bytes: &mut [u8]) { bytes.fill(0x99) }
/// }
/// // The time of the worked example in RFC 9562, appendix A.6: 2022-02-22T19:22:22Z.
/// let clock = Arc::new(SettableClock::at("2022-02-22T19:22:22Z".parse()?));
/// let ids = IdSource::new(clock, Arc::new(Nines));
/// let id: TicketId = ids.make();
/// assert!(id.to_string().starts_with("017f22e2-79b0-7"));
/// assert_eq!(id.uuid().get_version_num(), 7);
/// assert!(ids.make::<TicketId>() > id);
/// # Ok::<(), jiff::Error>(())
/// ```
#[derive(Clone)]
pub struct IdSource {
    clock: Arc<dyn Clock>,
    entropy: Arc<dyn Entropy>,
    last: Arc<Mutex<Uuid>>,
}

/// The bits of an id that count the milliseconds.
const TIME_BITS: u32 = 48;

impl IdSource {
    /// Ids whose times come from `clock` and whose random part comes from `entropy`.
    #[must_use]
    pub fn new(clock: Arc<dyn Clock>, entropy: Arc<dyn Entropy>) -> Self {
        Self { clock, entropy, last: Arc::new(Mutex::new(Uuid::nil())) }
    }

    /// Goes on after an id that another source made: all that are made from now on come after it, whatever the clock says.
    ///
    /// What it goes on with is as random as ever, so that two sources that go on after the same id do not make the same ones.
    ///
    /// ```
    /// # use std::sync::Arc;
    /// # use kernel::{IdSource, SettableClock, SystemEntropy, TicketId};
    /// let before = Arc::new(SettableClock::at("2031-06-06T18:00:00Z".parse()?));
    /// let there: TicketId = IdSource::new(before, Arc::new(SystemEntropy)).make();
    /// // Another instance, whose clock was set back.
    /// let clock = Arc::new(SettableClock::at("2031-06-06T15:00:00Z".parse()?));
    /// let ids = IdSource::new(clock, Arc::new(SystemEntropy));
    /// ids.go_on_after(there);
    /// assert!(ids.make::<TicketId>() > there);
    /// # Ok::<(), jiff::Error>(())
    /// ```
    pub fn go_on_after<I: Id>(&self, there: I) {
        // Nearly always this source has come further already.
        if *self.last.lock().unwrap_or_else(std::sync::PoisonError::into_inner) > there.uuid() {
            return;
        }
        let millis = u64::try_from(there.uuid().as_u128() >> (u128::BITS - TIME_BITS)).unwrap_or(0);
        let next = self.at(millis.saturating_add(1));
        let mut last = self.last.lock().unwrap_or_else(std::sync::PoisonError::into_inner);
        *last = next.max(*last);
    }

    /// An id of a moment, in milliseconds since 1970, random in the rest.
    fn at(&self, millis: u64) -> Uuid {
        let mut random = [0_u8; 10];
        self.entropy.fill(&mut random);
        uuid::Builder::from_unix_timestamp_millis(millis, &random).into_uuid()
    }

    /// A new id of the kind asked for.
    #[must_use]
    pub fn make<I: Id>(&self) -> I {
        // Before 1970 there was no Skidway; such a clock gets the first instant instead of a panic.
        let millis = u64::try_from(self.clock.now().as_millisecond()).unwrap_or(0);
        let fresh = self.at(millis);
        // A panic elsewhere cannot leave an id half written, so a poisoned lock is still good.
        let mut last = self.last.lock().unwrap_or_else(std::sync::PoisonError::into_inner);
        let time = |id: &Uuid| id.as_u128() >> (u128::BITS - TIME_BITS);
        let next = if time(&fresh) > time(&last) { fresh } else { after(*last) };
        *last = next;
        I::from_uuid(next)
    }
}

/// The id after `id`: one more in its random part, and after the last of those in the one before it, so that version
/// and variant stay what they are.
fn after(id: Uuid) -> Uuid {
    const LOW: u128 = (1 << 62) - 1;
    const MIDDLE: u128 = 0xfff << 64;
    let number = id.as_u128();
    if number & LOW != LOW {
        return Uuid::from_u128(number + 1);
    }
    let carried = number & !LOW;
    Uuid::from_u128((carried & !MIDDLE) | (carried.wrapping_add(1 << 64) & MIDDLE))
}

impl std::fmt::Debug for IdSource {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        formatter.write_str("IdSource")
    }
}
