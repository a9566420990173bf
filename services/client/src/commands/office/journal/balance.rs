//! `skid journal balance`: the trial balance.

use clap::Args;
use client::{Client, text};
use jiff::civil::Date;

use crate::commands::ending::Ending;
use crate::commands::output;

/// When.
#[derive(Debug, Args)]
pub(crate) struct BalanceOptions {
    /// At the end of this day; today, where the outfit is, when left out.
    #[arg(long, value_name = "YYYY-MM-DD")]
    on: Option<Date>,
}

/// Prints it.
pub(crate) async fn run(options: &BalanceOptions, client: &Client, json: bool) -> anyhow::Result<Ending> {
    output::paper(&client.show_trial_balance(options.on).await?, json, text::trial_balance)?;
    Ok(Ending::Done)
}
