//! Who and what the outfit has: workers, crews, jobs, mills, contracts, hours, scale books, certificates.

use std::collections::BTreeMap;

use kernel::WorkerId;
use settlement::ShareMethod;
use wire::{
    ContractView, CrewView, GapView, JobView, MillView, Party, ScaleBookView, ScalerCertificateView,
    TimeEntryView, TimeFor, TimeState, VoidedNumbersView, WorkerView,
};

use super::table::{Column, Table};

/// Workers by id.
pub type WorkerNames = BTreeMap<WorkerId, String>;

/// Two columns, a name and an id.
fn named<'a>(head: &'static str, rows: impl IntoIterator<Item = (&'a str, String)>) -> String {
    let mut table = Table::new([Column::text(head, 40), Column::text("Id", 36)]);
    for (name, id) in rows {
        table.row([name.to_owned(), id]);
    }
    listed(&table)
}

fn listed(table: &Table) -> String {
    if table.is_empty() { "None.\n".to_owned() } else { table.to_string() }
}

/// Workers and their ids.
///
/// ```
/// assert_eq!(client::text::workers(&[]), "None.\n");
/// ```
#[must_use]
pub fn workers(workers: &[WorkerView]) -> String {
    named("Worker", workers.iter().map(|one| (one.name.as_str(), one.worker_id.to_string())))
}

/// Mills and their ids.
///
/// ```
/// assert_eq!(client::text::mills(&[]), "None.\n");
/// ```
#[must_use]
pub fn mills(mills: &[MillView]) -> String {
    named("Mill", mills.iter().map(|one| (one.name.as_str(), one.mill_id.to_string())))
}

/// Jobs with their landings, and their ids.
///
/// ```
/// assert_eq!(client::text::jobs(&[]), "None.\n");
/// ```
#[must_use]
pub fn jobs(jobs: &[JobView]) -> String {
    let mut table = Table::new([Column::text("Job and landings", 40), Column::text("Id", 36)]);
    for job in jobs {
        table.row([job.name.clone(), job.job_id.to_string()]);
        for landing in &job.landings {
            table.row([format!("landing {}", landing.name), landing.landing_id.to_string()]);
        }
    }
    listed(&table)
}

/// Crews, each with how it divides its pay now and since when.
///
/// ```
/// assert_eq!(client::text::crews(&[], &client::text::WorkerNames::new()), "None.\n");
/// ```
#[must_use]
pub fn crews(crews: &[CrewView], names: &WorkerNames) -> String {
    let mut table = Table::new([Column::text("Crew", 40), Column::text("Id", 36)]);
    for crew in crews {
        table.row([crew.name.clone(), crew.crew_id.to_string()]);
        let last = crew.share_sets.iter().max_by_key(|set| (set.effective_from, set.revision));
        let Some(set) = last else {
            table.note("no shares are filed: it cannot be paid yet");
            continue;
        };
        let members: Vec<_> = set
            .shares
            .iter()
            .map(|share| {
                let name = name_of(share.worker_id, names);
                share.parts.map_or_else(|| name.clone(), |parts| format!("{name} {parts}"))
            })
            .collect();
        let how = match set.method {
            ShareMethod::Parts => "by parts",
            ShareMethod::Equally => "equally",
            ShareMethod::ByHours => "by hours",
        };
        table.note(format!("from {} {how}: {}", set.effective_from, members.join(", ")));
    }
    listed(&table)
}

fn name_of(worker: WorkerId, names: &WorkerNames) -> String {
    names.get(&worker).cloned().unwrap_or_else(|| worker.to_string())
}

/// Contracts: with whom, since when on which terms, and their ids. `parties` tells the names of crews and mills by id.
///
/// ```
/// assert_eq!(client::text::contracts(&[], &std::collections::BTreeMap::new()), "None.\n");
/// ```
#[must_use]
pub fn contracts(contracts: &[ContractView], parties: &BTreeMap<String, String>) -> String {
    let mut table = Table::new([Column::text("Contract", 40), Column::text("Id", 36)]);
    for one in contracts {
        table.row([one.title.clone(), one.contract_id.to_string()]);
        let (direction, party) = match one.party {
            Party::CrewId(crew) => ("pays crew", crew.to_string()),
            Party::MillId(mill) => ("is paid by mill", mill.to_string()),
        };
        table.note(format!("{direction} {}", parties.get(&party).unwrap_or(&party)));
        for terms in &one.terms {
            let rates = terms.rates.as_slice().len();
            let holdback = if terms.holdback.is_some() { ", with holdback" } else { "" };
            table.note(format!(
                "terms from {}, revision {}: {rates} rates{holdback}; filed by {}",
                terms.effective_from, terms.revision, terms.filed_by
            ));
        }
    }
    listed(&table)
}

/// One contract with its rates, terms by terms. `parties` tells the names of crews and mills by id.
///
/// ```
/// let contract = serde_json::from_str(r#"{
///     "contract_id": "0197a000-0000-7000-8000-000000000001", "title": "Upper fork, felling",
///     "job_id": "0197a000-0000-7000-8000-000000000002", "party": {"crew_id": "0197a000-0000-7000-8000-000000000003"},
///     "made_at": "2031-06-01T12:00:00Z", "terms": []
/// }"#)?;
/// let paper = client::text::contract(&contract, &std::collections::BTreeMap::new());
/// assert!(paper.starts_with("Contract"));
/// # Ok::<(), serde_json::Error>(())
/// ```
#[must_use]
pub fn contract(contract: &ContractView, parties: &BTreeMap<String, String>) -> String {
    let mut paper = contracts(std::slice::from_ref(contract), parties);
    for terms in &contract.terms {
        paper.push_str(&format!("\nTerms from {}, revision {}\n\n", terms.effective_from, terms.revision));
        let mut table = Table::new([
            Column::number("Rate"),
            Column::text("Pays", 34),
            Column::text("By", 24),
            Column::number("Price"),
        ]);
        for (number, rate) in (1..).zip(terms.rates.as_slice()) {
            let pays = format!("{}: {}", rate.task(), rate.name());
            let by = super::words::unit(rate.unit(), rate.basis());
            table.row([number.to_string(), pays, by, rate.signed_price().to_string()]);
        }
        paper.push_str(&table.to_string());
    }
    paper
}

/// Hours, oldest entered first, each with its id.
///
/// ```
/// assert_eq!(client::text::hours(&[], &client::text::WorkerNames::new()), "None.\n");
/// ```
#[must_use]
pub fn hours(entries: &[TimeEntryView], names: &WorkerNames) -> String {
    let mut table = Table::new([
        Column::text("Day", 10),
        Column::text("Who", 24),
        Column::number("Hours"),
        Column::text("For", 20),
        Column::text("State", 9),
    ]);
    for one in entries {
        let what_for = match one.what_for {
            TimeFor::PieceWork {} => "piece work".to_owned(),
            TimeFor::Rest {} => "rest".to_owned(),
            TimeFor::Paid { task, .. } => format!("{task}, paid by time"),
        };
        let state = match one.state {
            TimeState::Standing => "standing",
            TimeState::Corrected => "corrected",
            TimeState::Void => "void",
        };
        let hours = one.hours.map(|hours| hours.to_string()).unwrap_or_default();
        table.row([
            one.worked_on.to_string(),
            name_of(one.worker_id, names),
            hours,
            what_for,
            state.to_owned(),
        ]);
        let because = one.correction_reason.as_ref().map(|reason| format!("; corrects another: {reason}"));
        table.note(format!("{}{}", one.time_entry_id, because.unwrap_or_default()));
    }
    listed(&table)
}

/// Scale books, with how many numbers are missing from each.
///
/// ```
/// assert_eq!(client::text::scale_books(&[]), "None.\n");
/// ```
#[must_use]
pub fn scale_books(books: &[ScaleBookView]) -> String {
    let mut table = Table::new([
        Column::text("Book", 20),
        Column::number("First"),
        Column::number("Last"),
        Column::number("Tickets"),
        Column::number("Void numbers"),
        Column::number("Missing"),
    ]);
    for one in books {
        let figures = [one.first_number, one.last_number, one.tickets, one.voided, one.missing];
        table.row([one.book.clone()].into_iter().chain(figures.map(|figure| figure.to_string())));
    }
    listed(&table)
}

fn span(from: i64, to: i64) -> String {
    if from == to { from.to_string() } else { format!("{from} to {to}") }
}

/// Numbers that are missing from a book, with the tickets beside each gap.
///
/// ```
/// assert_eq!(client::text::book_gaps(&[]), "None.\n");
/// ```
#[must_use]
pub fn book_gaps(gaps: &[GapView]) -> String {
    let mut table = Table::new([
        Column::text("Missing", 20),
        Column::number("After"),
        Column::text("Scaled", 10),
        Column::number("Before"),
        Column::text("Scaled", 10),
    ]);
    let day = |day: Option<jiff::civil::Date>| day.map(|day| day.to_string()).unwrap_or_default();
    for gap in gaps {
        table.row([
            span(gap.from, gap.to),
            gap.before.number.to_string(),
            day(gap.before.scaled_on),
            gap.after.number.to_string(),
            day(gap.after.scaled_on),
        ]);
    }
    listed(&table)
}

/// Numbers that no ticket will ever have, and why.
///
/// ```
/// assert_eq!(client::text::voided_numbers(&[]), "None.\n");
/// ```
#[must_use]
pub fn voided_numbers(voided: &[VoidedNumbersView]) -> String {
    let mut table =
        Table::new([Column::text("Numbers", 20), Column::text("Why", 34), Column::text("Said by", 20)]);
    for one in voided {
        table.row([span(one.from, one.to), one.reason.clone(), one.made_by.clone()]);
    }
    listed(&table)
}

/// Scalers' certificates, with their ids.
///
/// ```
/// assert_eq!(client::text::certificates(&[]), "None.\n");
/// ```
#[must_use]
pub fn certificates(certificates: &[ScalerCertificateView]) -> String {
    let mut table = Table::new([
        Column::text("Scaler", 20),
        Column::text("Certificate", 16),
        Column::text("Issued by", 18),
        Column::text("From", 10),
        Column::text("To", 10),
    ]);
    for one in certificates {
        let (from, to) = (one.valid_from.to_string(), one.valid_to.to_string());
        table.row([one.scaler.clone(), one.certificate.clone(), one.issued_by.clone(), from, to]);
        table.note(one.scaler_certificate_id.to_string());
    }
    listed(&table)
}

/// What terms would have paid for days past, beside what was accrued.
///
/// ```
/// let preview = serde_json::from_str(r#"{
///     "from": "2031-06-01", "to": "2031-06-07", "tickets": 0, "rates": [],
///     "now": {"amount": "0.00", "currency": "USD"}, "proposed": {"amount": "0.00", "currency": "USD"},
///     "difference": {"amount": "0.00", "currency": "USD"}, "unpriced": [], "unpriced_time": [], "gaps": []
/// }"#)?;
/// assert!(client::text::terms_preview(&preview).starts_with("WHAT THE TERMS WOULD PAY"));
/// # Ok::<(), serde_json::Error>(())
/// ```
#[must_use]
pub fn terms_preview(preview: &wire::TermsPreview) -> String {
    let mut paper = format!("WHAT THE TERMS WOULD PAY, {} to {}\n\n", preview.from, preview.to);
    let mut table = Table::new([
        Column::text("Rate", 30),
        Column::text("Unit", 16),
        Column::number("Now"),
        Column::number("Proposed"),
    ]);
    for rate in &preview.rates {
        table.row([
            format!("{}: {}", rate.task, rate.rate_name),
            super::words::unit(rate.unit, rate.basis),
            rate.now.amount.amount_text(),
            rate.proposed.amount.amount_text(),
        ]);
        let (now, proposed) = (rate.now.quantity, rate.proposed.quantity);
        if now != proposed {
            table.note(format!("{now} now, {proposed} proposed"));
        }
    }
    paper.push_str(&format!("{table}\n"));
    paper.push_str(&super::amounts(&[
        ("Now".to_owned(), preview.now),
        ("Proposed".to_owned(), preview.proposed),
        ("Difference".to_owned(), preview.difference),
    ]));
    if !preview.unpriced.is_empty() {
        paper.push_str(&format!("\n  Unpriced by them\n\n{}", super::unpriced(&preview.unpriced)));
    }
    for gap in &preview.gaps {
        paper.push_str(&super::table::hanging(&format!("Gap: {gap}"), 2));
    }
    paper.push_str("\n  Nothing was filed.\n");
    paper
}
