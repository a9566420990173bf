//! Two scales of the same timber, piece by piece: the scaler's, and somebody else's after him.

use std::collections::BTreeMap;

use kernel::{Fixed, NumberError, Product, VolumeUnit};
use serde::{Deserialize, Serialize};

use crate::sample::PERCENT_PLACES;
use crate::{Number, Ratio, StatisticError};

/// Which figure of a scale is compared.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum CheckMeasure {
    /// Gross scale.
    Gross,
    /// Net scale.
    Net,
}

/// What one of the two made of a piece.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OneScale {
    /// What it is.
    pub product: Product,
    /// The kind of tree, in small letters.
    pub species: String,
    /// Its grade, if it has one.
    pub grade: Option<String>,
    /// The length it is scaled by, in feet or in metres as the contract measures; none where it has none.
    pub length: Option<Fixed>,
    /// Unit, gross and net; none for a piece that has no volume.
    pub volume: Option<(VolumeUnit, Fixed, Fixed)>,
}

/// A piece on both sides; none on the scaler's side is one too many in the pile, none on the checker's one that is missing
/// from it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TwiceScaled {
    /// The scaler's.
    pub original: Option<OneScale>,
    /// The checker's.
    pub check: Option<OneScale>,
}

/// What pieces add up to on one side.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct ScaleTotals {
    /// How many there are.
    pub pieces: u64,
    /// Their lengths together.
    pub length: Fixed,
    /// Gross scale.
    pub gross: Fixed,
    /// Net scale.
    pub net: Fixed,
}

impl ScaleTotals {
    /// The share of the gross scale that defect took, in percent to four decimals; none where there is no gross scale.
    ///
    /// ```
    /// use audit::ScaleTotals;
    /// use kernel::Fixed;
    /// let some = ScaleTotals { gross: Fixed::whole(300)?, net: Fixed::whole(200)?, ..ScaleTotals::default() };
    /// assert_eq!(some.defect_percent().map(|percent| percent.to_string()).as_deref(), Some("33.3333"));
    /// # Ok::<(), kernel::NumberError>(())
    /// ```
    #[must_use]
    pub fn defect_percent(&self) -> Option<Fixed> {
        let lost = Number::from(self.gross).minus(&self.net.into()).times(&Number::whole(100));
        lost.over(&self.gross.into()).and_then(|percent| percent.shown(PERCENT_PLACES)).ok()
    }

    fn add(&mut self, one: &OneScale) -> Result<(), NumberError> {
        self.pieces = self.pieces.saturating_add(1);
        self.length = self.length.plus(one.length.unwrap_or(Fixed::ZERO))?;
        if let Some((_, gross, net)) = one.volume {
            self.gross = self.gross.plus(gross)?;
            self.net = self.net.plus(net)?;
        }
        Ok(())
    }
}

/// Totals on both sides.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct BothTotals {
    /// The scaler's.
    pub original: ScaleTotals,
    /// The checker's.
    pub check: ScaleTotals,
}

impl BothTotals {
    fn add(&mut self, original: Option<&OneScale>, check: Option<&OneScale>) -> Result<(), NumberError> {
        original.map_or(Ok(()), |one| self.original.add(one))?;
        check.map_or(Ok(()), |one| self.check.add(one))
    }
}

/// How often both said the same of a piece that both scaled.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Agreement {
    /// How many pieces both scaled.
    pub pieces: u64,
    /// On how many they agree on the species.
    pub species: u64,
    /// On how many they agree on the grade; two pieces without one agree.
    pub grade: u64,
}

/// The pieces of one product in one unit.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Stratum {
    /// The product.
    pub product: Product,
    /// The unit; none for pieces that have no volume on either side.
    pub unit: Option<VolumeUnit>,
    /// The totals.
    pub totals: BothTotals,
    /// The same by species, each side by what it says itself.
    pub by_species: BTreeMap<String, BothTotals>,
    /// The same by grade; pieces without one under none.
    pub by_grade: BTreeMap<Option<String>, BothTotals>,
    /// How often both agree.
    pub agreement: Agreement,
    pairs: Vec<[(Fixed, Fixed); 2]>,
}

impl Stratum {
    fn new(product: Product, unit: Option<VolumeUnit>) -> Self {
        Self {
            product,
            unit,
            totals: BothTotals::default(),
            by_species: BTreeMap::new(),
            by_grade: BTreeMap::new(),
            agreement: Agreement::default(),
            pairs: Vec::new(),
        }
    }

    fn add(&mut self, piece: &TwiceScaled) -> Result<(), NumberError> {
        let sides = (piece.original.as_ref(), piece.check.as_ref());
        self.totals.add(sides.0, sides.1)?;
        for (original, check) in [(sides.0, None), (None, sides.1)] {
            let Some(one) = original.or(check) else { continue };
            self.by_species.entry(one.species.clone()).or_default().add(original, check)?;
            self.by_grade.entry(one.grade.clone()).or_default().add(original, check)?;
        }
        if let (Some(original), Some(check)) = sides {
            self.agreement.pieces = self.agreement.pieces.saturating_add(1);
            let same = |same: bool| u64::from(same);
            self.agreement.species =
                self.agreement.species.saturating_add(same(original.species == check.species));
            self.agreement.grade = self.agreement.grade.saturating_add(same(original.grade == check.grade));
        }
        let volume = |side: Option<&OneScale>| {
            let volume = side.and_then(|one| one.volume);
            volume.map_or((Fixed::ZERO, Fixed::ZERO), |(_, gross, net)| (gross, net))
        };
        self.pairs.push([volume(sides.0), volume(sides.1)]);
        Ok(())
    }

    /// The checker's scale over the scaler's, out of `population` pieces in all where that is known. A piece that is missing
    /// counts as nothing on the checker's side, one too many as nothing on the scaler's.
    ///
    /// # Errors
    ///
    /// As [`Ratio::new`]; [`StatisticError::DividedByZero`] where the scaler has no scale at all.
    pub fn ratio(&self, measure: CheckMeasure, population: Option<u64>) -> Result<Ratio, StatisticError> {
        let figure = |(gross, net): (Fixed, Fixed)| match measure {
            CheckMeasure::Gross => Number::from(gross),
            CheckMeasure::Net => Number::from(net),
        };
        let pairs = self.pairs.iter().map(|[original, check]| (figure(*original), figure(*check)));
        Ratio::new(pairs.collect(), population)
    }
}

/// Compares two scales, by product and unit.
///
/// # Errors
///
/// [`NumberError::TooLarge`] when sums cannot be held.
///
/// ```
/// use audit::{CheckMeasure, OneScale, TwiceScaled, compare};
/// use kernel::{Fixed, Product, VolumeUnit};
/// let log = |net: i64| -> Result<_, kernel::NumberError> {
///     let volume = Some((VolumeUnit::BoardFoot, Fixed::whole(500)?, Fixed::whole(net)?));
///     Ok(Some(OneScale { product: Product::Log, species: "fir".into(), grade: None, length: None, volume }))
/// };
/// // Two logs, of which the second is not in the pile.
/// let pieces = [TwiceScaled { original: log(500)?, check: log(480)? }, TwiceScaled { original: log(500)?, check: None }];
/// let strata = compare(&pieces)?;
/// assert_eq!((strata[0].totals.original.pieces, strata[0].totals.check.pieces), (2, 1));
/// assert_eq!(strata[0].ratio(CheckMeasure::Net, None)?.shown()?.to_string(), "0.48");
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn compare(pieces: &[TwiceScaled]) -> Result<Vec<Stratum>, NumberError> {
    let mut strata: BTreeMap<(Product, Option<VolumeUnit>), Stratum> = BTreeMap::new();
    for piece in pieces {
        let sides = [piece.original.as_ref(), piece.check.as_ref()];
        let Some(product) = sides.iter().flatten().map(|one| one.product).next() else { continue };
        let unit = sides.iter().flatten().find_map(|one| one.volume.map(|(unit, ..)| unit));
        strata.entry((product, unit)).or_insert_with(|| Stratum::new(product, unit)).add(piece)?;
    }
    Ok(strata.into_values().collect())
}
