//! The log rules: one file each, with what it measures, its formula, range, rounding and source.

pub mod board_measure;
pub mod doyle;
pub mod doyle_scribner;
mod facts;
pub mod huber;
pub mod inscribed_square;
pub mod international;
pub mod international_eighth_inch;
pub mod international_quarter_inch;
mod measures;
mod name;
pub mod newton;
pub mod quarter_girth;
pub mod scribner;
pub mod scribner_decimal_c;
pub mod smalian;
pub mod subneiloid;
mod system;
pub mod two_end_conic;
pub mod two_thirds;
pub mod vermont;

use kernel::{Exact, VolumeUnit};

pub use facts::{RuleFacts, Takes};
pub(crate) use measures::Measures;
pub use name::{RuleName, UnknownRule};
pub use system::System;

use crate::working::Recorder;
use crate::{RoundTo, ScaleProblem, Step, StepKind};

/// What a contract or request leaves the rule to choose.
#[derive(Clone, Copy, Default)]
pub(crate) struct Choice {
    /// The unit, where the rule gives more than one.
    pub(crate) unit: Option<VolumeUnit>,
    /// Whether a table is held to its cells seen in print.
    pub(crate) printed_cells_only: bool,
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
        RuleName::Doyle => doyle::content(measures, recorder),
        RuleName::DoyleScribner => doyle_scribner::content(measures, recorder),
        RuleName::InternationalQuarterInch => international_quarter_inch::content(measures, recorder),
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
    }
}

/// The step that shows a rule's formula with its numbers.
fn formula(facts: &'static RuleFacts, says: String) -> Step {
    Step::new(StepKind::Formula, says).source(facts.source).recalled(facts.from_memory)
}
