//! Which formula gives standing trees their volume.

use kernel::{Exact, VolumeUnit};
use serde::{Deserialize, Serialize};

use super::{
    StemForm, TableRule, TopDiameters, Tree, TreeProblem, form_class_table, form_factor, log_by_log,
};
use crate::{DirectRounding, EditionName, FormClass, Inches, RuleName};

/// A formula for the volume of standing trees, with what the cruiser takes for granted.
///
/// ```
/// use scaling::standing::TreeFormula;
/// let formula: TreeFormula = serde_json::from_str(r#"{"by": "form_class_table", "rule": "doyle"}"#)?;
/// assert!(formula.facts().from_memory);
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "by", rename_all = "snake_case", deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum TreeFormula {
    /// Each 16-foot log by a log rule. The top of the first has the form class in percent of the diameter at breast height;
    /// each further top is less by the taper of its log.
    LogByLog {
        /// A rule that is entered with the diameter of the small end.
        rule: RuleName,
        /// Which edition of it. Default: the first its facts list.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        edition: Option<EditionName>,
        /// Form class of every tree that has none of its own.
        form_class: FormClass,
        /// By how much the top of the second log is less than that of the first, of the third less than that of the second,
        /// and so on, in inches. Half a log has half its taper.
        #[serde(default)]
        tapers_in: Vec<Inches>,
        /// To what the diameters of the tops are taken. Default "whole_inch".
        #[serde(default)]
        top_diameters: TopDiameters,
        /// Whether the rule rounds the volume of each log. Default "rule".
        #[serde(default)]
        rounding: DirectRounding,
    },
    /// Regressions that stand for the tables of form class 78.
    FormClassTable {
        /// The rule of the table.
        rule: TableRule,
        /// Form class of every tree that has none of its own: 65 to 90. Default 78.
        #[serde(default = "form_class_table::usual", skip_serializing_if = "form_class_table::is_usual")]
        form_class: FormClass,
    },
    /// Basal area at breast height × height × a form factor: cubic feet or cubic metres.
    FormFactor {
        /// The form that the stem is taken for.
        form: StemForm,
    },
}

/// What is known about a formula.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct FormulaFacts {
    /// What it is, in words, with what was taken for granted.
    pub says: String,
    /// The log rule it speaks for; none for solid content.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rule: Option<RuleName>,
    /// The edition of the rule.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rule_edition: Option<EditionName>,
    /// Which edition of the formula as coded here made the figures; it changes whenever a figure could change.
    pub edition: String,
    /// In which range it holds.
    pub range: String,
    /// Where it is published.
    pub source: String,
    /// Whether it is recalled and was not checked against print.
    pub from_memory: bool,
}

/// The volume of one tree.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TreeVolume {
    /// The volume.
    pub exact: Exact,
    /// The unit.
    pub unit: VolumeUnit,
    /// How it came about.
    pub says: String,
}

impl TreeFormula {
    /// The volume of one such tree, whatever its count.
    ///
    /// # Errors
    ///
    /// [`TreeProblem`].
    pub fn volume(&self, tree: &Tree) -> Result<TreeVolume, TreeProblem> {
        match self {
            Self::LogByLog { rule, edition, form_class, tapers_in, top_diameters, rounding } => {
                let form_class = tree.form_class.unwrap_or(*form_class);
                let logs = log_by_log::Logs {
                    rule: *rule,
                    edition: *edition,
                    rounding: *rounding,
                    tapers: tapers_in,
                    top_diameters: *top_diameters,
                };
                logs.volume(tree, form_class)
            }
            Self::FormClassTable { rule, form_class } => {
                form_class_table::volume(*rule, tree, tree.form_class.unwrap_or(*form_class))
            }
            Self::FormFactor { form } => form_factor::volume(*form, tree),
        }
    }

    /// What is known about it.
    #[must_use]
    pub fn facts(&self) -> FormulaFacts {
        match self {
            Self::LogByLog { rule, edition, form_class, tapers_in, top_diameters, .. } => {
                log_by_log::facts(*rule, *edition, (*form_class, tapers_in, *top_diameters))
            }
            Self::FormClassTable { rule, form_class } => form_class_table::facts(*rule, *form_class),
            Self::FormFactor { form } => form_factor::facts(*form),
        }
    }
}
