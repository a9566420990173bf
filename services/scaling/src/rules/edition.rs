//! Editions: where print or law give one rule in more than one form, each form has a name a contract can write.

use std::fmt;

use serde::{Deserialize, Serialize};

/// The name of an edition. Which rules have which stands in their [`RuleFacts`](crate::RuleFacts); the first
/// edition of a rule is the one taken where none is named.
///
/// ```
/// use scaling::EditionName;
/// assert_eq!(EditionName::HalfUp.to_string(), "half-up");
/// assert_eq!(serde_json::from_str::<EditionName>(r#""printing-1913""#)?, EditionName::Printing1913);
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum EditionName {
    /// The one form of a rule that has no other.
    #[default]
    Standard,
    /// As a statute writes it.
    Statute,
    /// As the printed tables agree best with.
    Print,
    /// An exact half goes up.
    HalfUp,
    /// An exact half is dropped.
    HalfDown,
    /// An exact half goes as a manual of 1913 prints it, cell by cell.
    #[serde(rename = "printing-1913")]
    Printing1913,
    /// By exact geometry.
    Geometric,
    /// By five sevenths of the diameter.
    FiveSevenths,
    /// By seventeen twenty-fourths of the diameter.
    SeventeenTwentyFourths,
    /// By a standard log of 19 inches.
    NineteenInch,
    /// By a standard log of 22 inches.
    TwentyTwoInch,
    /// A hundred units to the thousand board feet.
    Hundred,
    /// A hundred and six units to the thousand board feet.
    HundredSix,
    /// A hundred and fifteen units to the thousand board feet.
    HundredFifteen,
}

impl EditionName {
    /// The name used in JSON and in the working.
    ///
    /// ```
    /// assert_eq!(scaling::EditionName::TwentyTwoInch.name(), "twenty-two-inch");
    /// ```
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Standard => "standard",
            Self::Statute => "statute",
            Self::Print => "print",
            Self::HalfUp => "half-up",
            Self::HalfDown => "half-down",
            Self::Printing1913 => "printing-1913",
            Self::Geometric => "geometric",
            Self::FiveSevenths => "five-sevenths",
            Self::SeventeenTwentyFourths => "seventeen-twenty-fourths",
            Self::NineteenInch => "nineteen-inch",
            Self::TwentyTwoInch => "twenty-two-inch",
            Self::Hundred => "hundred",
            Self::HundredSix => "hundred-six",
            Self::HundredFifteen => "hundred-fifteen",
        }
    }
}

impl fmt::Display for EditionName {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.pad(self.name())
    }
}

/// One form of a rule.
///
/// ```
/// use scaling::{EditionName, RuleName};
/// let editions = RuleName::InternationalQuarterInch.facts().editions;
/// assert_eq!(editions.first().map(|edition| edition.name), Some(EditionName::Statute));
/// assert!(editions.iter().all(|edition| !edition.what.is_empty() && !edition.source.is_empty()));
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct Edition {
    /// Its name.
    pub name: EditionName,
    /// What sets it apart.
    pub what: &'static str,
    /// Where it is published.
    pub source: &'static str,
    /// Whether it is recalled and has not been checked against print.
    pub from_memory: bool,
}

/// The editions of a rule that has only one form. Whether that one is from memory, its facts say.
pub(super) const STANDARD: &[Edition] = &[ONLY];

pub(super) const ONLY: Edition = Edition {
    name: EditionName::Standard,
    what: "the only form of the rule",
    source: "as the rule's own",
    from_memory: false,
};
