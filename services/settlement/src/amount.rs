//! Quantity times price: the one place where pay is rounded.

use kernel::{Currency, Exact, Fixed, Money, MoneyError, Rounding};
use serde::{Deserialize, Serialize};

use crate::RateUnit;

/// What a quantity is worth at a price: quantity × price ÷ unit size, rounded once to the currency's smallest unit,
/// exact halves away from zero.
///
/// `quantity` is in the counted unit (board feet where the price is for a thousand of them).
///
/// # Errors
///
/// [`MoneyError::Number`] when the amount is too large to hold.
///
/// ```
/// use settlement::{RateUnit, amount};
/// let pay = amount("1250".parse()?, "9.25".parse()?, RateUnit::ThousandBoardFeet, "USD".parse()?)?;
/// assert_eq!(pay.to_string(), "11.56 USD"); // 11.5625
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn amount(
    quantity: Fixed,
    price: Fixed,
    unit: RateUnit,
    currency: Currency,
) -> Result<Money, MoneyError> {
    Money::from_exact(exact_amount(quantity, price, unit)?, currency)
}

fn exact_amount(quantity: Fixed, price: Fixed, unit: RateUnit) -> Result<Exact, kernel::NumberError> {
    quantity.exact().times(price.exact())?.over(Exact::of(unit.counted_per_unit().into()))
}

/// How an amount came about, for paper.
///
/// ```
/// use settlement::{RateUnit, explain_amount};
/// let working = explain_amount("1250".parse()?, "9.25".parse()?, RateUnit::ThousandBoardFeet, "USD".parse()?)?;
/// assert_eq!(working.exact.to_string(), "11.5625");
/// assert_eq!(working.amount.to_string(), "11.56 USD");
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct AmountWorking {
    /// How much was done, in the counted unit.
    pub quantity: Fixed,
    /// The price of one unit.
    pub price: Fixed,
    /// The unit that the price is for.
    pub unit: RateUnit,
    /// How many of the counted unit make one unit.
    pub counted_per_unit: u16,
    /// Quantity × price ÷ the count above, before rounding.
    pub exact: Exact,
    /// How it was rounded to the currency's smallest unit.
    pub rounding: Rounding,
    /// The amount.
    pub amount: Money,
}

/// As [`amount`], with every figure on the way.
///
/// # Errors
///
/// [`MoneyError::Number`] when the amount is too large to hold.
///
/// ```
/// use settlement::{RateUnit, amount, explain_amount};
/// let (quantity, price, dollars) = ("7".parse()?, "0.125".parse()?, "USD".parse()?);
/// let working = explain_amount(quantity, price, RateUnit::LinearFoot, dollars)?;
/// assert_eq!(working.amount, amount(quantity, price, RateUnit::LinearFoot, dollars)?);
/// assert_eq!(working.amount.to_string(), "0.88 USD"); // 0.875, a half
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn explain_amount(
    quantity: Fixed,
    price: Fixed,
    unit: RateUnit,
    currency: Currency,
) -> Result<AmountWorking, MoneyError> {
    Ok(AmountWorking {
        quantity,
        price,
        unit,
        counted_per_unit: unit.counted_per_unit(),
        exact: exact_amount(quantity, price, unit)?,
        rounding: Money::ROUNDING,
        amount: amount(quantity, price, unit, currency)?,
    })
}
