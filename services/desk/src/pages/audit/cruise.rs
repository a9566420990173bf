//! A cruise: what stands by species, how sure that is, and the cut beside it on the scale of each of the job's contracts.

use crate::table::{Cell, Table};
use actix_web::web::Path;
use actix_web::{HttpResponse, get};
use audit::{CruiseEstimate, SamplingError};
use client::{ClientError, CutOutQuery, EstimateQuery, PageQuery, all_pages};
use kernel::{CruiseId, Fixed};
use maud::{Markup, html};
use papers::report::words;
use wire::{CruiseView, CutOutAudit, CutOutRow};

use super::overrun::left_out;
use super::{facts, page};
use crate::session::person::Person;
use crate::trouble::{Trouble, refused};

/// Shows it.
///
/// # Errors
///
/// [`Trouble`].
#[get("/audit/cruises/{cruise}")]
pub async fn show(person: Person, id: Path<CruiseId>) -> Result<HttpResponse, Trouble> {
    let service = &person.service;
    let query = EstimateQuery { confidence: None, allowed_percent: None };
    let view = service.show_cruise(*id, &query).await?;
    let page_of = |after| PageQuery { after, limit: Some(500) };
    let contracts = all_pages(async |after| service.list_contracts(&page_of(after)).await).await?;
    let mut beside = Vec::new();
    for contract in contracts.iter().filter(|one| one.job_id == view.summary.job_id) {
        let query =
            CutOutQuery { cruise_id: *id, contract_id: contract.contract_id, to: None, confidence: None };
        beside.push(match service.audit_cut_out(&query).await {
            Ok(audit) => cut_out(&audit),
            Err(ClientError::Refused(problem)) => html! { h3 { (contract.title) } (refused(&problem)) },
            Err(error) => return Err(error.into()),
        });
    }
    let title = format!("Cruise of {}", view.summary.job_name);
    let content = html! {
        (estimates(&view))
        h2 id="cut-out" { "The cut beside it" }
        @if beside.is_empty() { p { "The job has no contract whose scale the cut could be told on." } }
        @for one in &beside { (one) }
    };
    Ok(page(&person, &title, "/desk/audit/cruises", &content))
}

fn estimates(view: &CruiseView) -> Markup {
    let (summary, estimates) = (&view.summary, &view.estimates);
    let tract = estimates
        .tract
        .map_or_else(|| "not measured".to_owned(), |area| format!("{} {}", area.exact(), area.unit()));
    let known = [
        ("Done on", wire::words::day(summary.cruised_on)),
        ("Cruiser", summary.cruiser.clone()),
        (
            "Looked at",
            format!(
                "{}; {}",
                words::count(summary.plots, "plot"),
                words::count(i64::try_from(summary.trees).unwrap_or(i64::MAX), "tree")
            ),
        ),
        ("Tract", tract),
        ("Volume by", summary.formula.says.clone()),
        ("It holds for", summary.formula.range.clone()),
        ("Source", summary.formula.source.clone()),
    ];
    let heads = ["Species", "Stems", "Volume", "From", "To", "Error, %"];
    let unit = estimates.unit.map_or("nothing", |unit| unit.words());
    let mut table = Table::new("table-estimates", format!("What stands on the tract, in {unit}"), &heads);
    let all = [("all".to_owned(), &estimates.all)];
    let species = estimates.species.iter().map(|one| (one.species.clone(), &one.estimate));
    for (of, estimate) in species.chain(all) {
        table.rows.push(row(of, estimate));
    }
    html! {
        (facts(&known))
        @if let Some(withdrawn) = &summary.withdrawn { p.notice { "Taken back by " (withdrawn.made_by) ": " (withdrawn.reason) } }
        @if summary.formula.from_memory { p.notice { "The formula is recalled, not checked against print." } }
        (table.shown())
        p { "From and to are the ends of an interval of " (estimates.confidence.percent()) " percent." }
        @if let Some(needed) = &estimates.plots_needed {
            p { "To come within " (needed.allowed_percent) " percent it would take " (needed.plots) " plots in all (t = " (needed.t) ")." }
        }
        p.help { (estimates.caution) }
    }
}

fn row(of: String, estimate: &CruiseEstimate) -> Vec<Cell> {
    let error = |take: fn(&SamplingError) -> Option<Fixed>| {
        Cell::maybe(estimate.sampling_error.as_ref().and_then(take))
    };
    vec![
        Cell::Head(of),
        Cell::figure(estimate.stems),
        Cell::figure(estimate.volume),
        error(|error| Some(error.from)),
        error(|error| Some(error.to)),
        error(|error| error.percent),
    ]
}

fn cut_out(audit: &CutOutAudit) -> Markup {
    let heads = ["Species", "Expected", "Gross cut", "Net cut", "Gross, %", "Within", "Still standing"];
    let unit = audit.unit.map_or("no common unit", |unit| unit.words());
    let caption = format!("Cut since {} on the scale of {}, in {unit}", audit.from, audit.contract_title);
    let mut table = Table::new(format!("table-cut-{}", audit.contract_id), caption, &heads);
    table.rows = audit.species.iter().chain(&audit.all).map(cut_row).collect();
    html! {
        h3 { (audit.contract_title) }
        @if let Some(reason) = &audit.not_comparable { p { "Not comparable: " (super::sentence(reason)) } }
        @if audit.all.is_some() { (table.shown()) }
        ul {
            li { "The cruise by " (audit.cruise_formula) "." }
            @if !audit.contract_rules.is_empty() { li { "The cut by " (audit.contract_rules.join("; ")) "." } }
            @if audit.rules_differ { li { "The two were not measured by one rule: some of the difference is the rules' own." } }
            @for one in &audit.left_out { li { (left_out(one)) } }
        }
        p.help { (audit.caution) }
    }
}

fn cut_row(row: &CutOutRow) -> Vec<Cell> {
    let gross = row.held.first();
    let within = gross.and_then(|held| held.within_interval);
    vec![
        Cell::Head(row.species.clone().unwrap_or_else(|| "all".to_owned())),
        Cell::maybe(row.estimate.as_ref().map(|estimate| estimate.volume)),
        Cell::figure(row.gross),
        Cell::figure(row.net),
        Cell::maybe(gross.and_then(|held| held.percent)),
        Cell::Words(within.map_or("", |within| if within { "yes" } else { "no" }).to_owned()),
        Cell::maybe(row.still_standing),
    ]
}
