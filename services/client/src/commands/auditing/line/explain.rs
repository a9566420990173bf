//! `skid line explain`: a posted line followed down to the sticks.

use clap::Args;
use client::{Client, text};

use crate::commands::ending::Ending;
use crate::commands::output;
use crate::commands::weeks::{Week, week};

/// Which line.
#[derive(Debug, Args)]
pub(crate) struct ExplainOptions {
    /// The last day of a posted week, or the settlement's id.
    #[arg(value_name = "YYYY-MM-DD|ID", value_parser = week)]
    settlement: Week,
    /// The line's number in it, from 1.
    #[arg(value_parser = clap::value_parser!(i32).range(1..))]
    number: i32,
}

/// Prints the explanation.
pub(crate) async fn run(options: &ExplainOptions, client: &Client, json: bool) -> anyhow::Result<Ending> {
    let explained = client.explain_line(options.settlement.id(client).await?, options.number).await?;
    output::paper(&explained, json, text::explanation)?;
    Ok(Ending::Done)
}
