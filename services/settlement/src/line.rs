//! What a settlement works on: entitlements, what was settled before, and the lines that bring one to the other.

use kernel::{DerivationId, Exact, Fixed};
use serde::{Deserialize, Serialize};

use crate::{AmountWorking, Figures, LineKey, RateSummary, SettleError, Share, SplitWorking};

/// What the books say now for one key.
///
/// ```
/// use settlement::{Entitlement, LineKey, RateSummary};
/// # let key = r#"{"week": "2031-06-07", "contract": "0197a000-0000-7000-8000-000000000001",
/// #     "terms": "0197a000-0000-7000-8000-000000000002", "rate": 0,
/// #     "side": {"side": "mill", "mill": "0197a000-0000-7000-8000-000000000003"}}"#;
/// # let rate = r#"{"name": "poles", "task": "delivery", "unit": "linear_foot", "basis": null, "price": "0.22"}"#;
/// # let (key, rate): (LineKey, RateSummary) = (serde_json::from_str(key)?, serde_json::from_str(rate)?);
/// let poles = Entitlement {
///     key,
///     rate,
///     quantity: "350".parse()?, // linear feet
///     pieces: 10,
///     derivations: vec!["0197a000-0000-7000-8000-000000000004".parse()?],
///     shares: vec![], // the mill's side
/// };
/// let lines = settlement::settle(key.week, "USD".parse()?, &[poles], &[])?;
/// assert_eq!(lines[0].now.amount.to_string(), "77.00 USD");
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Entitlement {
    /// What it is about.
    pub key: LineKey,
    /// What is said of the rate.
    pub rate: RateSummary,
    /// How much work, in the unit that the rate counts.
    pub quantity: Fixed,
    /// How many pieces.
    pub pieces: i64,
    /// The derivations that the quantity is the sum of; for time, the entries under their own ids.
    pub derivations: Vec<DerivationId>,
    /// The crew's shares in their fixed order, which also settles ties; empty on the mill's side and for time.
    pub shares: Vec<Share>,
}

/// The sum of everything posted so far for one key.
///
/// ```
/// use settlement::{Figures, Settled};
/// # let key = r#"{"week": "2031-06-07", "contract": "0197a000-0000-7000-8000-000000000001",
/// #     "terms": "0197a000-0000-7000-8000-000000000002", "rate": 0,
/// #     "side": {"side": "mill", "mill": "0197a000-0000-7000-8000-000000000003"}}"#;
/// # let rate = r#"{"name": "poles", "task": "delivery", "unit": "linear_foot", "basis": null, "price": "0.22"}"#;
/// let posted = Settled {
///     key: serde_json::from_str(key)?,
///     rate: serde_json::from_str(rate)?,
///     figures: Figures::nothing("USD".parse()?),
///     derivations: vec![],
/// };
/// assert_eq!(settlement::post(&[posted.clone()], &[])?, [posted]);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Settled {
    /// What it is about.
    pub key: LineKey,
    /// What is said of the rate.
    pub rate: RateSummary,
    /// The sums.
    pub figures: Figures,
    /// The derivations that were entered and not withdrawn.
    pub derivations: Vec<DerivationId>,
}

/// Why a line stands in the settlement.
///
/// ```
/// assert_eq!(serde_json::to_string(&settlement::LineKind::Adjustment)?, "\"adjustment\"");
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum LineKind {
    /// The settled week's own work, settled for the first time.
    Regular,
    /// Work of an earlier week, or work settled before that has changed since.
    Adjustment,
}

/// One line of a settlement: the difference between what the books say now and what was settled before.
///
/// ```
/// // Nothing earned, nothing settled: no lines.
/// let lines = settlement::settle(jiff::civil::date(2031, 6, 7), "USD".parse()?, &[], &[])?;
/// assert!(lines.is_empty());
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct Line {
    /// Why it is there.
    pub kind: LineKind,
    /// What it is about.
    pub key: LineKey,
    /// What is said of the rate.
    pub rate: RateSummary,
    /// What is posted: `now` minus `formerly`. Payees are those of `now`, then those of `formerly` alone.
    pub change: Figures,
    /// As the books stand.
    pub now: Figures,
    /// As was settled before this line.
    pub formerly: Figures,
    /// The shares that `now` was divided by, in their order; empty on the mill's side and for work withdrawn.
    pub shares: Vec<Share>,
    /// Derivations that count now and did not before, in order of their ids.
    pub entered: Vec<DerivationId>,
    /// Derivations that counted before and do not now, in order of their ids.
    pub withdrawn: Vec<DerivationId>,
}

/// How a line's present figures came about, for paper.
///
/// It comes from [`Line::explain`].
///
/// ```
/// use settlement::{LineWorking, RateUnit, explain_amount};
/// let amount = explain_amount("350".parse()?, "0.22".parse()?, RateUnit::LinearFoot, "USD".parse()?)?;
/// let owed_by_a_mill = LineWorking { amount, split: None };
/// assert_eq!(owed_by_a_mill.amount.exact.to_string(), "77");
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct LineWorking {
    /// How the quantity became the amount.
    pub amount: AmountWorking,
    /// How the amount was divided; none on the mill's side and for work withdrawn.
    pub split: Option<SplitWorking>,
}

impl Line {
    /// How [`Line::now`] came about.
    ///
    /// # Errors
    ///
    /// [`SettleError`], as when the line was made.
    ///
    /// ```
    /// # use settlement::{Entitlement, LineKey, settle};
    /// # let key = r#"{"week": "2031-06-07", "contract": "0197a000-0000-7000-8000-000000000001",
    /// #     "terms": "0197a000-0000-7000-8000-000000000002", "rate": 0,
    /// #     "side": {"side": "crew", "crew": "0197a000-0000-7000-8000-000000000003",
    /// #         "share_set": "0197a000-0000-7000-8000-000000000004"}}"#;
    /// # let rate = r#"{"name": "ties", "task": "hewing", "unit": "piece", "basis": null, "price": "0.48"}"#;
    /// # let shares = r#"[{"worker": "0197a000-0000-7000-8000-000000000005", "parts": "1"}]"#;
    /// # let key: LineKey = serde_json::from_str(key)?;
    /// # let entitlement = Entitlement {
    /// #     key, rate: serde_json::from_str(rate)?, quantity: "20".parse()?, pieces: 20, derivations: vec![],
    /// #     shares: serde_json::from_str(shares)?,
    /// # };
    /// let lines = settle(key.week, "USD".parse()?, &[entitlement], &[])?;
    /// let working = lines[0].explain()?;
    /// assert_eq!(working.amount.exact.to_string(), "9.6");
    /// assert_eq!(working.split.map(|split| split.shares.len()), Some(1));
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn explain(&self) -> Result<LineWorking, SettleError> {
        let RateSummary { price, unit, .. } = self.rate;
        let amount = crate::explain_amount(self.now.quantity, price, unit, self.now.amount.currency())?;
        let parts: Vec<Exact> = self.shares.iter().map(|share| share.parts).collect();
        let split = match parts.is_empty() {
            true => None,
            false => Some(
                crate::explain_split(self.now.amount, &parts)
                    .map_err(|why| SettleError::Split { key: self.key, why })?,
            ),
        };
        Ok(LineWorking { amount, split })
    }
}
