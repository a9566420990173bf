//! `skid statement list`: who has a statement, with the ids to go on with.

use clap::Args;
use client::{Client, StatementQuery, all_pages, text};
use jiff::civil::Date;

use crate::commands::ending::Ending;
use crate::commands::{naming, output};

/// Which statements.
#[derive(Debug, Args)]
pub(crate) struct ListOptions {
    /// Of the week that ends on this day.
    #[arg(long, value_name = "YYYY-MM-DD")]
    week: Option<Date>,
    /// Of this worker; a name or an id.
    #[arg(long, value_name = "NAME")]
    worker: Option<String>,
    /// Of this mill; a name or an id.
    #[arg(long, value_name = "NAME", conflicts_with = "worker")]
    mill: Option<String>,
}

/// Lists them, oldest first.
pub(crate) async fn run(options: &ListOptions, client: &Client, json: bool) -> anyhow::Result<Ending> {
    let worker_id = naming::worker_if_any(client, options.worker.as_deref()).await?;
    let mill_id = naming::mill_if_any(client, options.mill.as_deref()).await?;
    let found = all_pages(async |after| {
        let query = StatementQuery {
            worker_id,
            mill_id,
            week_ends_on: options.week,
            after,
            limit: Some(500),
            ..StatementQuery::default()
        };
        client.list_statements(&query).await
    })
    .await?;
    output::list(&found, json, text::statements)?;
    Ok(Ending::Done)
}
