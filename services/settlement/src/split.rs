//! Dividing an amount among people so that not a cent is lost or made: the largest-remainder method.

use kernel::{Exact, Money, MoneyError, NumberError, Rounding};
use serde::{Deserialize, Serialize};

/// Why an amount cannot be divided.
///
/// ```
/// use settlement::{SplitError, split};
/// let whole = kernel::Money::from_minor(100, "USD".parse()?);
/// assert_eq!(split(whole, &["0".parse()?, "0".parse()?]), Err(SplitError::AllZero));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum SplitError {
    /// There is nobody to give it to.
    #[error("there are no parts to divide by: give at least one part above zero")]
    NoParts,
    /// Every part is zero.
    #[error("every part is zero: give at least one part above zero")]
    AllZero,
    /// A part below zero.
    #[error("part {} is {part}: write 0 or more", position + 1)]
    NegativePart {
        /// Its position, from 0.
        position: usize,
        /// The part given.
        part: Exact,
    },
    /// The numbers are too large to divide exactly.
    #[error(transparent)]
    Number(#[from] NumberError),
}

impl SplitError {
    /// The stable code of the problem.
    ///
    /// ```
    /// assert_eq!(settlement::SplitError::NoParts.code(), "split_no_parts");
    /// ```
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Self::NoParts => "split_no_parts",
            Self::AllZero => "split_all_zero",
            Self::NegativePart { .. } => "split_negative_part",
            Self::Number(_) => "split_number",
        }
    }
}

/// Divides an amount in proportion to `parts`, in the order of `parts`.
///
/// Each quota is rounded down to the currency's smallest unit; what is left over is handed out one unit each to the
/// largest remainders, ties to whoever comes first in the list. A negative amount is the exact mirror of the positive
/// one. A zero part gets nothing. The results always sum to the amount.
///
/// The method is known as largest remainder or Hamilton's method. More money to divide can take a cent from
/// somebody; so a week is divided again as a whole and only the difference is posted.
///
/// # Errors
///
/// [`SplitError`] when there are no parts, all are zero, or one is negative.
///
/// ```
/// use kernel::Money;
/// use settlement::split;
/// let dollars = "USD".parse()?;
/// let parts = ["1".parse()?, "1".parse()?, "1".parse()?];
/// let shares = split(Money::from_minor(10_000, dollars), &parts)?;
/// assert_eq!(shares.iter().map(|share| share.minor()).collect::<Vec<_>>(), [3334, 3333, 3333]);
/// let back = split(Money::from_minor(-10_000, dollars), &parts)?;
/// assert_eq!(back.iter().map(|share| share.minor()).collect::<Vec<_>>(), [-3334, -3333, -3333]);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn split(amount: Money, parts: &[Exact]) -> Result<Vec<Money>, SplitError> {
    Ok(explain_split(amount, parts)?.shares.into_iter().map(|share| share.amount).collect())
}

/// How an amount was divided, for paper. Quotas and remainders are in the currency's smallest unit (cents).
///
/// ```
/// use kernel::Money;
/// use settlement::explain_split;
/// let parts = ["2".parse()?, "2".parse()?, "3".parse()?];
/// let working = explain_split(Money::from_minor(8803, "USD".parse()?), &parts)?;
/// let last = &working.shares[2];
/// assert_eq!(last.quota.to_string(), "26409/7"); // 3772 5/7 cents
/// assert_eq!(last.remainder.to_string(), "5/7");
/// assert!(last.from_remainder);
/// assert_eq!(last.amount.to_string(), "37.73 USD");
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct SplitWorking {
    /// The amount divided.
    pub amount: Money,
    /// All parts together.
    pub all_parts: Exact,
    /// How each quota was brought to the smallest unit before what was left over was handed out.
    pub rounding: Rounding,
    /// How many of the smallest unit were left over.
    pub left_over: u64,
    /// Who got what, in the order of the parts.
    pub shares: Vec<SplitShare>,
}

/// One share of a [`SplitWorking`].
///
/// ```
/// use kernel::Money;
/// let working = settlement::explain_split(Money::from_minor(1, "USD".parse()?), &["1".parse()?])?;
/// assert_eq!(working.shares[0].amount.minor(), 1);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct SplitShare {
    /// The part that this share goes by.
    pub part: Exact,
    /// The exact share, amount × part ÷ all parts, in the smallest unit; negative for a negative amount.
    pub quota: Exact,
    /// What the quota has past a whole unit, sign aside.
    pub remainder: Exact,
    /// Whether one of the units left over went here.
    pub from_remainder: bool,
    /// The share.
    pub amount: Money,
}

/// As [`split`], with every figure on the way.
///
/// # Errors
///
/// As [`split`].
///
/// ```
/// use kernel::Money;
/// let working = settlement::explain_split(
///     Money::from_minor(10_000, "USD".parse()?),
///     &["1".parse()?, "1".parse()?, "1".parse()?],
/// )?;
/// assert_eq!(working.left_over, 1);
/// assert_eq!(working.shares.iter().filter(|share| share.from_remainder).count(), 1);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn explain_split(amount: Money, parts: &[Exact]) -> Result<SplitWorking, SplitError> {
    let all_parts = sum_of(parts)?;
    let size = Exact::of(i128::from(amount.minor()).abs());
    let quotas = parts.iter().map(|part| Quota::of(size, *part, all_parts)).collect::<Result<Vec<_>, _>>()?;
    let mut left = size;
    for quota in &quotas {
        left = left.minus(quota.whole)?;
    }
    let left_over =
        left.whole().and_then(|count| usize::try_from(count).ok()).ok_or(NumberError::TooLarge)?;
    // The sort is stable, so ties stay in the order of the list.
    let mut turns: Vec<(usize, Exact)> =
        quotas.iter().enumerate().map(|(position, quota)| (position, quota.remainder)).collect();
    turns.sort_by_key(|(_, remainder)| std::cmp::Reverse(*remainder));
    let lucky: Vec<usize> = turns.into_iter().take(left_over).map(|(position, _)| position).collect();
    let shares = quotas
        .into_iter()
        .enumerate()
        .map(|(position, quota)| quota.share(amount, lucky.contains(&position)))
        .collect::<Result<Vec<_>, _>>()?;
    let left_over = u64::try_from(left_over).map_err(|_| NumberError::TooLarge)?;
    Ok(SplitWorking { amount, all_parts, rounding: Rounding::Down, left_over, shares })
}

fn sum_of(parts: &[Exact]) -> Result<Exact, SplitError> {
    let mut sum = Exact::ZERO;
    for (position, part) in parts.iter().enumerate() {
        if part.is_negative() {
            return Err(SplitError::NegativePart { position, part: *part });
        }
        sum = sum.plus(*part)?;
    }
    match (parts.is_empty(), sum.is_zero()) {
        (true, _) => Err(SplitError::NoParts),
        (false, true) => Err(SplitError::AllZero),
        (false, false) => Ok(sum),
    }
}

/// One exact share of the size of an amount, in the smallest unit.
struct Quota {
    part: Exact,
    exact: Exact,
    whole: Exact,
    remainder: Exact,
}

impl Quota {
    fn of(size: Exact, part: Exact, all_parts: Exact) -> Result<Self, NumberError> {
        // Dividing first keeps the numbers small: a share of the parts is never more than one.
        let exact = size.times(part.over(all_parts)?)?;
        let whole = exact.rounded_to(Exact::ONE, Rounding::Down)?;
        Ok(Self { part, exact, whole, remainder: exact.minus(whole)? })
    }

    /// The share with its sign back on.
    fn share(self, amount: Money, from_remainder: bool) -> Result<SplitShare, SplitError> {
        let units = self.whole.plus(if from_remainder { Exact::ONE } else { Exact::ZERO })?;
        let units = units.whole().and_then(|units| i64::try_from(units).ok()).ok_or(NumberError::TooLarge)?;
        let share = Money::from_minor(units, amount.currency());
        let negative = amount.minor() < 0;
        Ok(SplitShare {
            part: self.part,
            quota: if negative { Exact::ZERO.minus(self.exact)? } else { self.exact },
            remainder: self.remainder,
            from_remainder,
            amount: if negative { share.negated().map_err(too_large)? } else { share },
        })
    }
}

/// Within one currency, money can only fail by size.
fn too_large(_: MoneyError) -> NumberError {
    NumberError::TooLarge
}
