//! `skid week list`: the settlements there are.

use client::{Client, text};

use crate::commands::ending::Ending;
use crate::commands::{output, weeks};

/// Lists them: those that were posted, and of other weeks the drafts.
pub(crate) async fn run(client: &Client, json: bool) -> anyhow::Result<Ending> {
    let found = weeks::all(client, None).await?;
    output::list(&found, json, text::settlements)?;
    Ok(Ending::Done)
}
