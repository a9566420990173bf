//! What settlement needs to know of a ticket: its pieces, its turn, and who did which task to which piece.

use kernel::{Fixed, Product, VolumeUnit};

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
    /// Its volume, where one could be derived.
    pub volume: Option<PieceVolume>,
    /// Whether it is cull: too defective to count as sound.
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
/// use settlement::{Task, Work};
/// let felled = Work { task: Task::Felling, pieces: vec![1, 2, 5] };
/// assert_eq!(felled.pieces.len(), 3);
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Work {
    /// The task.
    pub task: Task,
    /// The numbers of the pieces on the ticket.
    pub pieces: Vec<u16>,
}
