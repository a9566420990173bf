//! One rule applied to numbers straight, with no contract: for a look-up, a check by hand, a comparison of
//! rules.
//!
//! Numbers are used as they are given: no reading is rounded to an inch and no trim is taken off.

mod request;
mod sizes;

use kernel::{Exact, VolumeUnit};
use serde::{Deserialize, Serialize};

pub use request::{DirectRequest, DirectRounding};

use crate::engine::{Terms, by_rule};
use crate::rules::{Choice, System};
use crate::{Label, RoundingTerm, RuleName, ScaleProblem, Step};

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
    if measures.system == System::Metric
        && let Some(defect) = request.defects.as_slice().first()
    {
        return Err(ScaleProblem::MethodDoesNotApply {
            place: 1,
            method: defect.method(),
            reason: "defects are measured in inches and feet; give the log's sizes so too",
        });
    }
    let rounding = match request.rounding {
        DirectRounding::Rule => RoundingTerm::BY_RULE,
        DirectRounding::None => RoundingTerm::NONE,
    };
    let terms = Terms {
        choice: Choice { unit: request.unit, printed_cells_only: request.printed_cells_only },
        volume_rounding: rounding,
        deduction_rounding: rounding,
        waste_inch: false,
        cut_rounding: None,
    };
    let mut working = Vec::new();
    let scale = by_rule(request.rule, &measures, measures.length, &terms, &request.defects, &mut working)?;
    Ok(DirectAnswer {
        rule: request.rule,
        unit: scale.unit,
        gross: scale.gross,
        net: scale.net,
        gross_unrounded: scale.exact,
        deduction: scale.deduction,
        working,
        label: request.label.clone(),
    })
}
