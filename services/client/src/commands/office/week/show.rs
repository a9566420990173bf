//! `skid week show`: one settlement with its lines.

use clap::Args;
use client::{Client, text};

use crate::commands::ending::Ending;
use crate::commands::output;
use crate::commands::weeks::{Week, week};

/// Which settlement.
#[derive(Debug, Args)]
pub(crate) struct ShowOptions {
    /// The last day of the week, or the settlement's id.
    #[arg(value_name = "YYYY-MM-DD|ID", value_parser = week)]
    settlement: Week,
}

/// Prints it.
pub(crate) async fn run(options: &ShowOptions, client: &Client, json: bool) -> anyhow::Result<Ending> {
    output::paper(
        &client.show_settlement(options.settlement.id(client).await?).await?,
        json,
        text::settlement,
    )?;
    Ok(Ending::Done)
}
