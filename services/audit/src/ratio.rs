//! A ratio estimate: what all of it comes to by the second measure, where all was measured once and a sample twice.

use kernel::Fixed;

use crate::sample::{PERCENT_PLACES, PLACES, around, left_over, point};
use crate::{Confidence, Interval, Number, StatisticError};

/// A sample that was measured twice: by the first measure, which all of it had, and by the second, which only the sample
/// had.
///
/// The ratio is that of the sums, and its variance is the usual one for it (from memory, as forest measurement handbooks
/// have it): `(1/x̄²) × Σ(y - Rx)² / (n(n-1)) × (1 - n/N)`.
///
/// ```
/// use audit::{Number, Ratio};
/// // Constructed: three loads as the scaler and as the checker had them.
/// let pairs = [(500, 480), (500, 510), (320, 300)].map(|(x, y)| (Number::whole(x), Number::whole(y)));
/// let ratio = Ratio::new(pairs.to_vec(), None)?;
/// assert_eq!(ratio.shown()?.to_string(), "0.977273");
/// assert_eq!(ratio.estimate(&Number::whole(60_000))?.to_string(), "58636.363636");
/// # Ok::<(), audit::StatisticError>(())
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Ratio {
    ratio: Number,
    mean: Number,
    /// Σ(y - Rx)².
    scatter: Number,
    count: u64,
    population: Option<u64>,
}

impl Ratio {
    /// The ratio of the second measure to the first over these pairs of (first, second), out of `population` in all where
    /// that is known.
    ///
    /// # Errors
    ///
    /// [`StatisticError::TooFew`] for no pair; [`StatisticError::DividedByZero`] when the first measures add up to nothing;
    /// [`StatisticError::SampleExceedsAll`].
    pub fn new(pairs: Vec<(Number, Number)>, population: Option<u64>) -> Result<Self, StatisticError> {
        let count = u64::try_from(pairs.len()).map_err(|_| StatisticError::TooLarge)?;
        if count == 0 {
            return Err(StatisticError::TooFew { needed: 1, found: 0 });
        }
        if let Some(population) = population.filter(|population| *population < count) {
            return Err(StatisticError::SampleExceedsAll { sample: count, population });
        }
        let nothing = Number::whole(0);
        let first = pairs.iter().fold(nothing.clone(), |sum, (x, _)| sum.plus(x));
        let second = pairs.iter().fold(nothing.clone(), |sum, (_, y)| sum.plus(y));
        let ratio = second.over(&first)?;
        let scatter = pairs
            .iter()
            .map(|(x, y)| y.minus(&ratio.times(x)).squared())
            .fold(nothing, |sum, one| sum.plus(&one));
        let mean = first.over(&Number::count(count))?;
        Ok(Self { ratio, mean, scatter, count, population })
    }

    /// The ratio, exactly.
    #[must_use]
    pub const fn exact(&self) -> &Number {
        &self.ratio
    }

    /// The ratio to six decimals.
    ///
    /// # Errors
    ///
    /// [`StatisticError::TooLarge`].
    pub fn shown(&self) -> Result<Fixed, StatisticError> {
        self.ratio.shown(PLACES)
    }

    /// The standard error of the ratio, to six decimals.
    ///
    /// # Errors
    ///
    /// [`StatisticError::TooFew`] for a single pair; [`StatisticError::TooLarge`].
    pub fn standard_error(&self) -> Result<Fixed, StatisticError> {
        self.squared_error()?.square_root(PLACES)
    }

    /// The ratio less and plus Student's t times its standard error.
    ///
    /// # Errors
    ///
    /// As [`Ratio::standard_error`].
    pub fn interval(&self, confidence: Confidence) -> Result<Interval, StatisticError> {
        around(&self.ratio, &self.squared_error()?, confidence, self.degrees()?)
    }

    /// The sampling error in percent of the ratio, to four decimals.
    ///
    /// # Errors
    ///
    /// As [`Ratio::standard_error`]; [`StatisticError::DividedByZero`] for a ratio of nothing.
    pub fn error_percent(&self, confidence: Confidence) -> Result<Fixed, StatisticError> {
        let t = point(confidence, self.degrees()?)?;
        let squared = self.squared_error()?.over(&self.ratio.squared())?.times(&t.squared());
        squared.times(&Number::whole(100 * 100)).square_root(PERCENT_PLACES)
    }

    /// How much the pairs vary about the ratio, in percent of the mean by the second measure, to four decimals: what a
    /// sample's size is reckoned from.
    ///
    /// # Errors
    ///
    /// As [`Ratio::error_percent`].
    ///
    /// ```
    /// use audit::{Number, Ratio};
    /// let pairs = [(500, 480), (500, 510), (320, 300)].map(|(x, y)| (Number::whole(x), Number::whole(y)));
    /// assert_eq!(Ratio::new(pairs.to_vec(), None)?.variation_percent()?.to_string(), "4.3289");
    /// # Ok::<(), audit::StatisticError>(())
    /// ```
    pub fn variation_percent(&self) -> Result<Fixed, StatisticError> {
        let spread = self.scatter.over(&Number::count(self.degrees()?))?;
        let squared = spread.over(&self.ratio.times(&self.mean).squared())?;
        squared.times(&Number::whole(100 * 100)).square_root(PERCENT_PLACES)
    }

    /// What `all` of it by the first measure comes to by the second, to six decimals.
    ///
    /// # Errors
    ///
    /// [`StatisticError::TooLarge`].
    pub fn estimate(&self, all: &Number) -> Result<Fixed, StatisticError> {
        self.ratio.times(all).shown(PLACES)
    }

    fn squared_error(&self) -> Result<Number, StatisticError> {
        let pairs = Number::count(self.count).times(&Number::count(self.degrees()?));
        let of_ratio = self.scatter.over(&pairs)?.over(&self.mean.squared())?;
        Ok(of_ratio.times(&left_over(self.count, self.population)?))
    }

    fn degrees(&self) -> Result<u64, StatisticError> {
        match self.count.checked_sub(1) {
            Some(degrees) if degrees > 0 => Ok(degrees),
            _ => Err(StatisticError::TooFew { needed: 2, found: self.count }),
        }
    }
}
