//! The ground floor: exact numbers, money, typed ids and the clock. No input or output.
//!
//! Everything that is measured, paid or compared in Skidway is made of the types here. None of them holds
//! binary floating point, and none rounds unless a [`Rounding`] is named at the call.
//!
//! ```
//! use kernel::{Exact, Fixed, Rounding};
//!
//! // A hewn stick, 12 by 10 inches and 24 feet 6 inches long, in board feet.
//! let width: Fixed = "12".parse()?;
//! let thickness: Fixed = "10".parse()?;
//! let length: Fixed = "24.5".parse()?;
//! let board_feet = width.exact().times(thickness.exact())?.times(length.exact())?.over(Exact::of(12))?;
//! assert_eq!(board_feet.to_string(), "245");
//! assert_eq!(board_feet.over(Exact::of(7))?.rounded_to(Exact::of(5), Rounding::HalfUp)?, Exact::of(35));
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod clock;
mod exact;
mod fixed;
mod id;
mod money;
mod rounding;
mod text;
mod trade;

#[cfg(feature = "openapi")]
mod openapi;

pub use clock::{Clock, Entropy, SettableClock, SystemClock, SystemEntropy};
pub use exact::{Exact, NumberError};
pub use fixed::Fixed;
pub use id::{
    AccountId, AdvanceId, AuditEntryId, ChargeId, CheckScaleId, ContractId, CrewId, CruiseId, DerivationId,
    EnrolmentId, EventId, EventSubscriptionId, GrantId, Id, IdSource, JobId, JournalEntryId, LandingId,
    LogTableId, MillId, MillTallyId, OutfitId, PasswordId, PaymentId, RefreshTokenId, ReleaseId, RequestId,
    ReversalId, ScalerCertificateId, SealId, SealKeyId, SetAsideId, SettlementId, ShareSetId,
    SignInAttemptId, SigningSecretId, StatementId, TermsId, TicketId, TimeEntryId, TokenId, TurnCountId,
    UnpricedId, VoidedNumbersId, VolumeAdjustmentId, WageTermsId, WorkerId,
};
pub use money::{Currency, Money, MoneyError};
pub use rounding::Rounding;
pub use text::{NumberTextError, hexadecimal};
pub use trade::{Product, VolumeUnit};
