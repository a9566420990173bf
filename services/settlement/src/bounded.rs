//! Numbers that are held to a range when they are read.

use std::fmt;

use kernel::{Currency, Exact, Fixed, Money, MoneyError};
use serde::{Deserialize, Serialize};

/// A number outside its range.
///
/// ```
/// use settlement::Hours;
/// let error = Hours::try_from("169".parse::<kernel::Fixed>()?).unwrap_err();
/// assert_eq!(error.code(), "outside_range");
/// # Ok::<(), kernel::NumberTextError>(())
/// ```
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{value} is not {what}: write {range}")]
pub struct RangeError {
    value: Fixed,
    what: &'static str,
    range: &'static str,
}

impl RangeError {
    /// The stable code of the problem.
    ///
    /// ```
    /// use settlement::HourlyRate;
    /// let error = HourlyRate::try_from(kernel::Fixed::ZERO).unwrap_err();
    /// assert_eq!(error.code(), "outside_range");
    /// ```
    #[must_use]
    pub const fn code(&self) -> &'static str {
        "outside_range"
    }
}

/// The name in the API document: the type's own, unless another type there has it already.
#[cfg(feature = "openapi")]
macro_rules! schema_name {
    ($name:ident) => {
        stringify!($name)
    };
    ($name:ident $schema:literal) => {
        $schema
    };
}

macro_rules! bounded {
    ($($(#[$doc:meta])* $name:ident $(as $schema:literal)?: $what:literal, $range:literal, $above:expr, $most:expr;)+) => {$(
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
        #[serde(try_from = "Fixed", into = "Fixed")]
        pub struct $name(Fixed);

        impl $name {
            /// The number.
            #[must_use]
            pub const fn fixed(self) -> Fixed {
                self.0
            }

            /// The number, to compute with.
            #[must_use]
            pub fn exact(self) -> Exact {
                self.0.exact()
            }
        }

        impl TryFrom<Fixed> for $name {
            type Error = RangeError;

            fn try_from(value: Fixed) -> Result<Self, Self::Error> {
                if value.millionths() > $above && value.millionths() <= $most * Fixed::STEPS_PER_UNIT {
                    Ok(Self(value))
                } else {
                    Err(RangeError { value, what: $what, range: $range })
                }
            }
        }

        impl From<$name> for Fixed {
            fn from(value: $name) -> Self {
                value.0
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
                fmt::Display::fmt(&self.0, formatter)
            }
        }

        #[cfg(feature = "openapi")]
        impl utoipa::PartialSchema for $name {
            fn schema() -> utoipa::openapi::RefOr<utoipa::openapi::schema::Schema> {
                <Fixed as utoipa::PartialSchema>::schema()
            }
        }

        #[cfg(feature = "openapi")]
        impl utoipa::ToSchema for $name {
            fn name() -> std::borrow::Cow<'static, str> {
                schema_name!($name $($schema)?).into()
            }
        }
    )+};
}

bounded! {
    /// Hours of one week: from none to the 168 that a week has.
    ///
    /// ```
    /// let hours: settlement::Hours = serde_json::from_str("\"46.5\"")?;
    /// assert_eq!(hours.to_string(), "46.5");
    /// assert!(serde_json::from_str::<settlement::Hours>("\"-1\"").is_err());
    /// # Ok::<(), serde_json::Error>(())
    /// ```
    Hours: "a number of hours in a week", "0 to 168", -1, 168;
    /// Hours of one day: more than none, at most 24.
    ///
    /// ```
    /// assert!(serde_json::from_str::<settlement::DayHours>("\"0\"").is_err());
    /// assert!(serde_json::from_str::<settlement::DayHours>("\"24.25\"").is_err());
    /// ```
    DayHours: "a number of hours in a day", "more than 0 and at most 24", 0, 24;
    /// Money for an hour, in the outfit's currency: more than none, at most a million.
    ///
    /// ```
    /// let rate: settlement::HourlyRate = serde_json::from_str("\"7.25\"")?;
    /// assert_eq!(rate.exact(), kernel::Exact::fraction(29, 4));
    /// # Ok::<(), serde_json::Error>(())
    /// ```
    HourlyRate: "a rate for an hour", "more than 0 and at most 1000000", 0, 1_000_000;
    /// A part of a whole, in percent: more than none, at most all of it.
    ///
    /// ```
    /// let part: settlement::Percent = serde_json::from_str("\"12.5\"")?;
    /// assert_eq!(part.exact(), kernel::Exact::fraction(25, 2));
    /// # Ok::<(), serde_json::Error>(())
    /// ```
    Percent as "PartOfPay": "a part in percent", "more than 0 and at most 100", 0, 100;
    /// Money that somebody writes down, in the outfit's currency: more than none, at most a million millions.
    ///
    /// ```
    /// assert!(serde_json::from_str::<settlement::Amount>("\"12.50\"").is_ok());
    /// assert!(serde_json::from_str::<settlement::Amount>("\"0\"").is_err());
    /// ```
    Amount: "an amount of money", "more than 0 and at most 1000000000000", 0, 1_000_000_000_000;
}

impl Amount {
    /// The amount in a currency.
    ///
    /// # Errors
    ///
    /// [`MoneyError::NotAnAmount`] when it has fractions of the currency's smallest unit: nothing is rounded here.
    ///
    /// ```
    /// use settlement::Amount;
    /// let amount: Amount = serde_json::from_str("\"12.5\"")?;
    /// assert_eq!(amount.in_currency("USD".parse()?)?.to_string(), "12.50 USD");
    /// assert!(amount.in_currency("JPY".parse()?).is_err());
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn in_currency(self, currency: Currency) -> Result<Money, MoneyError> {
        Money::parse(&self.to_string(), currency)
    }
}
