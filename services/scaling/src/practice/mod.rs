//! What a contract says about scaling: every term has a documented default.

pub(crate) mod grade_only;
mod hewn;
mod inch_rounding;
mod log;
mod nominal_sticks;
mod pole;
mod ranked_pile;
mod sent;
mod tie;
mod tolerances;

use serde::{Deserialize, Deserializer, Serialize, Serializer};

pub use hewn::{Content, HewnPractice, HewnUnit, WaneTreatment};
pub use inch_rounding::{FirstHalf, InchRounding};
pub use log::{
    AssumedTaper, AtLimit, Division, Estimates, LeastBoard, LeastTop, LengthMultiple, LogPractice, LogRule,
    MeasuringSystem, MetricTerms, OddTaper, OverLong, SmallTop, Sources, TableByHalves, TableTerm,
};
pub use nominal_sticks::{NominalSticksFeet, NominalSticksMetres, OtherSticks};
pub use pole::{PoleClass, PolePractice};
pub(crate) use ranked_pile::PileTerms;
pub use ranked_pile::{CordPractice, RankedPilePractice, StackedCubicMetrePractice};
pub use sent::SentPractice;
pub use tie::{TieClass, TiePractice};
pub use tolerances::{HewnTolerances, Limit, LimitError, TieTolerances};

use crate::{RuleName, member};

/// How the pieces of a contract are scaled. A kind of piece that is left out cannot be scaled under the
/// contract; a pole needs no practice, since it goes by its length where no classes are named.
///
/// ```
/// use scaling::Practice;
/// let practice: Practice =
///     serde_json::from_str(r#"{"log": {"rule": "doyle"}, "hewn_timber": {}, "tie": {}}"#)?;
/// assert!(practice.tie.is_some());
/// assert!(serde_json::from_str::<Practice>(r#"{"logs": {"rule": "doyle"}}"#).is_err());
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(remote = "Self", deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct Practice {
    /// How logs are scaled.
    #[serde(default, deserialize_with = "member::log", skip_serializing_if = "Option::is_none")]
    pub log: Option<LogPractice>,
    /// How hewn timbers are measured.
    #[serde(default, deserialize_with = "member::hewn_timber", skip_serializing_if = "Option::is_none")]
    pub hewn_timber: Option<HewnPractice>,
    /// How ties are classed.
    #[serde(default, deserialize_with = "member::tie", skip_serializing_if = "Option::is_none")]
    pub tie: Option<TiePractice>,
    /// How poles and piling are classed.
    #[serde(default, deserialize_with = "member::pole", skip_serializing_if = "Option::is_none")]
    pub pole: Option<PolePractice>,
    /// How ranked piles are measured.
    #[serde(default, deserialize_with = "member::ranked_pile", skip_serializing_if = "Option::is_none")]
    pub ranked_pile: Option<RankedPilePractice>,
}

impl Practice {
    /// Reads a practice that may name its own table by the id alone.
    fn as_sent<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        Self::deserialize(deserializer)
    }
}

impl Serialize for Practice {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        Self::serialize(self, serializer)
    }
}

impl<'de> Deserialize<'de> for Practice {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let practice = Self::as_sent(deserializer)?;
        match &practice.log {
            Some(log) if log.awaits_its_table() => Err(serde::de::Error::custom(PracticeError::OwnTable(
                "table",
                "an id alone will do only where terms are filed; write version and document too",
            ))),
            _ => Ok(practice),
        }
    }
}

/// Terms that do not go together.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum PracticeError {
    /// A rule that is not entered with what is measured on a log.
    #[error("rule: {0} cannot scale a ticket's logs: {1}")]
    NotALogRule(RuleName, &'static str),
    /// A table has no fractions of an inch.
    #[error("whole_inches: {0} is a table of whole inches; leave this out or write true")]
    WholeInchTable(RuleName),
    /// A table of even lengths.
    #[error("length_multiple_ft: {0} is a table of even lengths; leave this out or write \"2\"")]
    EvenLengthTable(RuleName),
    /// A term that only a table rule has.
    #[error("printed_cells_only: {0} is not a table; leave this out")]
    NotATable(RuleName),
    /// A unit the rule does not give.
    #[error("unit: {0} does not give that unit; {1}")]
    Unit(RuleName, &'static str),
    /// An edition the rule does not have.
    #[error("edition: {0} does not come in that edition; write {1}, or leave it out for the first")]
    Edition(RuleName, String),
    /// A rule that nothing printed was seen of, under a contract that asks for print.
    #[error("rule: {0} is from memory, and sources is print_only; name another rule, edition or unit")]
    FromMemory(RuleName),
    /// A term that does not go with an outfit's own table.
    #[error("{0}: {1}")]
    OwnTable(&'static str, &'static str),
    /// A term of the other measuring system.
    #[error("{0}: {1}; leave it out")]
    SystemTerm(&'static str, &'static str),
    /// Georgia's division goes by even feet.
    #[error("division: georgia divides by even feet; write length_multiple_ft \"2\" or another division")]
    GeorgiaEvenFeet,
    /// A most trim below the least.
    #[error("most_trim_in: it is less than least_trim_in")]
    Trim,
    /// A share outside 0 to 1.
    #[error("cull_share: write a share of at least 0 and at most 1, such as \"1/3\"")]
    CullShare,
    /// No classes, or too many.
    #[error("classes: {0} classes are given; write at least 1 and at most 30")]
    ClassCount(usize),
    /// No classes of poles, or too many.
    #[error("classes: {0} classes are given; write at least 1 and at most 60")]
    PoleClassCount(usize),
    /// Two classes of one name.
    #[error("classes: {0} stands twice; give each class its own name")]
    ClassTwice(String),
    /// A class no piece can ever get.
    #[error(
        "classes: no piece can reach {hidden}, since every one that meets it already meets {by} before it; \
            put larger sizes first"
    )]
    ClassHidden {
        /// The class that cannot be reached.
        hidden: String,
        /// The class before it.
        by: String,
    },
}

impl PracticeError {
    /// The problem of an edition that a rule does not have.
    pub(crate) fn edition(rule: RuleName) -> Self {
        Self::Edition(rule, rule.facts().edition_names())
    }

    /// The stable name of the problem.
    ///
    /// ```
    /// assert_eq!(scaling::PracticeError::Trim.code(), "most-trim-below-least");
    /// ```
    #[must_use]
    pub const fn code(&self) -> &'static str {
        match self {
            Self::NotALogRule(..) => "not-a-log-rule",
            Self::WholeInchTable(_) => "whole-inch-table",
            Self::EvenLengthTable(_) => "even-length-table",
            Self::NotATable(_) => "not-a-table",
            Self::Unit(..) => "unit-not-offered",
            Self::Edition(..) => "edition-not-offered",
            Self::FromMemory(_) => "from-memory",
            Self::OwnTable(..) => "own-table-term",
            Self::SystemTerm(..) => "term-of-the-other-system",
            Self::GeorgiaEvenFeet => "even-feet-division",
            Self::Trim => "most-trim-below-least",
            Self::CullShare => "cull-share-out-of-bounds",
            Self::ClassCount(_) | Self::PoleClassCount(_) => "class-count",
            Self::ClassTwice(_) => "class-named-twice",
            Self::ClassHidden { .. } => "class-never-reached",
        }
    }
}
