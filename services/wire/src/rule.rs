//! The log rules the service knows, as a list shows them.

use crate::columns::columns;
use crate::{Cell, Columns};
use kernel::{Exact, VolumeUnit};
use scaling::rules::Takes;
use scaling::{Edition, EditionName, RuleFacts, RuleName};
use serde::{Deserialize, Serialize};

/// A form in which print or law give a rule.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct RuleEditionView {
    /// What a contract writes to have it.
    pub name: EditionName,
    /// How it differs from the others.
    pub what: String,
    /// Where it is published.
    pub source: String,
    /// Whether it is recalled and has not been checked against print.
    pub from_memory: bool,
}

/// What is known about a rule.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct RuleView {
    /// What a contract or a request writes to have it.
    pub name: RuleName,
    /// Its name in words.
    pub title: String,
    /// Which state of the rule in this service made a figure; it changes whenever a figure could change.
    pub coded_as: String,
    /// Its editions; the first is the one taken where none is named.
    pub editions: Vec<RuleEditionView>,
    /// The sizes, besides the length, that it is entered with.
    pub takes: Takes,
    /// Where those sizes are measured.
    pub measures: String,
    /// The formula, or what the table is.
    pub formula: String,
    /// The range in which it holds.
    pub range: String,
    /// How it rounds.
    pub rounding: String,
    /// Where it is or was law or custom.
    pub jurisdiction: String,
    /// Where it is published.
    pub source: String,
    /// Whether it is recalled and has not been checked against print.
    pub from_memory: bool,
    /// The units it gives; the first is the one taken unless another is asked for.
    pub units: Vec<VolumeUnit>,
    /// Whether it is a table.
    pub is_table: bool,
    /// Whether diameters are by custom taken in whole inches before it is applied.
    pub whole_inches: bool,
    /// Whether its volume is solid content, with nothing taken out for sawdust.
    pub solid: bool,
    /// The saw kerf, in inches, that a squared defect is counted with.
    pub kerf_in: Exact,
}

/// Every rule, on one page.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct RuleList {
    /// The rules.
    pub items: Vec<RuleView>,
}

impl From<&Edition> for RuleEditionView {
    fn from(edition: &Edition) -> Self {
        Self {
            name: edition.name,
            what: edition.what.to_owned(),
            source: edition.source.to_owned(),
            from_memory: edition.from_memory,
        }
    }
}

impl From<&RuleFacts> for RuleView {
    fn from(facts: &RuleFacts) -> Self {
        Self {
            name: facts.name,
            title: facts.title.to_owned(),
            coded_as: facts.edition.to_owned(),
            editions: facts.editions.iter().map(RuleEditionView::from).collect(),
            takes: facts.takes,
            measures: facts.measures.to_owned(),
            formula: facts.formula.to_owned(),
            range: facts.range.to_owned(),
            rounding: facts.rounding.to_owned(),
            jurisdiction: facts.jurisdiction.to_owned(),
            source: facts.source.to_owned(),
            from_memory: facts.from_memory,
            units: facts.units.to_vec(),
            is_table: facts.is_table,
            whole_inches: facts.whole_inches,
            solid: facts.solid,
            kerf_in: facts.kerf_in,
        }
    }
}

columns!(RuleView: rule {
    "name" => rule.name.name(),
    "title" => rule.title,
    "measures" => rule.measures,
    "formula" => rule.formula,
    "range" => rule.range,
    "rounding" => rule.rounding,
    "jurisdiction" => rule.jurisdiction,
    "source" => rule.source,
    "from_memory" => rule.from_memory,
});

impl Columns for RuleList {
    const NAMES: &'static [&'static str] = RuleView::NAMES;

    fn rows(&self) -> Vec<Vec<Cell>> {
        self.items.iter().flat_map(Columns::rows).collect()
    }
}
