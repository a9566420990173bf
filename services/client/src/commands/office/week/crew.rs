//! `skid week crew`: a crew's part of a settlement, and how it was divided.

use clap::Args;
use client::{Client, text};

use crate::commands::ending::Ending;
use crate::commands::weeks::{Week, week};
use crate::commands::{naming, output};

/// Which settlement, and which crew.
#[derive(Debug, Args)]
pub(crate) struct CrewOptions {
    /// The last day of the week, or the settlement's id.
    #[arg(value_name = "YYYY-MM-DD|ID", value_parser = week)]
    settlement: Week,
    /// The crew; a name or an id.
    crew: String,
}

/// Prints it.
pub(crate) async fn run(options: &CrewOptions, client: &Client, json: bool) -> anyhow::Result<Ending> {
    let crew = naming::crew(client, &options.crew).await?;
    let sheet = client.show_crew_sheet(options.settlement.id(client).await?, crew).await?;
    output::paper(&sheet, json, text::crew_sheet)?;
    Ok(Ending::Done)
}
