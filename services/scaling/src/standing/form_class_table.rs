//! Regressions that stand for the form class 78 tables of Mesavage and Girard.
//!
//! - Measures: diameter at breast height in inches, merchantable height in logs of 16 feet and their halves.
//! - Formula: `a + b D + c D²`, where a, b and c are each a square function of the number of logs; for another form class 3
//!   percent more or less for each class.
//! - Range: 10 to 40 inches, 1 to 6 logs, and no more than one log to each 3 inches, since slender trees are outside of what
//!   the tables print and the regression turns down there.
//! - Source: H. V. Wiant, Formulas for Mesavage and Girard's volume tables, Northern Journal of Applied Forestry 3 (1986),
//!   recalled and not checked against print; so are the range and the 3 percent, which is Mesavage and Girard's own advice.

use kernel::{Exact, VolumeUnit};
use serde::{Deserialize, Serialize};

use super::{BreastHeight, FormulaFacts, Tree, TreeHeight, TreeProblem, TreeVolume};
use crate::{FormClass, RuleName};

/// The rules that there are such tables for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum TableRule {
    /// Doyle.
    Doyle,
    /// Scribner.
    Scribner,
    /// International 1/4 inch.
    InternationalQuarterInch,
}

/// Square functions of the number of logs, in hundred-thousandths: the constant, the factor of it, of its square.
type Coefficients = [[i128; 3]; 3];

const DOYLE: Coefficients =
    [[-2_937_337, 4_151_275, 55_743], [278_043, -877_272, -4_516], [4_177, 59_042, -1_578]];
const SCRIBNER: Coefficients =
    [[-2_250_365, 1_753_508, -59_242], [302_988, -434_381, -2_302], [-1_969, 51_593, -2_035]];
const INTERNATIONAL: Coefficients =
    [[-1_335_212, 958_615, 152_968], [179_620, -259_995, -27_465], [4_482, 45_997, -961]];

impl TableRule {
    const fn coefficients(self) -> Coefficients {
        match self {
            Self::Doyle => DOYLE,
            Self::Scribner => SCRIBNER,
            Self::InternationalQuarterInch => INTERNATIONAL,
        }
    }

    /// The log rule.
    const fn rule(self) -> RuleName {
        match self {
            Self::Doyle => RuleName::Doyle,
            Self::Scribner => RuleName::Scribner,
            Self::InternationalQuarterInch => RuleName::InternationalQuarterInch,
        }
    }
}

/// The form class of the tables.
const USUAL: i64 = 78;
const RANGE: &str =
    "10 to 40 inches at breast height, 1 to 6 logs, at most one log to each 3 inches, form class 65 to 90";

pub(super) const fn usual() -> FormClass {
    FormClass::known(USUAL)
}

pub(super) fn is_usual(form_class: &FormClass) -> bool {
    *form_class == usual()
}

fn within_range(diameter: Exact, logs: Exact, form_class: Exact) -> Result<bool, TreeProblem> {
    let between = |value: Exact, from: i128, to: i128| value >= Exact::of(from) && value <= Exact::of(to);
    Ok(between(diameter, 10, 40)
        && between(logs, 1, 6)
        && logs.times(Exact::of(3))? <= diameter
        && between(form_class, 65, 90))
}

pub(super) fn volume(rule: TableRule, tree: &Tree, form_class: FormClass) -> Result<TreeVolume, TreeProblem> {
    let (BreastHeight::Inches(diameter), TreeHeight::Logs(logs)) = (tree.diameter, tree.height) else {
        return Err(TreeProblem::NeedsLogs);
    };
    if !within_range(diameter.exact(), logs.exact(), form_class.exact())? {
        return Err(TreeProblem::OutsideRange(RANGE));
    }
    let in_table = regression(rule, diameter.exact(), logs.exact())?;
    // 3 percent for each class above or below.
    let classes = form_class.exact().minus(usual().exact())?;
    let factor = Exact::ONE.plus(classes.times(Exact::fraction(3, 100))?)?;
    let exact = in_table.times(factor)?;
    let mut says = format!("{diameter} inches and {logs} logs at form class 78: {in_table}");
    if !is_usual(&form_class) {
        says.push_str(&format!("; form class {form_class}: × {factor} = {exact}"));
    }
    Ok(TreeVolume { exact, unit: VolumeUnit::BoardFoot, says })
}

fn regression(rule: TableRule, diameter: Exact, logs: Exact) -> Result<Exact, TreeProblem> {
    let mut power = Exact::ONE;
    let mut sum = Exact::ZERO;
    for [constant, factor, of_square] in rule.coefficients() {
        let of_logs = Exact::of(constant)
            .plus(Exact::of(factor).times(logs)?)?
            .plus(Exact::of(of_square).times(logs.squared()?)?)?;
        sum = sum.plus(of_logs.over(Exact::of(100_000))?.times(power)?)?;
        power = power.times(diameter)?;
    }
    Ok(sum)
}

pub(super) fn facts(rule: TableRule, form_class: FormClass) -> FormulaFacts {
    let name = rule.rule();
    FormulaFacts {
        says: format!(
            "regressions for the tables of form class 78 by the rule {name}, at form class {form_class}; 3 percent for each \
             class above or below 78"
        ),
        rule: Some(name),
        rule_edition: None,
        edition: "form class table 1".to_owned(),
        range: RANGE.to_owned(),
        source: "H. V. Wiant, Formulas for Mesavage and Girard's volume tables (1986), recalled".to_owned(),
        from_memory: true,
    }
}
