//! A comparison as it is shown.

use std::collections::BTreeMap;

use audit::{
    BothTotals, CheckMeasure, Confidence, Finding, Ratio, ScaleTotals, Stratum, sample_size, students_t,
};
use kernel::Fixed;
use storage::{CheckScaleState, Contract};
use wire::{
    AgreementView, CheckFindingView, CheckNotice, CheckPointView, CheckRatioView, CheckScaleView,
    CheckedStratumView, ComparedGroupView, ComparedPieceView, OneScaleView, SampleAdviceView,
    ScaleTotalsView, TicketReference,
};

use super::comparing::Compared;
use super::lot::LotVolume;
use super::sampling::{Sampled, Side};
use super::verdict::statistic;
use crate::http::refusal::Refusal;

/// What a comparison says of itself.
pub const CAUTIONS: [&str; 3] = [
    "The words of the contract decide whether and how a check scale changes anything; this is arithmetic, not legal advice.",
    "Who may check, and what a check scaler must hold, is for local law and its licensing to say.",
    "The sampling error holds for pieces picked at random from the whole lot; picked otherwise, nothing here does.",
];

/// The least samples of the U.S. Bureau of Land Management's check scale clause.
const LEAST_SHORT: u64 = 200;
const LEAST_LONG: u64 = 100;
/// Logs of this many feet or less are short there.
const SHORT_FEET: i64 = 20;

/// A check scale without what comes of it.
///
/// # Errors
///
/// [`wire::Code::Internal`] for a record that could not have been sent.
pub fn check_scale(state: &CheckScaleState, contract: &Contract) -> Result<CheckScaleView, Refusal> {
    let record = &state.record;
    let all = [CheckNotice::Blind, CheckNotice::Unannounced, CheckNotice::Announced];
    let notice = all.into_iter().find(|one| one.name() == record.notice);
    Ok(CheckScaleView {
        check_scale_id: record.id,
        contract_id: record.contract,
        contract_title: contract.title.clone(),
        job_id: contract.job,
        from: record.lot.from,
        to: record.lot.to,
        lot_scaler: record.lot.scaler.clone(),
        scaler: record.scaler.clone(),
        checked_on: record.checked_on,
        checker: record.checker.clone(),
        checker_certificate_id: state.certificate,
        notice: notice.ok_or_else(|| Refusal::internal("a check scale with an unknown notice"))?,
        sampled: record.pieces.len(),
        remarks: record.remarks.clone(),
        made_by: record.made.by.clone(),
        made_at: record.made.at,
    })
}

/// The sample piece by piece.
#[must_use]
pub fn pieces(compared: &Compared) -> Vec<ComparedPieceView> {
    compared.sample.pieces.iter().filter_map(|one| piece(compared, one)).collect()
}

fn piece(compared: &Compared, one: &Sampled) -> Option<ComparedPieceView> {
    let ticket = compared.sample.tickets.get(&one.ticket)?;
    let record = &ticket.record;
    Some(ComparedPieceView {
        ticket: TicketReference { ticket_id: record.id, book: record.book.clone(), number: record.number },
        scaled_on: record.scaled_on,
        scaler: record.scaler.clone(),
        piece: one.piece,
        product: one.product,
        corrected_by: ticket.corrected_by,
        original: one.original.as_ref().map(side),
        check: one.check.as_ref().map(side),
    })
}

fn side(side: &Side) -> OneScaleView {
    let scaled = side.scaled.as_ref().ok();
    let volume = scaled.and_then(|scaled| scaled.volume.as_ref());
    let length = scaled.and_then(|scaled| scaled.scaling_length_ft.or(scaled.scaling_length_m));
    OneScaleView {
        species: side.facts.species().as_str().to_lowercase(),
        grade: scaled.and_then(|scaled| scaled.grade.clone()),
        length: length.and_then(|length| length.fixed().ok()),
        unit: volume.map(|volume| volume.unit),
        gross: volume.and_then(|volume| volume.gross.fixed().ok()),
        net: volume.and_then(|volume| volume.net.fixed().ok()),
        cull: scaled.and_then(|scaled| scaled.cull.clone()),
        cannot: side.scaled.as_ref().err().cloned(),
        working: scaled
            .map(|scaled| scaled.working.iter().map(|step| step.says.to_string()).collect())
            .unwrap_or_default(),
    }
}

/// The pieces that both scaled to a volume.
#[must_use]
pub fn points(compared: &Compared) -> Vec<CheckPointView> {
    let both = compared.sample.pieces.iter().filter_map(Sampled::compared);
    both.filter_map(|one| {
        let (original, check) = (one.original?, one.check?);
        let ((unit, _, first), (_, _, second)) = (original.volume?, check.volume?);
        Some(CheckPointView { product: original.product, unit, original: first, check: second })
    })
    .collect()
}

/// How sure one wants to be, and how far off the ratio may be.
#[derive(Clone, Copy, Debug)]
pub struct Precision {
    /// The confidence of every interval.
    pub confidence: Confidence,
    /// The error that is allowed, in percent.
    pub allowed_percent: Fixed,
}

impl Precision {
    /// What holds where nobody asks for another: 95 percent confidence, and 2.5 percent of error, which a state asks for of
    /// sample scaling (Washington, timber excise tax).
    pub const USUAL: Self =
        Self { confidence: Confidence::NinetyFive, allowed_percent: Fixed::from_millionths(2_500_000) };
}

/// The strata.
///
/// # Errors
///
/// [`wire::Code::TooLarge`].
pub fn strata(compared: &Compared, precision: Precision) -> Result<Vec<CheckedStratumView>, Refusal> {
    compared
        .strata
        .iter()
        .zip(&compared.verdict.findings)
        .map(|(one, findings)| stratum(compared, one, findings, precision))
        .collect()
}

fn stratum(
    compared: &Compared,
    one: &Stratum,
    findings: &[Finding],
    precision: Precision,
) -> Result<CheckedStratumView, Refusal> {
    let lot = compared.lot.volumes.get(&(one.product, one.unit)).copied().unwrap_or_default();
    let population = compared.population(one);
    let of = |measure| one.unit.and_then(|_| one.ratio(measure, population).ok());
    let (gross, net) = (of(CheckMeasure::Gross), of(CheckMeasure::Net));
    let species = one.by_species.iter().map(|(name, both)| (Some(name.clone()), *both)).collect();
    let LotVolume { pieces, gross: lot_gross, net: lot_net } = lot;
    Ok(CheckedStratumView {
        product: one.product,
        unit: one.unit,
        original: totals(&one.totals.original),
        check: totals(&one.totals.check),
        lot_pieces: pieces,
        lot_gross,
        lot_net,
        by_species: groups(&species),
        by_grade: groups(&one.by_grade),
        agreement: AgreementView {
            pieces: one.agreement.pieces,
            species: one.agreement.species,
            grade: one.agreement.grade,
        },
        gross_ratio: gross.map(|ratio| ratio_view(&ratio, lot_gross, precision)).transpose()?,
        net_ratio: net.as_ref().map(|ratio| ratio_view(ratio, lot_net, precision)).transpose()?,
        findings: findings.iter().map(finding).collect(),
        advice: net.as_ref().and_then(|ratio| advice(one, ratio, population, precision)),
    })
}

fn totals(totals: &ScaleTotals) -> ScaleTotalsView {
    ScaleTotalsView {
        pieces: totals.pieces,
        length: totals.length,
        gross: totals.gross,
        net: totals.net,
        defect_percent: totals.defect_percent(),
    }
}

fn groups(groups: &BTreeMap<Option<String>, BothTotals>) -> Vec<ComparedGroupView> {
    let view = |(name, both): (&Option<String>, &BothTotals)| ComparedGroupView {
        name: name.clone(),
        original: totals(&both.original),
        check: totals(&both.check),
    };
    groups.iter().map(view).collect()
}

fn ratio_view(ratio: &Ratio, lot: Fixed, precision: Precision) -> Result<CheckRatioView, Refusal> {
    let interval = ratio.interval(precision.confidence).ok();
    Ok(CheckRatioView {
        ratio: ratio.shown().map_err(statistic)?,
        standard_error: ratio.standard_error().ok(),
        from: interval.map(|interval| interval.from),
        to: interval.map(|interval| interval.to),
        error_percent: ratio.error_percent(precision.confidence).ok(),
        estimate: ratio.estimate(&lot.into()).map_err(statistic)?,
    })
}

fn finding(finding: &Finding) -> CheckFindingView {
    CheckFindingView {
        measure: finding.measure,
        difference: finding.difference,
        percent_of_original: finding.percent_of_original,
        percent_of_check: finding.percent_of_check,
        limit_percent: finding.limit_percent,
        outcome: finding.outcome,
    }
}

/// How large a sample would have to be; none where a single piece or no scale tells nothing of it.
fn advice(
    stratum: &Stratum,
    ratio: &Ratio,
    population: Option<u64>,
    precision: Precision,
) -> Option<SampleAdviceView> {
    let sampled = stratum.totals.original.pieces.max(stratum.totals.check.pieces);
    let variation_percent = ratio.variation_percent().ok()?;
    let Precision { confidence, allowed_percent } = precision;
    let t = students_t(confidence, sampled.checked_sub(1)?)?;
    let needed = sample_size(variation_percent, allowed_percent, t, population).ok()?;
    let enough = if needed <= sampled { "the sample has" } else { "the sample is too small; it has" };
    let says = vec![
        format!(
            "(t × variation ÷ allowed)² = ({t} × {variation_percent} ÷ {allowed_percent})², raised to a whole piece{}: \
             {needed} pieces bring the ratio of net within {allowed_percent} percent at {} percent confidence; {enough} \
             {sampled}",
            if population.is_some() { ", lessened for the size of the lot" } else { "" },
            confidence.percent(),
        ),
        least(stratum),
        "a state asks for 2.5 percent at the 95 percent level of sample scaling (Washington, timber excise tax)".to_owned(),
    ];
    Some(SampleAdviceView { sampled, variation_percent, allowed_percent, t, needed, says })
}

/// The least samples that are published; a hint, for contracts say what they ask for.
fn least(stratum: &Stratum) -> String {
    let ScaleTotals { pieces, length, .. } = stratum.totals.original;
    let limit = i64::try_from(pieces).ok().and_then(|pieces| SHORT_FEET.checked_mul(pieces));
    let limit = limit.and_then(|limit| Fixed::whole(limit).ok());
    let which = match limit {
        Some(limit) if length > limit => "these are long on average",
        _ => "these are short on average, if they are measured in feet",
    };
    format!(
        "one published clause asks for at least {LEAST_SHORT} logs of {SHORT_FEET} feet or less, or {LEAST_LONG} longer \
         ones, spread over species and defect (U.S. Bureau of Land Management); {which}"
    )
}
