//! The names of what a ticket knows by id, for whoever reads it on paper.

use std::collections::BTreeSet;

use kernel::TicketId;
use storage::{Books, CertificateFilter, ContractParty, Page, Ticket};
use wire::{CrewName, TicketNames, TicketReference};

use super::names::Names;
use crate::http::caller::Member;
use crate::http::refusal::Refusal;
use crate::routes::outfits::show::own;

/// All names of a ticket; those of its crews are not for a mill.
///
/// # Errors
///
/// Whatever the books answer.
pub async fn named(books: &mut Books, member: &Member, ticket: &Ticket) -> Result<TicketNames, Refusal> {
    let record = &ticket.record;
    let names = Names::read(books).await?;
    let jobs = books.jobs(Page { after: None, limit: u16::MAX }).await?;
    let landing = books.landing(record.landing).await?;
    let crews: BTreeSet<_> = match member.mill {
        None => record.work.iter().map(|entry| entry.crew).collect(),
        Some(_) => BTreeSet::new(),
    };
    Ok(TicketNames {
        outfit_name: own(books).await?.name,
        job_name: jobs.into_iter().find(|job| job.id == record.job).map(|job| job.name).unwrap_or_default(),
        landing_name: landing.map(|landing| landing.name).unwrap_or_default(),
        mill_name: record.delivered_to.map(|mill| names.party(ContractParty::Mill(mill))),
        crews: crews.into_iter().map(|crew_id| CrewName { crew_id, name: names.crew(crew_id) }).collect(),
        certificate: certificate(books, ticket).await?,
        corrects: match &record.corrects {
            Some(correction) => reference(books, correction.of).await?,
            None => None,
        },
        corrected_by: match ticket.corrected_by {
            Some(by) => reference(books, by).await?,
            None => None,
        },
    })
}

/// The certificate that the ticket names, in words.
async fn certificate(books: &mut Books, ticket: &Ticket) -> Result<Option<String>, Refusal> {
    let Some(id) = ticket.scaler_certificate else { return Ok(None) };
    let filter =
        CertificateFilter { scaler: Some(ticket.record.scaler.clone()), on: Some(ticket.record.scaled_on) };
    let held = books.scaler_certificates(&filter, Page { after: None, limit: u16::MAX }).await?;
    let held = held.into_iter().find(|held| held.id == id);
    Ok(held
        .map(|held| format!("{}, given by {}, good to {}", held.certificate, held.issued_by, held.valid_to)))
}

async fn reference(books: &mut Books, id: TicketId) -> Result<Option<TicketReference>, Refusal> {
    let found = books.ticket(id).await?;
    Ok(found.map(|found| TicketReference {
        ticket_id: id,
        book: found.record.book,
        number: found.record.number,
    }))
}
