//! What a sample of values says of all of them: mean, spread, standard error, confidence interval, and how many more
//! values it would take.
//!
//! The formulas are those of sampling without replacement in forest measurement handbooks (from memory): the spread
//! divides by one less than the count, and where the number of all values is known the standard error is lessened by
//! `1 - n/N`.

use kernel::{Fixed, Rounding};

use crate::{Confidence, Number, StatisticError, students_t};

/// Values that were measured on a sample.
///
/// ```
/// use audit::{Confidence, Number, Sample};
/// // Five loads, invented.
/// let loads = [42, 51, 38, 49, 50].map(Number::whole).to_vec();
/// let sample = Sample::new(loads, None)?;
/// assert_eq!(sample.mean().to_string(), "46");
/// assert_eq!(sample.standard_deviation()?.to_string(), "5.700877");
/// assert_eq!(sample.error_percent(Confidence::NinetyFive)?.to_string(), "15.388");
/// # Ok::<(), audit::StatisticError>(())
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Sample {
    values: Vec<Number>,
    count: u64,
    population: Option<u64>,
    mean: Number,
}

/// Two ends, and what lies between them is likely to hold the true figure.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Interval {
    /// The lower end.
    pub from: Fixed,
    /// The upper end.
    pub to: Fixed,
}

/// How many decimals standard deviations and errors are given with.
pub(crate) const PLACES: u8 = 6;
/// How many decimals a percentage is given with.
pub(crate) const PERCENT_PLACES: u8 = 4;

impl Sample {
    /// A sample of these values out of `population` in all, where that is known.
    ///
    /// # Errors
    ///
    /// [`StatisticError::TooFew`] for an empty one; [`StatisticError::SampleExceedsAll`].
    ///
    /// ```
    /// use audit::{Number, Sample, StatisticError};
    /// let two = vec![Number::whole(1), Number::whole(2)];
    /// let refused = Sample::new(two, Some(1));
    /// assert_eq!(refused, Err(StatisticError::SampleExceedsAll { sample: 2, population: 1 }));
    /// ```
    pub fn new(values: Vec<Number>, population: Option<u64>) -> Result<Self, StatisticError> {
        let count = u64::try_from(values.len()).map_err(|_| StatisticError::TooLarge)?;
        if count == 0 {
            return Err(StatisticError::TooFew { needed: 1, found: 0 });
        }
        if let Some(population) = population.filter(|population| *population < count) {
            return Err(StatisticError::SampleExceedsAll { sample: count, population });
        }
        let sum = values.iter().fold(Number::whole(0), |sum, value| sum.plus(value));
        let mean = sum.over(&Number::count(count))?;
        Ok(Self { values, count, population, mean })
    }

    /// How many values there are.
    #[must_use]
    pub const fn count(&self) -> u64 {
        self.count
    }

    /// Their mean, exactly.
    #[must_use]
    pub const fn mean(&self) -> &Number {
        &self.mean
    }

    /// Their variance, exactly: squared differences from the mean, added up, over one less than the count.
    ///
    /// # Errors
    ///
    /// [`StatisticError::TooFew`] for a single value.
    ///
    /// ```
    /// use audit::{Number, Sample};
    /// let sample = Sample::new([2, 4, 4, 4, 5, 5, 7, 9].map(Number::whole).to_vec(), None)?;
    /// assert_eq!(sample.variance()?, Number::whole(32).over(&Number::whole(7))?);
    /// # Ok::<(), audit::StatisticError>(())
    /// ```
    pub fn variance(&self) -> Result<Number, StatisticError> {
        let squares = self.values.iter().map(|value| value.minus(&self.mean).squared());
        squares.fold(Number::whole(0), |sum, square| sum.plus(&square)).over(&Number::count(self.degrees()?))
    }

    /// The standard deviation, to six decimals.
    ///
    /// # Errors
    ///
    /// As [`Sample::variance`]; [`StatisticError::TooLarge`].
    pub fn standard_deviation(&self) -> Result<Fixed, StatisticError> {
        self.variance()?.square_root(PLACES)
    }

    /// The standard error of the mean, to six decimals: `s / √n`, times `√(1 - n/N)` where all are known.
    ///
    /// # Errors
    ///
    /// As [`Sample::variance`]; [`StatisticError::TooLarge`].
    ///
    /// ```
    /// use audit::{Number, Sample};
    /// let loads = [42, 51, 38, 49, 50].map(Number::whole).to_vec();
    /// assert_eq!(Sample::new(loads.clone(), None)?.standard_error()?.to_string(), "2.54951");
    /// // Nothing is left to chance once everything was measured.
    /// assert_eq!(Sample::new(loads, Some(5))?.standard_error()?.to_string(), "0");
    /// # Ok::<(), audit::StatisticError>(())
    /// ```
    pub fn standard_error(&self) -> Result<Fixed, StatisticError> {
        self.squared_error()?.square_root(PLACES)
    }

    fn squared_error(&self) -> Result<Number, StatisticError> {
        let of_mean = self.variance()?.over(&Number::count(self.count))?;
        Ok(of_mean.times(&left_over(self.count, self.population)?))
    }

    /// The mean less and plus Student's t times its standard error, to six decimals.
    ///
    /// # Errors
    ///
    /// As [`Sample::standard_error`].
    pub fn interval(&self, confidence: Confidence) -> Result<Interval, StatisticError> {
        around(&self.mean, &self.squared_error()?, confidence, self.degrees()?)
    }

    /// The coefficient of variation in percent, to four decimals: `100 s / mean`.
    ///
    /// # Errors
    ///
    /// As [`Sample::variance`]; [`StatisticError::DividedByZero`] for a mean of nothing.
    pub fn variation_percent(&self) -> Result<Fixed, StatisticError> {
        let squared = self.variance()?.over(&self.mean.squared())?;
        squared.times(&Number::whole(100 * 100)).square_root(PERCENT_PLACES)
    }

    /// The sampling error in percent of the mean, to four decimals: `100 t × standard error / mean`.
    ///
    /// # Errors
    ///
    /// As [`Sample::variation_percent`].
    pub fn error_percent(&self, confidence: Confidence) -> Result<Fixed, StatisticError> {
        let t = point(confidence, self.degrees()?)?;
        let squared = self.squared_error()?.over(&self.mean.squared())?.times(&t.squared());
        squared.times(&Number::whole(100 * 100)).square_root(PERCENT_PLACES)
    }

    fn degrees(&self) -> Result<u64, StatisticError> {
        match self.count.checked_sub(1) {
            Some(degrees) if degrees > 0 => Ok(degrees),
            _ => Err(StatisticError::TooFew { needed: 2, found: self.count }),
        }
    }
}

/// `1 - n/N`, or all of it where nobody knows how many there are.
pub(crate) fn left_over(count: u64, population: Option<u64>) -> Result<Number, StatisticError> {
    match population {
        None => Ok(Number::whole(1)),
        Some(population) => {
            let sampled = Number::count(count).over(&Number::count(population))?;
            Ok(Number::whole(1).minus(&sampled))
        }
    }
}

pub(crate) fn point(confidence: Confidence, degrees: u64) -> Result<Number, StatisticError> {
    let point = students_t(confidence, degrees).ok_or(StatisticError::TooFew { needed: 2, found: 1 })?;
    Ok(point.into())
}

/// What lies within Student's t times the standard error of a figure.
pub(crate) fn around(
    figure: &Number,
    squared_error: &Number,
    confidence: Confidence,
    degrees: u64,
) -> Result<Interval, StatisticError> {
    let reach = squared_error.times(&point(confidence, degrees)?.squared()).square_root(PLACES)?.into();
    Ok(Interval { from: figure.minus(&reach).shown(PLACES)?, to: figure.plus(&reach).shown(PLACES)? })
}

/// How many values it takes to come within `allowed_percent` of the mean: `(t × CV / E)²` raised to a whole number, and
/// where all are `population`, `n / (1 + n/N)` of the unraised number. `t` is the caller's own, since handbooks use 2
/// where tables say otherwise.
///
/// # Errors
///
/// [`StatisticError::DividedByZero`] for an allowance of nothing; [`StatisticError::TooLarge`].
///
/// ```
/// use audit::sample_size;
/// let number = |text: &str| text.parse::<kernel::Fixed>();
/// // Constructed: 99 loads for 2.5 percent where loads vary by 12.393 percent, with t taken as 2.
/// assert_eq!(sample_size(number("12.393")?, number("2.5")?, number("2")?, None)?, 99);
/// assert_eq!(sample_size(number("12.393")?, number("2.5")?, number("2")?, Some(200))?, 66);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn sample_size(
    variation_percent: Fixed,
    allowed_percent: Fixed,
    t: Fixed,
    population: Option<u64>,
) -> Result<u64, StatisticError> {
    let wide = Number::from(t).times(&variation_percent.into()).over(&allowed_percent.into())?.squared();
    let needed = match population {
        None => wide,
        Some(population) => wide.over(&wide.over(&Number::count(population))?.plus(&Number::whole(1)))?,
    };
    let raised = needed.shown_rounded(0, Rounding::Up)?;
    u64::try_from(raised.millionths() / Fixed::STEPS_PER_UNIT).map_err(|_| StatisticError::TooLarge)
}
