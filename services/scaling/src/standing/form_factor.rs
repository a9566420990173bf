//! Volume by a form factor: the part of a cylinder on the section at breast height that the stem fills.
//!
//! - Measures: diameter at breast height, and the height that the factor speaks of.
//! - Formula: f × D² × H × form factor, where f is 0.005454 for cubic feet or 0.00007854 for cubic metres.
//! - Range: whatever the factor was found for; a cone has one third, a paraboloid half.
//! - Source: solid geometry; common practice of forest measurement, from memory. An entered factor is the cruiser's own.

use kernel::Exact;
use serde::{Deserialize, Serialize};

use super::{FormulaFacts, Tree, TreeHeight, TreeProblem, TreeVolume};
use crate::FormFactor;

/// The form that a stem is taken for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum StemForm {
    /// A cone: one third of the cylinder.
    Cone,
    /// A paraboloid: half of the cylinder.
    Paraboloid,
    /// The cruiser's own factor.
    Factor(FormFactor),
}

impl StemForm {
    fn factor(self) -> Exact {
        match self {
            Self::Cone => Exact::fraction(1, 3),
            Self::Paraboloid => Exact::fraction(1, 2),
            Self::Factor(factor) => factor.exact(),
        }
    }
}

/// The length of a log in feet.
const LOG_FT: Exact = Exact::of(16);

pub(super) fn volume(form: StemForm, tree: &Tree) -> Result<TreeVolume, TreeProblem> {
    if tree.form_class.is_some() {
        return Err(TreeProblem::NoFormClass);
    }
    let height = match tree.height {
        TreeHeight::Logs(logs) => logs.exact().times(LOG_FT)?,
        TreeHeight::Feet(feet) => feet.exact(),
        TreeHeight::Metres(metres) => metres.exact(),
    };
    let (area, factor) = (tree.diameter.basal_area()?, form.factor());
    let exact = area.times(height)?.times(factor)?;
    let says = format!("basal area {area} × height {height} × form factor {factor} = {exact}");
    Ok(TreeVolume { exact, unit: tree.diameter.system().unit(), says })
}

pub(super) fn facts(form: StemForm) -> FormulaFacts {
    let name = match form {
        StemForm::Cone => "a cone, 1/3".to_owned(),
        StemForm::Paraboloid => "a paraboloid, 1/2".to_owned(),
        StemForm::Factor(factor) => format!("the cruiser's own factor, {factor}"),
    };
    FormulaFacts {
        says: format!("basal area at breast height × height × form factor: {name}"),
        rule: None,
        rule_edition: None,
        edition: "form factor 1".to_owned(),
        range: "the trees that the factor was found for".to_owned(),
        source: "solid geometry; common practice, recalled".to_owned(),
        from_memory: true,
    }
}
