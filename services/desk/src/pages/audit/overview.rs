//! Volume against pay: the charts with their tables, and from every row the way to what it is made of.

use actix_web::web::{Data, Query};
use actix_web::{HttpResponse, get};
use client::ReportQuery;
use maud::{Markup, html};
use papers::html::section_leading_on;
use papers::report::pay::rates;
use papers::{Block, report};
use wire::{AuditReport, MadeOf, MadeOfKind, Role};

use super::addresses::links;
use super::asked::{Choices, Filled, id};
use super::{facts, page};
use crate::desk::Desk;
use crate::session::person::Person;
use crate::trouble::Trouble;

/// Shows it.
///
/// # Errors
///
/// [`Trouble`].
#[get("/audit")]
pub async fn show(person: Person, desk: Data<Desk>, filled: Query<Filled>) -> Result<HttpResponse, Trouble> {
    let filled = filled.into_inner().with_days(&person, &desk).await?;
    let (from, to) = filled.days()?;
    let asked = ReportQuery {
        job_id: id(&filled.job_id)?,
        contract_id: id(&filled.contract_id)?,
        crew_id: id(&filled.crew_id)?,
        ..ReportQuery::of_days(from, to)
    };
    let report = person.service.report_audit(&asked).await?;
    let choices = Choices::read(&person).await?;
    Ok(page(&person, "Volume against pay", "/desk/audit", &content(&report, &filled, &choices)))
}

fn content(report: &AuditReport, filled: &Filled, choices: &Choices) -> Markup {
    let narrowing = filled.narrowing();
    // A mill follows its lines from its own statements; whole settlements are not its side.
    let may_follow = |one: &&MadeOf| report.role != Role::Mill || one.kind != MadeOfKind::SettlementLine;
    let lead_on = |made_of: &[MadeOf]| {
        let those: Vec<MadeOf> = made_of.iter().filter(may_follow).cloned().collect();
        links(&those, &narrowing)
    };
    let mut sections = self::report(report).sections;
    // On a page that leads on, the contracts have a step between them and the lines: their rates.
    if let Some(pay) = sections.iter_mut().find(|one| one.id == "pay") {
        pay.blocks.push(Block::Table(rates(report)));
    }
    let days = format!("{} to {}, whole settlement weeks", report.from, report.to);
    let query = filled.as_query();
    html! {
        (filled.form("/desk/audit", choices))
        (facts(&[("Weeks", days), ("Job", report.job_name.clone().unwrap_or_else(|| "all jobs".to_owned()))]))
        p.papers {
            "As a paper: "
            a #paper-html href={ "/desk/papers/report.html?" (query) } { "to read and print (HTML)" } ", "
            a #paper-pdf href={ "/desk/papers/report.pdf?" (query) } { "to keep and send (PDF)" } "."
        }
        nav aria-label="Sections" { ul { @for one in &sections { li { a href={ "#" (one.id) } { (one.title) } } } } }
        @for one in &sections {
            (section_leading_on(one, &lead_on))
            @if one.id == "exceptions" {
                p { a href={ "/desk/audit/exceptions?" (query) } { "Exceptions one by one, with their tickets" } }
            }
            @if one.id == "check-scales" {
                p { a href="/desk/audit/check-scales" { "All check scales, each stick by stick" } }
            }
        }
    }
}
