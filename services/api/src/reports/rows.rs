//! The report as one long table for spreadsheets: the same columns for every section, empty where a section has no such
//! figure. One table rather than a file for each section, since it can be filtered and summed up in one place; the
//! query's `section` leaves the rows of one.

use jiff::civil::Date;
use kernel::{Exact, Money};
use wire::{AuditReport, Cell, CellValue, MarginRow, ReportSection, ReportedCheckScale, ScaledBy, percent};

use crate::http::comma_separated::written;
use crate::http::refusal::Refusal;

/// The columns.
const NAMES: [&str; 38] = [
    "section",
    "week_ends_on",
    "stage",
    "product",
    "species",
    "scaler",
    "job",
    "party",
    "contract",
    "own_scale",
    "rules",
    "task",
    "unit",
    "per",
    "pieces",
    "culls",
    "gross",
    "net",
    "defect_percent",
    "owed",
    "cost",
    "margin",
    "earned",
    "posted",
    "open",
    "paid",
    "balance",
    "currency",
    "kind",
    "count",
    "checked_on",
    "checker",
    "lot_from",
    "lot_to",
    "ratio",
    "ratio_from",
    "ratio_to",
    "outcome",
];

/// One row, its figures under the names of their columns.
struct Row(Vec<(&'static str, Cell)>);

impl Row {
    fn of(section: ReportSection) -> Self {
        Self(vec![("section", Cell::text(section.name()))])
    }

    fn with(mut self, name: &'static str, value: &impl CellValue) -> Self {
        self.0.push((name, value.cell()));
        self
    }

    fn on_scale(self, scale: Option<&ScaledBy>) -> Self {
        let Some(scale) = scale else { return self };
        self.with("contract", &scale.contract_title)
            .with("own_scale", &scale.own)
            .with("rules", &scale.rules.join(" "))
            .with("unit", &scale.unit.name())
    }

    fn defect(self, share: Option<Exact>) -> Self {
        match share {
            Some(share) => Self([self.0, vec![("defect_percent", Cell::number(percent(share)))]].concat()),
            None => self,
        }
    }

    fn cells(self) -> Vec<Cell> {
        let mut given = self.0;
        let mut cell = |name: &str| {
            let place = given.iter().position(|(known, _)| *known == name);
            place.map_or(Cell::blank(), |place| given.swap_remove(place).1)
        };
        NAMES.iter().map(|name| cell(name)).collect()
    }
}

/// The table, or one section of it.
///
/// # Errors
///
/// [`wire::Code::Internal`], for a row of the wrong form.
pub fn table(report: &AuditReport, only: Option<ReportSection>) -> Result<String, Refusal> {
    let sections = ReportSection::ALL.into_iter().filter(|one| only.is_none_or(|only| only == *one));
    let rows = sections.flat_map(|section| rows(report, section));
    written(&NAMES, rows.map(|row| row.with("currency", &report.currency).cells()))
}

fn rows(report: &AuditReport, section: ReportSection) -> Vec<Row> {
    match section {
        ReportSection::VolumeByWeek => volume(report),
        ReportSection::Stages => stages(report),
        ReportSection::CostByWeek => report.cost_by_week.iter().flat_map(cost).collect(),
        ReportSection::DefectByScaler => defect(report),
        ReportSection::Margin => {
            report.margin.iter().flat_map(|margin| &margin.rows).map(whole_margin).collect()
        }
        ReportSection::Contracts => contracts(report),
        ReportSection::Payees => payees(report),
        ReportSection::Exceptions => exceptions(report),
        ReportSection::CheckScales => report.check_scales.iter().flat_map(check_scale).collect(),
    }
}

fn volume(report: &AuditReport) -> Vec<Row> {
    let row = |row: &wire::VolumeWeekRow| {
        Row::of(ReportSection::VolumeByWeek)
            .with("week_ends_on", &row.week_ends_on)
            .with("stage", &row.stage.name())
            .on_scale(row.scaled_by.as_ref())
            .with("pieces", &row.pieces)
            .with("culls", &row.culls)
            .with("gross", &row.gross)
            .with("net", &row.net)
            .defect(row.defect_share)
    };
    report.volume_by_week.iter().map(row).collect()
}

fn stages(report: &AuditReport) -> Vec<Row> {
    let row = |row: &wire::StageRow| {
        Row::of(ReportSection::Stages)
            .with("stage", &row.stage.name())
            .with("product", &row.product.name())
            .with("species", &row.species)
            .on_scale(row.scaled_by.as_ref())
            .with("pieces", &row.pieces)
            .with("culls", &row.culls)
            .with("gross", &row.gross)
            .with("net", &row.net)
            .defect(row.defect_share)
    };
    report.volume_against_pay.stages.iter().map(row).collect()
}

/// What a row about costs is about, for as much of the wood as it speaks of.
fn wood(section: ReportSection, row: &MarginRow, week: Option<Date>) -> Row {
    let unit = row.per_unit.as_ref();
    Row::of(section)
        .with("week_ends_on", &week)
        .with("job", &row.job_name)
        .with("party", &row.mill_name)
        .with("unit", &unit.map(|unit| unit.unit.name()))
        .with("per", &unit.map(|unit| unit.per))
}

/// The cost of each task and what the mill owes, for so many units as `per` says.
fn cost(row: &MarginRow) -> Vec<Row> {
    let about = |task: settlement::Task| {
        wood(ReportSection::CostByWeek, row, row.week_ends_on).with("task", &task.name())
    };
    let tasks = row.tasks.iter().map(|task| about(task.task).with("cost", &task.per_unit));
    let owed: Option<Money> = row.per_unit.as_ref().map(|unit| unit.owed);
    tasks.chain([about(settlement::Task::Delivery).with("owed", &owed)]).collect()
}

/// Both sides of a job's wood to a mill, in all; a row of its own for each unit of the mill's scale would double them.
fn whole_margin(row: &MarginRow) -> Row {
    let scaled = match row.volumes.as_slice() {
        [one] => Some(one),
        _ => None,
    };
    Row::of(ReportSection::Margin)
        .with("job", &row.job_name)
        .with("party", &row.mill_name)
        .with("unit", &scaled.and_then(|one| one.unit).map(|unit| unit.name()))
        .with("pieces", &scaled.map(|one| one.pieces))
        .with("culls", &scaled.map(|one| one.culls))
        .with("gross", &scaled.map(|one| one.gross))
        .with("net", &scaled.map(|one| one.net))
        .with("owed", &row.owed)
        .with("cost", &row.cost)
        .with("margin", &row.margin)
}

/// A row for each kind of timber: the sums over them are left to whoever reads the table.
fn defect(report: &AuditReport) -> Vec<Row> {
    let rows = report.defect_by_scaler.iter().flat_map(|scaler| {
        scaler.timber.iter().map(move |timber| {
            Row::of(ReportSection::DefectByScaler)
                .with("scaler", &scaler.scaler)
                .with("product", &timber.product.name())
                .with("species", &timber.species)
                .on_scale(Some(&scaler.scaled_by))
                .with("pieces", &timber.pieces)
                .with("culls", &timber.culls)
                .with("gross", &timber.gross)
                .with("net", &timber.net)
                .defect(timber.defect_share)
        })
    });
    rows.collect()
}

fn contracts(report: &AuditReport) -> Vec<Row> {
    let row = |one: &wire::ContractAudit| {
        Row::of(ReportSection::Contracts)
            .with("party", &one.party_name)
            .with("contract", &one.contract_title)
            .with("earned", &one.earned)
            .with("posted", &one.posted)
            .with("open", &one.open)
    };
    report.volume_against_pay.contracts.iter().map(row).collect()
}

fn payees(report: &AuditReport) -> Vec<Row> {
    let row = |one: &wire::PayeeAudit| {
        Row::of(ReportSection::Payees)
            .with("party", &one.payee.name)
            .with("earned", &one.earned)
            .with("posted", &one.posted)
            .with("open", &one.open)
            .with("paid", &one.paid)
            .with("balance", &one.balance)
    };
    report.volume_against_pay.payees.iter().map(row).collect()
}

/// Every kind, those that there are none of too, so that a sheet finds each in its place.
fn exceptions(report: &AuditReport) -> Vec<Row> {
    let row = |one: &wire::ExceptionCount| {
        Row::of(ReportSection::Exceptions).with("kind", &one.kind.name()).with("count", &one.count)
    };
    report.exceptions.iter().flat_map(|summary| &summary.kinds).map(row).collect()
}

/// A row for each product and unit, with the scaler's figures of the sample and the ratio of net; one without figures where
/// nothing can be compared.
fn check_scale(one: &ReportedCheckScale) -> Vec<Row> {
    let head = &one.check_scale;
    let about = || {
        Row::of(ReportSection::CheckScales)
            .with("scaler", &head.scaler)
            .with("contract", &head.contract_title)
            .with("checked_on", &head.checked_on)
            .with("checker", &head.checker)
            .with("lot_from", &head.from)
            .with("lot_to", &head.to)
            .with("outcome", &one.verdict.outcome.map(audit::CheckOutcome::name))
    };
    let row = |stratum: &wire::CheckedStratumView| {
        about()
            .with("product", &stratum.product.name())
            .with("unit", &stratum.unit.map(|unit| unit.name()))
            .with("pieces", &stratum.original.pieces)
            .with("gross", &stratum.original.gross)
            .with("net", &stratum.original.net)
            .with("ratio", &stratum.net_ratio.map(|ratio| ratio.ratio))
            .with("ratio_from", &stratum.net_ratio.and_then(|ratio| ratio.from))
            .with("ratio_to", &stratum.net_ratio.and_then(|ratio| ratio.to))
    };
    if one.strata.is_empty() { vec![about()] } else { one.strata.iter().map(row).collect() }
}
