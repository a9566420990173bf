//! `skid line explain`: a posted line followed down to the sticks.

use clap::Args;
use client::{Client, text};
use kernel::SettlementId;

use crate::commands::ending::Ending;
use crate::commands::output;

/// Which line.
#[derive(Debug, Args)]
pub(crate) struct ExplainOptions {
    /// The settlement.
    settlement: SettlementId,
    /// The line's number in it, from 1.
    #[arg(value_parser = clap::value_parser!(i32).range(1..))]
    number: i32,
}

/// Prints the explanation.
pub(crate) async fn run(options: &ExplainOptions, client: &Client, json: bool) -> anyhow::Result<Ending> {
    let explained = client.explain_line(options.settlement, options.number).await?;
    output::paper(&explained, json, text::explanation)?;
    Ok(Ending::Done)
}
