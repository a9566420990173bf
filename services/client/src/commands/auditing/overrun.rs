//! `skid overrun`: what mills sawed, held against the scale.

use clap::Args;
use client::{Client, OverrunQuery, text};
use jiff::civil::Date;

use crate::commands::ending::Ending;
use crate::commands::{naming, output};

/// Which days, which mill, and which job.
#[derive(Debug, Args)]
pub(crate) struct OverrunOptions {
    /// The first day; a tally counts whole when its days reach to it or past it.
    #[arg(long, value_name = "YYYY-MM-DD")]
    from: Date,
    /// The last day; a tally counts whole when its days begin on it or before it.
    #[arg(long, value_name = "YYYY-MM-DD")]
    to: Date,
    /// Only tallies of this mill; a name or an id.
    #[arg(long, value_name = "NAME")]
    mill: Option<String>,
    /// Only tallies of this job alone; a name or an id.
    #[arg(long, value_name = "NAME")]
    job: Option<String>,
}

/// Prints the overrun.
pub(crate) async fn run(options: &OverrunOptions, client: &Client, json: bool) -> anyhow::Result<Ending> {
    let mill_id = naming::mill_if_any(client, options.mill.as_deref()).await?;
    let job_id = naming::job_if_any(client, options.job.as_deref()).await?;
    let query = OverrunQuery { from: options.from, to: options.to, mill_id, job_id };
    output::paper(&client.audit_overrun(&query).await?, json, text::overrun)?;
    Ok(Ending::Done)
}
