//! `skid seal list`: the seals, oldest first.

use client::Client;

use crate::commands::ending::Ending;
use crate::commands::output;

/// Prints them.
pub(crate) async fn run(client: &Client, json: bool) -> anyhow::Result<Ending> {
    let seals = super::all(client).await?;
    if json {
        for seal in &seals {
            output::json_line(seal)?;
        }
    } else {
        output::text(&client::text::seals(&seals))?;
    }
    Ok(Ending::Done)
}
