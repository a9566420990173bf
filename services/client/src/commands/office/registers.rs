//! `skid people`, `crews`, `jobs`, `mills` and `contracts`: who and what the outfit has, with the ids to go on with.

use std::collections::BTreeMap;

use clap::Subcommand;
use client::text::{self, WorkerNames};
use client::{Client, PageQuery, all_pages};

use crate::commands::ending::Ending;
use crate::commands::output;

/// What to do with a register.
#[derive(Clone, Copy, Debug, Subcommand)]
pub(crate) enum RegisterCommand {
    /// List them, with their ids.
    List,
}

fn page(after: Option<String>) -> PageQuery {
    PageQuery { after, limit: Some(500) }
}

/// The names of all workers.
pub(super) async fn worker_names(client: &Client) -> anyhow::Result<WorkerNames> {
    let found = all_pages(async |after| client.list_workers(&page(after)).await).await?;
    Ok(found.into_iter().map(|one| (one.worker_id, one.name)).collect())
}

/// The names of all crews and mills, by their ids.
pub(super) async fn party_names(client: &Client) -> anyhow::Result<BTreeMap<String, String>> {
    let crews = all_pages(async |after| client.list_crews(&page(after)).await).await?;
    let mills = all_pages(async |after| client.list_mills(&page(after)).await).await?;
    let crews = crews.into_iter().map(|one| (one.crew_id.to_string(), one.name));
    Ok(crews.chain(mills.into_iter().map(|one| (one.mill_id.to_string(), one.name))).collect())
}

/// Lists the workers.
pub(crate) async fn people(client: &Client, json: bool) -> anyhow::Result<Ending> {
    let found = all_pages(async |after| client.list_workers(&page(after)).await).await?;
    output::list(&found, json, text::workers)?;
    Ok(Ending::Done)
}

/// Lists the crews, with how they divide their pay.
pub(crate) async fn crews(client: &Client, json: bool) -> anyhow::Result<Ending> {
    let found = all_pages(async |after| client.list_crews(&page(after)).await).await?;
    let names = worker_names(client).await?;
    output::list(&found, json, |found| text::crews(found, &names))?;
    Ok(Ending::Done)
}

/// Lists the jobs, with their landings.
pub(crate) async fn jobs(client: &Client, json: bool) -> anyhow::Result<Ending> {
    let found = all_pages(async |after| client.list_jobs(&page(after)).await).await?;
    output::list(&found, json, text::jobs)?;
    Ok(Ending::Done)
}

/// Lists the mills.
pub(crate) async fn mills(client: &Client, json: bool) -> anyhow::Result<Ending> {
    let found = all_pages(async |after| client.list_mills(&page(after)).await).await?;
    output::list(&found, json, text::mills)?;
    Ok(Ending::Done)
}

/// Lists the contracts, with their terms.
pub(crate) async fn contracts(client: &Client, json: bool) -> anyhow::Result<Ending> {
    let found = all_pages(async |after| client.list_contracts(&page(after)).await).await?;
    let parties = party_names(client).await?;
    output::list(&found, json, |found| text::contracts(found, &parties))?;
    Ok(Ending::Done)
}
