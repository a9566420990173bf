//! What a contract says about scaling: every term has a documented default.

mod hewn;
mod log;
mod tie;

use serde::{Deserialize, Serialize};

pub use hewn::{Content, HewnPractice, HewnUnit, WaneTreatment};
pub use log::{LengthMultiple, LogPractice};
pub use tie::{TieClass, TiePractice};

use crate::{RuleName, member};

/// How the pieces of a contract are scaled. A kind of piece that is left out cannot be scaled under the
/// contract; a pole needs no practice, since it goes by its length.
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
#[serde(deny_unknown_fields)]
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
    /// A most trim below the least.
    #[error("most_trim_in: it is less than least_trim_in")]
    Trim,
    /// A share outside 0 to 1.
    #[error("cull_share: write a share of at least 0 and at most 1, such as \"1/3\"")]
    CullShare,
    /// No classes, or too many.
    #[error("classes: {0} classes are given; write at least 1 and at most 30")]
    ClassCount(usize),
    /// Two classes of one name.
    #[error("classes: {0} stands twice; give each class its own name")]
    ClassTwice(String),
    /// A class no tie can ever get.
    #[error(
        "classes: no tie can reach {hidden}, since every tie that meets it already meets {by} before it; \
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
            Self::Trim => "most-trim-below-least",
            Self::CullShare => "cull-share-out-of-bounds",
            Self::ClassCount(_) => "class-count",
            Self::ClassTwice(_) => "class-named-twice",
            Self::ClassHidden { .. } => "class-never-reached",
        }
    }
}
