//! One rate of a contract's terms: so much for so much of a task.

use kernel::{Fixed, Product};
use serde::{Deserialize, Serialize};

use crate::{
    Basis, Coverage, Covers, Label, PieceFacts, RateError, RateKind, RateUnit, Soundness, Task, TurnFacts,
    UnpricedReason,
};

/// A rate as somebody writes it, before it is looked over.
///
/// ```
/// use settlement::{Covers, Rate, RateDraft, RateUnit, Task};
/// let rate = Rate::try_from(RateDraft {
///     name: "number one ties".parse()?,
///     kind: Default::default(),
///     task: Task::Hewing,
///     product: Some(kernel::Product::Tie),
///     unit: RateUnit::Piece,
///     basis: None,
///     price: "0.48".parse()?,
///     pays_cull: None,
///     least_quantity_a_turn: None,
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
    /// Whether it sets the price, adds to it or takes off from it.
    #[serde(default, skip_serializing_if = "RateKind::is_price")]
    pub kind: RateKind,
    /// The task it pays for.
    pub task: Task,
    /// The product it is for; absent for a turn and for time.
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
    /// How much of the counted unit a turn counts for at the least; see [`Rate::least_quantity_a_turn`].
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub least_quantity_a_turn: Option<Fixed>,
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
    /// `price` pays for the work; `premium` adds to what a price pays for the same piece and task, `dockage` takes off
    /// from it. Left out: `price`.
    #[cfg_attr(feature = "openapi", schema(required = false))]
    kind: RateKind,
    /// The task it pays for.
    task: Task,
    /// The product it is for; required, but absent for a turn and for time.
    #[cfg_attr(feature = "openapi", schema(required = false, nullable = false))]
    product: Option<Product>,
    /// The unit that the price is for.
    unit: RateUnit,
    /// Gross or net: required for the units of volume, absent for the others.
    #[cfg_attr(feature = "openapi", schema(required = false, nullable = false))]
    basis: Option<Basis>,
    /// The price of one unit, 0 or more, in the outfit's currency; positive for dockage, too.
    price: Fixed,
    /// Whether cull pieces are paid for. Left out: yes on gross scale, for a turn and where it covers cull alone,
    /// otherwise no.
    #[cfg_attr(feature = "openapi", schema(required = false))]
    pays_cull: bool,
    /// For prices by volume of skidding, loading and hauling: what a turn counts for at the least, in the counted unit
    /// (board feet for thousands). It goes by quantity and not by money, since money is rounded once a week and rate.
    #[cfg_attr(feature = "openapi", schema(required = false, nullable = false))]
    least_quantity_a_turn: Option<Fixed>,
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

    /// Whether it sets the price, adds to it or takes off from it.
    #[must_use]
    pub const fn kind(&self) -> RateKind {
        self.kind
    }

    /// The task it pays for.
    #[must_use]
    pub const fn task(&self) -> Task {
        self.task
    }

    /// The product it is for; none for a turn, which is paid whatever is on it, and for time.
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

    /// The price as it counts in pay: below zero for dockage.
    ///
    /// ```
    /// let docked: settlement::Rate = serde_json::from_str(
    ///     r#"{"name": "refused ties", "kind": "dockage", "task": "hewing", "product": "tie", "unit": "piece",
    ///         "price": "0.10", "covers": {"soundness": "cull"}}"#,
    /// )?;
    /// assert_eq!((docked.price().to_string(), docked.signed_price().to_string()), ("0.1".into(), "-0.1".into()));
    /// # Ok::<(), serde_json::Error>(())
    /// ```
    #[must_use]
    pub const fn signed_price(&self) -> Fixed {
        match self.kind {
            RateKind::Price | RateKind::Premium => self.price,
            // A price is never below zero, so its opposite can be held.
            RateKind::Dockage => Fixed::from_millionths(self.price.millionths().saturating_neg()),
        }
    }

    /// Whether cull pieces are paid for.
    ///
    /// Where it was left out: yes on gross scale, where the one who pays bears defect, and for a rate that covers cull
    /// alone; no otherwise. A turn is always paid, whatever is on it.
    #[must_use]
    pub const fn pays_cull(&self) -> bool {
        self.pays_cull
    }

    /// How much of the counted unit a turn counts for at the least, once the rate covers a piece of it that is paid.
    ///
    /// It is a quantity and not an amount of money: money is rounded once for a week and rate, when single turns
    /// are no longer to be seen. Each rate and each payee has a least quantity of its own.
    #[must_use]
    pub const fn least_quantity_a_turn(&self) -> Option<Fixed> {
        self.least_quantity_a_turn
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

    /// Whether it pays for time, by the hour or by the day, and so for no piece.
    #[must_use]
    pub const fn is_by_time(&self) -> bool {
        self.unit.is_time()
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
    ///     length_ft: None, diameter_cm: None, length_m: None, volume: None, cull: false, unscaled: None,
    /// };
    /// assert_eq!(by_turn.coverage(&tie, None), Coverage::Unknown(UnpricedReason::NoTurn));
    /// assert_eq!(by_turn.coverage(&tie, Some(&Default::default())), Coverage::Covers);
    /// # Ok::<(), serde_json::Error>(())
    /// ```
    #[must_use]
    pub fn coverage(&self, piece: &PieceFacts, turn: Option<&TurnFacts>) -> Coverage {
        if self.is_by_time() {
            return Coverage::Apart;
        }
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
        check_time(&draft)?;
        check_unit(&draft)?;
        check_pieces(&draft)?;
        let RateDraft { name, kind, task, product, unit, basis, price, pays_cull, .. } = draft;
        let cull_alone = draft.covers.soundness == Some(Soundness::Cull);
        let paid_unless_said = unit == RateUnit::Turn || basis == Some(Basis::Gross) || cull_alone;
        Ok(Self {
            name,
            kind,
            task,
            product,
            unit,
            basis,
            price,
            pays_cull: pays_cull.unwrap_or(paid_unless_said),
            least_quantity_a_turn: draft.least_quantity_a_turn,
            covers: draft.covers,
        })
    }
}

/// Time is paid by itself: nothing that is said of pieces or turns suits it.
fn check_time(draft: &RateDraft) -> Result<(), RateError> {
    let name = || draft.name.clone();
    let about_pieces = draft.product.is_some()
        || draft.covers != Covers::default()
        || draft.pays_cull == Some(true)
        || draft.least_quantity_a_turn.is_some();
    if draft.unit.is_time() && about_pieces {
        Err(RateError::TimeByPiece { name: name() })
    } else if draft.unit.is_time() && !draft.kind.is_price() {
        Err(RateError::TimeNotAPrice { name: name() })
    } else {
        Ok(())
    }
}

/// Price, basis, and what goes with moving a turn.
fn check_unit(draft: &RateDraft) -> Result<(), RateError> {
    let (name, unit, task) = (|| draft.name.clone(), draft.unit, draft.task);
    let by_volume = unit.volume_unit().is_some();
    let by_the_mile = unit == RateUnit::ThousandBoardFeetMile;
    let least = draft.least_quantity_a_turn;
    if draft.price.is_negative() {
        Err(RateError::NegativePrice { name: name(), price: draft.price })
    } else if by_volume && draft.basis.is_none() {
        Err(RateError::BasisMissing { name: name(), unit })
    } else if !by_volume && draft.basis.is_some() {
        Err(RateError::BasisUnwanted { name: name(), unit })
    } else if (by_the_mile || least.is_some()) && !task.moves_the_turn() {
        Err(RateError::NothingMoved { name: name(), task })
    } else if least.is_some_and(|least| least <= Fixed::ZERO || !by_volume || !draft.kind.is_price()) {
        Err(RateError::LeastQuantityUnwanted { name: name() })
    } else {
        Ok(())
    }
}

/// Product, cull, and the pieces covered.
fn check_pieces(draft: &RateDraft) -> Result<(), RateError> {
    let (name, covers) = (|| draft.name.clone(), &draft.covers);
    let by_turn = draft.unit == RateUnit::Turn;
    let longest_list = covers.species.len().max(covers.grades.len());
    let in_feet = covers.asks_in_feet() || draft.unit == RateUnit::LinearFoot;
    let in_metres = covers.asks_in_metres() || draft.unit == RateUnit::LinearMetre;
    if !by_turn && !draft.unit.is_time() && draft.product.is_none() {
        Err(RateError::ProductMissing { name: name() })
    } else if by_turn && (draft.product.is_some() || covers.asks_about_the_piece()) {
        Err(RateError::TurnByPiece { name: name() })
    } else if by_turn && draft.pays_cull == Some(false) {
        Err(RateError::TurnWithoutCull { name: name() })
    } else if covers.soundness == Some(Soundness::Cull) && draft.pays_cull == Some(false) {
        Err(RateError::CullUnpaid { name: name() })
    } else if in_feet && in_metres {
        Err(RateError::MixedSystems { name: name() })
    } else if let Some(product) = draft.product.filter(|product| !unit_goes_with(draft.unit, *product)) {
        Err(RateError::StackedUnit { name: name(), unit: draft.unit, product })
    } else if draft.product == Some(Product::RankedPile)
        && (covers.diameter_in.is_some() || covers.diameter_cm.is_some())
    {
        Err(RateError::PileDiameter { name: name() })
    } else if longest_list > Rate::MOST_LABELS {
        Err(RateError::TooManyLabels { name: name(), count: longest_list })
    } else {
        Ok(())
    }
}

impl From<Rate> for RateDraft {
    fn from(rate: Rate) -> Self {
        let Rate { name, kind, task, product, unit, basis, price, pays_cull, .. } = rate;
        // For time there is no cull to speak of.
        let pays_cull = (!unit.is_time()).then_some(pays_cull);
        let least_quantity_a_turn = rate.least_quantity_a_turn;
        let covers = rate.covers;
        Self { name, kind, task, product, unit, basis, price, pays_cull, least_quantity_a_turn, covers }
    }
}
