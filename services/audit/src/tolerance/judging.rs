//! Whether a scale and its check lie within a tolerance.

use kernel::Fixed;
use serde::{Deserialize, Serialize};

use super::{Allowance, AtAllowance, PercentBase, Reach, ToleranceRule};
use crate::check_scale::CheckMeasure;
use crate::sample::PERCENT_PLACES;
use crate::{Number, StatisticError};

/// What a tolerance makes of a difference.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum CheckOutcome {
    /// It is within.
    Within,
    /// It lies as far out as would trip, in a direction for which nothing is provided.
    NotProvidedFor,
    /// It trips.
    Beyond,
}

impl CheckOutcome {
    /// The name, as in JSON.
    ///
    /// ```
    /// assert_eq!(audit::CheckOutcome::NotProvidedFor.name(), "not_provided_for");
    /// ```
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Within => "within",
            Self::NotProvidedFor => "not_provided_for",
            Self::Beyond => "beyond",
        }
    }
}

/// A difference held to its limit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Finding {
    /// Of what.
    pub measure: CheckMeasure,
    /// The scale that is checked.
    pub original: Fixed,
    /// The check.
    pub check: Fixed,
    /// The check less the original.
    pub difference: Fixed,
    /// The difference in percent of the original, to four decimals; none where the original is nothing.
    pub percent_of_original: Option<Fixed>,
    /// The same in percent of the check.
    pub percent_of_check: Option<Fixed>,
    /// What is allowed, in percent, to four decimals.
    pub limit_percent: Fixed,
    /// What of it.
    pub outcome: CheckOutcome,
}

/// Holds a scale and its check to every limit of a tolerance. All comparisons are of exact fractions; only what is shown
/// is rounded. No difference at all never trips.
///
/// `original` and `check` are (gross, net) of the same timber. The percentage of defect is the checker's:
/// (gross - net) / gross.
///
/// # Errors
///
/// [`StatisticError::TooLarge`].
///
/// ```
/// use audit::{CheckOutcome, PublishedTolerance, judge};
/// use kernel::Fixed;
/// let bf = |feet: i64| Fixed::whole(feet);
/// // Constructed: a check of 212,000 board feet over an original of 200,000 is 6 percent over it.
/// let rule = PublishedTolerance::AdjustedFromFivePercent.rule();
/// let found = judge(&rule, (bf(200_000)?, bf(200_000)?), (bf(212_000)?, bf(212_000)?))?;
/// assert_eq!((found[0].outcome, found[0].difference), (CheckOutcome::Beyond, bf(12_000)?));
/// assert_eq!(found[0].percent_of_original, Some(bf(6)?));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn judge(
    rule: &ToleranceRule,
    original: (Fixed, Fixed),
    check: (Fixed, Fixed),
) -> Result<Vec<Finding>, StatisticError> {
    let defect = defect_percent(check)?;
    let gross = rule.gross.map(|allowance| (CheckMeasure::Gross, allowance, original.0, check.0));
    let net = rule.net.map(|allowance| (CheckMeasure::Net, allowance, original.1, check.1));
    gross
        .into_iter()
        .chain(net)
        .map(|(measure, allowance, original, check)| {
            let limit = allowance.limit(&defect)?;
            finding(rule, measure, &limit, original, check)
        })
        .collect()
}

fn defect_percent((gross, net): (Fixed, Fixed)) -> Result<Number, StatisticError> {
    if gross.is_zero() {
        return Ok(Number::whole(0));
    }
    let lost = Number::from(gross).minus(&net.into());
    lost.times(&Number::whole(100)).over(&gross.into())
}

impl Allowance {
    /// What is allowed, in percent, where the checker found so much defect.
    fn limit(self, defect_percent: &Number) -> Result<Number, StatisticError> {
        match self {
            Self::Percent(percent) => Ok(percent.fixed().into()),
            Self::ByDefect(by) if *defect_percent <= by.sound_to.fixed().into() => {
                Ok(by.sound.fixed().into())
            }
            Self::ByDefect(by) => {
                let grown = defect_percent.times(&by.of_defect.fixed().into()).over(&Number::whole(100))?;
                Ok(grown.min(by.most.fixed().into()))
            }
        }
    }
}

fn finding(
    rule: &ToleranceRule,
    measure: CheckMeasure,
    limit: &Number,
    original: Fixed,
    check: Fixed,
) -> Result<Finding, StatisticError> {
    let difference = Number::from(check).minus(&original.into());
    let percent_of = |base: Fixed| {
        let percent = difference.times(&Number::whole(100)).over(&base.into());
        percent.and_then(|percent| percent.shown(PERCENT_PLACES)).ok()
    };
    let base: Number = match rule.base {
        PercentBase::Original => original.into(),
        PercentBase::Check => check.into(),
    };
    let (far, allowed) = (difference.magnitude().times(&Number::whole(100)), limit.times(&base));
    let trips = match rule.at_limit {
        AtAllowance::Within => far > allowed,
        AtAllowance::Beyond => far >= allowed,
    };
    let outcome = match (trips && !difference.is_zero(), rule.reach) {
        (false, _) => CheckOutcome::Within,
        (true, Reach::CheckAbove) if check < original => CheckOutcome::NotProvidedFor,
        (true, _) => CheckOutcome::Beyond,
    };
    Ok(Finding {
        measure,
        original,
        check,
        difference: difference.shown(6)?,
        percent_of_original: percent_of(original),
        percent_of_check: percent_of(check),
        limit_percent: limit.shown(PERCENT_PLACES)?,
        outcome,
    })
}
