//! Brings a piece and a practice together.

mod alternation;
mod cull;
mod deduction;
mod hewn_timber;
mod inspection;
mod log;
mod pole;
mod ranked_pile;
mod tie;
mod volume;

use kernel::{Exact, VolumeUnit};
use serde::{Deserialize, Serialize};

pub use alternation::Alternation;
use alternation::Turns;
pub(crate) use deduction::{LossTerms, Stretch};
pub use inspection::{Inspection, Outcome};
pub(crate) use volume::{Scale, Terms, by_rule};

use crate::working::{Recorder, Silent};
use crate::{Piece, Practice, ScaleProblem, Step};

/// A volume, before and after what defects take off.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct Volume {
    /// The unit.
    pub unit: VolumeUnit,
    /// The volume with no defect taken off.
    pub gross: Exact,
    /// Gross less the deductions: never more than gross, never less than nothing.
    pub net: Exact,
}

/// What a practice makes of a piece.
///
/// ```
/// use scaling::{Practice, scale};
/// let practice: Practice = serde_json::from_str(r#"{"tie": {}}"#)?;
/// let tie = serde_json::from_str(
///     r#"{"product": "tie", "species": "oak", "width_in": "9", "thickness_in": "7", "length_ft": "8.5"}"#,
/// )?;
/// let scaled = scale(&practice, &tie)?;
/// assert_eq!(scaled.grade.as_deref(), Some("B"));
/// assert_eq!(scaled.volume.map(|volume| volume.gross.to_string()), Some("44.625".to_owned()));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct Scaled {
    /// The diameter the piece is scaled and banded by, in inches: of a log the one its rule is entered with,
    /// of a pole the top. Squared pieces and ranked piles have none.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub scaling_diameter_in: Option<Exact>,
    /// The length the piece is scaled by, in feet; of a ranked pile the length its sticks count by.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub scaling_length_ft: Option<Exact>,
    /// The same diameter of a log under a metric contract, in centimetres.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub scaling_diameter_cm: Option<Exact>,
    /// The same length of a log or of a pile's sticks under a metric contract, in metres.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub scaling_length_m: Option<Exact>,
    /// Its volume. A pole has none, nor has a log that is cull for its size and below what the rule reaches.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub volume: Option<Volume>,
    /// The class of a tie; of other pieces the grade the scaler gave.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub grade: Option<String>,
    /// Why the piece is cull, if it is. Gross and net stay as computed: what is paid for is the contract's
    /// matter.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cull: Option<String>,
    /// What the contract's tolerances make of a hewn stick; nothing where the contract has none.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub inspection: Option<Inspection>,
    /// How it came about.
    #[serde(default)]
    pub working: Vec<Step>,
}

/// Scales a piece by a practice, with the working.
///
/// # Errors
///
/// [`ScaleProblem`], when the practice says nothing about such a piece, a measurement is missing, the rule
/// does not reach the piece, or a defect does not fit it.
///
/// ```
/// use scaling::{Practice, ScaleProblem, scale};
/// let practice: Practice = serde_json::from_str(r#"{"log": {"rule": "smalian"}}"#)?;
/// let log = serde_json::from_str(
///     r#"{"product": "log", "species": "fir", "small_diameter_in": ["12"], "length_ft": "16"}"#,
/// )?;
/// let missing = scale(&practice, &log).map(|_| ()).map_err(|problem| problem.code());
/// assert_eq!(missing, Err("missing-measurement")); // of the large end
/// # Ok::<(), serde_json::Error>(())
/// ```
pub fn scale(practice: &Practice, piece: &Piece) -> Result<Scaled, ScaleProblem> {
    let mut working = room_for_working();
    let mut scaled = recorded(practice, piece, &mut Turns::unknown(), &mut working)?;
    scaled.working = working;
    Ok(scaled)
}

/// Scales a piece in its turn on the ticket, with the working: for contracts whose exact halves go up and down in
/// turn. `turn` goes on to the next piece, unless this one cannot be scaled.
///
/// # Errors
///
/// As [`scale`].
///
/// ```
/// use scaling::{Alternation, Practice, scale, scale_in_turn};
/// let practice: Practice =
///     serde_json::from_str(r#"{"log": {"rule": "doyle", "one_reading": "alternating"}}"#)?;
/// let log = serde_json::from_str(
///     r#"{"product": "log", "species": "pine", "small_diameter_in": ["12.5"], "length_ft": "16"}"#,
/// )?;
/// let unplaced = scale(&practice, &log).map(|_| ()).map_err(|problem| problem.code());
/// assert_eq!(unplaced, Err("place-on-ticket-needed"));
/// let mut turn = Alternation::after(1);
/// let scaled = scale_in_turn(&practice, &log, &mut turn)?;
/// assert_eq!(scaled.scaling_diameter_in, Some(kernel::Exact::of(12)));
/// assert_eq!(turn, Alternation::after(2));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn scale_in_turn(
    practice: &Practice,
    piece: &Piece,
    turn: &mut Alternation,
) -> Result<Scaled, ScaleProblem> {
    let (mut working, mut turns) = (room_for_working(), Turns::after(*turn));
    let mut scaled = recorded(practice, piece, &mut turns, &mut working)?;
    scaled.working = working;
    *turn = turns.next().unwrap_or(*turn);
    Ok(scaled)
}

/// The same figures by the same code, without the working: for scaling many pieces at once.
///
/// # Errors
///
/// As [`scale`].
///
/// ```
/// use scaling::{Practice, scale, scale_without_working};
/// let practice: Practice = serde_json::from_str(r#"{"log": {"rule": "doyle"}}"#)?;
/// let log = serde_json::from_str(
///     r#"{"product": "log", "species": "fir", "small_diameter_in": ["12"], "length_ft": "16"}"#,
/// )?;
/// let quick = scale_without_working(&practice, &log)?;
/// assert!(quick.working.is_empty());
/// assert_eq!(quick.volume, scale(&practice, &log)?.volume);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn scale_without_working(practice: &Practice, piece: &Piece) -> Result<Scaled, ScaleProblem> {
    recorded(practice, piece, &mut Turns::unknown(), &mut Silent)
}

/// The same in its turn on the ticket, as [`scale_in_turn`] does it.
///
/// # Errors
///
/// As [`scale`].
///
/// ```
/// use scaling::{Alternation, Practice, scale_without_working, scale_without_working_in_turn};
/// let practice: Practice = serde_json::from_str(r#"{"log": {"rule": "doyle"}}"#)?;
/// let log = serde_json::from_str(
///     r#"{"product": "log", "species": "pine", "small_diameter_in": ["12.5"], "length_ft": "16"}"#,
/// )?;
/// // Where nothing goes in turn, the place makes no difference.
/// let placed = scale_without_working_in_turn(&practice, &log, &mut Alternation::after(7))?;
/// assert_eq!(placed, scale_without_working(&practice, &log)?);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn scale_without_working_in_turn(
    practice: &Practice,
    piece: &Piece,
    turn: &mut Alternation,
) -> Result<Scaled, ScaleProblem> {
    let mut turns = Turns::after(*turn);
    let scaled = recorded(practice, piece, &mut turns, &mut Silent)?;
    *turn = turns.next().unwrap_or(*turn);
    Ok(scaled)
}

/// Room for the working of a sound log, which takes six or seven steps; one in sections takes some more.
fn room_for_working() -> Vec<Step> {
    Vec::with_capacity(12)
}

fn recorded(
    practice: &Practice,
    piece: &Piece,
    turns: &mut Turns,
    recorder: &mut impl Recorder,
) -> Result<Scaled, ScaleProblem> {
    let missing = || ScaleProblem::NoPractice { product: piece.product() };
    match piece {
        Piece::Log(log) => log::scaled(practice.log.as_ref().ok_or_else(missing)?, log, turns, recorder),
        Piece::HewnTimber(timber) => {
            hewn_timber::scaled(practice.hewn_timber.as_ref().ok_or_else(missing)?, timber, recorder)
        }
        Piece::Tie(tie) => tie::scaled(practice.tie.as_ref().ok_or_else(missing)?, tie, recorder),
        Piece::Pole(pole) => pole::scaled(practice.pole.as_ref(), pole, recorder),
        Piece::RankedPile(pile) => {
            ranked_pile::scaled(practice.ranked_pile.as_ref().ok_or_else(missing)?, pile, recorder)
        }
    }
}
