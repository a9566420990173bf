//! One rule applied to numbers straight, with no contract: for a look-up, a check by hand, a comparison of
//! rules.
//!
//! Numbers are used as they are given: no reading is rounded to an inch and no trim is taken off.

mod request;
mod sizes;

use kernel::{Exact, VolumeUnit};
use serde::{Deserialize, Serialize};

pub use request::{DirectRequest, DirectRounding};

use crate::engine::{LossTerms, Stretch, Terms, by_rule};
use crate::rules::{AppliedRule, Choice};
use crate::{EditionName, Label, RoundingTerm, RuleName, ScaleProblem, Step};

/// The answer to a direct request. All numbers are exact.
///
/// ```
/// use scaling::direct;
/// let request = serde_json::from_str(r#"{"rule": "doyle", "diameter_in": "20", "length_ft": "16"}"#)?;
/// assert_eq!(direct(&request)?.gross.to_string(), "256");
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct DirectAnswer {
    /// The rule that was applied.
    pub rule: RuleName,
    /// The edition of it that was applied.
    #[serde(default)]
    pub edition: EditionName,
    /// The unit of the four volumes.
    pub unit: VolumeUnit,
    /// The volume with no defect taken off.
    pub gross: Exact,
    /// Gross less the deduction.
    pub net: Exact,
    /// Gross before the rule rounded it.
    pub gross_unrounded: Exact,
    /// What the defects take off, rounded as the rule does.
    pub deduction: Exact,
    /// How it came about.
    #[serde(default)]
    pub working: Vec<Step>,
    /// The asker's own name for the request, given back.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub label: Option<Label>,
}

/// Applies a rule to the sizes of a request.
///
/// # Errors
///
/// [`ScaleProblem`]: a size is missing, given twice, in another system than the rest or not used by the rule;
/// the rule does not reach the sizes; a defect does not fit.
///
/// ```
/// use scaling::direct;
/// let request = serde_json::from_str(
///     r#"{"rule": "smalian", "small_diameter_in": "12", "large_diameter_in": "16", "length_ft": "16"}"#,
/// )?;
/// let answer = direct(&request)?;
/// assert_eq!((answer.gross.to_string().as_str(), answer.unit.name()), ("17.4528", "cubic_foot"));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn direct(request: &DirectRequest) -> Result<DirectAnswer, ScaleProblem> {
    let sections: Option<Vec<Exact>> = request
        .section_diameters_in
        .as_ref()
        .map(|sections| sections.iter().map(|diameter| diameter.exact()).collect());
    let measures = sizes::measures(request, sections.as_deref())?;
    let (rule, facts) = (request.rule, request.rule.facts());
    let edition = facts.edition_named(request.edition).ok_or_else(|| ScaleProblem::EditionNotOffered {
        rule,
        edition: request.edition.unwrap_or_default(),
        offered: facts.edition_names(),
    })?;
    let rounding = match request.rounding {
        DirectRounding::Rule => RoundingTerm::BY_RULE,
        DirectRounding::None => RoundingTerm::NONE,
    };
    let terms = Terms {
        choice: Choice {
            unit: request.unit,
            printed_cells_only: request.printed_cells_only,
            edition: Some(edition.name),
        },
        volume_rounding: rounding,
        deduction_rounding: rounding,
        losses: LossTerms::Rule(facts),
    };
    let mut working = Vec::new();
    let stretch = Stretch::whole(measures.length, measures.length);
    let scale =
        by_rule(AppliedRule::Published(rule), &measures, stretch, &terms, &request.defects, &mut working)?;
    Ok(DirectAnswer {
        rule,
        edition: edition.name,
        unit: scale.unit,
        gross: scale.gross,
        net: scale.net,
        gross_unrounded: scale.exact,
        deduction: scale.deduction,
        working,
        label: request.label.clone(),
    })
}
