//! What settlement needs to know of a ticket: its pieces, its turn, and who did which task to which piece.

use std::collections::BTreeMap;

use kernel::{Exact, Fixed, Product, VolumeUnit};

use crate::Task;

/// A piece's volume under one contract's terms, gross and net, in the unit of that contract's rule.
///
/// ```
/// use kernel::VolumeUnit;
/// let volume = settlement::PieceVolume {
///     unit: VolumeUnit::BoardFoot,
///     gross: "240".parse()?,
///     net: "210".parse()?,
/// };
/// assert!(volume.net < volume.gross);
/// # Ok::<(), kernel::NumberTextError>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PieceVolume {
    /// The unit of both figures.
    pub unit: VolumeUnit,
    /// The whole volume.
    pub gross: Fixed,
    /// The volume after the deductions for defect.
    pub net: Fixed,
}

/// One piece of a ticket, as far as pay is concerned.
///
/// ```
/// use kernel::Product;
/// use settlement::PieceFacts;
/// let tie = PieceFacts {
///     number: 1,
///     product: Product::Tie,
///     species: "white oak".into(),
///     grade: Some("1".into()),
///     diameter_in: None,
///     length_ft: Some("8.5".parse()?),
///     diameter_cm: None,
///     length_m: None,
///     volume: None,
///     cull: false,
///     unscaled: Some("ties are counted, not scaled".into()),
/// };
/// assert_eq!(tie.number, 1);
/// # Ok::<(), kernel::NumberTextError>(())
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PieceFacts {
    /// The piece's number on its ticket, from 1.
    pub number: u16,
    /// What it is.
    pub product: Product,
    /// Its species, as the scaler wrote it.
    pub species: String,
    /// Its grade, where it has one.
    pub grade: Option<String>,
    /// The scaling diameter in inches, where it has one.
    pub diameter_in: Option<Fixed>,
    /// The scaling length in feet, where it has one.
    pub length_ft: Option<Fixed>,
    /// The scaling diameter in centimetres, of a piece scaled in metric units.
    pub diameter_cm: Option<Fixed>,
    /// The scaling length in metres, of a piece scaled in metric units.
    pub length_m: Option<Fixed>,
    /// Its volume, where one could be derived.
    pub volume: Option<PieceVolume>,
    /// Whether it is cull: too defective to count as sound, or refused.
    pub cull: bool,
    /// Why there is no volume, where there is none.
    pub unscaled: Option<String>,
}

/// How the ticket's turn was moved, and how far.
///
/// ```
/// let turn = settlement::TurnFacts { skid_distance_ft: Some("450".parse()?), haul_distance_mi: None };
/// assert!(turn.haul_distance_mi.is_none());
/// # Ok::<(), kernel::NumberTextError>(())
/// ```
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct TurnFacts {
    /// Feet from the stump to the landing.
    pub skid_distance_ft: Option<Fixed>,
    /// Miles from the landing to where the turn was put off.
    pub haul_distance_mi: Option<Fixed>,
}

/// One task, and the pieces it was done to by the payee in question.
///
/// ```
/// use kernel::Exact;
/// use settlement::{Task, Work};
/// let mut skidded = Work::alone(Task::Skidding, vec![1, 2, 5]);
/// assert_eq!(skidded.part_of(5), Exact::ONE);
/// // Another crew lent a hand with piece 5: this one's half of it, and so 2½ pieces of 3 of the turn.
/// skidded.parts.insert(5, Exact::fraction(1, 2));
/// skidded.turn_part = Exact::fraction(5, 6);
/// assert_eq!(skidded.part_of(5), Exact::fraction(1, 2));
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Work {
    /// The task.
    pub task: Task,
    /// The numbers of the pieces on the ticket.
    pub pieces: Vec<u16>,
    /// The payee's part, from 0 to 1, of each piece that others did the task to as well.
    pub parts: BTreeMap<u16, Exact>,
    /// The payee's part, from 0 to 1, of the turn as a whole: its parts of the pieces that the task was done to, over
    /// their number, so that all payees together have one turn.
    pub turn_part: Exact,
}

impl Work {
    /// Work that nobody else had a part in.
    ///
    /// ```
    /// use settlement::{Task, Work};
    /// assert!(Work::alone(Task::Felling, vec![1]).parts.is_empty());
    /// ```
    #[must_use]
    pub const fn alone(task: Task, pieces: Vec<u16>) -> Self {
        Self { task, pieces, parts: BTreeMap::new(), turn_part: Exact::ONE }
    }

    /// The payee's part of a piece: all of it, where nothing else is said.
    ///
    /// ```
    /// use settlement::{Task, Work};
    /// assert_eq!(Work::alone(Task::Felling, vec![1]).part_of(1), kernel::Exact::ONE);
    /// ```
    #[must_use]
    pub fn part_of(&self, piece: u16) -> Exact {
        self.parts.get(&piece).copied().unwrap_or(Exact::ONE)
    }
}
