//! `skid hours`: hours of workers, one by one or from a sheet.

mod file;
mod row;
mod sheet;

use clap::{Args, Subcommand};
use client::{TimeQuery, all_pages, text};
use jiff::civil::Date;

use super::registers::worker_names;
use crate::commands::ending::Ending;
use crate::commands::record::Caller;
use crate::commands::{naming, output};

/// What to do with hours.
#[derive(Debug, Subcommand)]
pub(crate) enum HoursCommand {
    /// File hours of a worker, or many from a sheet.
    ///
    /// A sheet is comma-separated values. Its first row names the columns: worker, worked_on, hours, what_for
    /// (piece_work, rest or paid), and if needed job, crew, task, corrects, reason. Each row stands or falls by itself. A
    /// row that was filed before is known by what it says and is not filed again, so a mended sheet is simply sent anew;
    /// the same row twice in one sheet is filed twice. The status at the end is 3 when rows were refused.
    File(Box<file::FileOptions>),
    /// List hours.
    List(ListOptions),
}

/// Which hours.
#[derive(Debug, Args)]
pub(crate) struct ListOptions {
    /// Of this worker; a name or an id.
    #[arg(long, value_name = "NAME")]
    worker: Option<String>,
    /// Worked on this day or later.
    #[arg(long, value_name = "YYYY-MM-DD")]
    from: Option<Date>,
    /// Worked on this day or earlier.
    #[arg(long, value_name = "YYYY-MM-DD")]
    to: Option<Date>,
    /// Only entries that count.
    #[arg(long)]
    standing: bool,
}

/// Does it.
pub(crate) async fn run(command: &HoursCommand, caller: Caller<'_>) -> anyhow::Result<Ending> {
    let Caller { client, json, .. } = caller;
    match command {
        HoursCommand::File(options) => file::run(options, caller).await,
        HoursCommand::List(of) => {
            let worker_id = naming::worker_if_any(client, of.worker.as_deref()).await?;
            let found = all_pages(async |after| {
                let query = TimeQuery {
                    worker_id,
                    from: of.from,
                    to: of.to,
                    standing: of.standing.then_some(true),
                    after,
                    limit: Some(500),
                };
                client.list_time(&query).await
            })
            .await?;
            let names = worker_names(client).await?;
            output::list(&found, json, |found| text::hours(found, &names))?;
            Ok(Ending::Done)
        }
    }
}
