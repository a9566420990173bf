//! `skid seal`: makes, lists, shows, saves and checks seals.

mod check;
mod list;
mod make;
mod save;
mod show;

use clap::Subcommand;
use client::{Client, PageQuery, all_pages};
use kernel::SealId;
use seal::Seal;

use crate::commands::ending::Ending;

/// What to do with seals.
#[derive(Debug, Subcommand)]
pub(crate) enum SealCommand {
    /// Seal everything that was accepted so far. Posting a week does so by itself.
    Make,
    /// List seals.
    List,
    /// Show a seal.
    Show(show::ShowOptions),
    /// Save a seal, and what proves something by it, as files to be kept elsewhere.
    Save(save::SaveOptions),
    /// Have the service hold its books against a seal.
    Check(check::CheckOptions),
}

/// Does it.
pub(crate) async fn run(command: &SealCommand, client: &Client, json: bool) -> anyhow::Result<Ending> {
    match command {
        SealCommand::Make => make::run(client, json).await,
        SealCommand::List => list::run(client, json).await,
        SealCommand::Show(options) => show::run(options, client, json).await,
        SealCommand::Save(options) => save::run(options, client, json).await,
        SealCommand::Check(options) => check::run(options, client, json).await,
    }
}

/// Every seal, oldest first.
async fn all(client: &Client) -> anyhow::Result<Vec<Seal>> {
    Ok(all_pages(async |after| client.list_seals(&PageQuery { after, limit: Some(500) }).await).await?)
}

/// The seal that is asked for, or the one that covers most.
async fn named_or_latest(client: &Client, named: Option<SealId>) -> anyhow::Result<Seal> {
    match named {
        Some(id) => Ok(client.show_seal(id).await?),
        None => {
            let seals = all(client).await?;
            let latest = seals.into_iter().max_by_key(|seal| seal.statement.tree_size);
            latest.ok_or_else(|| anyhow::anyhow!("there is no seal yet: `skid seal make` makes one"))
        }
    }
}
