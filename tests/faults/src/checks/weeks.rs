//! Weeks: posted once, equal to the record, and the same when they are computed again.

use std::collections::{BTreeMap, BTreeSet};

use client::{Client, SettlementQuery, all_pages};
use jiff::civil::date;
use serde_json::json;
use wire::SettlementView;

use crate::report::Report;
use crate::work::crowd::Work;
use crate::work::outfit::{WEEKS, form, week_end};
use crate::work::sent::{Name, Sent};
use crate::work::tickets::worth;

async fn posted(client: &Client) -> anyhow::Result<Vec<SettlementView>> {
    let listed = all_pages(async |after| {
        let query =
            SettlementQuery { posted: Some(true), after, limit: Some(500), ..SettlementQuery::default() };
        client.list_settlements(&query).await
    });
    Ok(listed.await?)
}

/// Every acknowledged posting is there, none of a week twice, and none that nobody asked for.
pub async fn postings_stand(report: &mut Report, client: &Client, sent: &Sent) -> anyhow::Result<()> {
    let mut weeks = BTreeMap::new();
    let found = posted(client).await?;
    for one in &found {
        if weeks.insert(one.week_ends_on, one.settlement_id).is_some() {
            report.fault(format!("the week {} is posted twice", one.week_ends_on));
        }
        let asked = sent.postings.contains_key(&one.settlement_id);
        report.require(asked, || format!("the week {} is posted, and nobody asked for it", one.week_ends_on));
    }
    for (id, (week, acknowledged)) in &sent.postings {
        let there = found.iter().any(|one| one.settlement_id == *id);
        report.require(there || !acknowledged, || {
            format!("the posting of week {week} was acknowledged and is lost")
        });
    }
    Ok(())
}

/// Everything that is left is settled; then everybody is owed what the record says, and one more draft finds nothing.
pub async fn pay_equals_the_record(
    report: &mut Report,
    client: &Client,
    work: &Work,
    sent: &Sent,
    kept: &BTreeSet<Name>,
) -> anyhow::Result<()> {
    let last = posted(client).await?.iter().map(|one| one.week_ends_on).max();
    for week in 0..=WEEKS {
        let ends_on = week_end(week)?;
        if last.is_some_and(|last| ends_on <= last) {
            continue;
        }
        let draft = client.draft_settlement(&form(json!({"week_ends_on": ends_on}))?).await?;
        client.post_settlement(draft.settlement_id).await?;
        if sent.tickets.values().all(|ticket| ticket.content.scaled_on <= ends_on) {
            let more = json!({"week_ends_on": week_end(week + 1)?});
            let nothing = client.draft_settlement(&form(more)?).await?;
            report.require(nothing.lines.is_empty(), || {
                format!("with everything settled, another draft pays {}", nothing.paid_to_crews.amount_text())
            });
            break;
        }
    }
    let corrections = sent.corrections();
    // What was sent, never answered and not kept counts for nothing; neither does what it would have corrected.
    let counts =
        |name: &Name| kept.contains(name) && corrections.get(name).is_none_or(|by| !kept.contains(*by));
    let (mut felling, mut skidding) = (0, 0);
    for (_, ticket) in sent.tickets.iter().filter(|(name, _)| counts(name)) {
        let (felled, skidded) = worth(&ticket.content)?;
        felling += felled;
        skidding += skidded;
    }
    let owed = client.list_balances(Some(date(2030, 1, 1))).await?;
    let all = owed.owed_to_workers.minor();
    report.require(all == felling + skidding, || {
        format!("{all} cents are owed, by the record {}", felling + skidding)
    });
    let team = owed.items.iter().find(|one| one.payee.name == work.outfit.teamster_name);
    let team = team.map_or(0, |one| one.balance.minor());
    report.require(team == skidding, || {
        format!("{team} cents are owed to the teamster, by the record {skidding}")
    });
    report.row("owed, to the cent as the record says", owed.owed_to_workers.amount_text());
    Ok(())
}

/// Every posted week says the same when it is worked out again from the sticks.
pub async fn come_out_again(report: &mut Report, client: &Client) -> anyhow::Result<()> {
    let weeks = posted(client).await?;
    for one in &weeks {
        let again = client.rederive_settlement(one.settlement_id, None).await?;
        report.require(again.agrees, || {
            format!(
                "week {} does not come out again: {:?}",
                one.week_ends_on,
                again.differences.first().map(|one| &one.says)
            )
        });
    }
    report.row("posted weeks computed again", weeks.len());
    Ok(())
}
