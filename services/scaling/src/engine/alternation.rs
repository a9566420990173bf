//! Exact halves that go up and down in turn along a ticket: how many there were before.

use kernel::{Exact, Rounding};

use crate::practice::FirstHalf;
use crate::{RoundTo, ScaleProblem};

/// How many exact halves were shared out so far on a ticket: what a contract needs to be told whose halves go up and
/// down in turn. Each contract counts its own, over the pieces in ticket order; a piece that cannot be scaled under
/// the contract takes no turn, nor does a diameter that is worked out and not read.
///
/// ```
/// use scaling::{Alternation, Piece, Practice, scale_without_working_in_turn};
/// let practice: Practice =
///     serde_json::from_str(r#"{"log": {"rule": "doyle", "one_reading": "alternating"}}"#)?;
/// let mut turn = Alternation::default();
/// let mut inches = Vec::new();
/// for reading in ["12.5", "14.5", "9.5", "11.5"] {
///     let piece: Piece = serde_json::from_value(serde_json::json!({
///         "product": "log", "species": "pine", "small_diameter_in": [reading], "length_ft": "16"
///     }))?;
///     let scaled = scale_without_working_in_turn(&practice, &piece, &mut turn)?;
///     inches.extend(scaled.scaling_diameter_in.map(|diameter| diameter.to_string()));
/// }
/// assert_eq!(inches, ["13", "14", "10", "11"]); // 48 inches in, 48 inches out
/// assert_eq!(turn.halves(), 4);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub struct Alternation {
    halves: u32,
}

impl Alternation {
    /// After so many halves.
    ///
    /// ```
    /// assert_eq!(scaling::Alternation::after(3).halves(), 3);
    /// ```
    #[must_use]
    pub const fn after(halves: u32) -> Self {
        Self { halves }
    }

    /// How many halves there were.
    #[must_use]
    pub const fn halves(self) -> u32 {
        self.halves
    }
}

/// The turns that the readings of one piece take.
pub(super) struct Turns {
    before: Option<u32>,
    taken: u32,
}

impl Turns {
    /// Of a piece of which it is not known where on its ticket it stands.
    pub(super) const fn unknown() -> Self {
        Self { before: None, taken: 0 }
    }

    pub(super) const fn after(place: Alternation) -> Self {
        Self { before: Some(place.halves), taken: 0 }
    }

    /// The place after the piece.
    pub(super) const fn next(&self) -> Option<Alternation> {
        match self.before {
            Some(before) => Some(Alternation { halves: before.saturating_add(self.taken) }),
            None => None,
        }
    }

    /// How a value goes to the whole inch: an exact half takes a turn.
    pub(super) fn round(&mut self, value: Exact, first: FirstHalf) -> Result<RoundTo, ScaleProblem> {
        let past = value.minus(Exact::of(value.floor()))?;
        if past != Exact::fraction(1, 2) {
            return Ok(RoundTo::fixed(Exact::ONE, Rounding::HalfUp));
        }
        let before = self.before.ok_or(ScaleProblem::PlaceOnTicketNeeded { diameter_in: value })?;
        let even = before.saturating_add(self.taken) % 2 == 0;
        self.taken = self.taken.saturating_add(1);
        let up = even == (first == FirstHalf::Up);
        Ok(RoundTo::fixed(Exact::ONE, if up { Rounding::HalfUp } else { Rounding::HalfDown }))
    }
}
