//! Filing one thing from the command line, and telling what came of it.

use clap::Args;
use client::filing::{Filed, Filing, How};
use client::{Client, text};
use serde::Serialize;
use serde::de::DeserializeOwned;
use serde_json::json;

use super::ending::Ending;
use super::output;

/// What can be said with every filing.
#[derive(Clone, Copy, Debug, Args)]
pub(crate) struct FilingOptions {
    /// Go through all of it and keep nothing.
    #[arg(long)]
    pub(crate) dry_run: bool,
}

/// Files something and tells of it: the record as JSON, or a sentence.
///
/// It carries a key of its own, so that it is done once although it may be sent several times.
pub(crate) async fn file<T: Serialize + DeserializeOwned>(
    filing: &Filing<T>,
    options: FilingOptions,
    (client, json): (&Client, bool),
    says: impl Fn(&T) -> String,
) -> anyhow::Result<Ending> {
    let how = How { key: None, rehearsal: options.dry_run };
    let Filed { record, replayed } = client.file(filing, &how).await?;
    if json {
        let told = json!({"record": record, "replayed": replayed, "dry_run": options.dry_run});
        output::json_line(&told)?;
    } else if options.dry_run {
        output::text(&format!("{}{}", text::rehearsed(), says(&record)))?;
    } else if replayed {
        output::text(&format!("It was there already; nothing has changed.\n{}", says(&record)))?;
    } else {
        output::text(&says(&record))?;
    }
    Ok(Ending::Done)
}
