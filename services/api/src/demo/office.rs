//! The bookkeeper settles the week.

use anyhow::Context;
use audit::{CheckTolerance, PublishedTolerance};
use client::{Client, ClientError, StatementQuery};
use jiff::civil::Date;
use kernel::SettlementId;
use wire::{Code, SettlementCreate, TermsCreate};

use super::scenario::Scenario;
use super::setting_up::Directory;

/// Drafts a week that something keeps from being posted, mends that, and shows how it was refused.
pub(super) async fn mend(
    bookkeeper: &Client,
    scenario: &Scenario,
    directory: &Directory,
    week: Date,
) -> anyhow::Result<()> {
    let draft = bookkeeper.draft_settlement(&SettlementCreate { week_ends_on: week, whole_history: false }).await?;
    match bookkeeper.post_settlement(draft.settlement_id).await {
        Err(ClientError::Refused(problem)) if problem.code == Code::UnpricedPieces => {
            println!("  The first draft cannot be posted: {}.", problem.detail);
            for error in &problem.errors {
                println!("    {}", error.detail);
            }
        }
        other => anyhow::bail!("unpriced pieces did not hold up the week: {other:?}"),
    }
    let party = &scenario.better_terms.party;
    let contract = scenario.contracts.iter().find(|contract| contract.party == *party);
    let contract = contract.with_context(|| format!("the scenario has no contract with {party}"))?;
    let mut rates = contract.rates.as_slice().to_vec();
    rates.push(scenario.better_terms.rate.clone());
    let practice = contract.practice.clone().into();
    // They also say how far a check scale may lie off.
    let check_tolerance = Some(CheckTolerance::Published(PublishedTolerance::NetByDefect));
    let terms = TermsCreate {
        effective_from: scenario.effective_from,
        practice,
        rates,
        holdback: None,
        check_tolerance,
    };
    let filed = bookkeeper.file_terms(directory.contract(party)?, &terms).await?;
    println!(
        "  New terms with a rate for poles are filed; {} tickets are worked out again.\n",
        filed.tickets_worked_out_again
    );
    Ok(())
}

/// Drafts a week, reads it, posts it, and prints its lines.
pub(super) async fn settle(bookkeeper: &Client, week: Date) -> anyhow::Result<SettlementId> {
    let draft = bookkeeper.draft_settlement(&SettlementCreate { week_ends_on: week, whole_history: false }).await?;
    let posted = bookkeeper.post_settlement(draft.settlement_id).await?.settlement;
    println!("{}", client::text::settlement(&posted));
    Ok(posted.settlement_id)
}

/// Prints everybody's statement of a settlement.
pub(super) async fn statements(bookkeeper: &Client, settlement: SettlementId) -> anyhow::Result<()> {
    let query = StatementQuery { settlement_id: Some(settlement), ..StatementQuery::default() };
    for statement in bookkeeper.list_statements(&query).await?.items {
        let whole = bookkeeper.show_statement(statement.statement_id).await?;
        println!("{}", client::text::statement(&whole));
    }
    Ok(())
}
