//! How far a hewn stick may be from its size and its line before it is degraded or refused.

use kernel::Exact;
use serde::{Deserialize, Serialize};

use crate::{Grade, member};

/// One limit: over the first figure a stick is degraded, over the second refused. Exactly at a figure it passes.
///
/// ```
/// let limit: scaling::Limit = serde_json::from_str(r#"{"degraded_over": "0.25", "refused_over": "1/2"}"#)?;
/// assert_eq!(limit.refused_over(), Some(kernel::Exact::fraction(1, 2)));
/// assert!(serde_json::from_str::<scaling::Limit>("{}").is_err());
/// let crossed = r#"{"degraded_over": "1", "refused_over": "0.5"}"#;
/// assert!(serde_json::from_str::<scaling::Limit>(crossed).is_err());
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(try_from = "LimitForm")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct Limit {
    #[serde(skip_serializing_if = "Option::is_none")]
    degraded_over: Option<Exact>,
    #[serde(skip_serializing_if = "Option::is_none")]
    refused_over: Option<Exact>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct LimitForm {
    #[serde(default, deserialize_with = "member::degraded_over")]
    degraded_over: Option<Exact>,
    #[serde(default, deserialize_with = "member::refused_over")]
    refused_over: Option<Exact>,
}

/// A limit that limits nothing, or crosses itself.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum LimitError {
    /// Neither figure.
    #[error("a limit needs degraded_over, refused_over or both")]
    Empty,
    /// A figure no measurement can be under.
    #[error("a limit of {0} cannot be used: write 0 or more, at most 240")]
    OutOfBounds(Exact),
    /// Refused before it is degraded.
    #[error("refused_over is less than degraded_over, so nothing could be degraded: exchange them")]
    Crossed,
}

impl Limit {
    /// Over this a stick is degraded.
    #[must_use]
    pub const fn degraded_over(self) -> Option<Exact> {
        self.degraded_over
    }

    /// Over this a stick is refused.
    #[must_use]
    pub const fn refused_over(self) -> Option<Exact> {
        self.refused_over
    }
}

impl TryFrom<LimitForm> for Limit {
    type Error = LimitError;

    fn try_from(form: LimitForm) -> Result<Self, LimitError> {
        let LimitForm { degraded_over, refused_over } = form;
        let impossible = |figure: &Exact| figure.is_negative() || *figure > Exact::of(240);
        if let Some(figure) = [degraded_over, refused_over].into_iter().flatten().find(impossible) {
            return Err(LimitError::OutOfBounds(figure));
        }
        match (degraded_over, refused_over) {
            (None, None) => Err(LimitError::Empty),
            (Some(degraded), Some(refused)) if refused < degraded => Err(LimitError::Crossed),
            _ => Ok(Self { degraded_over, refused_over }),
        }
    }
}

/// The tolerances of hewn timber. What was not measured is not held against a stick, and a limit that is left out limits
/// nothing.
///
/// ```
/// let tolerances: scaling::HewnTolerances = serde_json::from_str(
///     r#"{"score_mark_depth_in": {"degraded_over": "0.25", "refused_over": "0.5"}, "degraded_to": "No 2"}"#,
/// )?;
/// assert!(tolerances.straightness_in.is_none());
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct HewnTolerances {
    /// How deep a score mark goes below the face, in inches: within half an inch is well hewed (tie
    /// specification of 1918 to 1921, from memory).
    #[serde(deserialize_with = "member::score_mark_depth_in", skip_serializing_if = "Option::is_none")]
    pub score_mark_depth_in: Option<Limit>,
    /// How far the stick bows from a straight line, in inches.
    #[serde(deserialize_with = "member::straightness_in", skip_serializing_if = "Option::is_none")]
    pub straightness_in: Option<Limit>,
    /// How far a corner is out of square, in inches: an inch in one industrial grade of ties.
    #[serde(deserialize_with = "member::out_of_square_in", skip_serializing_if = "Option::is_none")]
    pub out_of_square_in: Option<Limit>,
    /// How far the ends differ in width or in thickness, in inches.
    #[serde(deserialize_with = "member::size_difference_in", skip_serializing_if = "Option::is_none")]
    pub size_difference_in: Option<Limit>,
    /// How far the least section is under the ordered size, in inches.
    #[serde(deserialize_with = "member::under_size_in", skip_serializing_if = "Option::is_none")]
    pub under_size_in: Option<Limit>,
    /// How far the largest section is over the ordered size, in inches.
    #[serde(deserialize_with = "member::over_size_in", skip_serializing_if = "Option::is_none")]
    pub over_size_in: Option<Limit>,
    /// What share of a face the wane of one corner takes, from 0 to 1: an eighth to a third of a face by grade (from
    /// memory).
    #[serde(deserialize_with = "member::wane_of_face", skip_serializing_if = "Option::is_none")]
    pub wane_of_face: Option<Limit>,
    /// The grade of a degraded stick. Default: the grade it has.
    #[serde(deserialize_with = "member::degraded_to", skip_serializing_if = "Option::is_none")]
    pub degraded_to: Option<Grade>,
}

/// The tolerances of ties: as of hewn timber, and the oversize rule by which a tie much larger than its class is degraded
/// or refused.
///
/// ```
/// let tolerances: scaling::TieTolerances =
///     serde_json::from_str(r#"{"thicker_in": {"refused_over": "1"}, "wider_in": {"degraded_over": "3"}}"#)?;
/// assert!(tolerances.longer_in.is_none());
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct TieTolerances {
    /// How deep a score mark goes below the face, in inches: within half an inch is well hewed (tie
    /// specification of 1918 to 1921, from memory).
    #[serde(deserialize_with = "member::score_mark_depth_in", skip_serializing_if = "Option::is_none")]
    pub score_mark_depth_in: Option<Limit>,
    /// How far the stick bows from a straight line, in inches.
    #[serde(deserialize_with = "member::straightness_in", skip_serializing_if = "Option::is_none")]
    pub straightness_in: Option<Limit>,
    /// How far a corner is out of square, in inches: an inch in one industrial grade of ties.
    #[serde(deserialize_with = "member::out_of_square_in", skip_serializing_if = "Option::is_none")]
    pub out_of_square_in: Option<Limit>,
    /// How much thicker than its class it is, in inches: an inch (tie specification of 1918 to 1921, from memory).
    #[serde(deserialize_with = "member::thicker_in", skip_serializing_if = "Option::is_none")]
    pub thicker_in: Option<Limit>,
    /// How much wider than its class it is, in inches: three inches (the same).
    #[serde(deserialize_with = "member::wider_in", skip_serializing_if = "Option::is_none")]
    pub wider_in: Option<Limit>,
    /// How much longer than its class it is, in inches: two inches (the same).
    #[serde(deserialize_with = "member::longer_in", skip_serializing_if = "Option::is_none")]
    pub longer_in: Option<Limit>,
    /// The grade of a degraded stick. Default: the grade it has.
    #[serde(deserialize_with = "member::degraded_to", skip_serializing_if = "Option::is_none")]
    pub degraded_to: Option<Grade>,
}
