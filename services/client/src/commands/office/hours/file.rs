//! `skid hours file`: hours of a worker, or many from a sheet.

use std::path::PathBuf;

use clap::Args;
use client::filing::Filing;
use client::text;

use super::row::Row;
use super::sheet;
use crate::commands::ending::Ending;
use crate::commands::naming::Names;
use crate::commands::record::{Caller, FilingOptions, file};

/// The hours.
#[derive(Debug, Args)]
pub(crate) struct FileOptions {
    /// Whose; a name or an id.
    #[arg(long, value_name = "NAME", required_unless_present = "sheet")]
    worker: Option<String>,
    /// The day they were worked on.
    #[arg(long, value_name = "YYYY-MM-DD", required_unless_present = "sheet")]
    worked_on: Option<String>,
    /// How many, such as 9.5; left out where an entry is only taken out.
    #[arg(long)]
    hours: Option<String>,
    /// What for.
    #[arg(long = "for", value_name = "piece-work|rest|paid", value_parser = ["piece-work", "rest", "paid"])]
    #[arg(required_unless_present = "sheet")]
    what_for: Option<String>,
    /// For hours that are paid: the job.
    #[arg(long, value_name = "NAME")]
    job: Option<String>,
    /// The crew.
    #[arg(long, value_name = "NAME")]
    crew: Option<String>,
    /// The task.
    #[arg(long)]
    task: Option<String>,
    /// The entry that it takes the place of.
    #[arg(long, value_name = "ID", requires = "reason")]
    corrects: Option<String>,
    /// What was wrong with that one.
    #[arg(long, value_name = "TEXT", requires = "corrects")]
    reason: Option<String>,
    /// Many entries, from a file of comma-separated values, `-` for standard input.
    #[arg(long, value_name = "FILE", conflicts_with_all = ["worker", "worked_on", "hours", "what_for", "job", "crew", "task", "corrects", "reason"])]
    sheet: Option<PathBuf>,
    #[command(flatten)]
    filing: FilingOptions,
}

/// Files them.
pub(crate) async fn run(options: &FileOptions, caller: Caller<'_>) -> anyhow::Result<Ending> {
    let Caller { client, json, .. } = caller;
    let names = Names::of(client).await?;
    if let Some(sheet) = &options.sheet {
        return sheet::run(sheet, options.filing, &names, (client, json)).await;
    }
    let or_empty = |text: &Option<String>| text.clone().unwrap_or_default();
    let row = Row {
        worker: or_empty(&options.worker),
        worked_on: or_empty(&options.worked_on),
        hours: or_empty(&options.hours),
        what_for: or_empty(&options.what_for),
        job: or_empty(&options.job),
        crew: or_empty(&options.crew),
        task: or_empty(&options.task),
        corrects: or_empty(&options.corrects),
        reason: or_empty(&options.reason),
    };
    let entry = row.entry(&names)?;
    file(&Filing::time(&entry)?, options.filing, caller, |entry| {
        text::hours(std::slice::from_ref(entry), &names.workers_by_id())
    })
    .await
}
