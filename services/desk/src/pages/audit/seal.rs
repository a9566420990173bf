//! One seal: what it says, its files to keep, and the service's own check of it.

use actix_web::web::Path;
use actix_web::{HttpResponse, get};
use client::{PageQuery, all_pages};
use kernel::SealId;
use maud::{Markup, html};
use seal::Seal;
use wire::{Role, SealCheck};

use super::seals::how_to_verify;
use super::{facts, page, sentence};
use crate::session::person::Person;
use crate::trouble::Trouble;

/// Shows it.
///
/// # Errors
///
/// [`Trouble`].
#[get("/audit/seals/{seal}")]
pub async fn show(person: Person, id: Path<SealId>) -> Result<HttpResponse, Trouble> {
    let seal = person.service.show_seal(*id).await?;
    let all =
        all_pages(async |after| person.service.list_seals(&PageQuery { after, limit: Some(500) }).await);
    let earlier: Vec<Seal> =
        all.await?.into_iter().filter(|one| one.statement.tree_size < seal.statement.tree_size).collect();
    Ok(page(&person, "Seal", "/desk/audit/seals", &content(&person, &seal, &earlier)))
}

fn content(person: &Person, seal: &Seal, earlier: &[Seal]) -> Markup {
    let stated = &seal.statement;
    let whole_books = person.role() != Role::Mill;
    let known = [
        ("Made", format!("{} by {}", stated.made_at, stated.made_by)),
        ("Records", stated.tree_size.to_string()),
        ("Root", stated.root_hash.to_string()),
        ("Public key", stated.public_key.to_string()),
        ("Signature", seal.signature.to_string()),
        ("Signature holds", if seal.is_signed() { "yes, by the key named here" } else { "no" }.to_owned()),
    ];
    let here = format!("/desk/audit/seals/{}", stated.seal_id);
    html! {
        (facts(&known))
        h2 id="files" { "Files to keep" }
        ul {
            li { a #seal-file href={ (here) "/seal.json" } { "seal.json" } ": the seal itself" }
            @if whole_books { li { a #records-file href={ (here) "/records.ndjson" } { "records.ndjson" } ": all its records, one to a line" } }
            @if let Some(settlement) = stated.settlement_id.filter(|_| whole_books) {
                li { a href={ (here) "/settlement-" (settlement) ".json" } { "The proof of the settlement it was made with" } }
            }
            @for one in earlier {
                li { a href={ (here) "/consistency-" (one.statement.seal_id) ".json" } { "The proof that it goes on from the seal of " (one.statement.made_at) } }
            }
        }
        @if whole_books {
            h2 id="check" { "Have the service check it" }
            p { a.button #check-seal href={ (here) "/check" } { "Hold the books against it" } }
            p.help { "This reads every sealed record. It is the service's own word; verifying it yourself is not." }
        }
        (how_to_verify())
    }
}

/// Shows what the service found.
///
/// # Errors
///
/// [`Trouble`].
#[get("/audit/seals/{seal}/check")]
pub async fn check(person: Person, id: Path<SealId>) -> Result<HttpResponse, Trouble> {
    let found = person.service.check_seal(*id).await?;
    Ok(page(&person, "The books held against a seal", "/desk/audit/seals", &checked(&found)))
}

fn checked(found: &SealCheck) -> Markup {
    let known = [
        ("Records", found.records_checked.to_string()),
        ("Seals", found.seals_checked.to_string()),
        ("Checked at", found.checked_at.to_string()),
    ];
    html! {
        @if found.sound { p.done role="status" { "Nothing is wrong: the books are what was sealed." } }
        @else { p.refusal role="alert" { "The books are not what was sealed." } }
        (facts(&known))
        @if !found.findings.is_empty() {
            ul {
                @for one in &found.findings {
                    li { (sentence(&one.says)) @if let Some(ticket) = one.ticket_id { " " a href={ "/desk/audit/tickets/" (ticket) } { "The ticket" } } }
                }
            }
        }
        @if found.findings_left_out > 0 { p { "And " (found.findings_left_out) " more." } }
        p { a href={ "/desk/audit/seals/" (found.seal.statement.seal_id) } { "Back to the seal" } }
    }
}
