//! What is known about a rule, as a list or a paper shows it.

use kernel::{Exact, VolumeUnit};
use serde::{Deserialize, Serialize};

use super::edition::ONLY;
use super::{Edition, EditionName, RuleName};

/// The sizes, besides the length, that a rule is entered with.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum Takes {
    /// The diameter of the small end.
    SmallEnd,
    /// The diameter of the small end and, past 12 feet, those of the further sections.
    SmallEndOfEachSection,
    /// The diameter at mid-length.
    Middle,
    /// The diameter at mid-length, or those of both ends, whose mean stands for it.
    MiddleOrEnds,
    /// The diameters of both ends.
    Ends,
    /// The diameters of both ends and of the middle.
    EndsAndMiddle,
    /// The girth at mid-length.
    Girth,
    /// The width and thickness of squared timber.
    WidthAndThickness,
}

/// What is known about a rule.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct RuleFacts {
    /// Its name.
    pub name: RuleName,
    /// Its name in words.
    pub title: &'static str,
    /// Which edition of the rule as coded here made a figure; it changes whenever a figure could change.
    pub edition: &'static str,
    /// Its editions: the forms in which print or law give it. The first is the one taken where a contract names
    /// none.
    #[cfg_attr(feature = "openapi", schema(value_type = Vec<Edition>))]
    pub editions: &'static [Edition],
    /// The sizes it is entered with.
    pub takes: Takes,
    /// Where those sizes are measured.
    pub measures: &'static str,
    /// The formula, or what the table is.
    pub formula: &'static str,
    /// The range in which it holds.
    pub range: &'static str,
    /// How it rounds.
    pub rounding: &'static str,
    /// Where it is or was law or custom.
    pub jurisdiction: &'static str,
    /// Where it is published.
    pub source: &'static str,
    /// Whether it is recalled and has not been checked against print.
    pub from_memory: bool,
    /// The units it gives; the first is the one taken unless another is asked for.
    #[cfg_attr(feature = "openapi", schema(value_type = Vec<VolumeUnit>))]
    pub units: &'static [VolumeUnit],
    /// Whether it is a table.
    pub is_table: bool,
    /// Whether diameters are by custom taken in whole inches before it is applied.
    pub whole_inches: bool,
    /// Whether its volume is solid content, with nothing taken out for sawdust.
    pub solid: bool,
    /// The saw kerf, in inches, that a squared defect is counted with: none out of solid content, the rule's own
    /// where it is named for one, and the handbook's quarter of an inch for every other rule.
    pub kerf_in: Exact,
}

/// Nothing is sawn.
pub(super) const NO_KERF: Exact = Exact::ZERO;
/// An eighth of an inch.
pub(super) const EIGHTH_INCH_KERF: Exact = Exact::fraction(1, 8);
/// A quarter of an inch, as the Forest Service's handbook deducts squared defect (from memory).
pub(super) const QUARTER_INCH_KERF: Exact = Exact::fraction(1, 4);

impl RuleFacts {
    /// The edition taken where none is named.
    ///
    /// ```
    /// use scaling::{EditionName, RuleName};
    /// assert_eq!(RuleName::Doyle.facts().default_edition().name, EditionName::HalfUp);
    /// ```
    #[must_use]
    pub fn default_edition(&self) -> &'static Edition {
        self.editions.first().unwrap_or(&ONLY)
    }

    /// The edition of that name, or the default one for no name; none if the rule has no such edition.
    ///
    /// ```
    /// use scaling::{EditionName, RuleName};
    /// let doyle = RuleName::Doyle.facts();
    /// assert!(doyle.edition_named(Some(EditionName::HalfDown)).is_some());
    /// assert!(doyle.edition_named(Some(EditionName::Statute)).is_none());
    /// ```
    #[must_use]
    pub fn edition_named(&self, name: Option<EditionName>) -> Option<&'static Edition> {
        match name {
            None => Some(self.default_edition()),
            Some(name) => self.editions.iter().find(|edition| edition.name == name),
        }
    }

    /// The names of its editions, as a sentence lists them.
    pub(crate) fn edition_names(&self) -> String {
        self.editions.iter().map(|edition| edition.name.name()).collect::<Vec<_>>().join(", ")
    }

    /// Whether what the rule gives by this edition in this unit is recalled and was never checked against print.
    ///
    /// ```
    /// use kernel::VolumeUnit;
    /// use scaling::{EditionName, RuleName};
    /// let two_thirds = RuleName::TwoThirds.facts();
    /// assert!(!two_thirds.recalled(EditionName::Standard, None));
    /// assert!(two_thirds.recalled(EditionName::Standard, Some(VolumeUnit::BoardFoot)));
    /// ```
    #[must_use]
    pub fn recalled(&self, edition: EditionName, unit: Option<VolumeUnit>) -> bool {
        let edition_recalled = self.edition_named(Some(edition)).is_some_and(|edition| edition.from_memory);
        let board_form = self.name == RuleName::TwoThirds && unit == Some(VolumeUnit::BoardFoot);
        self.from_memory || edition_recalled || board_form
    }
}
