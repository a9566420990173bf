//! `skid week preview`: drafts a week for reading, and says what changed since it was drafted last.

use clap::Args;
use client::comparing::gathering::{Preview, preview};
use client::{Client, readiness, text};
use jiff::civil::Date;
use serde_json::json;

use crate::commands::ending::Ending;
use crate::commands::output;

/// Which week.
#[derive(Debug, Args)]
pub(crate) struct PreviewOptions {
    /// The last day of the week.
    #[arg(value_name = "YYYY-MM-DD")]
    week_ends_on: Date,
    /// Only what to look at and what changed, without the whole draft.
    #[arg(long)]
    short: bool,
}

/// Drafts it, and prints what holds it up, what changed, and the draft.
pub(crate) async fn run(options: &PreviewOptions, client: &Client, json: bool) -> anyhow::Result<Ending> {
    let Preview { draft, differences } = preview(client, options.week_ends_on).await?;
    let ready = readiness::of_week(client, &draft).await?;
    if json {
        let told = json!({"settlement": draft, "readiness": ready, "differences": differences});
        output::json_line(&told)?;
        return Ok(Ending::Done);
    }
    output::text(&format!("{}\n", text::readiness(&ready)))?;
    if let Some(found) = &differences {
        output::text(&format!("{}\n", text::differences(found)))?;
    }
    if !options.short {
        output::text(&format!("{}\n", text::settlement(&draft)))?;
    }
    output::text(&next(&draft, ready.can_be_posted()))?;
    Ok(Ending::Done)
}

/// What to do next.
fn next(draft: &wire::SettlementView, can_be_posted: bool) -> String {
    if can_be_posted {
        format!("  A draft pays nothing. To post it for good: skid week post {}\n", draft.settlement_id)
    } else {
        format!("  A draft pays nothing. Once put right: skid week preview {}\n", draft.week_ends_on)
    }
}
