//! How a contract has its logs scaled.

mod check;
mod own_table;
mod rule;
mod terms;
mod words;

use kernel::{Exact, Rounding, VolumeUnit};
use serde::{Deserialize, Deserializer, Serialize, Serializer};

pub use own_table::{TableByHalves, TableTerm};
pub use rule::LogRule;
pub use terms::{AssumedTaper, LeastBoard, LeastTop, MetricTerms};
pub use words::{
    AtLimit, Division, Estimates, LengthMultiple, MeasuringSystem, OddTaper, OverLong, SmallTop, Sources,
};

use super::{FirstHalf, InchRounding, grade_only};
use crate::rules::AppliedRule;
use crate::{
    DefectKind, EditionName, Feet, Inches, KerfInches, RoundTo, RoundingTerm, RoundingWord, TrimInches,
    member,
};

/// How logs are scaled. Only the rule must be named; each other term has the default its line gives.
///
/// ```
/// use scaling::{LogPractice, LogRule, RuleName};
/// let practice: LogPractice = serde_json::from_str(r#"{"rule": "international-quarter-inch"}"#)?;
/// assert_eq!(practice.rule(), LogRule::Published(RuleName::InternationalQuarterInch));
/// let fractions = r#"{"rule": "scribner-decimal-c", "whole_inches": false}"#;
/// assert!(serde_json::from_str::<LogPractice>(fractions).is_err()); // a table has whole inches only
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(remote = "Self", deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct LogPractice {
    /// The log rule, or own-table.
    #[serde(deserialize_with = "member::rule")]
    pub(crate) rule: LogRule,
    /// The outfit's own table, with the rule own-table and only there. Its readings and lengths are rounded by the terms
    /// below and have to land on a row and a column. It takes no edition, sources or printed_cells_only, since all its
    /// cells are as the outfit filed them; volume_rounding by_rule leaves them as they are.
    #[serde(default, deserialize_with = "member::table", skip_serializing_if = "Option::is_none")]
    pub(crate) table: Option<TableTerm>,
    /// Which edition of the rule. Default: the first its facts list.
    #[serde(default, deserialize_with = "member::edition", skip_serializing_if = "Option::is_none")]
    pub(crate) edition: Option<EditionName>,
    /// What the rule and its table may rest on. Default any.
    #[serde(default, deserialize_with = "member::sources")]
    pub(crate) sources: Sources,
    /// The system the logs are measured in. Default inch_foot.
    #[serde(default, deserialize_with = "member::system")]
    pub(crate) system: MeasuringSystem,
    /// How readings are taken under the metric system; only there.
    #[serde(default, deserialize_with = "member::metric", skip_serializing_if = "Option::is_none")]
    pub(crate) metric: Option<MetricTerms>,
    /// How a single reading becomes a whole inch. Default half_up: a stick graduated at the half inch reads
    /// 9 1/2 as 10 (Idaho Board of Scaling Practices).
    #[serde(default = "half_up", deserialize_with = "member::one_reading")]
    pub(crate) one_reading: InchRounding,
    /// How the average of two readings becomes a whole inch. Default half_down: on an average the half is
    /// dropped (Idaho contest guide, 2016).
    #[serde(default = "half_down", deserialize_with = "member::two_readings")]
    pub(crate) two_readings: InchRounding,
    /// How each of two readings is rounded to a whole inch before they are averaged. Default: not at all. With
    /// "down" here and for one_reading and two_readings, fractions are dropped on each reading and again on the
    /// average, as bureaus of the Pacific west side do (from memory).
    #[serde(default, deserialize_with = "member::each_reading", skip_serializing_if = "Option::is_none")]
    pub(crate) each_reading: Option<Rounding>,
    /// Which way the first exact half of a ticket goes, where one_reading or two_readings is alternating. Default
    /// up.
    #[serde(default, deserialize_with = "member::first_half")]
    pub(crate) first_half: FirstHalf,
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
    /// The most trim, in inches; what becomes of a log past it, over_long says. Default: no such limit.
    #[serde(default, deserialize_with = "member::most_trim_in", skip_serializing_if = "Option::is_none")]
    pub(crate) most_trim_in: Option<TrimInches>,
    /// What becomes of a log past the most trim. Default next_class.
    #[serde(default, deserialize_with = "member::over_long")]
    pub(crate) over_long: OverLong,
    /// The longest scaling length taken as one log, in feet: 16, 20, 32 and 40 are usual, and "200" takes every log
    /// whole. Default "40" (the Forest Service's western longest).
    #[serde(default = "forty_feet", deserialize_with = "member::longest_scaling_length_ft")]
    pub(crate) longest_scaling_length_ft: Feet,
    /// How a longer log is divided. Default near_equal. A rule that is entered with the middle diameter cannot
    /// divide a log, since the middles of its segments are not measured.
    #[serde(default, deserialize_with = "member::division")]
    pub(crate) division: Division,
    /// The taper assumed for a log of several segments, or one cut back, whose large end was not measured. Default:
    /// none, so that such a log is a problem that names the missing measurement.
    #[serde(
        default,
        deserialize_with = "member::taper_in_per_feet",
        skip_serializing_if = "Option::is_none"
    )]
    pub(crate) taper_in_per_feet: Option<AssumedTaper>,
    /// Which way a segment's diameter goes to the whole inch. Default raised.
    #[serde(default, deserialize_with = "member::odd_taper")]
    pub(crate) odd_taper: OddTaper,
    /// The least top, as read. Default: none.
    #[serde(default, deserialize_with = "member::least_top", skip_serializing_if = "Option::is_none")]
    pub(crate) least_top: Option<LeastTop>,
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
    /// The saw kerf, in inches, that a squared defect is counted with: its board feet are width × height × length ÷
    /// (12 × (1 + kerf)), so "0.25" divides by 15 and "0.125" by 13.5. Default: the rule's own.
    #[serde(default, deserialize_with = "member::kerf_in", skip_serializing_if = "Option::is_none")]
    pub(crate) kerf_in: Option<KerfInches>,
    /// The least board that counts as saved beside or beyond a defect. Default: every remnant counts.
    #[serde(default, deserialize_with = "member::least_board", skip_serializing_if = "Option::is_none")]
    pub(crate) least_board: Option<LeastBoard>,
    /// Length cuts are raised to multiples of this many feet. Default: as they are written.
    #[serde(
        default,
        deserialize_with = "member::length_cut_multiple_ft",
        skip_serializing_if = "Option::is_none"
    )]
    pub(crate) length_cut_multiple_ft: Option<LengthMultiple>,
    /// Kinds of defect that lower the grade and take nothing off. Default: sound knots and spiral grain (Australian
    /// code of forest mensuration practice 2.2.5; the Forest Service's cubic handbook of 2002 has deductions for
    /// both, so contracts differ).
    #[serde(default = "grade_only::by_default", deserialize_with = "member::grade_only_kinds")]
    pub(crate) grade_only_kinds: Vec<DefectKind>,
    /// Whether a scaler's own estimate of a loss stands. Default refused.
    #[serde(default, deserialize_with = "member::estimates")]
    pub(crate) estimates: Estimates,
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

const fn half_up() -> InchRounding {
    InchRounding::HalfUp
}

const fn half_down() -> InchRounding {
    InchRounding::HalfDown
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
    pub const fn rule(&self) -> LogRule {
        self.rule
    }

    /// Whether logs are measured in inches and feet or in centimetres and metres.
    ///
    /// ```
    /// let practice: scaling::LogPractice = serde_json::from_str(r#"{"rule": "doyle"}"#)?;
    /// assert_eq!(practice.system(), scaling::MeasuringSystem::InchFoot);
    /// # Ok::<(), serde_json::Error>(())
    /// ```
    #[must_use]
    pub const fn system(&self) -> MeasuringSystem {
        self.system
    }

    /// The rule as papers name it beside a figure: with the edition where it has several, or the title and version of the
    /// outfit's own table.
    ///
    /// ```
    /// let practice: scaling::LogPractice = serde_json::from_str(r#"{"rule": "doyle", "edition": "half-down"}"#)?;
    /// assert_eq!(practice.rule_named(), "doyle (edition half-down)");
    /// let practice: scaling::LogPractice = serde_json::from_str(r#"{"rule": "scribner-decimal-c"}"#)?;
    /// assert_eq!(practice.rule_named(), "scribner-decimal-c");
    /// # Ok::<(), serde_json::Error>(())
    /// ```
    #[must_use]
    pub fn rule_named(&self) -> String {
        match (self.rule, self.table.as_ref().and_then(TableTerm::filed)) {
            (LogRule::Published(rule), _) => rule.named(self.edition),
            (LogRule::OwnTable, Some(filed)) => {
                format!("own table {}, version {}", filed.table.heading().title, filed.version)
            }
            (LogRule::OwnTable, None) => self.rule.to_string(),
        }
    }

    /// What its logs are scaled by.
    pub(crate) fn applied(&self) -> AppliedRule<'_> {
        match self.rule {
            LogRule::Published(rule) => AppliedRule::Published(rule),
            LogRule::OwnTable => AppliedRule::OwnTable(self.table.as_ref().and_then(TableTerm::filed)),
        }
    }

    /// Whether it names its own table by the id alone.
    pub(crate) fn awaits_its_table(&self) -> bool {
        matches!(self.applied(), AppliedRule::OwnTable(None))
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
        self.whole_inches.unwrap_or_else(|| self.applied().whole_inches())
    }

    /// How a reading, or the average of two, becomes a whole inch; none where readings are kept.
    pub(crate) fn inch_rounding(&self, two: bool) -> Option<InchRounding> {
        self.whole_inches().then_some(if two { self.two_readings } else { self.one_reading })
    }

    /// How a diameter that is worked out and not read becomes a whole inch. It takes no turn among the halves of
    /// the ticket: where those alternate, its own half is dropped.
    pub(crate) fn worked_out_rounding(&self) -> Option<RoundTo> {
        let mode = self.one_reading.fixed().unwrap_or(Rounding::HalfDown);
        self.whole_inches().then_some(RoundTo::fixed(Exact::ONE, mode))
    }

    /// How a diameter less a ring of bad wood is rounded. A table has rows and nothing between them, so under a metric
    /// contract it is rounded as the readings are.
    pub(crate) fn cut_rounding(&self) -> Option<RoundTo> {
        match (self.applied(), self.system) {
            (AppliedRule::OwnTable(_), MeasuringSystem::Metric) => self.metric?.diameter_rounding_cm,
            _ => self.worked_out_rounding(),
        }
    }

    /// How a segment's diameter becomes a whole inch.
    pub(crate) fn taper_rounding(&self) -> Option<RoundTo> {
        let mode = match self.odd_taper {
            OddTaper::Raised => Rounding::Up,
            OddTaper::Dropped => Rounding::Down,
        };
        self.whole_inches().then_some(RoundTo::fixed(Exact::ONE, mode))
    }

    /// The unit the volumes come in.
    pub(crate) fn volume_unit(&self) -> Option<VolumeUnit> {
        match self.system {
            MeasuringSystem::Metric => Some(VolumeUnit::CubicMetre),
            MeasuringSystem::InchFoot => self.unit.or_else(|| self.applied().own_unit()),
        }
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
        let applied = self.applied();
        let by_rule = self.volume_unit() == Some(VolumeUnit::BoardFoot) && !applied.solid();
        let named = |term: RoundingTerm| match term {
            RoundingTerm::Word(RoundingWord::ByRule) => by_rule,
            RoundingTerm::Word(RoundingWord::None) => false,
            RoundingTerm::To(round_to) => round_to.step().fixed().is_ok(),
        };
        // The cells of an own table are decimals of six places at the most, so they end by themselves.
        let of_cells = matches!(applied, AppliedRule::OwnTable(_))
            && matches!(self.volume_rounding, RoundingTerm::Word(_));
        (of_cells || named(self.volume_rounding)) && named(self.deduction_rounding)
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
