//! What is added to weeks, stated again as the books now stand, against what was posted before.

use std::collections::{BTreeMap, BTreeSet};

use jiff::civil::Date;
use kernel::{Currency, Money, MoneyError, WorkerId};
use serde::{Deserialize, Serialize};

use crate::LineKind;

/// What can be added to a worker's week. The order is that of a statement.
///
/// ```
/// use settlement::Supplement;
/// assert!(Supplement::GuaranteeMakeUp < Supplement::OvertimePremium);
/// assert_eq!(Supplement::RestPay.name(), "rest_pay");
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum Supplement {
    /// Brings the pieces up to the guarantee.
    GuaranteeMakeUp,
    /// Brings the week up to the minimum.
    MinimumMakeUp,
    /// Pay for rest.
    RestPay,
    /// The premium for overtime.
    OvertimePremium,
}

impl Supplement {
    /// Every supplement, in order.
    ///
    /// ```
    /// assert_eq!(settlement::Supplement::ALL.len(), 4);
    /// ```
    pub const ALL: [Self; 4] =
        [Self::GuaranteeMakeUp, Self::MinimumMakeUp, Self::RestPay, Self::OvertimePremium];

    /// The name used in JSON and in the database.
    ///
    /// ```
    /// assert_eq!(settlement::Supplement::MinimumMakeUp.name(), "minimum_make_up");
    /// ```
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::GuaranteeMakeUp => "guarantee_make_up",
            Self::MinimumMakeUp => "minimum_make_up",
            Self::RestPay => "rest_pay",
            Self::OvertimePremium => "overtime_premium",
        }
    }
}

/// Whose supplement, and for which week.
///
/// ```
/// use settlement::{Supplement, SupplementKey};
/// let key = SupplementKey {
///     week: jiff::civil::date(2031, 6, 7),
///     worker: "0197a000-0000-7000-8000-000000000001".parse()?,
///     supplement: Supplement::OvertimePremium,
/// };
/// assert!(key > SupplementKey { supplement: Supplement::RestPay, ..key });
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct SupplementKey {
    /// The last day of the week it is for.
    pub week: Date,
    /// The worker.
    pub worker: WorkerId,
    /// What is added.
    pub supplement: Supplement,
}

/// The difference between what a supplement is now and what was posted of it.
///
/// ```
/// use std::collections::BTreeMap;
/// let week = jiff::civil::date(2031, 6, 7);
/// assert!(settlement::restate(week, "USD".parse()?, &BTreeMap::new(), &BTreeMap::new())?.is_empty());
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct SupplementLine {
    /// Regular for the settled week's own, an adjustment for an earlier one's.
    pub kind: LineKind,
    /// Whose, and for which week.
    pub key: SupplementKey,
    /// What is posted: `now` minus `formerly`.
    pub change: Money,
    /// As the books stand.
    pub now: Money,
    /// As was posted before.
    pub formerly: Money,
}

/// The lines that bring the supplements that were posted to what they are now, for every week up to and including
/// `week`, in the order of their keys. What has not changed has no line.
///
/// # Errors
///
/// [`MoneyError`] when currencies are mixed or a sum is too large.
///
/// ```
/// use std::collections::BTreeMap;
/// use kernel::Money;
/// use settlement::{LineKind, Supplement, SupplementKey, restate};
/// let dollars = "USD".parse()?;
/// let key = SupplementKey {
///     week: jiff::civil::date(2031, 6, 7),
///     worker: "0197a000-0000-7000-8000-000000000001".parse()?,
///     supplement: Supplement::OvertimePremium,
/// };
/// let posted = BTreeMap::from([(key, Money::from_minor(5_230, dollars))]);
/// // A correction took the premium down to 50.00 after the week was posted.
/// let now = BTreeMap::from([(key, Money::from_minor(5_000, dollars))]);
/// let lines = restate(jiff::civil::date(2031, 6, 14), dollars, &now, &posted)?;
/// assert_eq!((lines[0].kind, lines[0].change.minor()), (LineKind::Adjustment, -230));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn restate(
    week: Date,
    currency: Currency,
    now: &BTreeMap<SupplementKey, Money>,
    formerly: &BTreeMap<SupplementKey, Money>,
) -> Result<Vec<SupplementLine>, MoneyError> {
    let keys: BTreeSet<&SupplementKey> =
        now.keys().chain(formerly.keys()).filter(|key| key.week <= week).collect();
    let nothing = Money::zero(currency);
    let mut lines = Vec::new();
    for key in keys {
        let (now, before) = (now.get(key).copied(), formerly.get(key).copied());
        let change = now.unwrap_or(nothing).minus(before.unwrap_or(nothing))?;
        if change.is_zero() {
            continue;
        }
        let first_time = key.week == week && before.is_none();
        lines.push(SupplementLine {
            kind: if first_time { LineKind::Regular } else { LineKind::Adjustment },
            key: *key,
            change,
            now: now.unwrap_or(nothing),
            formerly: before.unwrap_or(nothing),
        });
    }
    Ok(lines)
}
