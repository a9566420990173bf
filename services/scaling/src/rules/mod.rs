//! The log rules: one file each, with what it measures, its formula, range, rounding and source.

pub mod adirondack_market;
mod applied;
pub mod blodgett;
pub mod board_measure;
pub mod brereton;
pub mod british_columbia;
pub mod bruce_butt_log;
pub mod constantine;
pub mod cumberland_river;
pub mod doyle;
pub mod doyle_scribner;
mod edition;
mod facts;
pub mod fifth_girth;
pub mod huber;
pub mod humphrey;
pub mod inscribed_square;
pub mod international;
pub mod international_eighth_inch;
pub mod international_quarter_inch;
mod measures;
mod name;
pub mod newton;
pub mod ontario;
pub mod own_table;
pub mod quarter_girth;
pub mod quebec;
mod recalled;
pub mod scribner;
pub mod scribner_decimal_c;
pub mod smalian;
pub mod sorenson;
pub mod spaulding;
pub mod square_of_three_fourths;
pub mod square_of_two_thirds;
pub mod subneiloid;
mod system;
pub mod two_end_conic;
pub mod two_thirds;
pub mod vermont;

use kernel::{Exact, VolumeUnit};

pub(crate) use applied::AppliedRule;
pub use edition::{Edition, EditionName};
use facts::{EIGHTH_INCH_KERF, NO_KERF, QUARTER_INCH_KERF};
pub use facts::{RuleFacts, Takes};
pub(crate) use measures::Measures;
pub use name::{RuleName, UnknownRule};
use own_table::FiledTable;
pub use system::System;

use crate::says::later;
use crate::working::Recorder;
use crate::{RoundTo, Says, ScaleProblem, Step, StepKind};

/// What a contract or request leaves the rule to choose.
#[derive(Clone, Copy, Default)]
pub(crate) struct Choice {
    /// The unit, where the rule gives more than one.
    pub(crate) unit: Option<VolumeUnit>,
    /// Whether a table is held to its cells seen in print.
    pub(crate) printed_cells_only: bool,
    /// The edition, where one is named that the rule has.
    pub(crate) edition: Option<EditionName>,
}

impl Choice {
    /// The edition to apply.
    fn edition(self, facts: &RuleFacts) -> EditionName {
        self.edition.unwrap_or_else(|| facts.default_edition().name)
    }
}

/// What a rule makes of the measures.
#[derive(Clone, Copy)]
pub(crate) struct Content {
    /// The volume before any rounding.
    pub(crate) exact: Exact,
    /// How the rule itself rounds it.
    pub(crate) rounding: Option<RoundTo>,
    /// The unit.
    pub(crate) unit: VolumeUnit,
}

/// Applies a rule to measures.
pub(crate) fn content(
    rule: RuleName,
    measures: &Measures<'_>,
    choice: Choice,
    recorder: &mut impl Recorder,
) -> Result<Content, ScaleProblem> {
    match rule {
        RuleName::ScribnerDecimalC => scribner_decimal_c::content(measures, choice, recorder),
        RuleName::Scribner => scribner::content(measures, recorder),
        RuleName::Doyle => doyle::content(measures, choice, recorder),
        RuleName::DoyleScribner => doyle_scribner::content(measures, recorder),
        RuleName::InternationalQuarterInch => international_quarter_inch::content(measures, choice, recorder),
        RuleName::InternationalEighthInch => international_eighth_inch::content(measures, recorder),
        RuleName::Vermont => vermont::content(measures, recorder),
        RuleName::Smalian => smalian::content(measures, recorder),
        RuleName::Huber => huber::content(measures, recorder),
        RuleName::Newton => newton::content(measures, recorder),
        RuleName::TwoEndConic => two_end_conic::content(measures, recorder),
        RuleName::Subneiloid => subneiloid::content(measures, recorder),
        RuleName::QuarterGirth => quarter_girth::content(measures, recorder),
        RuleName::InscribedSquare => inscribed_square::content(measures, choice, recorder),
        RuleName::TwoThirds => two_thirds::content(measures, choice, recorder),
        RuleName::BoardMeasure => board_measure::content(measures, recorder),
        RuleName::SquareOfTwoThirds => square_of_two_thirds::content(measures, recorder),
        RuleName::SquareOfThreeFourths => square_of_three_fourths::content(measures, recorder),
        RuleName::Spaulding => spaulding::content(measures, recorder),
        RuleName::Quebec => quebec::content(measures, recorder),
        RuleName::Ontario => ontario::content(measures, recorder),
        RuleName::Humphrey => humphrey::content(measures, recorder),
        RuleName::CumberlandRiver => cumberland_river::content(measures, recorder),
        RuleName::Constantine => constantine::content(measures, recorder),
        RuleName::BritishColumbia => british_columbia::content(measures, recorder),
        RuleName::Brereton => brereton::content(measures, recorder),
        RuleName::Blodgett => blodgett::content(measures, choice, recorder),
        RuleName::AdirondackMarket => adirondack_market::content(measures, choice, recorder),
        RuleName::FifthGirth => fifth_girth::content(measures, recorder),
        RuleName::BruceButtLog => bruce_butt_log::content(measures, recorder),
        RuleName::Sorenson => sorenson::content(measures, recorder),
    }
}

/// The step that shows a rule's formula with its numbers.
fn formula(facts: &'static RuleFacts, says: impl Into<Says>) -> Step {
    Step::new(StepKind::Formula, says).source(facts.source).recalled(facts.from_memory)
}

/// The same for a rule that has more than one edition: it names the one that was applied.
fn formula_of_edition(facts: &'static RuleFacts, edition: EditionName, says: impl Into<Says>) -> Step {
    let known = facts.edition_named(Some(edition)).unwrap_or_else(|| facts.default_edition());
    let says = says.into();
    let named = if edition == facts.default_edition().name {
        says
    } else {
        later(move || format!("{says} (edition {edition}: {})", known.what))
    };
    Step::new(StepKind::Formula, named)
        .source(if known.source == edition::ONLY.source { facts.source } else { known.source })
        .recalled(facts.from_memory || known.from_memory)
        .edition(edition)
}
