//! `skid check-scale file`: files a check scale, and shows what it comes to.

use std::path::PathBuf;

use anyhow::Context;
use clap::Args;
use client::{Client, ComparisonQuery, text};
use wire::CheckScaleCreate;

use crate::commands::ending::Ending;
use crate::commands::output;

/// Which check scale.
#[derive(Debug, Args)]
pub(crate) struct FileOptions {
    /// A file with the check scale as JSON: contract, lot, checker, and the sampled pieces as they were measured again.
    file: PathBuf,
}

/// Files it and prints what it comes to.
pub(crate) async fn run(options: &FileOptions, client: &Client, json: bool) -> anyhow::Result<Ending> {
    let file = options.file.display();
    let text = std::fs::read_to_string(&options.file).with_context(|| format!("{file} cannot be read"))?;
    let sent: CheckScaleCreate = serde_json::from_str(text.trim_start_matches('\u{feff}'))
        .with_context(|| format!("{file} does not hold a check scale"))?;
    let filed = client.file_check_scale(&sent).await?;
    let shown = client.show_check_scale(filed.check_scale_id, &ComparisonQuery::default()).await?;
    output::paper(&shown, json, text::check_scale)?;
    Ok(Ending::Done)
}
