//! Amounts of money: a whole count of a currency's smallest unit, and never anything between.

use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Deserializer, Serialize, Serializer};

use crate::{Exact, NumberError, Rounding};

/// Why money could not be made or combined.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum MoneyError {
    /// Not a currency in ISO 4217, or one without a smallest unit (metals, test codes).
    #[error("\"{0}\" is not an ISO 4217 currency that wages can be paid in")]
    UnknownCurrency(String),
    /// Two currencies in one sum.
    #[error("{0} and {1} cannot be added together")]
    MixedCurrencies(Currency, Currency),
    /// An amount that cannot be held, or has fractions of the smallest unit.
    #[error("\"{0}\" is not an amount of {1}")]
    NotAnAmount(String, Currency),
    /// The sum is too large to hold.
    #[error(transparent)]
    Number(#[from] NumberError),
}

/// A currency of ISO 4217, with the number of decimals its smallest unit has.
///
/// ```
/// use kernel::Currency;
/// assert_eq!("USD".parse::<Currency>()?.places(), 2);
/// assert_eq!("JPY".parse::<Currency>()?.places(), 0);
/// assert!("XAU".parse::<Currency>().is_err());
/// # Ok::<(), kernel::MoneyError>(())
/// ```
#[derive(Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Currency(iso_currency::Currency);

impl Currency {
    /// Decimals of the smallest unit: 2 for the United States dollar, 0 for the yen, 3 for the dinar.
    #[must_use]
    pub fn places(self) -> u32 {
        self.0.exponent().map_or(0, u32::from)
    }

    /// The three-letter code.
    #[must_use]
    pub fn code(self) -> &'static str {
        self.0.code()
    }

    /// How many of the smallest unit make one.
    fn smallest_per_unit(self) -> Exact {
        Exact::of(10_i128.pow(self.places()))
    }
}

impl fmt::Display for Currency {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str(self.code())
    }
}

impl fmt::Debug for Currency {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, formatter)
    }
}

impl FromStr for Currency {
    type Err = MoneyError;

    fn from_str(code: &str) -> Result<Self, Self::Err> {
        iso_currency::Currency::from_code(code)
            .filter(|currency| currency.exponent().is_some())
            .map(Self)
            .ok_or_else(|| MoneyError::UnknownCurrency(crate::text::shortened(code)))
    }
}

impl Serialize for Currency {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.code())
    }
}

impl<'de> Deserialize<'de> for Currency {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        String::deserialize(deserializer)?.parse().map_err(serde::de::Error::custom)
    }
}

/// An amount of money.
///
/// ```
/// use kernel::{Currency, Exact, Money};
/// let dollars: Currency = "USD".parse()?;
/// // 8.565 is a published tie of a wage regulation (29 CFR 778.322): it is paid as 8.57.
/// let rate = Money::from_exact(Exact::fraction(8_565, 1_000), dollars)?;
/// assert_eq!(rate.amount_text(), "8.57");
/// # Ok::<(), kernel::MoneyError>(())
/// ```
#[derive(Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Money {
    minor: i64,
    currency: Currency,
}

impl Money {
    /// How every amount is rounded to the smallest unit: nearest, exact halves away from zero.
    pub const ROUNDING: Rounding = Rounding::HalfUp;

    /// Nothing, in this currency.
    #[must_use]
    pub const fn zero(currency: Currency) -> Self {
        Self { minor: 0, currency }
    }

    /// An amount from a count of the smallest unit.
    ///
    /// ```
    /// use kernel::Money;
    /// assert_eq!(Money::from_minor(-1205, "USD".parse()?).amount_text(), "-12.05");
    /// # Ok::<(), kernel::MoneyError>(())
    /// ```
    #[must_use]
    pub const fn from_minor(minor: i64, currency: Currency) -> Self {
        Self { minor, currency }
    }

    /// The amount nearest to an exact value, halves away from zero. The only place where money is rounded.
    ///
    /// # Errors
    ///
    /// [`MoneyError::Number`] when the amount is too large to hold.
    pub fn from_exact(value: Exact, currency: Currency) -> Result<Self, MoneyError> {
        let minor = value.times(currency.smallest_per_unit())?.rounded_to(Exact::ONE, Self::ROUNDING)?;
        let whole = minor.whole().and_then(|whole| i64::try_from(whole).ok());
        Ok(Self { minor: whole.ok_or(NumberError::TooLarge)?, currency })
    }

    /// Count of the smallest unit.
    #[must_use]
    pub const fn minor(self) -> i64 {
        self.minor
    }

    /// Its currency.
    #[must_use]
    pub const fn currency(self) -> Currency {
        self.currency
    }

    /// Whether it is nothing.
    #[must_use]
    pub const fn is_zero(self) -> bool {
        self.minor == 0
    }

    /// Sum.
    ///
    /// # Errors
    ///
    /// [`MoneyError::MixedCurrencies`], or [`MoneyError::Number`] when too large.
    ///
    /// ```
    /// use kernel::Money;
    /// let dollars = "USD".parse()?;
    /// let sum = Money::from_minor(150, dollars).plus(Money::from_minor(-50, dollars))?;
    /// assert_eq!(sum.to_string(), "1.00 USD");
    /// # Ok::<(), kernel::MoneyError>(())
    /// ```
    pub fn plus(self, other: Self) -> Result<Self, MoneyError> {
        if self.currency != other.currency {
            return Err(MoneyError::MixedCurrencies(self.currency, other.currency));
        }
        let minor = self.minor.checked_add(other.minor).ok_or(NumberError::TooLarge)?;
        Ok(Self { minor, currency: self.currency })
    }

    /// Difference.
    ///
    /// # Errors
    ///
    /// As [`Money::plus`].
    pub fn minus(self, other: Self) -> Result<Self, MoneyError> {
        self.plus(other.negated()?)
    }

    /// The same amount the other way.
    ///
    /// # Errors
    ///
    /// [`MoneyError::Number`] for the one amount that has no opposite.
    pub fn negated(self) -> Result<Self, MoneyError> {
        let minor = self.minor.checked_neg().ok_or(NumberError::TooLarge)?;
        Ok(Self { minor, currency: self.currency })
    }

    /// The amount as text with all the decimals of its currency, without the code: `12.30`.
    #[must_use]
    pub fn amount_text(self) -> String {
        let places = usize::try_from(self.currency.places()).unwrap_or(0);
        let sign = if self.minor < 0 { "-" } else { "" };
        let digits = format!("{:0width$}", self.minor.unsigned_abs(), width = places + 1);
        let (whole, decimals) = digits.split_at(digits.len() - places);
        if places == 0 { format!("{sign}{whole}") } else { format!("{sign}{whole}.{decimals}") }
    }

    /// Reads an amount written in this currency.
    ///
    /// # Errors
    ///
    /// [`MoneyError::NotAnAmount`] when the text is no plain decimal or has fractions of the smallest unit.
    ///
    /// ```
    /// use kernel::Money;
    /// let dollars = "USD".parse()?;
    /// assert_eq!(Money::parse("12.3", dollars)?.minor(), 1230);
    /// assert!(Money::parse("12.345", dollars).is_err());
    /// # Ok::<(), kernel::MoneyError>(())
    /// ```
    pub fn parse(text: &str, currency: Currency) -> Result<Self, MoneyError> {
        let refused = || MoneyError::NotAnAmount(crate::text::shortened(text), currency);
        let value: Exact = text.parse().map_err(|_| refused())?;
        let amount = Self::from_exact(value, currency)?;
        let back = Exact::of(amount.minor.into()).over(currency.smallest_per_unit())?;
        if back == value { Ok(amount) } else { Err(refused()) }
    }
}

impl fmt::Display for Money {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(formatter, "{} {}", self.amount_text(), self.currency)
    }
}

impl fmt::Debug for Money {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, formatter)
    }
}

/// The JSON form: an object with the amount as text and the currency's code.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct MoneyText {
    amount: String,
    currency: Currency,
}

impl Serialize for Money {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        MoneyText { amount: self.amount_text(), currency: self.currency }.serialize(serializer)
    }
}

impl<'de> Deserialize<'de> for Money {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let text = MoneyText::deserialize(deserializer)?;
        Self::parse(&text.amount, text.currency).map_err(serde::de::Error::custom)
    }
}
