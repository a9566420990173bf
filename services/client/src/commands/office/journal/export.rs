//! `skid journal export`: the journal for other tools.

use clap::{Args, ValueEnum};
use client::{Client, ExportQuery, JournalQuery, all_pages};
use jiff::civil::Date;
use wire::JournalFormat;

use crate::commands::ending::Ending;
use crate::commands::output;

/// In which form, and which days.
#[derive(Debug, Args)]
pub(crate) struct ExportOptions {
    /// In which form. With --json it is neither: the entries come as one JSON object a line.
    #[arg(long)]
    format: Format,
    /// Entries dated on this day or later; from the beginning when left out.
    #[arg(long, value_name = "YYYY-MM-DD")]
    from: Option<Date>,
    /// Entries dated on this day or earlier; to the end when left out.
    #[arg(long, value_name = "YYYY-MM-DD")]
    to: Option<Date>,
}

/// The forms, as they are named on the command line.
#[derive(Clone, Copy, Debug, ValueEnum)]
enum Format {
    /// Plain-text double entry, as general-purpose accounting tools read it.
    Text,
    /// Comma-separated values, a row for each posting.
    Csv,
}

/// Prints it.
pub(crate) async fn run(options: &ExportOptions, client: &Client, json: bool) -> anyhow::Result<Ending> {
    let ExportOptions { format, from, to } = *options;
    if json {
        let page = async |after| {
            let query = JournalQuery { from, to, after, limit: Some(500), ..JournalQuery::default() };
            client.list_journal(&query).await
        };
        for entry in all_pages(page).await? {
            output::json_line(&entry)?;
        }
    } else {
        let format = match format {
            Format::Text => JournalFormat::Text,
            Format::Csv => JournalFormat::Csv,
        };
        output::text(&client.export_journal(&ExportQuery { format, from, to }).await?)?;
    }
    Ok(Ending::Done)
}
