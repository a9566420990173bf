//! What was cut on a job, held against what a cruise expected.

use std::collections::{BTreeMap, BTreeSet};

use audit::{CruiseEstimate, CutOut, ScaleBase, hold_against, still_standing};
use jiff::civil::Date;
use kernel::VolumeUnit;
use scaling::LogRule;
use scaling::standing::FormulaFacts;
use storage::{Books, Contract, CruiseState};
use wire::{CruiseEstimates, CutOutAudit, CutOutRow, OverrunScale};

use super::cruising::{Asked, estimates, reckon};
use super::logs_by_rule::{LogsByRule, Side};
use crate::books::entitling::terms_by_id;
use crate::http::refusal::Refusal;

/// What every cut-out says of itself.
const CAUTION: &str = "The estimate is held against the logs on standing tickets of the job, from the day of the cruise on. \
What was cut and not scaled, and what lies broken in the woods, is in neither. A difference is no proof that wood was lost or \
scaled wrongly: the interval speaks of chance alone, and by another rule the same logs have another volume. What follows from \
it is for the contract, local law and licensed foresters to decide.";

/// One contract's scale.
const CONTRACTS_SIDE: Side = Side { scale: "the contract", delivered_only: false };

/// Holds the cut on a contract's scale against a cruise.
///
/// # Errors
///
/// Whatever the books answer; [`wire::Code::TooLarge`].
pub async fn audit(
    books: &mut Books,
    cruise: CruiseState,
    contract: Contract,
    to: Option<Date>,
    asked: Asked,
) -> Result<CutOutAudit, Refusal> {
    let CruiseState { cruise, withdrawn } = cruise;
    let wood = books.wood_cut(contract.id, cruise.job, cruise.cruised_on, to).await?;
    let terms = terms_by_id(books, wood.iter().filter_map(|one| one.terms)).await?;
    let logs = LogsByRule::sort(wood.iter(), &terms, CONTRACTS_SIDE)?;
    let reckoned = reckon(&cruise.measured)?;
    let expected = estimates(&reckoned, &cruise.measured, asked)?;
    let formula = cruise.measured.formula().facts();
    let unit = common_unit(expected.unit, &logs.of_all()?);
    let not_comparable = match (&withdrawn, &unit) {
        (Some(withdrawn), _) => Some(format!("the cruise was taken back: {}", withdrawn.reason)),
        (None, Err(says)) => Some(says.clone()),
        (None, Ok(_)) => None,
    };
    let comparable = not_comparable.is_none();
    Ok(CutOutAudit {
        cruise_id: cruise.id,
        contract_id: contract.id,
        contract_title: contract.title,
        from: cruise.cruised_on,
        to,
        unit: unit.ok().flatten().filter(|_| comparable),
        contract_rules: logs.rules().keys().cloned().collect(),
        rules_differ: logs.rules().iter().any(|(named, rule)| differs(&formula, named, *rule)),
        cruise_formula: formula.says,
        confidence: expected.confidence,
        species: if comparable { by_species(&expected, &logs)? } else { Vec::new() },
        all: if comparable { Some(row(None, Some(expected.all), &logs.of_all()?)?) } else { None },
        not_comparable,
        left_out: logs.left_out(),
        caution: CAUTION.to_owned(),
    })
}

/// The unit of the estimate and of every log, or why there is none.
fn common_unit(expected: Option<VolumeUnit>, scales: &[OverrunScale]) -> Result<Option<VolumeUnit>, String> {
    let units: BTreeSet<VolumeUnit> = expected.into_iter().chain(scales.iter().map(|one| one.unit)).collect();
    if units.len() > 1 {
        let names: Vec<_> = units.into_iter().map(|unit| audit::UnitName(unit).to_string()).collect();
        return Err(format!(
            "the estimate and the logs are not all in one unit: {}; nothing converts one into the other",
            names.join(", ")
        ));
    }
    Ok(units.first().copied())
}

/// Whether logs were scaled by another rule than the cruise was reckoned by.
fn differs(formula: &FormulaFacts, named: &str, rule: LogRule) -> bool {
    match (formula.rule, formula.rule_edition) {
        (Some(of_cruise), Some(edition)) => of_cruise.named(Some(edition)) != named,
        (Some(of_cruise), None) => rule != LogRule::Published(of_cruise),
        (None, _) => true,
    }
}

fn by_species(expected: &CruiseEstimates, logs: &LogsByRule) -> Result<Vec<CutOutRow>, Refusal> {
    let estimates: BTreeMap<&str, CruiseEstimate> =
        expected.species.iter().map(|one| (one.species.as_str(), one.estimate)).collect();
    let species: BTreeSet<&str> = estimates.keys().copied().chain(logs.species()).collect();
    species
        .into_iter()
        .map(|one| row(Some(one), estimates.get(one).copied(), &logs.of_species(one)))
        .collect()
}

/// One species, or all of them; scales of several rules in one unit are added up.
fn row(
    species: Option<&str>,
    estimate: Option<CruiseEstimate>,
    scales: &[OverrunScale],
) -> Result<CutOutRow, Refusal> {
    let (mut logs, mut cut) = (0_i64, CutOut::default());
    for scale in scales {
        logs = logs.saturating_add(scale.logs);
        cut = CutOut { gross: cut.gross.plus(scale.gross)?, net: cut.net.plus(scale.net)? };
    }
    let bases = [ScaleBase::Gross, ScaleBase::Net].into_iter();
    let held = bases.filter_map(|base| estimate.as_ref().map(|estimate| hold_against(estimate, cut, base)));
    Ok(CutOutRow {
        species: species.map(str::to_owned),
        logs,
        gross: cut.gross,
        net: cut.net,
        held: held.collect::<Result<_, _>>()?,
        still_standing: estimate.as_ref().map(|estimate| still_standing(estimate, cut)).transpose()?,
        estimate,
    })
}
