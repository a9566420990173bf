//! Why a piece cannot be scaled: a closed list, each with a stable code.

use kernel::{Exact, NumberError, Product, VolumeUnit};

use crate::rules::System;
use crate::rules::own_table::NoCell;
use crate::working::Plain;
use crate::{EditionName, RuleName};

/// Why a piece cannot be scaled as asked. Nothing is guessed and no rule is carried past its range.
///
/// ```
/// use scaling::{Practice, scale};
/// let practice: Practice = serde_json::from_str(r#"{"log": {"rule": "doyle"}}"#)?;
/// let piece = serde_json::from_str(
///     r#"{"product": "log", "species": "ash", "small_diameter_in": ["4"], "length_ft": "16"}"#,
/// )?;
/// let problem = scale(&practice, &piece).map_err(|problem| (problem.code(), problem.to_string()));
/// assert_eq!(problem.map(|_| ()), Err((
///     "outside-the-rule",
///     "doyle does not reach a diameter of 4 inches: it takes more than 4 inches".to_owned(),
/// )));
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum ScaleProblem {
    /// A size outside the range in which the rule holds.
    #[error("{rule} does not reach {what} of {value} {unit}: it takes {range}")]
    OutsideRule {
        /// The rule.
        rule: RuleName,
        /// Which size, such as "a diameter".
        what: &'static str,
        /// The size.
        value: Exact,
        /// Its unit, such as "inches".
        unit: &'static str,
        /// What the rule takes.
        range: &'static str,
    },
    /// A table rule has no cell for the log.
    #[error("{rule} has no cell for {diameter_in} inches by {length_ft} feet: {range}")]
    NotInTable {
        /// The rule.
        rule: RuleName,
        /// The diameter looked up, in inches.
        diameter_in: Exact,
        /// The length looked up, in feet.
        length_ft: Exact,
        /// What the table holds.
        range: &'static str,
    },
    /// The outfit's own table has no cell for the log.
    #[error(transparent)]
    NotInOwnTable(Box<NoCell>),
    /// The practice names an own table by its id alone, and its cells are not here.
    #[error("the practice names the outfit's own table by its id alone: scale under terms that were filed")]
    TableNotAtHand,
    /// A table rule was entered with a fraction of an inch.
    #[error("{rule} is a table of whole inches, and {value} is not one: round the diameter first")]
    WholeInchNeeded {
        /// The rule.
        rule: RuleName,
        /// The diameter.
        value: Exact,
    },
    /// A size the rule or practice needs was not measured.
    #[error("{member} is missing: {reason}")]
    MissingMeasurement {
        /// The member that is missing.
        member: &'static str,
        /// Who needs it.
        reason: &'static str,
    },
    /// The contract says nothing about pieces of this kind.
    #[error("the contract has no scaling practice for a {}: add one to its terms", .product.name())]
    NoPractice {
        /// The kind of piece.
        product: Product,
    },
    /// The log is longer than the practice scales in one piece.
    #[error(
        "a scaling length of {length_ft} feet is past the longest of {longest_ft} feet that the practice \
            scales as one log"
    )]
    TooLong {
        /// The scaling length.
        length_ft: Exact,
        /// The longest the practice allows.
        longest_ft: Exact,
    },
    /// The log, less its trim, does not make one length class.
    #[error(
        "a length of {length_ft} feet makes no scaling length: the shortest is {shortest_ft} feet and its \
            trim"
    )]
    TooShort {
        /// The measured length.
        length_ft: Exact,
        /// The shortest length class.
        shortest_ft: Exact,
    },
    /// A metric length that leaves nothing.
    #[error("a length of {length_m} metres leaves nothing once its trim is off and it is rounded")]
    TooShortMetric {
        /// The measured length, in metres.
        length_m: Exact,
    },
    /// The Vermont rule scales each 12 feet by its own top diameter, and those are not known.
    #[error(
        "a log of {length_ft} feet by this rule has {needed} sections, and each needs its own top \
            diameter: give large_diameter_in, from which even taper is taken, or section_diameters_in where \
            the request has them"
    )]
    SectionDiametersNeeded {
        /// The length, in feet.
        length_ft: Exact,
        /// How many sections there are.
        needed: i128,
    },
    /// The section diameters do not match the length.
    #[error(
        "section_diameters_in holds {given} diameters, but {length_ft} feet has {needed} sections of 12 \
            feet or less"
    )]
    SectionCount {
        /// The length, in feet.
        length_ft: Exact,
        /// How many sections there are.
        needed: i128,
        /// How many diameters were given.
        given: usize,
    },
    /// A size was given that the rule does not use.
    #[error("{member} is not used by {rule}: leave it out")]
    SizeNotUsed {
        /// The member.
        member: &'static str,
        /// The rule.
        rule: RuleName,
    },
    /// Two sizes were given of which the rule takes one.
    #[error("{first} and {second} are both given and the rule takes one of them: leave the other out")]
    SameSizeTwice {
        /// One name.
        first: &'static str,
        /// The other name.
        second: &'static str,
    },
    /// Metric and inch sizes in one request.
    #[error("{member} is metric and the other sizes are not: give all sizes in one system")]
    MixedSystems {
        /// The metric member.
        member: &'static str,
    },
    /// A piece measured in the other system than its contract's.
    #[error(
        "{member} is in {measured}, and the contract scales such pieces in {contract}: nothing converts between \
            them"
    )]
    OtherSystem {
        /// A member of the piece.
        member: &'static str,
        /// What it is in.
        measured: &'static str,
        /// What the contract asks for.
        contract: &'static str,
    },
    /// Sticks of a length that the contract does not count as its nominal one.
    #[error(
        "sticks of {} {unit} do not count as the contract's {}, which takes from {} to {} {unit}: check the stick \
            length, or file terms that count such sticks as measured",
        Plain(*.stick), Plain(*.nominal), Plain(*.nominal), Plain(*.longest), unit = .system.length_in_words()
    )]
    SticksOutsideNominal {
        /// The length of the sticks as measured.
        stick: Exact,
        /// The nominal length, which is the shortest that counts.
        nominal: Exact,
        /// The longest that counts, trim and all.
        longest: Exact,
        /// The system of all three: they are in feet or in metres.
        system: System,
    },
    /// An edition the rule does not come in.
    #[error("edition: {rule} does not come in the edition {edition}; it has {offered}")]
    EditionNotOffered {
        /// The rule.
        rule: RuleName,
        /// The edition asked for.
        edition: EditionName,
        /// The editions it has.
        offered: String,
    },
    /// Exact halves go up and down in turn along the ticket, and where the log stands on it was not said.
    #[error(
        "{diameter_in} inches ends in a half, and the contract puts halves up and down in turn along the \
            ticket: scale the ticket's pieces in order"
    )]
    PlaceOnTicketNeeded {
        /// The average that ends in a half, in inches.
        diameter_in: Exact,
    },
    /// The large end is smaller than the small end.
    #[error(
        "the large end of {butt_in} inches is smaller than the small end of {top_in}: check the readings, taper \
            cannot be shared out"
    )]
    ButtUnderTop {
        /// The small end, in inches.
        top_in: Exact,
        /// The large end, in inches.
        butt_in: Exact,
    },
    /// A defect on a log of several segments whose place is not known.
    #[error(
        "defects: the {method} ({kind}) in place {place} lies somewhere on a log of several segments: give \
            from_small_end_ft"
    )]
    DefectPlaceNeeded {
        /// Its place in the list, from 1.
        place: usize,
        /// The kind of defect.
        kind: &'static str,
        /// Its method.
        method: &'static str,
    },
    /// A scaler's own estimate under a contract that does not allow one.
    #[error("defects: the estimate in place {place} does not stand under this contract: measure the loss")]
    EstimateRefused {
        /// Its place in the list, from 1.
        place: usize,
    },
    /// The rule gives no volume in that unit.
    #[error("{rule} does not give {}: {offered}", crate::working::plural(*.unit))]
    UnitNotOffered {
        /// The rule.
        rule: RuleName,
        /// The unit asked for.
        unit: VolumeUnit,
        /// What it gives.
        offered: &'static str,
    },
    /// A defect is larger than the piece.
    #[error("defects: the {method} ({kind}) in place {place} does not fit: {reason}")]
    DefectDoesNotFit {
        /// Its place in the list, from 1.
        place: usize,
        /// The kind of defect.
        kind: &'static str,
        /// Its method.
        method: &'static str,
        /// Why it does not fit.
        reason: String,
    },
    /// A method that has no meaning for this product or rule.
    #[error("defects: {method} in place {place} cannot be used here: {reason}")]
    MethodDoesNotApply {
        /// Its place in the list, from 1.
        place: usize,
        /// Its method.
        method: &'static str,
        /// Why not, and what can be used.
        reason: &'static str,
    },
    /// The sizes cannot be computed with exactly.
    #[error("the sizes are too large or too finely divided to compute exactly: check the decimals")]
    TooLarge,
}

impl ScaleProblem {
    /// The stable name of the problem.
    ///
    /// ```
    /// assert_eq!(scaling::ScaleProblem::TooLarge.code(), "too-large");
    /// ```
    #[must_use]
    pub const fn code(&self) -> &'static str {
        match self {
            Self::OutsideRule { .. } => "outside-the-rule",
            Self::NotInTable { .. } | Self::NotInOwnTable(_) => "not-in-the-table",
            Self::TableNotAtHand => "table-not-at-hand",
            Self::WholeInchNeeded { .. } => "whole-inch-needed",
            Self::MissingMeasurement { .. } => "missing-measurement",
            Self::NoPractice { .. } => "no-practice",
            Self::TooLong { .. } => "too-long",
            Self::TooShort { .. } | Self::TooShortMetric { .. } => "too-short",
            Self::SectionDiametersNeeded { .. } => "section-diameters-needed",
            Self::SectionCount { .. } => "section-count",
            Self::SizeNotUsed { .. } => "size-not-used",
            Self::SameSizeTwice { .. } => "same-size-twice",
            Self::MixedSystems { .. } | Self::OtherSystem { .. } => "mixed-systems",
            Self::SticksOutsideNominal { .. } => "sticks-outside-nominal",
            Self::EditionNotOffered { .. } => "edition-not-offered",
            Self::PlaceOnTicketNeeded { .. } => "place-on-ticket-needed",
            Self::ButtUnderTop { .. } => "butt-under-top",
            Self::DefectPlaceNeeded { .. } => "defect-place-needed",
            Self::EstimateRefused { .. } => "estimate-refused",
            Self::UnitNotOffered { .. } => "unit-not-offered",
            Self::DefectDoesNotFit { .. } => "defect-does-not-fit",
            Self::MethodDoesNotApply { .. } => "method-does-not-apply",
            Self::TooLarge => "too-large",
        }
    }

    /// The range that holds, where the problem is a size outside one.
    ///
    /// ```
    /// assert_eq!(scaling::ScaleProblem::TooLarge.range(), None);
    /// ```
    #[must_use]
    pub fn range(&self) -> Option<&str> {
        match self {
            Self::OutsideRule { range, .. } | Self::NotInTable { range, .. } => Some(range),
            Self::NotInOwnTable(no_cell) => Some(&no_cell.range),
            _ => None,
        }
    }
}

impl From<NumberError> for ScaleProblem {
    /// No step here divides by a size that can be zero, so every failure of arithmetic is one of magnitude.
    fn from(_: NumberError) -> Self {
        Self::TooLarge
    }
}
