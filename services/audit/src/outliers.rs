//! Figures that stand out from their like, by statistics that the figures which stand out cannot spoil.
//!
//! The modified z-score of Iglewicz and Hoaglin (How to Detect and Handle Outliers, 1993), as the NIST/SEMATECH e-Handbook
//! of Statistical Methods gives it in section 1.3.5.17: 0.6745 times the distance from the median over the median absolute
//! deviation (MAD), 3.5 being too far. Where more than half of the figures are one and the same, the MAD is zero and
//! tells nothing; the mean absolute deviation takes its place with the factor that fits it, 1 over 1.253314 (from memory,
//! as general-purpose statistics packages have it).

use kernel::{Exact, Fixed, NumberError, Rounding};
use serde::{Deserialize, Serialize};

/// The score beyond which a figure stands out: 3.5.
pub const LIMIT: Exact = Exact::fraction(7, 2);

/// How many figures there must be before one of them can stand out: below ten the median and its deviations jump with
/// every figure. Common practice, no source.
pub const LEAST_FIGURES: usize = 10;

/// Scores are shown to the hundredth, an exact half away from zero. Judged is what is not rounded.
const SHOWN_TO: Exact = Exact::fraction(1, 100);

/// By what the distance from the median is measured.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum SpreadMeasure {
    /// The median of the distances from the median; its factor is 0.6745.
    MedianAbsoluteDeviation,
    /// The mean of the distances from the median, where their median is zero; its factor is 1 over 1.253314.
    MeanAbsoluteDeviation,
}

impl SpreadMeasure {
    /// What a distance over the spread is multiplied by, so that the score of figures that fall normally is about one
    /// for each standard deviation.
    const fn factor(self) -> Exact {
        match self {
            Self::MedianAbsoluteDeviation => Exact::fraction(6_745, 10_000),
            Self::MeanAbsoluteDeviation => Exact::fraction(1_000_000, 1_253_314),
        }
    }

    /// The method in words.
    ///
    /// ```
    /// use audit::SpreadMeasure;
    /// assert!(SpreadMeasure::MedianAbsoluteDeviation.method().contains("0.6745"));
    /// ```
    #[must_use]
    pub const fn method(self) -> &'static str {
        match self {
            Self::MedianAbsoluteDeviation => {
                "modified z-score (Iglewicz and Hoaglin; NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.5.17): \
                 0.6745 × distance from the median ÷ median absolute deviation, beyond 3.5"
            }
            Self::MeanAbsoluteDeviation => {
                "modified z-score (Iglewicz and Hoaglin) where the median absolute deviation is zero: distance from the \
                 median ÷ 1.253314 ÷ mean absolute deviation, beyond 3.5"
            }
        }
    }
}

/// Where figures lie, and how far apart.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Spread {
    /// How many figures there are.
    pub figures: usize,
    /// Their median.
    pub median: Exact,
    /// By what distances are measured.
    pub measure: SpreadMeasure,
    /// The median or mean absolute deviation; above zero.
    pub deviation: Exact,
}

/// The median of figures: the one in the middle, or half the sum of the two.
///
/// # Errors
///
/// [`NumberError::DividedByZero`] when there are none.
///
/// ```
/// use audit::median;
/// use kernel::Exact;
/// let figures = ["4", "1", "3", "2"].map(|text| text.parse().unwrap_or(Exact::ZERO));
/// assert_eq!(median(figures.to_vec())?, Exact::fraction(5, 2));
/// # Ok::<(), kernel::NumberError>(())
/// ```
pub fn median(mut figures: Vec<Exact>) -> Result<Exact, NumberError> {
    figures.sort_unstable();
    let half = figures.len() / 2;
    let upper = figures.get(half).copied().ok_or(NumberError::DividedByZero)?;
    if figures.len() % 2 == 1 {
        return Ok(upper);
    }
    let lower = half.checked_sub(1).and_then(|at| figures.get(at)).copied();
    lower.ok_or(NumberError::DividedByZero)?.plus(upper)?.over(Exact::of(2))
}

fn distance(figure: Exact, from: Exact) -> Result<Exact, NumberError> {
    let difference = figure.minus(from)?;
    if difference.is_negative() { Exact::ZERO.minus(difference) } else { Ok(difference) }
}

impl Spread {
    /// The spread of these figures; none when there are fewer than [`LEAST_FIGURES`], or all of them are the same, so that
    /// nothing can be told.
    ///
    /// Figures have six decimals, so that their sums stay exact however many there are.
    ///
    /// # Errors
    ///
    /// [`NumberError::TooLarge`].
    ///
    /// ```
    /// use audit::Spread;
    /// use kernel::{Exact, Fixed};
    /// let figures: Vec<Fixed> = ["9", "10", "10", "11", "10", "9", "11", "10", "12", "40"]
    ///     .iter()
    ///     .map(|text| text.parse())
    ///     .collect::<Result<_, _>>()?;
    /// let spread = Spread::of(&figures)?.ok_or("ten figures are enough")?;
    /// assert_eq!((spread.median, spread.deviation), (Exact::of(10), Exact::of(1)));
    /// // 0.6745 × 30 ÷ 1.
    /// assert_eq!(spread.score("40".parse()?)?, "20.235".parse()?);
    /// assert!(spread.stands_out("40".parse()?)? && !spread.stands_out("12".parse()?)?);
    /// assert!(Spread::of(&figures[..9])?.is_none());
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn of(figures: &[Fixed]) -> Result<Option<Self>, NumberError> {
        if figures.len() < LEAST_FIGURES {
            return Ok(None);
        }
        let median = median(figures.iter().map(|figure| figure.exact()).collect())?;
        let distances: Vec<Exact> =
            figures.iter().map(|figure| distance(figure.exact(), median)).collect::<Result<_, _>>()?;
        let mut measure = SpreadMeasure::MedianAbsoluteDeviation;
        let mut deviation = self::median(distances.clone())?;
        if deviation.is_zero() {
            measure = SpreadMeasure::MeanAbsoluteDeviation;
            let count = i128::try_from(distances.len()).map_err(|_| NumberError::TooLarge)?;
            let sum = distances.into_iter().try_fold(Exact::ZERO, Exact::plus)?;
            deviation = sum.over(Exact::of(count))?;
        }
        let spread = Self { figures: figures.len(), median, measure, deviation };
        Ok((!deviation.is_zero()).then_some(spread))
    }

    /// The modified z-score of a figure, not rounded; below zero for one below the median.
    ///
    /// # Errors
    ///
    /// [`NumberError::TooLarge`].
    pub fn score(&self, figure: Fixed) -> Result<Exact, NumberError> {
        figure.exact().minus(self.median)?.times(self.measure.factor())?.over(self.deviation)
    }

    /// The same to the hundredth, as it is shown.
    ///
    /// # Errors
    ///
    /// [`NumberError::TooLarge`].
    pub fn shown_score(&self, figure: Fixed) -> Result<Exact, NumberError> {
        self.score(figure)?.rounded_to(SHOWN_TO, Rounding::HalfUp)
    }

    /// Whether a figure lies beyond the limit on either side.
    ///
    /// # Errors
    ///
    /// [`NumberError::TooLarge`].
    pub fn stands_out(&self, figure: Fixed) -> Result<bool, NumberError> {
        Ok(distance(self.score(figure)?, Exact::ZERO)? > LIMIT)
    }

    /// Whether a figure lies beyond the limit on the low side.
    ///
    /// # Errors
    ///
    /// [`NumberError::TooLarge`].
    pub fn stands_out_low(&self, figure: Fixed) -> Result<bool, NumberError> {
        Ok(figure.exact() < self.median && self.stands_out(figure)?)
    }
}

/// A share or ratio as a figure of six decimals, an exact half away from zero.
///
/// # Errors
///
/// [`NumberError::DividedByZero`], [`NumberError::TooLarge`].
///
/// ```
/// use kernel::Exact;
/// assert_eq!(audit::ratio(Exact::ONE, Exact::of(3))?.to_string(), "0.333333");
/// # Ok::<(), kernel::NumberError>(())
/// ```
pub fn ratio(part: Exact, whole: Exact) -> Result<Fixed, NumberError> {
    let step = Exact::fraction(1, 1_000_000);
    part.over(whole)?.rounded_to(step, Rounding::HalfUp)?.fixed()
}
