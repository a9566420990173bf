//! Volume log by log: each 16-foot log of a standing tree by a log rule.
//!
//! - Measures: diameter at breast height in inches, merchantable height in logs of 16 feet and their halves.
//! - Formula: top of the first log = diameter × form class / 100; each further top less by its taper, half a log by half of
//!   it; each log by the rule, added up.
//! - Range: one log and more; as many logs as there are tapers; what the rule takes.
//! - Source: the form class is Girard's, from J. W. Girard's and C. Mesavage's Tables for Estimating Board-foot Volume of
//!   Timber (Forest Service, 1946), recalled. The volumes are those of the log rules, with their own sources.

use kernel::{Exact, Rounding};
use serde::{Deserialize, Serialize};

use super::{BreastHeight, FormulaFacts, Tree, TreeHeight, TreeProblem, TreeVolume};
use crate::rules::Takes;
use crate::{DirectRequest, DirectRounding, EditionName, Feet, FormClass, Inches, RuleName, direct};

/// To what the diameter at the top of a log is taken before the rule is applied: to the nearest, an exact half up.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum TopDiameters {
    /// To whole inches, as most rules are entered.
    #[default]
    WholeInch,
    /// To tenths of an inch.
    TenthInch,
}

impl TopDiameters {
    const fn step(self) -> Exact {
        match self {
            Self::WholeInch => Exact::ONE,
            Self::TenthInch => Exact::fraction(1, 10),
        }
    }

    const fn says(self) -> &'static str {
        match self {
            Self::WholeInch => "to the nearest inch, a half up",
            Self::TenthInch => "to the nearest tenth of an inch, a half up",
        }
    }
}

/// The length of a log, and of half of one, in feet.
const LOG_FT: Exact = Exact::of(16);
const HALF_LOG_FT: Exact = Exact::of(8);
const HALF: Exact = Exact::fraction(1, 2);

/// How the logs of a tree are scaled.
pub(super) struct Logs<'a> {
    pub(super) rule: RuleName,
    pub(super) edition: Option<EditionName>,
    pub(super) rounding: DirectRounding,
    pub(super) tapers: &'a [Inches],
    pub(super) top_diameters: TopDiameters,
}

impl Logs<'_> {
    pub(super) fn volume(&self, tree: &Tree, form_class: FormClass) -> Result<TreeVolume, TreeProblem> {
        if self.rule.facts().takes != Takes::SmallEnd {
            return Err(TreeProblem::RuleTakesMore(self.rule));
        }
        let (BreastHeight::Inches(diameter), TreeHeight::Logs(logs)) = (tree.diameter, tree.height) else {
            return Err(TreeProblem::NeedsLogs);
        };
        let mut left = logs.exact();
        if left < Exact::ONE {
            return Err(TreeProblem::LessThanOneLog);
        }
        let mut top = diameter.exact().times(form_class.exact())?.over(Exact::of(100))?;
        let mut says = format!("{form_class} percent of {diameter} inches is {top}");
        let (mut sum, mut unit, mut log) = (Exact::ZERO, None, 1);
        while left > Exact::ZERO {
            let whole = left >= Exact::ONE;
            if log > 1 {
                let taper = self.tapers.get(log - 2).ok_or(TreeProblem::NoTaper { log })?.exact();
                top = top.minus(if whole { taper } else { taper.times(HALF)? })?;
                if top <= Exact::ZERO {
                    return Err(TreeProblem::TaperedAway { log });
                }
            }
            let length = if whole { LOG_FT } else { HALF_LOG_FT };
            let taken = top.rounded_to(self.top_diameters.step(), Rounding::HalfUp)?;
            let scaled = self.one_log(taken, length).map_err(|problem| problem.of(log))?;
            says.push_str(&format!(
                "; log {log}: top {top}, taken as {taken}, {length} feet: {}",
                scaled.gross
            ));
            sum = sum.plus(scaled.gross)?;
            unit = Some(scaled.unit);
            left = left.minus(if whole { Exact::ONE } else { HALF })?;
            log += 1;
        }
        let unit = unit.ok_or(TreeProblem::LessThanOneLog)?;
        Ok(TreeVolume { exact: sum, unit, says })
    }

    fn one_log(&self, top: Exact, length: Exact) -> Result<crate::DirectAnswer, OfOneLog> {
        let mut request = DirectRequest::new(self.rule);
        request.edition = self.edition;
        request.rounding = self.rounding;
        request.small_diameter_in = Some(Inches::new(top.fixed()?)?);
        request.length_ft = Some(Feet::new(length.fixed()?)?);
        Ok(direct(&request)?)
    }
}

/// Why one log of a tree has no volume.
enum OfOneLog {
    Scale(crate::ScaleProblem),
    Other(TreeProblem),
}

impl OfOneLog {
    fn of(self, log: usize) -> TreeProblem {
        match self {
            Self::Scale(problem) => TreeProblem::Log { log, problem: Box::new(problem) },
            Self::Other(problem) => problem,
        }
    }
}

impl From<crate::ScaleProblem> for OfOneLog {
    fn from(problem: crate::ScaleProblem) -> Self {
        Self::Scale(problem)
    }
}

impl From<crate::SizeError> for OfOneLog {
    fn from(problem: crate::SizeError) -> Self {
        Self::Other(problem.into())
    }
}

impl From<kernel::NumberError> for OfOneLog {
    fn from(problem: kernel::NumberError) -> Self {
        Self::Other(problem.into())
    }
}

pub(super) fn facts(
    rule: RuleName,
    edition: Option<EditionName>,
    (form_class, tapers, top_diameters): (FormClass, &[Inches], TopDiameters),
) -> FormulaFacts {
    let of_rule = rule.facts();
    let edition = of_rule.edition_named(edition).unwrap_or_else(|| of_rule.default_edition());
    let listed: Vec<_> = tapers.iter().map(ToString::to_string).collect();
    let tapers = if listed.is_empty() { "none".to_owned() } else { listed.join(", ") };
    FormulaFacts {
        says: format!(
            "each 16-foot log by the rule {}; the first top has {form_class} percent of the diameter at \
             breast height; tapers of the further logs in inches: {tapers}; tops taken {}",
            rule.named(Some(edition.name)),
            top_diameters.says()
        ),
        rule: Some(rule),
        rule_edition: Some(edition.name),
        edition: format!("log by log 1, {}", of_rule.edition),
        range: format!("one log of 16 feet and more; the rule: {}", of_rule.range),
        source: format!(
            "form class after Girard, from C. Mesavage and J. W. Girard, Tables for Estimating Board-foot Volume of Timber \
             (1946), recalled; the rule: {}",
            of_rule.source
        ),
        // The tapers are the cruiser's own; the form class is a definition, and it is recalled.
        from_memory: true,
    }
}
