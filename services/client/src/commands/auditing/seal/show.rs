//! `skid seal show`: a seal.

use clap::Args;
use client::Client;
use kernel::SealId;

use crate::commands::ending::Ending;
use crate::commands::output;

/// Which seal.
#[derive(Debug, Args)]
pub(crate) struct ShowOptions {
    /// The seal's id; the latest when left out.
    seal: Option<SealId>,
}

/// Prints it.
pub(crate) async fn run(options: &ShowOptions, client: &Client, json: bool) -> anyhow::Result<Ending> {
    let seal = super::named_or_latest(client, options.seal).await?;
    output::paper(&seal, json, client::text::seal)?;
    Ok(Ending::Done)
}
