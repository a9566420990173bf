//! Working tickets out again when terms are filed for days past.

use jiff::civil::Date;
use kernel::{Clock, IdSource, TicketId};
use storage::{Books, Contract, Page, Terms, Ticket, TicketFilter};

use super::deriving::{Derived, derive_under};
use super::parties::parties;
use crate::http::refusal::Refusal;

/// How many tickets are read at once.
const AT_ONCE: u16 = 500;

/// Works out again every standing ticket that falls under `filed`, and answers with how many there were.
///
/// # Errors
///
/// [`wire::Code::TooLarge`] when quantities cannot be held; whatever the books answer.
pub async fn work_out_again(
    books: &mut Books,
    contract: &Contract,
    filed: &Terms,
    ids: &IdSource,
    clock: &dyn Clock,
) -> Result<u32, Refusal> {
    let all = books.terms_of(&[contract.id]).await?;
    let filter = TicketFilter {
        job: Some(contract.job),
        from: Some(filed.effective_from),
        standing_only: true,
        ..TicketFilter::default()
    };
    let mut page = Page::<TicketId> { after: None, limit: AT_ONCE };
    let mut count = 0_u32;
    loop {
        let tickets = books.tickets(&filter, page).await?;
        for ticket in &tickets {
            if work_out_one(books, contract, ticket, filed, &all, ids, clock).await? {
                count = count.saturating_add(1);
            }
        }
        match tickets.last() {
            Some(last) if tickets.len() == usize::from(AT_ONCE) => page.after = Some(last.record.id),
            _ => return Ok(count),
        }
    }
}

async fn work_out_one(
    books: &mut Books,
    contract: &Contract,
    ticket: &Ticket,
    filed: &Terms,
    all: &[Terms],
    ids: &IdSource,
    clock: &dyn Clock,
) -> Result<bool, Refusal> {
    let party = parties(&ticket.record)?.into_iter().find(|party| party.party == contract.party);
    let Some(party) = party else { return Ok(false) };
    // Terms that begin later than the filed ones go on holding for their own days.
    if in_force(all, ticket.record.scaled_on).map(|terms| terms.id) != Some(filed.id) {
        return Ok(false);
    }
    let mut derived = Derived::default();
    derive_under(&ticket.record, &party, filed, ids, clock.now(), &mut derived)?;
    for derivation in &derived.derivations {
        books.add_derivation(derivation, ticket.record.scaled_on).await?;
    }
    books.add_unpriced(&derived.unpriced).await?;
    Ok(true)
}

/// The terms that hold on a day: those effective latest on or before it and, among those, the latest filed.
#[must_use]
pub fn in_force<'a>(all: impl IntoIterator<Item = &'a Terms>, day: Date) -> Option<&'a Terms> {
    all.into_iter()
        .filter(|terms| terms.effective_from <= day)
        .max_by_key(|terms| (terms.effective_from, terms.revision))
}
