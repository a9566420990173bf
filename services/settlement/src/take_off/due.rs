//! What would be kept back this week if the pay allows it.

use kernel::{Exact, Money, MoneyError};
use serde::{Deserialize, Serialize};

use crate::{Amount, Percent};

/// A contract's holdback: a part of each settlement that is kept until it is released.
///
/// ```
/// let terms: settlement::HoldbackTerms = serde_json::from_str(r#"{"percent": "10", "cap": "250.00"}"#)?;
/// assert_eq!(terms.cap.map(|cap| cap.to_string()), Some("250".to_owned()));
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct HoldbackTerms {
    /// The part kept of what the contract pays a member.
    pub percent: Percent,
    /// The most that is held of one member under the contract, in the outfit's currency; absent, there is no such
    /// limit.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cap: Option<Amount>,
}

/// How an advance is recovered.
///
/// ```
/// use settlement::Recovery;
/// let plan: Recovery = serde_json::from_str(r#"{"by": "most_a_week", "amount": "25.00"}"#)?;
/// assert!(matches!(plan, Recovery::MostAWeek { .. }));
/// assert_eq!(serde_json::from_str::<Recovery>(r#"{"by": "whole"}"#)?, Recovery::default());
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "by", rename_all = "snake_case", deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum Recovery {
    /// All that is outstanding, as soon as pay allows.
    // With braces, because members that do not belong would be let pass without them.
    Whole {},
    /// At most this much from one settlement, in the outfit's currency.
    MostAWeek {
        /// The most.
        amount: Amount,
    },
    /// At most this part of a settlement's pay.
    PartOfPay {
        /// The part.
        percent: Percent,
    },
}

impl Default for Recovery {
    fn default() -> Self {
        Self::Whole {}
    }
}

/// What a contract's holdback keeps of what it pays a member in a settlement.
///
/// `paid` may be below zero, when an adjustment takes pay back; then the holdback gives its part of that back. What is
/// held in all stays between nothing and the cap. Rounded once, exact halves away from zero.
///
/// # Errors
///
/// [`MoneyError`] when currencies are mixed or a sum is too large.
///
/// ```
/// use kernel::Money;
/// use settlement::{HoldbackTerms, holdback_due};
/// let terms: HoldbackTerms = serde_json::from_str(r#"{"percent": "10", "cap": "50.00"}"#)?;
/// let cents = |minor| Ok::<_, kernel::MoneyError>(Money::from_minor(minor, "USD".parse()?));
/// assert_eq!(holdback_due(&terms, cents(12_345)?, cents(0)?)?, cents(1_235)?); // 12.345
/// assert_eq!(holdback_due(&terms, cents(12_345)?, cents(4_500)?)?, cents(500)?); // the cap
/// assert_eq!(holdback_due(&terms, cents(-10_000)?, cents(300)?)?, cents(-300)?); // no more than is held
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn holdback_due(terms: &HoldbackTerms, paid: Money, held: Money) -> Result<Money, MoneyError> {
    let part = part_of(terms.percent, paid)?;
    let least = held.negated()?;
    let most = match terms.cap {
        Some(cap) => at_least_nothing(Money::from_exact(cap.exact(), paid.currency())?.minus(held)?),
        None => part,
    };
    Ok(if part.minor() > most.minor() {
        most
    } else if part.minor() < least.minor() {
        least
    } else {
        part
    })
}

/// What is due of an advance in a settlement that pays `pay`.
///
/// # Errors
///
/// [`MoneyError`] when currencies are mixed or a sum is too large.
///
/// ```
/// use kernel::Money;
/// use settlement::{Recovery, recovery_due};
/// let cents = |minor| Ok::<_, kernel::MoneyError>(Money::from_minor(minor, "USD".parse()?));
/// let plan: Recovery = serde_json::from_str(r#"{"by": "most_a_week", "amount": "25"}"#)?;
/// assert_eq!(recovery_due(plan, cents(6_000)?, cents(20_000)?)?, cents(2_500)?);
/// assert_eq!(recovery_due(plan, cents(1_000)?, cents(20_000)?)?, cents(1_000)?);
/// let part = Recovery::PartOfPay { percent: serde_json::from_str("\"20\"")? };
/// assert_eq!(recovery_due(part, cents(6_000)?, cents(20_000)?)?, cents(4_000)?);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn recovery_due(plan: Recovery, outstanding: Money, pay: Money) -> Result<Money, MoneyError> {
    let most = match plan {
        Recovery::Whole {} => outstanding,
        Recovery::MostAWeek { amount } => Money::from_exact(amount.exact(), outstanding.currency())?,
        Recovery::PartOfPay { percent } => at_least_nothing(part_of(percent, pay)?),
    };
    Ok(if most.minor() < outstanding.minor() { most } else { outstanding })
}

fn part_of(percent: Percent, amount: Money) -> Result<Money, MoneyError> {
    let hundredths = Exact::of(amount.minor().into()).times(percent.exact())?.over(Exact::of(100))?;
    let unit = Exact::of(10_i128.pow(amount.currency().places()));
    Money::from_exact(hundredths.over(unit)?, amount.currency())
}

fn at_least_nothing(amount: Money) -> Money {
    if amount.minor() < 0 { Money::zero(amount.currency()) } else { amount }
}
