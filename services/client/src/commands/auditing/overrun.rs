//! `skid overrun`: what mills sawed, held against the scale.

use clap::Args;
use client::{Client, OverrunQuery, text};
use jiff::civil::Date;
use kernel::{JobId, MillId};

use crate::commands::ending::Ending;
use crate::commands::output;

/// Which days, which mill, and which job.
#[derive(Debug, Args)]
pub(crate) struct OverrunOptions {
    /// The first day; a tally counts whole when its days reach to it or past it.
    #[arg(long, value_name = "YYYY-MM-DD")]
    from: Date,
    /// The last day; a tally counts whole when its days begin on it or before it.
    #[arg(long, value_name = "YYYY-MM-DD")]
    to: Date,
    /// Only tallies of this mill.
    #[arg(long, value_name = "ID")]
    mill: Option<MillId>,
    /// Only tallies of this job alone.
    #[arg(long, value_name = "ID")]
    job: Option<JobId>,
}

/// Prints the overrun.
pub(crate) async fn run(options: &OverrunOptions, client: &Client, json: bool) -> anyhow::Result<Ending> {
    let query =
        OverrunQuery { from: options.from, to: options.to, mill_id: options.mill, job_id: options.job };
    output::paper(&client.audit_overrun(&query).await?, json, text::overrun)?;
    Ok(Ending::Done)
}
