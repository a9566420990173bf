//! `skid audit margin`: what mills owe for the wood, held against what crews earn on it.

use clap::Args;
use client::{Client, SpanQuery, text};
use jiff::civil::Date;
use kernel::JobId;

use crate::commands::ending::Ending;
use crate::commands::output;

/// Which days, and which job.
#[derive(Debug, Args)]
pub(crate) struct MarginOptions {
    /// The first day on which tickets were scaled.
    #[arg(long, value_name = "YYYY-MM-DD")]
    from: Date,
    /// The last day.
    #[arg(long, value_name = "YYYY-MM-DD")]
    to: Date,
    /// Only wood of this job.
    #[arg(long, value_name = "ID")]
    job: Option<JobId>,
}

/// Prints the margin.
pub(crate) async fn run(options: &MarginOptions, client: &Client, json: bool) -> anyhow::Result<Ending> {
    let query = SpanQuery { from: options.from, to: options.to, job_id: options.job };
    output::paper(&client.audit_margin(&query).await?, json, text::margin)?;
    Ok(Ending::Done)
}
