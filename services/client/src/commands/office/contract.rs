//! `skid contract`: one contract and its terms.

use std::path::PathBuf;

use clap::{Args, Subcommand};
use client::filing::Filing;
use client::text;
use jiff::civil::Date;
use wire::{ContractCreate, TermsCreate, TermsFiled, TermsPreviewRequest};

use super::registers::party_names;
use crate::commands::ending::Ending;
use crate::commands::record::{Caller, FilingOptions, file};
use crate::commands::{naming, output, reading};

/// What to do with a contract.
#[derive(Debug, Subcommand)]
pub(crate) enum ContractCommand {
    /// Show a contract with every terms filed for it; with --json as the API writes them, to begin new terms from.
    Show(ShowOptions),
    /// File a contract with its first terms, from a file of JSON as file_contract takes it.
    File(FileOptions),
    /// File new terms of a contract, from a file of JSON as file_terms takes it. Old terms stay readable.
    Amend(AmendOptions),
    /// Show what terms in a file would have paid for days past. Nothing is filed.
    Preview(PreviewOptions),
}

/// Which contract.
#[derive(Debug, Args)]
pub(crate) struct ShowOptions {
    /// The contract; a title or an id.
    contract: String,
}

/// The contract.
#[derive(Debug, Args)]
pub(crate) struct FileOptions {
    /// The file.
    file: PathBuf,
    #[command(flatten)]
    filing: FilingOptions,
}

/// The new terms.
#[derive(Debug, Args)]
pub(crate) struct AmendOptions {
    /// The contract; a title or an id.
    contract: String,
    /// The file.
    file: PathBuf,
    #[command(flatten)]
    filing: FilingOptions,
}

/// The terms, and the days.
#[derive(Debug, Args)]
pub(crate) struct PreviewOptions {
    /// The contract; a title or an id.
    contract: String,
    /// The file.
    file: PathBuf,
    /// The first day.
    #[arg(long, value_name = "YYYY-MM-DD")]
    from: Date,
    /// The last day.
    #[arg(long, value_name = "YYYY-MM-DD")]
    to: Date,
}

/// Does it.
pub(crate) async fn run(command: &ContractCommand, caller: Caller<'_>) -> anyhow::Result<Ending> {
    let Caller { client, json, .. } = caller;
    match command {
        ContractCommand::Show(options) => {
            let contract = naming::contract(client, &options.contract).await?;
            let shown = client.show_contract(contract).await?;
            let parties = party_names(client).await?;
            output::paper(&shown, json, |shown| text::contract(shown, &parties))?;
            Ok(Ending::Done)
        }
        ContractCommand::File(options) => {
            let contract: ContractCreate = reading::json_file(&options.file, "a contract")?;
            let parties = party_names(client).await?;
            file(&Filing::contract(&contract)?, options.filing, caller, |filed| {
                text::contracts(std::slice::from_ref(filed), &parties)
            })
            .await
        }
        ContractCommand::Amend(options) => {
            let contract = naming::contract(client, &options.contract).await?;
            let terms: TermsCreate = reading::json_file(&options.file, "terms")?;
            file(&Filing::terms(contract, &terms)?, options.filing, caller, amended).await
        }
        ContractCommand::Preview(options) => {
            let contract = naming::contract(client, &options.contract).await?;
            let terms: TermsCreate = reading::json_file(&options.file, "terms")?;
            let proposal = TermsPreviewRequest { terms, from: options.from, to: options.to };
            let preview = client.preview_terms(contract, &proposal).await?;
            output::paper(&preview, json, text::terms_preview)?;
            Ok(Ending::Done)
        }
    }
}

fn amended(filed: &TermsFiled) -> String {
    let TermsFiled { terms, gaps, tickets_worked_out_again } = filed;
    let mut says = format!(
        "Terms from {}, revision {}; tickets worked out again: {tickets_worked_out_again}.\n    {}\n",
        terms.effective_from, terms.revision, terms.terms_id,
    );
    for gap in gaps {
        says.push_str(&format!("  No rate covers this: {gap}\n"));
    }
    says
}
