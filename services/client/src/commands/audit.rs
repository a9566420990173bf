//! `skid audit`: volume against pay.

use clap::Args;
use client::{AuditQuery, Client, text};
use jiff::civil::Date;
use kernel::JobId;

use super::ending::Ending;
use super::output;

/// Which days, and which job.
#[derive(Debug, Args)]
pub(crate) struct AuditOptions {
    /// The first day; the week it falls in counts whole.
    #[arg(long, value_name = "YYYY-MM-DD")]
    from: Date,
    /// The last day; the week it falls in counts whole.
    #[arg(long, value_name = "YYYY-MM-DD")]
    to: Date,
    /// Only contracts of this job.
    #[arg(long, value_name = "ID")]
    job: Option<JobId>,
}

/// Prints the audit.
pub(crate) async fn run(options: &AuditOptions, client: &Client, json: bool) -> anyhow::Result<Ending> {
    let query = AuditQuery { from: options.from, to: options.to, job_id: options.job };
    let found = client.audit_volume_against_pay(&query).await?;
    output::paper(&found, json, text::audit)?;
    Ok(Ending::Done)
}
