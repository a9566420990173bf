//! Counting up the tickets that lines stand on: portions of them are scaled again on every processor while the next is
//! read, and nothing is kept of a portion but its sums and what differs.

use std::collections::{HashSet, VecDeque};
use std::num::NonZeroUsize;
use std::sync::Arc;

use actix_web::error::BlockingError;
use actix_web::web::block;
use kernel::{DerivationId, TicketId};
use settlement::{LineKey, Side, week_ending};
use storage::{Books, StorageError};
use wire::Compared;

use super::adjusting::Adjustments;
use super::counting::Counts;
use super::differences::{At, Differences};
use super::posted::{Agreements, Posted};
use super::scaling_again::{Again, Made, all};
use crate::http::refusal::Refusal;

/// How many tickets are read at once.
const TICKETS_AT_ONCE: usize = 250;

/// How many derivations are looked up at once.
const LOOKED_UP_AT_ONCE: usize = 10_000;

/// Counts the tickets of every line.
///
/// # Errors
///
/// [`wire::Code::TooLarge`]; whatever the books answer.
pub async fn count_work(
    books: &mut Books,
    posted: &Posted,
    counts: &mut Counts,
    (compared, found): (&mut Compared, &mut Differences),
) -> Result<(), Refusal> {
    let agreements = Arc::new(Agreements::read(books, posted).await?);
    let adjustments = Adjustments::read(books).await?;
    adjustments.count(posted, counts, found)?;
    let counted = Counted::by(counts, &adjustments);
    let work = counted.look_up(books).await?;
    counted.tell_missing(&work.iter().map(|(_, id)| *id).collect(), counts, found);
    let by_ticket: Vec<_> = work.chunk_by(|one, next| one.0 == next.0).collect();
    // Each processor has a portion to scale while the next is being read.
    let processors = std::thread::available_parallelism().map_or(1, NonZeroUsize::get);
    let mut under_way = VecDeque::with_capacity(processors);
    for portion in by_ticket.chunks(TICKETS_AT_ONCE) {
        let tickets: Vec<TicketId> = portion.iter().filter_map(|of| of.first()).map(|one| one.0).collect();
        let derivations: Vec<DerivationId> = portion.iter().copied().flatten().map(|one| one.1).collect();
        let stored = books.stored_work(&tickets, &derivations).await?;
        if under_way.len() >= processors
            && let Some(first) = under_way.pop_front()
        {
            counted.take(posted, counts, scaled(first).await?, (compared, found))?;
        }
        let agreements = agreements.clone();
        under_way.push_back(block(move || all(&agreements, stored)));
    }
    for last in under_way {
        counted.take(posted, counts, scaled(last).await?, (compared, found))?;
    }
    Ok(())
}

/// What came of a portion.
async fn scaled(
    portion: impl Future<Output = Result<Result<Vec<Again>, StorageError>, BlockingError>>,
) -> Result<Vec<Again>, Refusal> {
    Ok(portion.await.map_err(Refusal::internal)??)
}

/// Which lines count which derivations.
struct Counted {
    /// The keys of the lines, in their order.
    keys: Vec<LineKey>,
    /// Each derivation with the position of a line's key, in order: for millions of them a map takes several times as much.
    lines: Vec<(DerivationId, usize)>,
}

impl Counted {
    fn by(counts: &Counts, adjustments: &Adjustments) -> Self {
        let of_pieces = |key: &&LineKey| !matches!(key.side, Side::Member { .. });
        let keys: Vec<_> = counts.keys().filter(of_pieces).copied().collect();
        let mut lines = Vec::new();
        for (position, count) in keys.iter().enumerate().filter_map(|(at, key)| Some((at, counts.get(key)?)))
        {
            let derivations = count.counted.iter().filter(|id| adjustments.find(**id).is_none());
            lines.extend(derivations.map(|id| (*id, position)));
        }
        lines.sort_unstable();
        Self { keys, lines }
    }

    /// Every derivation that is there, with its ticket, in the order of the tickets.
    async fn look_up(&self, books: &mut Books) -> Result<Vec<(TicketId, DerivationId)>, Refusal> {
        let mut ids: Vec<_> = self.lines.iter().map(|(id, _)| *id).collect();
        ids.dedup();
        let mut found = Vec::with_capacity(ids.len());
        for some in ids.chunks(LOOKED_UP_AT_ONCE) {
            found.extend(books.tickets_of_derivations(some).await?);
        }
        found.sort_unstable();
        Ok(found)
    }

    /// The keys of the lines that count a derivation.
    fn keys_of(&self, derivation: DerivationId) -> impl Iterator<Item = &LineKey> {
        let first = self.lines.partition_point(|(id, _)| *id < derivation);
        let its = self.lines.iter().skip(first).take_while(move |(id, _)| *id == derivation);
        its.filter_map(|(_, position)| self.keys.get(*position))
    }

    /// Tells which of the derivations are not there, each at the first line that counts it.
    fn tell_missing(&self, there: &HashSet<DerivationId>, counts: &Counts, found: &mut Differences) {
        for missing in self.lines.chunk_by(|one, next| one.0 == next.0).filter_map(|same| same.first()) {
            if !there.contains(&missing.0) {
                let count = self.keys.get(missing.1).and_then(|key| counts.get(key));
                let at = At::line(count.map_or(0, |count| count.line), "counted", "what it counts");
                found.add(at.says(format!("{} is not there", missing.0)));
            }
        }
    }

    /// Adds what was scaled again to the lines that count it.
    fn take(
        &self,
        posted: &Posted,
        counts: &mut Counts,
        scaled: Vec<Again>,
        (compared, found): (&mut Compared, &mut Differences),
    ) -> Result<(), Refusal> {
        for again in scaled {
            let pieces = u64::try_from(again.pieces).unwrap_or(u64::MAX);
            compared.tickets = compared.tickets.saturating_add(u64::from(pieces > 0));
            compared.pieces = compared.pieces.saturating_add(pieces);
            for made in &again.made {
                compared.derivations = compared.derivations.saturating_add(1);
                let stored = u64::try_from(made.stored).unwrap_or(u64::MAX);
                compared.rate_lines = compared.rate_lines.saturating_add(stored);
                for key in self.keys_of(made.derivation) {
                    add(posted, (key, counts), (&again, made), found)?;
                }
                for difference in &made.differences {
                    found.add(difference.clone());
                }
            }
        }
        Ok(())
    }
}

/// Adds what was made of a ticket to a line that counts it.
fn add(
    posted: &Posted,
    (key, counts): (&LineKey, &mut Counts),
    (again, made): (&Again, &Made),
    found: &mut Differences,
) -> Result<(), Refusal> {
    let Some(count) = counts.get_mut(key) else { return Ok(()) };
    check_belongs(posted, key, count.line, again, found);
    let rate = key.rate.saturating_add(1);
    let Some((_, quantity, pieces)) = made.accruals.iter().find(|one| one.0 == rate) else {
        let at = At::line(count.line, "counted", "what it counts").on(&again.ticket);
        found.add(at.says("comes to nothing under the line's rate"));
        return Ok(());
    };
    count.quantity = count.quantity.plus(*quantity)?;
    count.pieces = count.pieces.saturating_add(i64::try_from(*pieces).unwrap_or(i64::MAX));
    let day = count.days.entry(again.scaled_on).or_default();
    *day = day.plus(*quantity)?;
    Ok(())
}

/// Whether a ticket belongs to a line: of its week, and divided as the crew divided its pay of that day.
fn check_belongs(posted: &Posted, key: &LineKey, line: i32, again: &Again, found: &mut Differences) {
    let day = again.scaled_on;
    let week = week_ending(day, posted.outfit.week_ends_on);
    if key.week != week {
        let at = At::line(line, "week_ends_on", "its week").on(&again.ticket);
        found.add(at.values(Some(&key.week), Some(&week)));
    }
    if let Side::Crew { crew, share_set } = key.side {
        let held = posted.sharing.on(crew, day, &posted.names).ok().map(|set| set.id);
        if held != Some(share_set) {
            let at = At::line(line, "share_set_id", "the division of pay that held").on(&again.ticket);
            found.add(at.values(Some(&share_set), held.as_ref()));
        }
    }
}
