//! Ways to round, each with a name that travels into the working of every figure it touched.

use serde::{Deserialize, Serialize};

/// How a number between two steps is brought to one of them.
///
/// Published practice differs, so no function in this workspace rounds without one of these being named.
///
/// ```
/// use kernel::{Exact, Rounding};
/// let half = Exact::fraction(21, 2); // 10 1/2
/// assert_eq!(half.rounded_to(Exact::ONE, Rounding::HalfUp)?, Exact::of(11));
/// assert_eq!(half.rounded_to(Exact::ONE, Rounding::HalfDown)?, Exact::of(10));
/// assert_eq!(half.rounded_to(Exact::ONE, Rounding::HalfEven)?, Exact::of(10));
/// assert_eq!(half.rounded_to(Exact::ONE, Rounding::Down)?, Exact::of(10));
/// assert_eq!(half.rounded_to(Exact::ONE, Rounding::Up)?, Exact::of(11));
/// # Ok::<(), kernel::NumberError>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum Rounding {
    /// To the nearest step; an exact half goes away from zero (6.5 to 7, -6.5 to -7).
    HalfUp,
    /// To the nearest step; an exact half goes towards zero: the half is dropped.
    HalfDown,
    /// To the nearest step; an exact half goes to the even step.
    HalfEven,
    /// Towards zero: whatever is past the step is dropped.
    Down,
    /// Away from zero: whatever is past the step counts as a whole one.
    Up,
}

impl Rounding {
    /// The name used in JSON, in the working and on paper.
    ///
    /// ```
    /// assert_eq!(kernel::Rounding::HalfUp.name(), "half_up");
    /// ```
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::HalfUp => "half_up",
            Self::HalfDown => "half_down",
            Self::HalfEven => "half_even",
            Self::Down => "down",
            Self::Up => "up",
        }
    }
}
