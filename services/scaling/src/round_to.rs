//! A rounding term: to which step, and by which named mode.

use std::fmt;

use kernel::{Exact, NumberError, Rounding};
use serde::{Deserialize, Serialize};

/// Rounding to the multiples of a step, by a named mode.
///
/// ```
/// use kernel::{Exact, Rounding};
/// use scaling::RoundTo;
/// let fives = RoundTo::new(Exact::of(5), Rounding::HalfUp)?;
/// assert_eq!(fives.apply(Exact::fraction(15_253, 100))?, Exact::of(155));
/// assert_eq!(serde_json::to_string(&fives)?, r#"{"step":"5","mode":"half_up"}"#);
/// assert!(RoundTo::new(Exact::ZERO, Rounding::HalfUp).is_err());
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(try_from = "RoundToForm")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct RoundTo {
    step: Exact,
    mode: Rounding,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RoundToForm {
    step: Exact,
    mode: Rounding,
}

/// A step that nothing can be rounded to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error("a rounding step of {0} cannot be used: write a step of more than 0 and at most 1000")]
pub struct RoundToError(Exact);

impl RoundTo {
    /// Rounding to multiples of `step`.
    ///
    /// # Errors
    ///
    /// [`RoundToError`] when the step is not more than 0 and at most 1,000.
    pub fn new(step: Exact, mode: Rounding) -> Result<Self, RoundToError> {
        let possible = step > Exact::ZERO && step <= Exact::of(1000);
        if possible { Ok(Self { step, mode }) } else { Err(RoundToError(step)) }
    }

    /// A rounding written in a rule's own file, whose step is known to be positive.
    pub(crate) const fn fixed(step: Exact, mode: Rounding) -> Self {
        Self { step, mode }
    }

    /// The step.
    #[must_use]
    pub const fn step(self) -> Exact {
        self.step
    }

    /// The mode.
    #[must_use]
    pub const fn mode(self) -> Rounding {
        self.mode
    }

    /// The value rounded.
    ///
    /// # Errors
    ///
    /// [`NumberError::TooLarge`].
    pub fn apply(self, value: Exact) -> Result<Exact, NumberError> {
        value.rounded_to(self.step, self.mode)
    }
}

impl TryFrom<RoundToForm> for RoundTo {
    type Error = RoundToError;

    fn try_from(form: RoundToForm) -> Result<Self, RoundToError> {
        Self::new(form.step, form.mode)
    }
}

impl fmt::Display for RoundTo {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        let step = self.step;
        match self.mode {
            Rounding::HalfUp => write!(formatter, "to the nearest {step}, a half up"),
            Rounding::HalfDown => write!(formatter, "to the nearest {step}, a half dropped"),
            Rounding::HalfEven => write!(formatter, "to the nearest {step}, a half to the even one"),
            Rounding::Down => write!(formatter, "down to a multiple of {step}"),
            Rounding::Up => write!(formatter, "up to a multiple of {step}"),
        }
    }
}

/// A rounding term of a contract: the rule's own, none, or one of its own.
///
/// ```
/// use scaling::RoundingTerm;
/// assert_eq!(serde_json::from_str::<RoundingTerm>(r#""by_rule""#)?, RoundingTerm::BY_RULE);
/// assert_eq!(serde_json::from_str::<RoundingTerm>(r#""none""#)?, RoundingTerm::NONE);
/// assert!(serde_json::from_str::<RoundingTerm>(r#"{"step": "5", "mode": "half_up"}"#).is_ok());
/// assert!(serde_json::from_str::<RoundingTerm>(r#"{"step": "0", "mode": "half_up"}"#).is_err());
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(
    untagged,
    expecting = "a rounding is \"by_rule\", \"none\" or {\"step\": a number of more than 0 and at most 1000 \
        as text, \"mode\": one of half_up, half_down, half_even, down, up}"
)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum RoundingTerm {
    /// In a word.
    Word(RoundingWord),
    /// To this step by this mode.
    To(RoundTo),
}

/// The rounding terms that need no numbers.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum RoundingWord {
    /// As the rule itself is published.
    ByRule,
    /// Kept exact.
    None,
}

impl RoundingTerm {
    /// As the rule itself is published.
    pub const BY_RULE: Self = Self::Word(RoundingWord::ByRule);
    /// Kept exact.
    pub const NONE: Self = Self::Word(RoundingWord::None);

    /// The rounding to use, given the rule's own.
    ///
    /// ```
    /// use kernel::{Exact, Rounding};
    /// use scaling::{RoundTo, RoundingTerm};
    /// let own = RoundTo::new(Exact::of(5), Rounding::HalfUp)?;
    /// assert_eq!(RoundingTerm::BY_RULE.resolve(Some(own)), Some(own));
    /// assert_eq!(RoundingTerm::NONE.resolve(Some(own)), None);
    /// # Ok::<(), scaling::RoundToError>(())
    /// ```
    #[must_use]
    pub fn resolve(self, own: Option<RoundTo>) -> Option<RoundTo> {
        match self {
            Self::Word(RoundingWord::ByRule) => own,
            Self::Word(RoundingWord::None) => None,
            Self::To(round_to) => Some(round_to),
        }
    }

    pub(crate) const fn by_rule() -> Self {
        Self::BY_RULE
    }
}
