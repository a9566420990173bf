//! How a reading becomes a whole inch: by a fixed rounding, or by halves that go up and down in turn.

use kernel::Rounding;
use serde::{Deserialize, Serialize};

/// How a reading, or the average of two, becomes a whole inch.
///
/// ```
/// use scaling::InchRounding;
/// let rounding: InchRounding = serde_json::from_str(r#""alternating""#)?;
/// assert_eq!(rounding, InchRounding::Alternating);
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum InchRounding {
    /// To the nearest inch, an exact half up.
    HalfUp,
    /// To the nearest inch, an exact half dropped.
    HalfDown,
    /// To the nearest inch, an exact half to the even one.
    HalfEven,
    /// Any fraction dropped.
    Down,
    /// Any fraction raised.
    Up,
    /// To the nearest inch, exact halves up and down in turn along the ticket, so that they are shared out evenly
    /// (Official Code of Georgia 2-14-80; G. Wengert, Measuring Logs and Lumber). It needs to be known how many
    /// halves came before: see [`Alternation`](crate::Alternation).
    Alternating,
}

impl InchRounding {
    /// The rounding it always is; none where it goes in turn.
    ///
    /// ```
    /// use scaling::InchRounding;
    /// assert_eq!(InchRounding::Down.fixed(), Some(kernel::Rounding::Down));
    /// assert_eq!(InchRounding::Alternating.fixed(), None);
    /// ```
    #[must_use]
    pub const fn fixed(self) -> Option<Rounding> {
        match self {
            Self::HalfUp => Some(Rounding::HalfUp),
            Self::HalfDown => Some(Rounding::HalfDown),
            Self::HalfEven => Some(Rounding::HalfEven),
            Self::Down => Some(Rounding::Down),
            Self::Up => Some(Rounding::Up),
            Self::Alternating => None,
        }
    }
}

/// Which way the first exact half of a ticket goes where halves go in turn.
///
/// ```
/// assert_eq!(scaling::FirstHalf::default(), scaling::FirstHalf::Up);
/// ```
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum FirstHalf {
    /// Up: Wengert's order, up once and down the next time. Georgia's statute names no order.
    #[default]
    Up,
    /// Down.
    Down,
}
