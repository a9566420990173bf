//! Why a rate makes no sense on its own.

use kernel::{Fixed, Product};

use crate::{Label, Rate, RateUnit, Task};

/// Why a rate makes no sense on its own.
///
/// ```
/// use settlement::Rate;
/// // Who bears defect must be said: there is no default.
/// let refused = serde_json::from_str::<Rate>(
///     r#"{"name": "fell", "task": "felling", "product": "log", "unit": "thousand_board_feet", "price": "9"}"#,
/// );
/// assert!(refused.is_err_and(|error| error.to_string().contains("write \"basis\"")));
/// ```
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum RateError {
    /// A price below zero.
    #[error("rate \"{name}\": the price {price} is below zero: write 0 or more")]
    NegativePrice {
        /// The rate.
        name: Label,
        /// The price given.
        price: Fixed,
    },
    /// A volume rate that does not say on which scale it pays.
    #[error(
        "rate \"{name}\": a price for a {unit} needs to say who bears defect: write \"basis\" as gross or net"
    )]
    BasisMissing {
        /// The rate.
        name: Label,
        /// Its unit.
        unit: RateUnit,
    },
    /// A gross or net where nothing is measured by volume.
    #[error("rate \"{name}\": a price for a {unit} is neither gross nor net: leave \"basis\" out")]
    BasisUnwanted {
        /// The rate.
        name: Label,
        /// Its unit.
        unit: RateUnit,
    },
    /// A rate for pieces that does not say of what product.
    #[error("rate \"{name}\": write \"product\": log, hewn_timber, tie, pole or ranked_pile")]
    ProductMissing {
        /// The rate.
        name: Label,
    },
    /// A turn rate that asks about what lies on the turn.
    #[error(
        "rate \"{name}\": a turn is paid whatever is on it: leave out \"product\", species, grades, diameter and \
         length; only the two distances can be bands"
    )]
    TurnByPiece {
        /// The rate.
        name: Label,
    },
    /// A turn rate that would not pay for a turn with cull on it.
    #[error("rate \"{name}\": a turn is paid whatever is on it: leave \"pays_cull\" out or write true")]
    TurnWithoutCull {
        /// The rate.
        name: Label,
    },
    /// Inches or feet beside centimetres or metres.
    #[error(
        "rate \"{name}\": sizes in inches or feet and sizes in centimetres or metres: write one rate for each system"
    )]
    MixedSystems {
        /// The rate.
        name: Label,
    },
    /// A price by the mile, or a least quantity of a turn, for work that moves nothing.
    #[error(
        "rate \"{name}\": {task} moves no turn: a price by the mile or a least quantity a turn is for skidding, \
         loading and hauling"
    )]
    NothingMoved {
        /// The rate.
        name: Label,
        /// Its task.
        task: Task,
    },
    /// A least quantity of a turn on a rate that it does not suit.
    #[error(
        "rate \"{name}\": a least quantity a turn is above 0 and goes with a price by volume, not with a premium \
         or dockage: leave \"least_quantity_a_turn\" out"
    )]
    LeastQuantityUnwanted {
        /// The rate.
        name: Label,
    },
    /// A rate for cull alone that would not pay for cull.
    #[error("rate \"{name}\": it is for cull alone: leave \"pays_cull\" out or write true")]
    CullUnpaid {
        /// The rate.
        name: Label,
    },
    /// A rate for time that asks about pieces or turns.
    #[error(
        "rate \"{name}\": time is paid whatever was cut in it: leave out \"product\", \"covers\", \
         \"pays_cull\" and \"least_quantity_a_turn\""
    )]
    TimeByPiece {
        /// The rate.
        name: Label,
    },
    /// A premium or dockage by time.
    #[error("rate \"{name}\": premium and dockage go by the piece or the turn: leave \"kind\" out for time")]
    TimeNotAPrice {
        /// The rate.
        name: Label,
    },
    /// A ranked pile priced by something that is not measured of it, or another product by the space of a pile.
    #[error(
        "rate \"{name}\": a price for a {unit} does not go with {}: ranked piles are paid by the cord, \
         stacked_cubic_metre or piece, and only they by the first two", product.name()
    )]
    StackedUnit {
        /// The rate.
        name: Label,
        /// Its unit.
        unit: RateUnit,
        /// Its product.
        product: Product,
    },
    /// A band of diameters for ranked piles, which have none.
    #[error(
        "rate \"{name}\": a ranked pile has no diameter: leave \"diameter_in\" and \"diameter_cm\" out; lengths are \
         those of its sticks"
    )]
    PileDiameter {
        /// The rate.
        name: Label,
    },
    /// A list of species or grades longer than any contract's.
    #[error("rate \"{name}\": {count} species or grades in one list: at most {max}", max = Rate::MOST_LABELS)]
    TooManyLabels {
        /// The rate.
        name: Label,
        /// How many were given.
        count: usize,
    },
}

impl RateError {
    /// The stable code of the problem.
    ///
    /// ```
    /// let name = "by the turn".parse()?;
    /// assert_eq!(settlement::RateError::TurnByPiece { name }.code(), "rate_turn_by_piece");
    /// # Ok::<(), settlement::LabelError>(())
    /// ```
    #[must_use]
    pub const fn code(&self) -> &'static str {
        match self {
            Self::NegativePrice { .. } => "rate_negative_price",
            Self::BasisMissing { .. } => "rate_basis_missing",
            Self::BasisUnwanted { .. } => "rate_basis_unwanted",
            Self::ProductMissing { .. } => "rate_product_missing",
            Self::TurnByPiece { .. } => "rate_turn_by_piece",
            Self::TurnWithoutCull { .. } => "rate_turn_without_cull",
            Self::MixedSystems { .. } => "rate_mixed_systems",
            Self::NothingMoved { .. } => "rate_nothing_moved",
            Self::LeastQuantityUnwanted { .. } => "rate_least_quantity_unwanted",
            Self::CullUnpaid { .. } => "rate_cull_unpaid",
            Self::TimeByPiece { .. } => "rate_time_by_piece",
            Self::TimeNotAPrice { .. } => "rate_time_not_a_price",
            Self::StackedUnit { .. } => "rate_stacked_unit",
            Self::PileDiameter { .. } => "rate_pile_diameter",
            Self::TooManyLabels { .. } => "rate_too_many_labels",
        }
    }
}
