//! `skid audit margin`: what mills owe for the wood, held against what crews earn on it.

use clap::Args;
use client::{Client, SpanQuery, text};
use jiff::civil::Date;

use crate::commands::ending::Ending;
use crate::commands::{naming, output};

/// Which days, and which job.
#[derive(Debug, Args)]
pub(crate) struct MarginOptions {
    /// The first day on which tickets were scaled.
    #[arg(long, value_name = "YYYY-MM-DD")]
    from: Date,
    /// The last day.
    #[arg(long, value_name = "YYYY-MM-DD")]
    to: Date,
    /// Only wood of this job; a name or an id.
    #[arg(long, value_name = "NAME")]
    job: Option<String>,
}

/// Prints the margin.
pub(crate) async fn run(options: &MarginOptions, client: &Client, json: bool) -> anyhow::Result<Ending> {
    let job_id = naming::job_if_any(client, options.job.as_deref()).await?;
    let query = SpanQuery { from: options.from, to: options.to, job_id };
    output::paper(&client.audit_margin(&query).await?, json, text::margin)?;
    Ok(Ending::Done)
}
