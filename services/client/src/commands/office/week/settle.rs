//! `skid week settle`: drafts a week, shows it, and posts it for good when told to.

use std::io;

use anyhow::Context;
use clap::Args;
use client::{Client, StatementQuery, all_pages, text};
use jiff::civil::Date;
use kernel::SettlementId;
use serde_json::json;
use wire::{SettlementCreate, SettlementView, StatementView};

use crate::commands::asking::{Answer, for_a_yes};
use crate::commands::ending::Ending;
use crate::commands::output;

/// Which week, and whether to post it.
#[derive(Debug, Args)]
pub(crate) struct SettleOptions {
    /// The last day of the week.
    #[arg(value_name = "YYYY-MM-DD")]
    week_ends_on: Date,
    /// Post it for good without asking.
    #[arg(long)]
    post: bool,
}

/// Drafts and shows the week; posts it when told to, and prints the statements.
pub(crate) async fn run(options: &SettleOptions, client: &Client, json: bool) -> anyhow::Result<Ending> {
    let draft = client.draft_settlement(&SettlementCreate { week_ends_on: options.week_ends_on, whole_history: false }).await?;
    if !json {
        output::text(&text::settlement(&draft))?;
    }
    if !(options.post || !json && asked_to_post(&draft)?) {
        if json {
            output::json_line(&json!({ "settlement": draft }))?;
        } else {
            output::text("\nNot posted: a draft pays nothing.\n")?;
        }
        return Ok(Ending::Done);
    }
    let posted = client.post_settlement(draft.settlement_id).await?;
    if !json {
        output::text("\nPosted for good.\n")?;
    }
    // What is posted stays posted, whatever happens to the reading of the statements.
    let statements = statements(client, draft.settlement_id).await.with_context(|| {
        format!("{} is posted, but its statements could not be read", draft.settlement_id)
    })?;
    if json {
        output::json_line(&json!({
            "settlement": posted.settlement, "replayed": posted.replayed, "statements": statements,
        }))?;
    } else {
        for statement in &statements {
            output::text(&format!("\n{}\n{}", "=".repeat(80), text::statement(statement)))?;
        }
    }
    Ok(Ending::Done)
}

/// Asks on a terminal; where there is none, nobody has said yes. A week that is held up is not asked about.
fn asked_to_post(draft: &SettlementView) -> io::Result<bool> {
    Ok(draft.unpriced.is_empty() && for_a_yes("Post for good?")? == Answer::Yes)
}

/// The statements of a settlement, whole.
pub(super) async fn statements(
    client: &Client,
    settlement: SettlementId,
) -> anyhow::Result<Vec<StatementView>> {
    let listed = all_pages(async |after| {
        let of_it = StatementQuery { settlement_id: Some(settlement), after, ..StatementQuery::default() };
        client.list_statements(&of_it).await
    })
    .await?;
    let mut whole = Vec::with_capacity(listed.len());
    for statement in listed {
        whole.push(client.show_statement(statement.statement_id).await?);
    }
    Ok(whole)
}
