//! The rates of one contract's terms, checked against one another.

use std::fmt;

use kernel::Product;
use serde::{Deserialize, Serialize};

use crate::{Covers, Gap, Label, Rate, Task};

/// Why a list of rates cannot stand as one contract's terms. Rates are numbered from 1.
///
/// ```
/// use settlement::{Rate, RateClash, Rates};
/// let rates: Vec<Rate> = serde_json::from_str(
///     r#"[
///         {"name": "pine", "task": "felling", "product": "log", "unit": "piece", "price": "0.10",
///          "covers": {"species": ["pine"]}},
///         {"name": "small", "task": "felling", "product": "log", "unit": "piece", "price": "0.06",
///          "covers": {"diameter_in": {"below": "12"}}}
///     ]"#,
/// )?;
/// let clashes = Rates::new(rates).expect_err("a small pine has two prices");
/// assert_eq!(
///     clashes[0].to_string(),
///     "rates 1 \"pine\" and 2 \"small\" both pay for felling of log: pine, diameter below 12 in; \
///      change one so that no piece has two prices"
/// );
/// assert_eq!(clashes[0].code(), "rates_overlap");
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum RateClash {
    /// Two rates have one name.
    #[error("rates {} and {} are both named \"{name}\": give one another name", first + 1, second + 1)]
    SameName {
        /// Position of the first, from 0.
        first: usize,
        /// Position of the second, from 0.
        second: usize,
        /// The name, as the first has it.
        name: Label,
    },
    /// Two rates of one task could both cover a piece.
    #[error(
        "rates {} \"{first_name}\" and {} \"{second_name}\" both pay for {meeting}; \
         change one so that no piece has two prices", first + 1, second + 1
    )]
    Overlap {
        /// Position of the first, from 0.
        first: usize,
        /// Its name.
        first_name: Label,
        /// Position of the second, from 0.
        second: usize,
        /// Its name.
        second_name: Label,
        /// What both pay for.
        meeting: Box<Meeting>,
    },
    /// More rates than the terms of one contract can have.
    #[error("{count} rates in one contract's terms: at most {max}", max = Rates::MOST)]
    TooMany {
        /// How many were given.
        count: usize,
    },
}

impl RateClash {
    /// The stable code of the problem.
    ///
    /// ```
    /// assert_eq!(settlement::RateClash::TooMany { count: 2000 }.code(), "rates_too_many");
    /// ```
    #[must_use]
    pub const fn code(&self) -> &'static str {
        match self {
            Self::SameName { .. } => "rates_same_name",
            Self::Overlap { .. } => "rates_overlap",
            Self::TooMany { .. } => "rates_too_many",
        }
    }
}

/// The work that two rates would both pay for.
///
/// ```
/// use settlement::{Covers, Meeting, Task};
/// let meeting = Meeting { task: Task::Hauling, product: None, by_time: false, pieces: Covers::default() };
/// assert_eq!(meeting.to_string(), "hauling of any turn: every piece");
/// let rates = serde_json::from_str(
///     r#"[{"name": "hours", "task": "skidding", "unit": "hour", "price": "0.40"},
///         {"name": "days", "task": "skidding", "unit": "day", "price": "3.50"}]"#,
/// )?;
/// let clash = settlement::Rates::new(rates).expect_err("an hour would have two prices");
/// assert!(clash[0].to_string().contains("both pay for skidding by time;"));
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Meeting {
    /// The task.
    pub task: Task,
    /// The product; none when both are turn rates, or rates for time.
    pub product: Option<Product>,
    /// Whether both pay for time.
    pub by_time: bool,
    /// The species, grades and bands that both cover.
    pub pieces: Covers,
}

impl Meeting {
    /// Where two rates meet, if they do. Premiums and dockages go on top of a price, so they meet nothing.
    fn of(one: &Rate, two: &Rate) -> Option<Self> {
        if !one.kind().is_price() || !two.kind().is_price() || one.is_by_time() != two.is_by_time() {
            return None;
        }
        let product_apart = matches!((one.product(), two.product()), (Some(one), Some(two)) if one != two);
        if one.task() != two.task() || product_apart {
            return None;
        }
        let pieces = one.covers().common(two.covers())?;
        let product = one.product().or(two.product());
        Some(Self { task: one.task(), product, by_time: one.is_by_time(), pieces })
    }
}

impl fmt::Display for Meeting {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.by_time {
            return write!(formatter, "{} by time", self.task);
        }
        let product = self.product.map_or("any turn", Product::name);
        write!(formatter, "{} of {product}: {}", self.task, self.pieces)
    }
}

/// The rates of one contract's terms: no two of them can price one piece, or one hour, for one task.
///
/// ```
/// use settlement::Rates;
/// let rates: Rates = serde_json::from_str(
///     r#"[
///         {"name": "near", "task": "hauling", "unit": "turn", "price": "8",
///          "covers": {"haul_distance_mi": {"below": "5"}}},
///         {"name": "far", "task": "hauling", "unit": "turn", "price": "13",
///          "covers": {"haul_distance_mi": {"from": "5"}}}
///     ]"#,
/// )?;
/// assert_eq!(rates.as_slice().len(), 2);
/// assert!(rates.gaps().is_empty());
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(try_from = "Vec<Rate>", into = "Vec<Rate>")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct Rates(Vec<Rate>);

impl Rates {
    /// How many rates the terms of one contract can have.
    pub const MOST: usize = 1000;
    /// How many clashes are reported at once.
    const MOST_CLASHES: usize = 100;

    /// Checks rates against one another. Their positions in the list, from 0, name them from then on.
    ///
    /// # Errors
    ///
    /// Every [`RateClash`] found (the first hundred), in order of the rates.
    ///
    /// ```
    /// use settlement::Rates;
    /// assert!(Rates::new(Vec::new())?.as_slice().is_empty());
    /// # Ok::<(), Vec<settlement::RateClash>>(())
    /// ```
    pub fn new(rates: Vec<Rate>) -> Result<Self, Vec<RateClash>> {
        if rates.len() > Self::MOST {
            return Err(vec![RateClash::TooMany { count: rates.len() }]);
        }
        let pairs = rates
            .iter()
            .enumerate()
            .flat_map(|first| rates.iter().enumerate().skip(first.0 + 1).map(move |second| (first, second)));
        let clashes: Vec<RateClash> =
            pairs.flat_map(|(first, second)| clashes(first, second)).take(Self::MOST_CLASHES).collect();
        if clashes.is_empty() { Ok(Self(rates)) } else { Err(clashes) }
    }

    /// The rates, in the order in which they were filed.
    ///
    /// ```
    /// assert!(settlement::Rates::default().as_slice().is_empty());
    /// ```
    #[must_use]
    pub fn as_slice(&self) -> &[Rate] {
        &self.0
    }

    /// The rate at a position, from 0.
    ///
    /// ```
    /// assert!(settlement::Rates::default().get(0).is_none());
    /// ```
    #[must_use]
    pub fn get(&self, position: usize) -> Option<&Rate> {
        self.0.get(position)
    }

    /// The holes between the bands of otherwise alike rates: a report, not a refusal.
    ///
    /// ```
    /// use settlement::Rates;
    /// let rates: Rates = serde_json::from_str(
    ///     r#"[
    ///         {"name": "small", "task": "felling", "product": "log", "unit": "piece", "price": "0.06",
    ///          "covers": {"diameter_in": {"below": "12"}}},
    ///         {"name": "large", "task": "felling", "product": "log", "unit": "piece", "price": "0.10",
    ///          "covers": {"diameter_in": {"from": "14"}}}
    ///     ]"#,
    /// )?;
    /// assert_eq!(
    ///     rates.gaps()[0].to_string(),
    ///     "no rate between \"small\" and \"large\": diameter from 12 below 14 in"
    /// );
    /// # Ok::<(), serde_json::Error>(())
    /// ```
    #[must_use]
    pub fn gaps(&self) -> Vec<Gap> {
        crate::gap::gaps(&self.0)
    }
}

/// What two rates have against each other: at most a shared name and a meeting.
fn clashes(first: (usize, &Rate), second: (usize, &Rate)) -> impl Iterator<Item = RateClash> {
    let same_name = (first.1.name() == second.1.name()).then(|| RateClash::SameName {
        first: first.0,
        second: second.0,
        name: first.1.name().clone(),
    });
    let overlap = Meeting::of(first.1, second.1).map(|meeting| RateClash::Overlap {
        first: first.0,
        first_name: first.1.name().clone(),
        second: second.0,
        second_name: second.1.name().clone(),
        meeting: Box::new(meeting),
    });
    same_name.into_iter().chain(overlap)
}

impl TryFrom<Vec<Rate>> for Rates {
    type Error = ClashText;

    fn try_from(rates: Vec<Rate>) -> Result<Self, Self::Error> {
        Self::new(rates).map_err(|clashes| {
            ClashText(clashes.iter().map(ToString::to_string).collect::<Vec<_>>().join("; also "))
        })
    }
}

impl From<Rates> for Vec<Rate> {
    fn from(rates: Rates) -> Self {
        rates.0
    }
}

/// All clashes of a list in one text, for readers of JSON, who get one error.
///
/// ```
/// let refused = serde_json::from_str::<settlement::Rates>(
///     r#"[
///         {"name": "a", "task": "hauling", "unit": "turn", "price": "8"},
///         {"name": "A", "task": "loading", "unit": "turn", "price": "2"}
///     ]"#,
/// );
/// assert!(refused.is_err_and(|error| error.to_string().starts_with("rates 1 and 2 are both named \"a\"")));
/// ```
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{0}")]
pub struct ClashText(String);
