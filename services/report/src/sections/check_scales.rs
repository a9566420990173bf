//! The page's section on check scales: the ratio of both scales, the verdict, and the sample stick by stick.

use audit::{CheckMeasure, CheckOutcome};
use maud::{Markup, html};
use wire::{AuditReport, CheckPointView, CheckedStratumView, ReportedCheckScale};

use super::{Section, figure};
use crate::charts::drawing::Heading;
use crate::charts::scatter::{Point, ScatterLabels, Tolerance, scatter};
use crate::table::{Cell, Table};
use crate::words;

/// What a table says of each stick.
const HEADS: [&str; 4] = ["Stick", "By the scaler", "By the checker", "Band"];

/// The section.
#[must_use]
pub fn section(report: &AuditReport) -> Section {
    let all = &report.check_scales;
    let content = html! {
        @if all.is_empty() {
            p { "There is no check scale of wood that was scaled in these weeks." }
        } @else {
            p { "The ratio is the checker's net scale over the scaler's: above one, the scaler found too little. Its interval \
    holds for pieces picked at random from the whole lot; picked otherwise, nothing here does. The words of the contract decide \
    what follows." }
            (table(all).shown())
            @if let Some(further) = report.further_check_scales {
                p { "These are the latest; there are " (further) " more." }
            }
            @for (place, one) in all.iter().enumerate() { (check_scale(place.saturating_add(1), one)) }
        }
    };
    Section { id: "check-scales", title: "Check scales", content }
}

/// One check scale by itself: its row, the verdict in words, the sample with its chart.
#[must_use]
pub fn section_of(one: &ReportedCheckScale) -> Markup {
    html! { (table(std::slice::from_ref(one)).shown()) (check_scale(1, one)) }
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
    let mut table = Table::new("table-check-scales", caption, &heads);
    for one in all {
        let strata: Vec<Option<&CheckedStratumView>> = match one.strata.as_slice() {
            [] => vec![None],
            strata => strata.iter().map(Some).collect(),
        };
        table.rows.extend(strata.into_iter().map(|stratum| row(one, stratum)));
    }
    table
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
fn check_scale(number: usize, one: &ReportedCheckScale) -> Markup {
    let head = &one.check_scale;
    html! {
        h3 { (head.contract_title) ", checked on " (head.checked_on) " by " (head.checker) }
        p {
            (words::count(head.sampled, "piece")) " sampled, " (head.notice.name()) ", of what "
            (head.lot_scaler.as_deref().unwrap_or("any scaler")) " scaled from " (head.from) " to " (head.to) "."
        }
        ul { @for says in &one.verdict.says { li { (words::capital(says)) "." } } }
        @for (place, stratum) in one.strata.iter().enumerate() {
            (sample(&format!("{number}-{}", place.saturating_add(1)), one, stratum))
        }
    }
}

/// The sticks of one product and unit that both scaled; nothing where there are none.
fn sample(id: &str, one: &ReportedCheckScale, stratum: &CheckedStratumView) -> Markup {
    let is_of =
        |point: &&CheckPointView| (point.product, Some(point.unit)) == (stratum.product, stratum.unit);
    let of_both: Vec<CheckPointView> = one.points.iter().filter(is_of).copied().collect();
    if of_both.is_empty() {
        return html! {};
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
    let table = sticks(Table::new(format!("table-check-{id}"), caption, &HEADS), &points, tolerance);
    figure(&heading, &chart, &table.shown())
}

/// The band of a stratum, where its net scale is held to one.
fn tolerance(one: &ReportedCheckScale, stratum: &CheckedStratumView) -> Option<Tolerance> {
    let finding = stratum.findings.iter().find(|finding| finding.measure == CheckMeasure::Net)?;
    Some(Tolerance { percent: finding.limit_percent, base: one.verdict.rule?.base })
}

fn about(one: &ReportedCheckScale, stratum: &CheckedStratumView) -> String {
    format!("{}, checked on {} by {}", timber(stratum), one.check_scale.checked_on, one.check_scale.checker)
}

fn sticks(mut table: Table, points: &[Point], tolerance: Option<Tolerance>) -> Table {
    for (place, point) in points.iter().enumerate() {
        let band = match tolerance.map(|tolerance| tolerance.holds(*point)) {
            None => "none",
            Some(true) => "within",
            Some(false) => "outside",
        };
        table.rows.push(vec![
            Cell::Head(place.saturating_add(1).to_string()),
            Cell::figure(point.scaler),
            Cell::figure(point.checker),
            Cell::Words(band.to_owned()),
        ]);
    }
    table
}
