//! `skid seal check`: the service's own books against a seal.

use clap::Args;
use client::Client;
use kernel::SealId;

use crate::commands::ending::Ending;
use crate::commands::output;

/// Which seal.
#[derive(Debug, Args)]
pub(crate) struct CheckOptions {
    /// The seal's id; the latest when left out.
    seal: Option<SealId>,
}

/// Prints what was found.
pub(crate) async fn run(options: &CheckOptions, client: &Client, json: bool) -> anyhow::Result<Ending> {
    let seal = super::named_or_latest(client, options.seal).await?;
    let check = client.check_seal(seal.statement.seal_id).await?;
    output::paper(&check, json, client::text::seal_check)?;
    Ok(if check.sound { Ending::Done } else { Ending::SomethingFound })
}
