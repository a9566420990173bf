//! `skid tally`: what mills sawed.

use std::path::PathBuf;

use clap::{Args, Subcommand};
use client::{Client, text};

use crate::commands::ending::Ending;
use crate::commands::{output, reading};

/// What to do with mill tallies.
#[derive(Debug, Subcommand)]
pub(crate) enum TallyCommand {
    /// File a mill tally.
    File(FileOptions),
}

/// Which tally.
#[derive(Debug, Args)]
pub(crate) struct FileOptions {
    /// A file with the tally as JSON: the mill, the days, the lumber and its state, and who says so.
    file: PathBuf,
}

/// Does it.
pub(crate) async fn run(command: &TallyCommand, client: &Client, json: bool) -> anyhow::Result<Ending> {
    let TallyCommand::File(options) = command;
    let tally = reading::json_file(&options.file, "a mill tally")?;
    output::paper(&client.file_mill_tally(&tally).await?, json, text::mill_tally)?;
    Ok(Ending::Done)
}
