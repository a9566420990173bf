//! Every acknowledged ticket is there once and as it was sent, and nothing is there that nobody sent.

use std::collections::{BTreeMap, BTreeSet};

use client::{Client, TicketQuery, all_pages};
use wire::TicketView;

use crate::report::Report;
use crate::work::sent::{Name, Sent, name_of};

/// Compares the books' tickets with the record's, and answers which there are.
pub async fn each_once_and_equal(
    report: &mut Report,
    client: &Client,
    sent: &Sent,
) -> anyhow::Result<BTreeSet<Name>> {
    let listed = all_pages(async |after| {
        client.list_tickets(&TicketQuery { after, limit: Some(500), ..TicketQuery::default() }).await
    });
    let listed = listed.await?;
    let mut kept: BTreeMap<Name, &TicketView> = BTreeMap::new();
    for ticket in &listed {
        let name = name_of(&ticket.ticket);
        if kept.insert(name.clone(), ticket).is_some() {
            report.fault(format!("ticket {name:?} is in the books twice"));
        }
    }
    let ids: BTreeMap<_, Name> = listed.iter().map(|one| (one.ticket_id, name_of(&one.ticket))).collect();
    let corrections = sent.corrections();
    for (name, ticket) in &sent.tickets {
        let Some(found) = kept.remove(name) else {
            report.require(ticket.acknowledged.is_none(), || {
                format!("ticket {name:?} was acknowledged and is lost")
            });
            continue;
        };
        let same_id = ticket.acknowledged.is_none_or(|id| id == found.ticket_id);
        report.require(same_id, || format!("ticket {name:?} is there under another id"));
        report.require(found.ticket == ticket.content, || {
            format!(
                "ticket {name:?} is not as it was sent: {:?} instead of {:?}",
                found.ticket, ticket.content
            )
        });
        let corrects = found.corrects.and_then(|id| ids.get(&id));
        report.require(corrects == ticket.corrects.as_ref(), || {
            format!("ticket {name:?} takes the place of {corrects:?}, and was sent for {:?}", ticket.corrects)
        });
        let corrected_by = found.corrected_by.and_then(|id| ids.get(&id));
        let expected = corrections
            .get(name)
            .copied()
            .filter(|by| sent.tickets.get(*by).is_some_and(|by| by.acknowledged.is_some()));
        report.require(expected.is_none() || corrected_by == expected, || {
            format!(
                "ticket {name:?} is corrected by {corrected_by:?}, and {:?} was sent",
                corrections.get(name)
            )
        });
    }
    for name in kept.keys() {
        report.fault(format!("ticket {name:?} is in the books, and nobody sent it"));
    }
    let unanswered = sent.tickets.values().filter(|ticket| ticket.acknowledged.is_none()).count();
    report.row("tickets in the books", format!("{}; {unanswered} sent and never answered", listed.len()));
    Ok(ids.into_values().collect())
}
