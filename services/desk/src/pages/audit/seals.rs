//! The seals: what each covers, and the words how to verify one without this service.

use crate::table::{Cell, Table};
use actix_web::web::Query;
use actix_web::{HttpResponse, get};
use client::{PageQuery, all_pages};
use kernel::TicketId;
use maud::{Markup, html};
use seal::Seal;
use serde::Deserialize;

use super::asked::id;
use super::page;
use crate::session::person::Person;
use crate::trouble::Trouble;

/// A ticket that somebody wants the proof of.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
pub struct ProofOf {
    ticket: String,
}

/// Shows them.
///
/// # Errors
///
/// [`Trouble`].
#[get("/audit/seals")]
pub async fn show(person: Person, of: Query<ProofOf>) -> Result<HttpResponse, Trouble> {
    let ticket: Option<TicketId> = id(&of.ticket)?;
    let seals =
        all_pages(async |after| person.service.list_seals(&PageQuery { after, limit: Some(500) }).await);
    let seals = seals.await?;
    let content = html! {
        p { "A seal holds everything that was accepted up to a moment in one signed hash: tickets and posted settlements. Kept outside \
    this service, it shows later whether anything was changed, taken out or slipped in." }
        @if seals.is_empty() { p { "There are none yet." } } @else { (table(&seals, ticket).shown()) }
        (how_to_verify())
    };
    Ok(page(&person, "Seals", "/desk/audit/seals", &content))
}

fn table(seals: &[Seal], ticket: Option<TicketId>) -> Table {
    let mut heads = vec!["Made at", "By", "Records", "Root", "With a settlement"];
    if ticket.is_some() {
        heads.push("Proof of the ticket");
    }
    let mut table = Table::new("table-seals", "Seals, oldest first", &heads);
    for one in seals {
        let stated = &one.statement;
        let root = stated.root_hash.to_string();
        let mut cells = vec![
            Cell::Link {
                says: stated.made_at.to_string(),
                to: format!("/desk/audit/seals/{}", stated.seal_id),
                head: true,
            },
            Cell::Words(stated.made_by.clone()),
            Cell::figure(stated.tree_size),
            Cell::Words(format!("{}…", root.get(..12).unwrap_or(&root))),
            Cell::Words(if stated.settlement_id.is_some() { "yes" } else { "no" }.to_owned()),
        ];
        cells.extend(ticket.map(|ticket| Cell::Link {
            says: "file".to_owned(),
            to: format!("/desk/audit/seals/{}/ticket-{ticket}.json", stated.seal_id),
            head: false,
        }));
        table.rows.push(cells);
    }
    table
}

/// How a seal is verified offline.
#[must_use]
pub fn how_to_verify() -> Markup {
    html! {
        h2 id="verify" { "Verify it yourself" }
        ol {
            li { "Take the files of a seal to a machine of your own. Get the outfit's public key on another way than this page: on \
    paper, or from whoever you trust." }
            li { "There, without a network, run " code { "skid verify --seal seal.json --key DIGITS" } ". With a proof of a record: "
                code { "--record ticket-….json" } "; with all records: " code { "--records records.ndjson" }
                "; with a seal you kept from before: " code { "--kept old-seal.json --consistency consistency.json" } "." }
            li { "It says what is shown and what is not, and computes everything itself: it asks nobody." }
        }
    }
}
