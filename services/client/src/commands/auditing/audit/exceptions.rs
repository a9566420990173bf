//! `skid audit exceptions`: what an auditor would stop at.

use clap::Args;
use client::{Client, ExceptionQuery, SpanQuery, all_pages, text};
use jiff::civil::Date;
use kernel::JobId;
use wire::ExceptionKind;

use crate::commands::ending::Ending;
use crate::commands::output;

/// Which days, which job, which kind.
#[derive(Debug, Args)]
pub(crate) struct ExceptionOptions {
    /// The first day on which tickets were scaled.
    #[arg(long, value_name = "YYYY-MM-DD")]
    from: Date,
    /// The last day.
    #[arg(long, value_name = "YYYY-MM-DD")]
    to: Date,
    /// Only of this job.
    #[arg(long, value_name = "ID")]
    job: Option<JobId>,
    /// Only of this kind, such as late_ticket.
    #[arg(long, value_parser = kind)]
    kind: Option<ExceptionKind>,
}

/// The kind with this name.
fn kind(name: &str) -> Result<ExceptionKind, String> {
    let known = ExceptionKind::ALL.iter().copied();
    known.clone().find(|kind| kind.name() == name).ok_or_else(|| {
        let names: Vec<_> = known.map(ExceptionKind::name).collect();
        format!("the kinds are {}", names.join(", "))
    })
}

/// Prints the exceptions: as a paper, or one object a line.
pub(crate) async fn run(options: &ExceptionOptions, client: &Client, json: bool) -> anyhow::Result<Ending> {
    let days = SpanQuery { from: options.from, to: options.to, job_id: options.job };
    let found = all_pages(async |after| {
        let page = ExceptionQuery { kind: options.kind, after, limit: Some(500), ..ExceptionQuery::of(days) };
        client.list_exceptions(&page).await
    })
    .await?;
    if json {
        for one in &found {
            output::json_line(one)?;
        }
    } else {
        output::text(&text::exceptions((options.from, options.to), &found))?;
    }
    Ok(if found.is_empty() { Ending::Done } else { Ending::SomethingFound })
}
