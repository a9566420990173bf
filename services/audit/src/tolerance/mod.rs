//! How far a check scale may lie from the scale it checks before anything follows: what is compared, how far, whether
//! the limit itself trips, and what then follows.

mod judging;
mod percent;
mod published;

pub use judging::{CheckOutcome, Finding, judge};
pub use percent::{AllowedPercent, AllowedPercentError};
pub use published::{PublishedTolerance, ToleranceFacts};

use serde::{Deserialize, Serialize};

/// The tolerance that a contract states: a published one by our name for it, or one of its own.
///
/// ```
/// use audit::{CheckTolerance, PublishedTolerance};
/// let published: CheckTolerance = serde_json::from_str(r#"{"published": "replaced_beyond_ten_percent"}"#)?;
/// assert_eq!(published, CheckTolerance::Published(PublishedTolerance::ReplacedBeyondTenPercent));
/// let own: CheckTolerance = serde_json::from_str(
///     r#"{"own": {"net": {"percent": "3"}, "at_limit": "within", "base": "check", "reach": "either",
///         "follows": "adjust_by_difference"}}"#,
/// )?;
/// assert!(own.rule().net.is_some());
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum CheckTolerance {
    /// A published one.
    Published(PublishedTolerance),
    /// One that the contract's own words make.
    Own(ToleranceRule),
}

impl CheckTolerance {
    /// What it says, spelled out.
    #[must_use]
    pub fn rule(&self) -> ToleranceRule {
        match self {
            Self::Published(published) => published.rule(),
            Self::Own(rule) => *rule,
        }
    }
}

/// A tolerance spelled out. At least one of gross and net is limited.
///
/// ```
/// use audit::ToleranceRule;
/// let nothing = r#"{"at_limit": "within", "base": "check", "reach": "either", "follows": "nothing"}"#;
/// assert!(serde_json::from_str::<ToleranceRule>(nothing).is_err());
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(try_from = "SentRule")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct ToleranceRule {
    /// How far gross scale may differ; absent, gross is not held to anything.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub gross: Option<Allowance>,
    /// How far net scale may differ; absent, net is not held to anything.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub net: Option<Allowance>,
    /// Whether a difference of exactly the limit trips.
    pub at_limit: AtAllowance,
    /// What the percentage is of. Both percentages stay in the record.
    pub base: PercentBase,
    /// In which direction it reaches.
    pub reach: Reach,
    /// What follows when it trips.
    pub follows: Consequence,
}

/// The form in which a rule comes.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct SentRule {
    #[serde(default)]
    gross: Option<Allowance>,
    #[serde(default)]
    net: Option<Allowance>,
    at_limit: AtAllowance,
    base: PercentBase,
    reach: Reach,
    follows: Consequence,
}

impl TryFrom<SentRule> for ToleranceRule {
    type Error = NothingLimited;

    fn try_from(sent: SentRule) -> Result<Self, NothingLimited> {
        let SentRule { gross, net, at_limit, base, reach, follows } = sent;
        if gross.is_none() && net.is_none() {
            return Err(NothingLimited);
        }
        Ok(Self { gross, net, at_limit, base, reach, follows })
    }
}

/// A tolerance that limits neither gross nor net.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error("it limits neither gross nor net: state at least one of them")]
pub struct NothingLimited;

/// How far a scale may differ.
///
/// ```
/// let flat: audit::Allowance = serde_json::from_str(r#"{"percent": "1.5"}"#)?;
/// assert!(matches!(flat, audit::Allowance::Percent(_)));
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum Allowance {
    /// By so many percent.
    Percent(AllowedPercent),
    /// By more where there is more defect.
    ByDefect(ByDefect),
}

/// An allowance that grows with the defect that the checker found: timber with much defect is harder to scale.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct ByDefect {
    /// Timber with this percentage of defect or less counts as sound.
    pub sound_to: AllowedPercent,
    /// What is allowed for sound timber.
    pub sound: AllowedPercent,
    /// What is allowed beyond that: this much, in percent, of the percentage of defect.
    pub of_defect: AllowedPercent,
    /// And never more than this.
    pub most: AllowedPercent,
}

/// Whether a difference of exactly the limit trips.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum AtAllowance {
    /// It is still within: only more than the limit trips.
    Within,
    /// It trips.
    Beyond,
}

/// What the percentage of a difference is of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum PercentBase {
    /// The scale that is checked.
    Original,
    /// The check scale.
    Check,
}

/// In which direction a tolerance reaches.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum Reach {
    /// Both: the check may lie above or below.
    Either,
    /// Only where the check is above the original. For a check that lies as far below, nothing is provided.
    CheckAbove,
}

/// What follows when a tolerance trips.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum Consequence {
    /// The volume is adjusted by the difference.
    AdjustByDifference,
    /// The timber is scaled again.
    ScaleAgain,
    /// The check scale takes the place of the original.
    Replace,
    /// Nothing for the volume; it is talked over with the scaler.
    Nothing,
}

impl Consequence {
    /// The same in words.
    ///
    /// ```
    /// assert_eq!(audit::Consequence::ScaleAgain.says(), "the timber is to be scaled again");
    /// ```
    #[must_use]
    pub const fn says(self) -> &'static str {
        match self {
            Self::AdjustByDifference => "the volume is to be adjusted by the difference",
            Self::ScaleAgain => "the timber is to be scaled again",
            Self::Replace => "the check scale takes the place of the original",
            Self::Nothing => "nothing follows for the volume; talk it over with the scaler",
        }
    }
}
