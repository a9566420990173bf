//! `skid report`: the audit as a page to print, as rows, or as JSON.

use std::path::PathBuf;

use anyhow::Context;
use clap::{Args, ValueEnum};
use client::{Client, ReportQuery};
use jiff::civil::Date;
use kernel::JobId;
use wire::ReportFormat;

use crate::commands::ending::Ending;
use crate::commands::output;

/// Which weeks, which job, in which form, and where to.
#[derive(Debug, Args)]
pub(crate) struct ReportOptions {
    /// The first day; the week it falls in counts whole.
    #[arg(long, value_name = "YYYY-MM-DD")]
    from: Date,
    /// The last day; the week it falls in counts whole.
    #[arg(long, value_name = "YYYY-MM-DD")]
    to: Date,
    /// Only this job.
    #[arg(long, value_name = "ID")]
    job: Option<JobId>,
    /// In which form. With --json it is JSON in any case.
    #[arg(long, default_value = "html")]
    format: Format,
    /// The file to write; standard output when left out. A file that is there already is written anew.
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
}

/// The forms, as they are named on the command line.
#[derive(Clone, Copy, Debug, ValueEnum)]
enum Format {
    /// One page to read and to print, with charts; needs no network.
    Html,
    /// Comma-separated values, one long table.
    Csv,
    /// JSON.
    Json,
}

/// Fetches it, and prints or writes it.
pub(crate) async fn run(options: &ReportOptions, client: &Client, json: bool) -> anyhow::Result<Ending> {
    let query = ReportQuery { from: options.from, to: options.to, job_id: options.job };
    let report = match options.format {
        Format::Html if !json => client.report_audit_as(&query, ReportFormat::Html, None).await?,
        Format::Csv if !json => client.report_audit_as(&query, ReportFormat::Csv, None).await?,
        _ => serde_json::to_string(&client.report_audit(&query).await?)? + "\n",
    };
    match &options.out {
        None => output::text(&report)?,
        Some(file) => {
            std::fs::write(file, report).with_context(|| format!("{} cannot be written", file.display()))?;
        }
    }
    Ok(Ending::Done)
}
