//! One rate of a contract's terms: so much for so much of a task.

use kernel::{Fixed, Product};
use serde::{Deserialize, Serialize};

use crate::{Basis, Coverage, Covers, Label, PieceFacts, RateUnit, Task, TurnFacts, UnpricedReason};

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
        "rate \"{name}\": a ranked pile has no diameter: leave \"diameter_in\" out; \"length_ft\" is of its sticks"
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
            Self::StackedUnit { .. } => "rate_stacked_unit",
            Self::PileDiameter { .. } => "rate_pile_diameter",
            Self::TooManyLabels { .. } => "rate_too_many_labels",
        }
    }
}

/// A rate as somebody writes it, before it is looked over.
///
/// ```
/// use settlement::{Covers, Rate, RateDraft, RateUnit, Task};
/// let rate = Rate::try_from(RateDraft {
///     name: "number one ties".parse()?,
///     task: Task::Hewing,
///     product: Some(kernel::Product::Tie),
///     unit: RateUnit::Piece,
///     basis: None,
///     price: "0.48".parse()?,
///     pays_cull: None,
///     covers: Covers { grades: vec!["1".parse()?], ..Covers::default() },
/// })?;
/// assert!(!rate.pays_cull());
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RateDraft {
    /// What the outfit calls the rate; unique within the terms.
    pub name: Label,
    /// The task it pays for.
    pub task: Task,
    /// The product it is for; absent for a turn.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub product: Option<Product>,
    /// The unit that the price is for.
    pub unit: RateUnit,
    /// Gross or net, for the units of volume and only for them.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub basis: Option<Basis>,
    /// The price of one unit, in the outfit's currency.
    pub price: Fixed,
    /// Whether cull pieces are paid for; see [`Rate::pays_cull`] for what stands when it is left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pays_cull: Option<bool>,
    /// The pieces it is for.
    #[serde(default)]
    pub covers: Covers,
}

/// One rate of a contract's terms, looked over and found to make sense on its own.
///
/// ```
/// use kernel::Product;
/// use settlement::{Basis, Rate, RateUnit, Task};
/// let rate: Rate = serde_json::from_str(
///     r#"{
///         "name": "felling, small pine",
///         "task": "felling",
///         "product": "log",
///         "unit": "thousand_board_feet",
///         "basis": "gross",
///         "price": "9.25",
///         "covers": {"species": ["pine"], "diameter_in": {"from": "8", "below": "12"}}
///     }"#,
/// )?;
/// assert_eq!(rate.name().as_str(), "felling, small pine");
/// assert_eq!((rate.task(), rate.product()), (Task::Felling, Some(Product::Log)));
/// assert_eq!((rate.unit(), rate.basis()), (RateUnit::ThousandBoardFeet, Some(Basis::Gross)));
/// assert_eq!(rate.price().to_string(), "9.25");
/// assert_eq!(rate.covers().to_string(), "pine, diameter from 8 below 12 in");
/// assert!(rate.pays_cull() && !rate.is_by_turn());
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(try_from = "RateDraft", into = "RateDraft", deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct Rate {
    /// What the outfit calls the rate; unique within the terms.
    name: Label,
    /// The task it pays for.
    task: Task,
    /// The product it is for; required, but absent for a turn.
    #[cfg_attr(feature = "openapi", schema(required = false, nullable = false))]
    product: Option<Product>,
    /// The unit that the price is for.
    unit: RateUnit,
    /// Gross or net: required for the units of volume, absent for the others.
    #[cfg_attr(feature = "openapi", schema(required = false, nullable = false))]
    basis: Option<Basis>,
    /// The price of one unit, 0 or more, in the outfit's currency.
    price: Fixed,
    /// Whether cull pieces are paid for. Left out: yes on gross scale and for a turn, otherwise no.
    #[cfg_attr(feature = "openapi", schema(required = false))]
    pays_cull: bool,
    /// The pieces it is for. Left out: every piece of the product.
    #[cfg_attr(feature = "openapi", schema(required = false))]
    covers: Covers,
}

impl Rate {
    /// How many species, or grades, one rate may list.
    pub const MOST_LABELS: usize = 100;

    /// What the outfit calls the rate.
    #[must_use]
    pub const fn name(&self) -> &Label {
        &self.name
    }

    /// The task it pays for.
    #[must_use]
    pub const fn task(&self) -> Task {
        self.task
    }

    /// The product it is for; none for a turn, which is paid whatever is on it.
    #[must_use]
    pub const fn product(&self) -> Option<Product> {
        self.product
    }

    /// The unit that the price is for.
    #[must_use]
    pub const fn unit(&self) -> RateUnit {
        self.unit
    }

    /// Gross or net, for the units of volume.
    #[must_use]
    pub const fn basis(&self) -> Option<Basis> {
        self.basis
    }

    /// The price of one unit, in the outfit's currency.
    #[must_use]
    pub const fn price(&self) -> Fixed {
        self.price
    }

    /// Whether cull pieces are paid for.
    ///
    /// Where it was left out: yes on gross scale, where the one who pays bears defect; no otherwise. A turn is always
    /// paid, whatever is on it.
    #[must_use]
    pub const fn pays_cull(&self) -> bool {
        self.pays_cull
    }

    /// The pieces it is for.
    #[must_use]
    pub const fn covers(&self) -> &Covers {
        &self.covers
    }

    /// Whether it pays by the turn.
    #[must_use]
    pub fn is_by_turn(&self) -> bool {
        self.unit == RateUnit::Turn
    }

    /// Whether it covers a piece that its task was done to. The task itself is not asked about.
    ///
    /// ```
    /// use settlement::{Coverage, PieceFacts, Rate, UnpricedReason};
    /// let by_turn: Rate = serde_json::from_str(
    ///     r#"{"name": "haul", "task": "hauling", "unit": "turn", "price": "14"}"#,
    /// )?;
    /// let tie = PieceFacts {
    ///     number: 1, product: kernel::Product::Tie, species: "oak".into(), grade: None, diameter_in: None,
    ///     length_ft: None, volume: None, cull: false, unscaled: None,
    /// };
    /// assert_eq!(by_turn.coverage(&tie, None), Coverage::Unknown(UnpricedReason::NoTurn));
    /// assert_eq!(by_turn.coverage(&tie, Some(&Default::default())), Coverage::Covers);
    /// # Ok::<(), serde_json::Error>(())
    /// ```
    #[must_use]
    pub fn coverage(&self, piece: &PieceFacts, turn: Option<&TurnFacts>) -> Coverage {
        if self.is_by_turn() && turn.is_none() {
            return Coverage::Unknown(UnpricedReason::NoTurn);
        }
        if self.product.is_some_and(|product| product != piece.product) {
            return Coverage::Apart;
        }
        self.covers.coverage(piece, turn)
    }
}

/// Piles go by the space they fill or by the piece; nothing else is measured by the space it fills.
fn unit_goes_with(unit: RateUnit, product: Product) -> bool {
    match product {
        Product::RankedPile => unit.is_stacked() || unit == RateUnit::Piece,
        Product::Log | Product::HewnTimber | Product::Tie | Product::Pole => !unit.is_stacked(),
    }
}

impl TryFrom<RateDraft> for Rate {
    type Error = RateError;

    fn try_from(draft: RateDraft) -> Result<Self, Self::Error> {
        let RateDraft { name, task, product, unit, basis, price, pays_cull, covers } = draft;
        let by_turn = unit == RateUnit::Turn;
        let longest_list = covers.species.len().max(covers.grades.len());
        if price.is_negative() {
            Err(RateError::NegativePrice { name, price })
        } else if unit.volume_unit().is_some() && basis.is_none() {
            Err(RateError::BasisMissing { name, unit })
        } else if unit.volume_unit().is_none() && basis.is_some() {
            Err(RateError::BasisUnwanted { name, unit })
        } else if !by_turn && product.is_none() {
            Err(RateError::ProductMissing { name })
        } else if by_turn && (product.is_some() || covers.asks_about_the_piece()) {
            Err(RateError::TurnByPiece { name })
        } else if by_turn && pays_cull == Some(false) {
            Err(RateError::TurnWithoutCull { name })
        } else if let Some(product) = product.filter(|product| !unit_goes_with(unit, *product)) {
            Err(RateError::StackedUnit { name, unit, product })
        } else if product == Some(Product::RankedPile) && covers.diameter_in.is_some() {
            Err(RateError::PileDiameter { name })
        } else if longest_list > Self::MOST_LABELS {
            Err(RateError::TooManyLabels { name, count: longest_list })
        } else {
            let pays_cull = pays_cull.unwrap_or(by_turn || basis == Some(Basis::Gross));
            Ok(Self { name, task, product, unit, basis, price, pays_cull, covers })
        }
    }
}

impl From<Rate> for RateDraft {
    fn from(rate: Rate) -> Self {
        let Rate { name, task, product, unit, basis, price, pays_cull, covers } = rate;
        Self { name, task, product, unit, basis, price, pays_cull: Some(pays_cull), covers }
    }
}
