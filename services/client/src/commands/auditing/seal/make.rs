//! `skid seal make`: seals the books.

use client::Client;
use wire::SealCreate;

use crate::commands::ending::Ending;
use crate::commands::output;

/// Makes one, and prints it.
pub(crate) async fn run(client: &Client, json: bool) -> anyhow::Result<Ending> {
    output::paper(&client.make_seal(&SealCreate {}).await?, json, client::text::seal)?;
    Ok(Ending::Done)
}
