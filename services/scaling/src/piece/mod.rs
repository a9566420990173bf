//! Measured facts of one piece, as they are stored and travel: never a volume.

mod heights;
mod hewn_timber;
mod length;
mod log;
mod log_form;
mod pile_form;
mod pole;
mod ranked_pile;
mod readings;
mod tie;

use kernel::Product;
use serde::{Deserialize, Serialize};

pub use heights::{Heights, HeightsError, PileHeight};
pub use hewn_timber::{HewnTimber, Section, SectionError, Wane};
pub(crate) use length::total_feet;
pub use log::{InchFootLog, Log, LogError, LogSizes, MetricLog};
pub use pole::Pole;
pub use ranked_pile::{InchFootPile, MetricPile, PileSizes, RankedPile, RankedPileError};
pub use readings::{Readings, ReadingsError};
pub use tie::Tie;

use crate::{Grade, Marks, Species, StickNumber};

/// One piece of timber as measured, tagged by its product.
///
/// ```
/// use scaling::Piece;
/// let piece: Piece = serde_json::from_str(
///     r#"{"product": "log", "species": "red pine", "small_diameter_in": ["13", "15"], "length_ft": "16"}"#,
/// )?;
/// assert_eq!(piece.product(), kernel::Product::Log);
/// assert_eq!(piece.species().as_str(), "red pine");
/// let refused = serde_json::from_str::<Piece>(
///     r#"{"product": "log", "species": "red pine", "small_diameter_in": ["0"], "length_ft": "16"}"#,
/// );
/// assert_eq!(
///     refused.map_err(|problem| problem.to_string()),
///     Err("small_diameter_in: 0 is not a size: it must be more than 0 and at most 240 inches".to_owned()),
/// );
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "product", rename_all = "snake_case")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum Piece {
    /// A round log.
    Log(Log),
    /// A stick hewn square or on two sides.
    HewnTimber(HewnTimber),
    /// A crosstie.
    Tie(Tie),
    /// A pole or pile.
    Pole(Pole),
    /// A pile of sticks, ranked side by side.
    RankedPile(RankedPile),
}

impl Piece {
    /// What it is.
    #[must_use]
    pub const fn product(&self) -> Product {
        match self {
            Self::Log(_) => Product::Log,
            Self::HewnTimber(_) => Product::HewnTimber,
            Self::Tie(_) => Product::Tie,
            Self::Pole(_) => Product::Pole,
            Self::RankedPile(_) => Product::RankedPile,
        }
    }

    /// The kind of tree.
    #[must_use]
    pub const fn species(&self) -> &Species {
        match self {
            Self::Log(log) => &log.species,
            Self::HewnTimber(timber) => &timber.species,
            Self::Tie(tie) => &tie.species,
            Self::Pole(pole) => &pole.species,
            Self::RankedPile(pile) => &pile.species,
        }
    }

    /// The grade the scaler gave, if any.
    #[must_use]
    pub const fn grade(&self) -> Option<&Grade> {
        match self {
            Self::Log(log) => log.grade.as_ref(),
            Self::HewnTimber(timber) => timber.grade.as_ref(),
            Self::Tie(tie) => tie.grade.as_ref(),
            Self::Pole(pole) => pole.grade.as_ref(),
            Self::RankedPile(pile) => pile.grade.as_ref(),
        }
    }

    /// What is stamped or chalked on it, if anything.
    #[must_use]
    pub const fn marks(&self) -> Option<&Marks> {
        match self {
            Self::Log(log) => log.marks.as_ref(),
            Self::HewnTimber(timber) => timber.marks.as_ref(),
            Self::Tie(tie) => tie.marks.as_ref(),
            Self::Pole(pole) => pole.marks.as_ref(),
            Self::RankedPile(pile) => pile.marks.as_ref(),
        }
    }

    /// The number by which it is known wherever it is scaled again on the same job, if it has one.
    ///
    /// ```
    /// use scaling::Piece;
    /// let pole: Piece =
    ///     serde_json::from_str(r#"{"product": "pole", "species": "cedar", "stick_number": "17", "length_ft": "30"}"#)?;
    /// assert_eq!(pole.stick_number().map(|number| number.as_str()), Some("17"));
    /// # Ok::<(), serde_json::Error>(())
    /// ```
    #[must_use]
    pub const fn stick_number(&self) -> Option<&StickNumber> {
        match self {
            Self::Log(log) => log.stick_number.as_ref(),
            Self::HewnTimber(timber) => timber.stick_number.as_ref(),
            Self::Tie(tie) => tie.stick_number.as_ref(),
            Self::Pole(pole) => pole.stick_number.as_ref(),
            Self::RankedPile(pile) => pile.stick_number.as_ref(),
        }
    }

    /// The number of the log it was hewn from, if it was hewn and somebody wrote that down.
    ///
    /// ```
    /// use scaling::Piece;
    /// let tie: Piece = serde_json::from_str(
    ///     r#"{"product": "tie", "species": "oak", "stick_number": "18", "hewn_from": "17", "width_in": "9",
    ///         "thickness_in": "7", "length_ft": "8.5"}"#,
    /// )?;
    /// assert_eq!(tie.hewn_from().map(|number| number.as_str()), Some("17"));
    /// # Ok::<(), serde_json::Error>(())
    /// ```
    #[must_use]
    pub const fn hewn_from(&self) -> Option<&StickNumber> {
        match self {
            Self::HewnTimber(timber) => timber.hewn_from.as_ref(),
            Self::Tie(tie) => tie.hewn_from.as_ref(),
            Self::Log(_) | Self::Pole(_) | Self::RankedPile(_) => None,
        }
    }
}
