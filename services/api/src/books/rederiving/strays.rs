//! What stood when a week was posted and no line pays, and what a line pays that did not stand.

use std::collections::HashMap;

use kernel::{DerivationId, TicketId};
use storage::{Books, Derivation, Stray};
use wire::TicketReference;

use super::adjusting::Adjustments;
use super::differences::{At, Differences};
use super::posted::Posted;
use super::scaling_again::reference;
use crate::http::refusal::Refusal;

/// How many of each are looked for.
const MOST: u16 = 1_000;

/// Looks for them.
///
/// # Errors
///
/// Whatever the books answer.
pub async fn look(books: &mut Books, posted: &Posted, found: &mut Differences) -> Result<(), Refusal> {
    Adjustments::read(books).await?.look(books, posted, found).await?;
    let (work, time) = books.strays(posted.week.week_ends_on, posted.moment, MOST).await?;
    let ids: Vec<_> = work.iter().map(|one| one.counted).collect();
    let derivations = books.derivations_by_id(&ids).await?;
    let tickets: Vec<_> = derivations.iter().map(|one| one.ticket).collect();
    let names: HashMap<TicketId, TicketReference> = books
        .tickets_by_id(&tickets)
        .await?
        .iter()
        .map(|one| (one.record.id, reference(&one.record)))
        .collect();
    let derivations: HashMap<DerivationId, Derivation> =
        derivations.into_iter().map(|one| (one.id, one)).collect();
    for stray in &work {
        let known = derivations.get(&stray.counted);
        let name = known.and_then(|one| names.get(&one.ticket));
        let rate = stray.rate.map_or(0, |(_, rate)| rate);
        let pointer = known.map_or_else(
            || format!("/derivations/{}/rates/{rate}", stray.counted),
            |one| format!("/tickets/{}/contracts/{}/rates/{rate}/posted", one.ticket, one.contract),
        );
        let contract = known.map(|one| posted.names.contract(one.contract)).unwrap_or_default();
        let at = At::new(pointer, format!("its work under rate {rate} of {contract}"));
        let at = match name {
            Some(name) => at.on(name),
            None => at,
        };
        found.add(at.says(what(stray)));
    }
    for stray in &time {
        let at = At::new(format!("/time-entries/{}/posted", stray.counted), "an entry of paid time");
        found.add(at.says(what(stray)));
    }
    Ok(())
}

fn what(stray: &Stray) -> String {
    match (stray.stood, stray.times) {
        (true, 0) => "stood when the week was posted, and no posted line counts it".to_owned(),
        (false, _) => "did not stand when the week was posted, and is counted by a posted line".to_owned(),
        (true, times) => format!("is counted {times} times by the posted lines"),
    }
}
