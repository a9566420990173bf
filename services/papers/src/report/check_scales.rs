//! The report's section on check scales: the ratio of both scales, the verdict, and the sample stick by stick.

use audit::{CheckMeasure, CheckOutcome};
use wire::{AuditReport, CheckPointView, CheckedStratumView, ReportedCheckScale};

use super::{paragraph, words};
use crate::charts::drawing::Heading;
use crate::charts::scatter::{Point, ScatterLabels, Tolerance, scatter};
use crate::paper::{Block, Section};
use crate::table::{Cell, Table};
use crate::words::capital;

/// What a table says of each stick.
const HEADS: [&str; 4] = ["Stick", "By the scaler", "By the checker", "Band"];

/// The section.
#[must_use]
pub fn section(report: &AuditReport) -> Section {
    let all = &report.check_scales;
    if all.is_empty() {
        let says = "There is no check scale of wood that was scaled in these weeks.";
        return Section::new("check-scales", "Check scales", vec![paragraph(says)]);
    }
    let says = "The ratio is the checker's net scale over the scaler's: above one, the scaler found too little. Its interval \
holds for pieces picked at random from the whole lot; picked otherwise, nothing here does. The words of the contract decide \
what follows.";
    let mut blocks = vec![paragraph(says), Block::Table(table(all))];
    if let Some(further) = report.further_check_scales {
        blocks.push(paragraph(format!("These are the latest; there are {further} more.")));
    }
    for (place, one) in all.iter().enumerate() {
        blocks.extend(check_scale(place.saturating_add(1), one));
    }
    Section::new("check-scales", "Check scales", blocks)
}

/// A row for each product and unit of each check scale.
fn table(all: &[ReportedCheckScale]) -> Table {
    let heads = [
        "Contract",
        "Checker",
        "Checked on",
        "Scaler",
        "Lot",
        "Timber",
        "Pieces by the scaler",
        "By the checker",
        "Ratio of net",
        "From",
        "To",
        "Verdict",
    ];
    let confidence = all.first().map_or(0, |one| one.confidence_percent);
    let caption =
        format!("Check scales, latest first, with the ratio's interval at {confidence} percent confidence");
    let mut rows = Vec::new();
    for one in all {
        let strata: Vec<Option<&CheckedStratumView>> = match one.strata.as_slice() {
            [] => vec![None],
            strata => strata.iter().map(Some).collect(),
        };
        rows.extend(strata.into_iter().map(|stratum| row(one, stratum)));
    }
    super::table("table-check-scales", caption, &heads, rows)
}

fn row(one: &ReportedCheckScale, stratum: Option<&CheckedStratumView>) -> Vec<Cell> {
    let head = &one.check_scale;
    let ratio = stratum.and_then(|stratum| stratum.net_ratio);
    vec![
        Cell::Head(head.contract_title.clone()),
        Cell::Words(head.checker.clone()),
        Cell::Words(head.checked_on.to_string()),
        Cell::Words(head.scaler.clone().unwrap_or_else(|| "several".to_owned())),
        Cell::Words(format!("{} to {}", head.from, head.to)),
        Cell::Words(stratum.map_or("nothing to compare".to_owned(), timber)),
        Cell::maybe(stratum.map(|stratum| stratum.original.pieces)),
        Cell::maybe(stratum.map(|stratum| stratum.check.pieces)),
        Cell::maybe(ratio.map(|ratio| ratio.ratio)),
        Cell::maybe(ratio.and_then(|ratio| ratio.from)),
        Cell::maybe(ratio.and_then(|ratio| ratio.to)),
        Cell::Words(outcome(one.verdict.outcome).to_owned()),
    ]
}

fn timber(stratum: &CheckedStratumView) -> String {
    let unit = stratum.unit.map_or("without volume", |unit| unit.words());
    format!("{}, {unit}", stratum.product.words())
}

const fn outcome(outcome: Option<CheckOutcome>) -> &'static str {
    match outcome {
        None => "no tolerance",
        Some(CheckOutcome::Within) => "within",
        Some(CheckOutcome::NotProvidedFor) => "outside, for which nothing is provided",
        Some(CheckOutcome::Beyond) => "beyond",
    }
}

/// The verdict in words, then the sample.
fn check_scale(number: usize, one: &ReportedCheckScale) -> Vec<Block> {
    let head = &one.check_scale;
    let title = format!("{}, checked on {} by {}", head.contract_title, head.checked_on, head.checker);
    let says = format!(
        "{} sampled, {}, of what {} scaled from {} to {}.",
        words::count(head.sampled, "piece"),
        head.notice.name(),
        head.lot_scaler.as_deref().unwrap_or("any scaler"),
        head.from,
        head.to
    );
    let verdict = one.verdict.says.iter().map(|says| format!("{}.", capital(says))).collect();
    let mut blocks = vec![Block::Heading(title), paragraph(says), Block::Points(verdict)];
    for (place, stratum) in one.strata.iter().enumerate() {
        blocks.extend(sample(&format!("{number}-{}", place.saturating_add(1)), one, stratum));
    }
    blocks
}

/// The sticks of one product and unit that both scaled; nothing where there are none.
fn sample(id: &str, one: &ReportedCheckScale, stratum: &CheckedStratumView) -> Vec<Block> {
    let is_of =
        |point: &&CheckPointView| (point.product, Some(point.unit)) == (stratum.product, stratum.unit);
    let of_both: Vec<CheckPointView> = one.points.iter().filter(is_of).copied().collect();
    if of_both.is_empty() {
        return Vec::new();
    }
    let tolerance = tolerance(one, stratum);
    let band = tolerance.map_or(
        "The contract states no tolerance of net scale, so no band is drawn.",
        |_| "The band is the contract's tolerance; the contract holds the sums to it, not the single stick.",
    );
    let heading = Heading {
        id: format!("chart-check-{id}"),
        title: format!("Net scale of the same sticks, {}", about(one, stratum)),
        says: format!(
            "{}, each by what the checker and the scaler found. {band} The figures stand in the table below.",
            words::count(of_both.len(), "stick"),
        ),
    };
    let labels = ScatterLabels { checker: "net by the checker", scaler: "net by the scaler" };
    let points: Vec<Point> =
        of_both.iter().map(|point| Point { checker: point.check, scaler: point.original }).collect();
    let chart = scatter(&heading, labels, &points, tolerance);
    let caption = format!("Net scale stick by stick, {}", about(one, stratum));
    let table = super::table(format!("table-check-{id}"), caption, &HEADS, sticks(&points, tolerance));
    vec![Block::Chart(chart), Block::Table(table)]
}

/// The band of a stratum, where its net scale is held to one.
fn tolerance(one: &ReportedCheckScale, stratum: &CheckedStratumView) -> Option<Tolerance> {
    let finding = stratum.findings.iter().find(|finding| finding.measure == CheckMeasure::Net)?;
    Some(Tolerance { percent: finding.limit_percent, base: one.verdict.rule?.base })
}

fn about(one: &ReportedCheckScale, stratum: &CheckedStratumView) -> String {
    format!("{}, checked on {} by {}", timber(stratum), one.check_scale.checked_on, one.check_scale.checker)
}

fn sticks(points: &[Point], tolerance: Option<Tolerance>) -> Vec<Vec<Cell>> {
    let mut rows = Vec::new();
    for (place, point) in points.iter().enumerate() {
        let band = match tolerance.map(|tolerance| tolerance.holds(*point)) {
            None => "none",
            Some(true) => "within",
            Some(false) => "outside",
        };
        rows.push(vec![
            Cell::Head(place.saturating_add(1).to_string()),
            Cell::figure(point.scaler),
            Cell::figure(point.checker),
            Cell::Words(band.to_owned()),
        ]);
    }
    rows
}
