//! Work that no rate puts a price on. It is listed and never counted as zero.

use kernel::VolumeUnit;
use serde::{Deserialize, Serialize};

use crate::Task;

/// Why a piece or a turn has no price. The text says it in a plain sentence.
///
/// ```
/// use settlement::UnpricedReason;
/// let reason = UnpricedReason::NoVolume { why: "the small end was not measured".into() };
/// assert_eq!(reason.code(), "no_volume");
/// assert_eq!(
///     serde_json::to_string(&reason)?,
///     r#"{"code":"no_volume","detail":{"why":"the small end was not measured"}}"#
/// );
/// assert_eq!(serde_json::to_string(&UnpricedReason::NoRate)?, r#"{"code":"no_rate"}"#);
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, thiserror::Error, Serialize, Deserialize)]
#[serde(tag = "code", content = "detail", rename_all = "snake_case", deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum UnpricedReason {
    /// No contract with this payee was in force on the day of the scale. For the caller's use.
    #[error("no contract covers this work on the day it was scaled: file one, or set the work aside")]
    NoContract,
    /// There is a contract but none of its terms were in force on the day of the scale. For the caller's use.
    #[error("the contract has no terms in force on the day of the scale: file terms from an earlier date")]
    NoTerms,
    /// No rate of the terms covers it.
    #[error("no rate of the terms covers this piece for this task: file new terms, or set it aside")]
    NoRate,
    /// The rate pays by volume and the piece has none.
    #[error("the rate pays by volume and the piece has none: {why}")]
    NoVolume {
        /// What kept the piece from being scaled.
        why: String,
    },
    /// The rate pays in one volume unit and the piece was scaled in another; nothing is converted for pay.
    #[error("the rate asks for a volume in {}, the piece was scaled in {}", wanted.name(), found.name())]
    OtherVolumeUnit {
        /// The unit that the rate pays in.
        wanted: VolumeUnit,
        /// The unit that the piece was scaled in.
        found: VolumeUnit,
    },
    /// The rate asks for a grade and the piece has none.
    #[error("the rates for this work go by grade and the piece has none")]
    NoGrade,
    /// The rate asks for a diameter and the piece has none.
    #[error("the rates for this work go by diameter and the piece has none")]
    NoDiameter,
    /// The rate asks for a length and the piece has none.
    #[error("the rate for this work goes by length and the piece has none")]
    NoLength,
    /// The rate is for sound pieces or for cull, and the piece could not be scaled to tell.
    #[error("the rates for this work ask whether the piece is cull, and it could not be scaled: {why}")]
    UnknownSoundness {
        /// What kept the piece from being scaled.
        why: String,
    },
    /// The rate pays by the turn or goes by distance, and the ticket records no turn.
    #[error("the rate goes by the turn or its distance and the ticket records no turn")]
    NoTurn,
    /// The rate goes by a distance that the ticket's turn does not record.
    #[error("the rates for this work go by distance and the ticket's turn does not record it")]
    NoDistance,
}

impl UnpricedReason {
    /// The stable code of the reason, as in JSON.
    ///
    /// ```
    /// assert_eq!(settlement::UnpricedReason::NoTurn.code(), "no_turn");
    /// ```
    #[must_use]
    pub const fn code(&self) -> &'static str {
        match self {
            Self::NoContract => "no_contract",
            Self::NoTerms => "no_terms",
            Self::NoRate => "no_rate",
            Self::NoVolume { .. } => "no_volume",
            Self::OtherVolumeUnit { .. } => "other_volume_unit",
            Self::NoGrade => "no_grade",
            Self::NoDiameter => "no_diameter",
            Self::NoLength => "no_length",
            Self::UnknownSoundness { .. } => "unknown_soundness",
            Self::NoTurn => "no_turn",
            Self::NoDistance => "no_distance",
        }
    }
}

/// A piece, or all of a task's pieces on the ticket, without a price.
///
/// ```
/// use settlement::{Task, Unpriced, UnpricedReason};
/// let unpriced = Unpriced { task: Task::Hauling, piece: None, reason: UnpricedReason::NoTurn };
/// assert_eq!(
///     serde_json::to_string(&unpriced)?,
///     r#"{"task":"hauling","piece":null,"reason":{"code":"no_turn"}}"#
/// );
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct Unpriced {
    /// The task that has no price.
    pub task: Task,
    /// The piece's number on the ticket; none when it is the turn as a whole that has no price.
    pub piece: Option<u16>,
    /// Why.
    pub reason: UnpricedReason,
}
