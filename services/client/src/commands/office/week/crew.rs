//! `skid week crew`: a crew's part of a settlement, and how it was divided.

use clap::Args;
use client::{Client, text};
use kernel::{CrewId, SettlementId};

use crate::commands::ending::Ending;
use crate::commands::output;

/// Which settlement, and which crew.
#[derive(Debug, Args)]
pub(crate) struct CrewOptions {
    /// The settlement.
    settlement: SettlementId,
    /// The crew.
    crew: CrewId,
}

/// Prints it.
pub(crate) async fn run(options: &CrewOptions, client: &Client, json: bool) -> anyhow::Result<Ending> {
    let sheet = client.show_crew_sheet(options.settlement, options.crew).await?;
    output::paper(&sheet, json, text::crew_sheet)?;
    Ok(Ending::Done)
}
