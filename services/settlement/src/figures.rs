//! The figures of a line, and how they fall to payees.

use kernel::{Currency, Exact, Fixed, Money, MoneyError, WorkerId};
use serde::{Deserialize, Serialize};

use crate::Payee;

/// A member's part in a crew's pay.
///
/// ```
/// let share: settlement::Share = serde_json::from_str(
///     r#"{"worker": "0197a000-0000-7000-8000-000000000001", "parts": "1.5"}"#,
/// )?;
/// assert_eq!(share.parts.to_string(), "1.5");
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct Share {
    /// The member.
    pub worker: WorkerId,
    /// His parts, agreed or by hours; what they are out of is the sum over the crew.
    pub parts: Exact,
}

/// What one payee has of an amount.
///
/// ```
/// use kernel::Money;
/// use settlement::{Payee, PayeeAmount};
/// let payee = Payee::Worker("0197a000-0000-7000-8000-000000000001".parse()?);
/// let share = PayeeAmount { payee, amount: Money::from_minor(1156, "USD".parse()?) };
/// assert_eq!(share.amount.amount_text(), "11.56");
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct PayeeAmount {
    /// The payee.
    pub payee: Payee,
    /// His share.
    pub amount: Money,
}

/// The figures of a line: as they stand, as they stood, or the difference.
///
/// ```
/// let none = settlement::Figures::nothing("USD".parse()?);
/// assert!(none.is_nothing());
/// # Ok::<(), kernel::MoneyError>(())
/// ```
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct Figures {
    /// How much work, in the unit that the rate counts.
    pub quantity: Fixed,
    /// How many pieces.
    pub pieces: i64,
    /// The money.
    pub amount: Money,
    /// The money by payee; sums to the amount.
    pub by_payee: Vec<PayeeAmount>,
}

impl Figures {
    /// No work and no money.
    ///
    /// ```
    /// assert_eq!(settlement::Figures::nothing("USD".parse()?).pieces, 0);
    /// # Ok::<(), kernel::MoneyError>(())
    /// ```
    #[must_use]
    pub const fn nothing(currency: Currency) -> Self {
        Self { quantity: Fixed::ZERO, pieces: 0, amount: Money::zero(currency), by_payee: Vec::new() }
    }

    /// Whether every figure is zero, whoever is named.
    ///
    /// ```
    /// let mut figures = settlement::Figures::nothing("USD".parse()?);
    /// figures.pieces = 1;
    /// assert!(!figures.is_nothing());
    /// # Ok::<(), kernel::MoneyError>(())
    /// ```
    #[must_use]
    pub fn is_nothing(&self) -> bool {
        self.quantity.is_zero()
            && self.pieces == 0
            && self.amount.is_zero()
            && self.by_payee.iter().all(|share| share.amount.is_zero())
    }

    /// Whether the payees' shares sum to the amount.
    ///
    /// # Errors
    ///
    /// [`MoneyError`] when currencies are mixed or the sum is too large.
    ///
    /// ```
    /// let mut figures = settlement::Figures::nothing("USD".parse()?);
    /// figures.amount = kernel::Money::from_minor(1, "USD".parse()?);
    /// assert!(!figures.foot()?);
    /// # Ok::<(), kernel::MoneyError>(())
    /// ```
    pub fn foot(&self) -> Result<bool, MoneyError> {
        let mut sum = Money::zero(self.amount.currency());
        for share in &self.by_payee {
            sum = sum.plus(share.amount)?;
        }
        Ok(sum == self.amount)
    }
}
