//! `skid seal save`: a seal and its proofs as files, for `skid verify`.

use std::fs::{self, File};
use std::io::Write;
use std::path::{Path, PathBuf};

use anyhow::{Context, anyhow};
use clap::Args;
use client::{Client, SealedRecord};
use kernel::{SealId, SettlementId, TicketId};
use seal::Seal;
use serde::Serialize;
use serde_json::json;

use crate::commands::auditing::verify;
use crate::commands::ending::Ending;
use crate::commands::output;

/// What to save, and where.
#[derive(Debug, Args)]
pub(crate) struct SaveOptions {
    /// The directory; it is made when it is not there. No file in it is ever written over.
    directory: PathBuf,
    /// The seal's id; the latest when left out.
    #[arg(long, value_name = "ID")]
    seal: Option<SealId>,
    /// A seal that was kept from before: saves the proof that it is the beginning of this one.
    #[arg(long, value_name = "FILE")]
    kept: Option<PathBuf>,
    /// A ticket: saves it with the proof that it is sealed. May be given several times.
    #[arg(long, value_name = "ID")]
    ticket: Vec<TicketId>,
    /// A posted settlement: saves it with the proof that it is sealed. May be given several times.
    #[arg(long, value_name = "ID")]
    settlement: Vec<SettlementId>,
    /// Save all the records that the seal covers.
    #[arg(long)]
    records: bool,
}

/// Files as they are written.
struct Files<'a> {
    directory: &'a Path,
    written: Vec<String>,
}

impl Files<'_> {
    /// A new file; one that is there is what somebody kept.
    fn begin(&mut self, name: String) -> anyhow::Result<File> {
        let path = self.directory.join(&name);
        let file = File::options().write(true).create_new(true).open(&path);
        let file = file.with_context(|| format!("{} cannot be written", path.display()))?;
        self.written.push(name);
        Ok(file)
    }

    fn json(&mut self, name: String, value: &impl Serialize) -> anyhow::Result<()> {
        let mut text = serde_json::to_string_pretty(value)?;
        text.push('\n');
        Ok(self.begin(name)?.write_all(text.as_bytes())?)
    }
}

/// Saves it, and prints the names of the files.
pub(crate) async fn run(options: &SaveOptions, client: &Client, json: bool) -> anyhow::Result<Ending> {
    let kept: Option<Seal> = options.kept.as_deref().map(|file| verify::read(file, "a seal")).transpose()?;
    let seal = super::named_or_latest(client, options.seal).await?;
    let id = seal.statement.seal_id;
    let directory = options.directory.as_path();
    fs::create_dir_all(directory).with_context(|| format!("{} cannot be made", directory.display()))?;
    let mut files = Files { directory, written: Vec::new() };
    files.json("seal.json".to_owned(), &seal)?;
    if let Some(kept) = kept {
        let proof = client.show_seal_consistency(id, kept.statement.seal_id).await?;
        files.json("consistency.json".to_owned(), &proof)?;
    }
    for ticket in &options.ticket {
        let proof = client.show_seal_inclusion(id, SealedRecord::Ticket(*ticket)).await?;
        files.json(format!("ticket-{ticket}.json"), &proof)?;
    }
    for settlement in &options.settlement {
        let proof = client.show_seal_inclusion(id, SealedRecord::Settlement(*settlement)).await?;
        files.json(format!("settlement-{settlement}.json"), &proof)?;
    }
    if options.records {
        let file = files.begin("records.ndjson".to_owned())?;
        records(client, &seal, file).await?;
    }
    if json {
        output::json_line(&json!({"directory": directory, "files": files.written}))?;
    } else {
        output::text(&format!("Saved in {}: {}\n", directory.display(), files.written.join(", ")))?;
    }
    Ok(Ending::Done)
}

/// Every document, page by page.
async fn records(client: &Client, seal: &Seal, mut file: File) -> anyhow::Result<()> {
    let mut saved = 0;
    while saved < seal.statement.tree_size {
        let page = client.export_sealed_records(seal.statement.seal_id, saved).await?;
        let lines = u64::try_from(page.lines().count())?;
        if lines == 0 {
            return Err(anyhow!("the service has only {saved} of the seal's records"));
        }
        file.write_all(page.as_bytes())?;
        saved = saved.saturating_add(lines);
    }
    Ok(())
}
