//! `skid week rederive`: a posted week computed again, and compared with what was posted.

use anyhow::Context;
use clap::Args;
use client::{Client, SettlementQuery, text};
use jiff::civil::Date;
use kernel::ContractId;

use crate::commands::ending::Ending;
use crate::commands::output;

/// Which week.
#[derive(Debug, Args)]
pub(crate) struct RederiveOptions {
    /// The week's last day.
    #[arg(value_name = "YYYY-MM-DD")]
    week_ends_on: Date,
    /// Only the lines of this contract.
    #[arg(long, value_name = "CONTRACT")]
    contract: Option<ContractId>,
}

/// Prints what came of it.
pub(crate) async fn run(options: &RederiveOptions, client: &Client, json: bool) -> anyhow::Result<Ending> {
    let week = options.week_ends_on;
    let query =
        SettlementQuery { week_ends_on: Some(week), posted: Some(true), ..SettlementQuery::default() };
    let posted = client.list_settlements(&query).await?.items.into_iter().next();
    let posted = posted.with_context(|| format!("no week that ends on {week} was posted"))?;
    let done = client.rederive_settlement(posted.settlement_id, options.contract).await?;
    output::paper(&done, json, text::rederivation)?;
    Ok(if done.agrees { Ending::Done } else { Ending::SomethingFound })
}
