//! `skid week post`: posts the draft that was read, for good.

use anyhow::{Context, bail};
use clap::Args;
use client::comparing::{Totals, gathering};
use client::{Client, ClientError, PostedSettlement, text};
use serde_json::json;
use wire::{Code, Problem, SettlementCreate, SettlementState, SettlementView};

use super::settle::statements;
use crate::commands::asking::{Answer, for_a_yes};
use crate::commands::ending::Ending;
use crate::commands::output;
use crate::commands::weeks::{Week, week};

/// Which draft.
#[derive(Debug, Args)]
pub(crate) struct PostOptions {
    /// The last day of a week, for the draft of it that was made last; or the id of a draft.
    #[arg(value_name = "YYYY-MM-DD|ID", value_parser = week)]
    week: Week,
    /// Post it without asking.
    #[arg(long)]
    yes: bool,
}

/// Posts it, and prints the statements. When the books have changed since, nothing is posted, and what changed is shown.
pub(crate) async fn run(options: &PostOptions, client: &Client, json: bool) -> anyhow::Result<Ending> {
    let draft = found(options.week, client).await?;
    if draft.state == SettlementState::Draft && !agreed(options, &draft, json)? {
        output::text("Not posted: a draft pays nothing.\n")?;
        return Ok(Ending::Done);
    }
    match client.post_settlement(draft.settlement_id).await {
        Ok(posted) => posted_for_good(&posted, client, json).await,
        Err(ClientError::Refused(problem)) if problem.code == Code::DraftOutOfDate => {
            out_of_date(&draft, problem, client, json).await
        }
        Err(error) => Err(error.into()),
    }
}

async fn found(week: Week, client: &Client) -> anyhow::Result<SettlementView> {
    match week {
        Week::Id(id) => Ok(client.show_settlement(id).await?),
        Week::EndsOn(day) => gathering::last_draft(client, day).await?.with_context(|| {
            format!("the week ending {day} has no draft to post: read one first with skid week preview {day}")
        }),
    }
}

fn agreed(options: &PostOptions, draft: &SettlementView, json: bool) -> anyhow::Result<bool> {
    if options.yes {
        return Ok(true);
    }
    if json {
        bail!("nobody can be asked with --json: add --yes to post {}", draft.settlement_id);
    }
    let Totals { paid_to_crews, added_to_pay, kept_back, owed_by_mills } = Totals::of(draft);
    output::text(&format!(
        "The week ending {}, as drafted {} by {} ({}):\n\n  crews {paid_to_crews}, added {added_to_pay}, kept back \
         {kept_back}; mills owe {owed_by_mills}\n",
        draft.week_ends_on, draft.drafted_at, draft.drafted_by, draft.settlement_id,
    ))?;
    match for_a_yes("Post for good?")? {
        Answer::Yes => Ok(true),
        Answer::No => Ok(false),
        Answer::Nobody => bail!("there is no terminal to ask on: add --yes to post {}", draft.settlement_id),
    }
}

/// Prints what is posted, with its statements.
async fn posted_for_good(posted: &PostedSettlement, client: &Client, json: bool) -> anyhow::Result<Ending> {
    let PostedSettlement { settlement, replayed } = posted;
    let id = settlement.settlement_id;
    if !json {
        let says =
            if *replayed { "It was posted before; nothing has changed.\n" } else { "Posted for good.\n" };
        output::text(&format!("{says}\n{}", text::settlement(settlement)))?;
    }
    // What is posted stays posted, whatever happens to the reading of the statements.
    let statements = statements(client, id)
        .await
        .with_context(|| format!("{id} is posted, but its statements could not be read"))?;
    if json {
        let told = json!({"settlement": settlement, "replayed": replayed, "statements": statements});
        output::json_line(&told)?;
    }
    for statement in statements.iter().filter(|_| !json) {
        output::text(&format!("\n{}\n{}", "=".repeat(80), text::statement(statement)))?;
    }
    Ok(Ending::Done)
}

/// Says that nothing was posted, and what changed since the draft.
async fn out_of_date(
    before: &SettlementView,
    problem: Box<Problem>,
    client: &Client,
    json: bool,
) -> anyhow::Result<Ending> {
    let now = client.draft_settlement(&SettlementCreate { week_ends_on: before.week_ends_on, whole_history: false }).await?;
    let found = gathering::since(client, before, &now).await?;
    if json {
        output::json_line(&json!({"problem": problem, "settlement": now, "differences": found}))?;
    } else {
        let refused = ClientError::Refused(problem);
        output::titled(format!("{}\n", text::differences(&found)))?;
        output::told_of(&refused)?;
        output::text(&format!(
            "Nothing was posted. Read what changed above; then: skid week post {}\n",
            now.settlement_id
        ))?;
    }
    Ok(Ending::Refused)
}
