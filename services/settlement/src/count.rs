//! What a count goes through between a piece's scale and the quantity of a rate: miles, parts, least quantities.

use std::fmt;

use kernel::{Exact, Fixed, NumberError, Rounding};
use serde::{Deserialize, Serialize};

/// How a count is rounded, to a millionth of the counted unit, where multiplying made more decimals than that.
pub(crate) const ROUNDING: Rounding = Rounding::HalfUp;

/// A count to the millionth of the counted unit.
pub(crate) fn rounded(count: Exact) -> Result<Fixed, NumberError> {
    count.rounded_to(Exact::fraction(1, Fixed::STEPS_PER_UNIT.into()), ROUNDING)?.fixed()
}

/// One thing that was done to a count. Plain adding up is not among them.
///
/// ```
/// use kernel::Rounding;
/// use settlement::CountStep;
/// let step = CountStep::Part {
///     piece: 3,
///     whole: "100".parse()?,
///     part: kernel::Exact::fraction(1, 3),
///     rounding: Rounding::HalfUp,
///     counted: "33.333333".parse()?,
/// };
/// assert_eq!(
///     step.to_string(),
///     "piece 3 was worked by more than one crew: 1/3 of 100 counts, 33.333333 rounded half up to a millionth"
/// );
/// # Ok::<(), kernel::NumberTextError>(())
/// ```
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "step", rename_all = "snake_case", deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum CountStep {
    /// A piece's volume was multiplied by the miles of the haul.
    Miles {
        /// The piece.
        piece: u16,
        /// Its volume.
        volume: Fixed,
        /// The miles of the turn's haul.
        miles: Fixed,
        /// How the product was rounded, to a millionth.
        rounding: Rounding,
        /// What it counts for.
        counted: Fixed,
    },
    /// More than one crew did the task to a piece, and this is one crew's part.
    Part {
        /// The piece.
        piece: u16,
        /// What the piece counts for in all.
        whole: Fixed,
        /// The crew's part of it.
        part: Exact,
        /// How the product was rounded, to a millionth.
        rounding: Rounding,
        /// What it counts for with this crew.
        counted: Fixed,
    },
    /// More than one crew did the task to the turn, and this is one crew's part of it.
    PartOfTurn {
        /// The crew's part: its parts of the pieces, over their number.
        part: Exact,
        /// How it was rounded, to a millionth.
        rounding: Rounding,
        /// What it counts for with this crew.
        counted: Fixed,
    },
    /// The turn came to less than the rate counts at the least.
    LeastQuantity {
        /// What it came to.
        found: Fixed,
        /// What it counts for: the least quantity or, where more than one crew moved the turn, this crew's part of it.
        least: Fixed,
    },
}

impl fmt::Display for CountStep {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        const ROUNDED: &str = "rounded half up to a millionth";
        match self {
            Self::Miles { piece, volume, miles, counted, .. } => {
                write!(formatter, "piece {piece}: {volume} × {miles} miles = {counted}, {ROUNDED}")
            }
            Self::Part { piece, whole, part, counted, .. } => write!(
                formatter,
                "piece {piece} was worked by more than one crew: {part} of {whole} counts, {counted} {ROUNDED}"
            ),
            Self::PartOfTurn { part, counted, .. } => write!(
                formatter,
                "the turn was worked by more than one crew: {part} of it counts, {counted} {ROUNDED}"
            ),
            Self::LeastQuantity { found, least } => {
                write!(
                    formatter,
                    "the turn came to {found}; it counts for {least}, the least that was agreed"
                )
            }
        }
    }
}
