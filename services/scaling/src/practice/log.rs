//! How a contract has its logs scaled.

use kernel::{Exact, Rounding, VolumeUnit};
use serde::{Deserialize, Deserializer, Serialize, Serializer};

use super::PracticeError;
use crate::rules::Takes;
use crate::{Feet, Inches, RoundTo, RoundingTerm, RoundingWord, RuleName, TrimInches, member};

/// The steps in which logs are cut and scaled.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum LengthMultiple {
    /// Whole feet, odd lengths too: hardwood practice (common practice, no source).
    #[serde(rename = "1")]
    OneFoot,
    /// Even feet: S01, S02 of `scaling-practice` (Forest Service handbook; Idaho Board of Scaling Practices).
    #[default]
    #[serde(rename = "2")]
    TwoFeet,
}

impl LengthMultiple {
    /// The step in feet.
    ///
    /// ```
    /// assert_eq!(scaling::LengthMultiple::default().feet(), kernel::Exact::of(2));
    /// ```
    #[must_use]
    pub const fn feet(self) -> Exact {
        match self {
            Self::OneFoot => Exact::ONE,
            Self::TwoFeet => Exact::of(2),
        }
    }
}

/// How logs are scaled. Only the rule must be named; each other term has the default its line gives.
///
/// ```
/// use scaling::{LogPractice, RuleName};
/// let practice: LogPractice = serde_json::from_str(r#"{"rule": "international-quarter-inch"}"#)?;
/// assert_eq!(practice.rule(), RuleName::InternationalQuarterInch);
/// let fractions = r#"{"rule": "scribner-decimal-c", "whole_inches": false}"#;
/// assert!(serde_json::from_str::<LogPractice>(fractions).is_err()); // a table has whole inches only
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(remote = "Self", deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct LogPractice {
    /// The log rule.
    #[serde(deserialize_with = "member::rule")]
    pub(crate) rule: RuleName,
    /// How a single reading becomes a whole inch. Default half_up: a stick graduated at the half inch reads
    /// 9 1/2 as 10 (Idaho Board of Scaling Practices).
    #[serde(default = "half_up", deserialize_with = "member::one_reading")]
    pub(crate) one_reading: Rounding,
    /// How the average of two readings becomes a whole inch. Default half_down: on an average the half is
    /// dropped (Idaho contest guide, 2016).
    #[serde(default = "half_down", deserialize_with = "member::two_readings")]
    pub(crate) two_readings: Rounding,
    /// Whether diameters are taken in whole inches. Default: yes for board-foot rules, no for cubic rules,
    /// whose formula takes the reading as it is. A table rule cannot do without.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(crate) whole_inches: Option<bool>,
    /// Lengths are scaled in multiples of this many feet. Default "2" (Forest Service handbook, even feet).
    #[serde(default, deserialize_with = "member::length_multiple_ft")]
    pub(crate) length_multiple_ft: LengthMultiple,
    /// The least trim, in inches, that a log must have over its scaling length. Default "0": a log is never
    /// put in a shorter class, and its cutter docked, for a trim that nobody agreed.
    #[serde(default = "no_trim", deserialize_with = "member::least_trim_in")]
    pub(crate) least_trim_in: TrimInches,
    /// The most trim, in inches; past it the log goes up to the next length class. Default: no such limit.
    #[serde(default, deserialize_with = "member::most_trim_in", skip_serializing_if = "Option::is_none")]
    pub(crate) most_trim_in: Option<TrimInches>,
    /// The longest scaling length taken as one log, in feet. Default "40" (the Forest Service's western
    /// longest).
    #[serde(default = "forty_feet", deserialize_with = "member::longest_scaling_length_ft")]
    pub(crate) longest_scaling_length_ft: Feet,
    /// The least scaling diameter, in inches; below it the log is cull. Default: none.
    #[serde(
        default,
        deserialize_with = "member::least_diameter_in",
        skip_serializing_if = "Option::is_none"
    )]
    pub(crate) least_diameter_in: Option<Inches>,
    /// The least scaling length, in feet; below it the log is cull. Default: none.
    #[serde(default, deserialize_with = "member::least_length_ft", skip_serializing_if = "Option::is_none")]
    pub(crate) least_length_ft: Option<Feet>,
    /// A log whose net scale is less than this share of its gross is cull. Default "1/3" (common practice, no
    /// source).
    #[serde(default = "one_third", deserialize_with = "member::cull_share")]
    pub(crate) cull_share: Exact,
    /// Whether an inch of waste is added to each side of a squared defect. Default: no.
    #[serde(default)]
    pub(crate) waste_inch: bool,
    /// How the sum of the deductions is rounded, once. Default by_rule: to 10 board feet for Scribner Decimal
    /// C, to 1 for other board-foot rules, half up; not at all for cubic rules.
    #[serde(default = "RoundingTerm::by_rule", deserialize_with = "member::deduction_rounding")]
    pub(crate) deduction_rounding: RoundingTerm,
    /// How the gross volume is rounded. Default by_rule.
    #[serde(default = "RoundingTerm::by_rule", deserialize_with = "member::volume_rounding")]
    pub(crate) volume_rounding: RoundingTerm,
    /// Whether a table rule is held to its cells seen in print. Default: no; values from memory are marked
    /// so.
    #[serde(default)]
    pub(crate) printed_cells_only: bool,
    /// The unit, where the rule gives more than one. Default: cubic_foot for the rules that have a choice.
    #[serde(default, deserialize_with = "member::unit", skip_serializing_if = "Option::is_none")]
    pub(crate) unit: Option<VolumeUnit>,
}

const fn half_up() -> Rounding {
    Rounding::HalfUp
}

const fn half_down() -> Rounding {
    Rounding::HalfDown
}

const fn no_trim() -> TrimInches {
    TrimInches::known(0)
}

const fn forty_feet() -> Feet {
    Feet::known(40)
}

const fn one_third() -> Exact {
    Exact::fraction(1, 3)
}

impl LogPractice {
    /// The log rule.
    #[must_use]
    pub const fn rule(&self) -> RuleName {
        self.rule
    }

    /// Whether diameters are taken in whole inches.
    ///
    /// ```
    /// let practice: scaling::LogPractice = serde_json::from_str(r#"{"rule": "smalian"}"#)?;
    /// assert!(!practice.whole_inches());
    /// # Ok::<(), serde_json::Error>(())
    /// ```
    #[must_use]
    pub fn whole_inches(&self) -> bool {
        self.whole_inches.unwrap_or_else(|| self.rule.facts().whole_inches)
    }

    /// The rounding to a whole inch, or none where readings are kept.
    pub(crate) fn inch_rounding(&self, readings: usize) -> Option<RoundTo> {
        let mode = if readings > 1 { self.two_readings } else { self.one_reading };
        self.whole_inches().then_some(RoundTo::fixed(Exact::ONE, mode))
    }

    /// Whether every volume it makes ends within six decimals, as books that are paid by need it to.
    ///
    /// The board-foot rules bring their own roundings with them. For the rules of solid content, which have none,
    /// the contract must name both: where the volume is rounded, and where the deduction.
    ///
    /// ```
    /// use scaling::LogPractice;
    /// let doyle: LogPractice = serde_json::from_str(r#"{"rule": "doyle"}"#)?;
    /// assert!(doyle.names_its_roundings());
    /// let smalian: LogPractice = serde_json::from_str(r#"{"rule": "smalian"}"#)?;
    /// assert!(!smalian.names_its_roundings());
    /// let smalian: LogPractice = serde_json::from_str(
    ///     r#"{"rule": "smalian", "volume_rounding": {"step": "0.01", "mode": "half_up"},
    ///         "deduction_rounding": {"step": "0.01", "mode": "half_up"}}"#,
    /// )?;
    /// assert!(smalian.names_its_roundings());
    /// # Ok::<(), serde_json::Error>(())
    /// ```
    #[must_use]
    pub fn names_its_roundings(&self) -> bool {
        let facts = self.rule.facts();
        let unit = self.unit.or_else(|| facts.units.first().copied());
        let by_rule = unit == Some(VolumeUnit::BoardFoot) && !facts.solid;
        [self.volume_rounding, self.deduction_rounding].into_iter().all(|term| match term {
            RoundingTerm::Word(RoundingWord::ByRule) => by_rule,
            RoundingTerm::Word(RoundingWord::None) => false,
            RoundingTerm::To(round_to) => round_to.step().fixed().is_ok(),
        })
    }

    fn check(&self) -> Result<(), PracticeError> {
        let facts = self.rule.facts();
        match facts.takes {
            Takes::Girth => {
                return Err(PracticeError::NotALogRule(self.rule, "a log's document has no girth"));
            }
            Takes::WidthAndThickness => {
                return Err(PracticeError::NotALogRule(
                    self.rule,
                    "it is for squared timber; use hewn_timber",
                ));
            }
            _ => {}
        }
        if facts.is_table && self.whole_inches == Some(false) {
            return Err(PracticeError::WholeInchTable(self.rule));
        }
        if facts.is_table && self.length_multiple_ft == LengthMultiple::OneFoot {
            return Err(PracticeError::EvenLengthTable(self.rule));
        }
        if self.printed_cells_only && !facts.is_table {
            return Err(PracticeError::NotATable(self.rule));
        }
        if self.unit.is_some_and(|unit| !facts.units.contains(&unit) || unit == VolumeUnit::CubicMetre) {
            return Err(PracticeError::Unit(self.rule, "leave it out for the rule's own"));
        }
        if self.most_trim_in.is_some_and(|most| most < self.least_trim_in) {
            return Err(PracticeError::Trim);
        }
        if self.cull_share.is_negative() || self.cull_share > Exact::ONE {
            return Err(PracticeError::CullShare);
        }
        Ok(())
    }
}

impl Serialize for LogPractice {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        Self::serialize(self, serializer)
    }
}

impl<'de> Deserialize<'de> for LogPractice {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let practice = Self::deserialize(deserializer)?;
        practice.check().map_err(serde::de::Error::custom)?;
        Ok(practice)
    }
}
