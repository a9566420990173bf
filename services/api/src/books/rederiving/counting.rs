//! Counting up again what the lines of a posted week stand on: tickets in portions, while the portion before is scaled.

use std::collections::{BTreeMap, BTreeSet, HashMap, HashSet};
use std::sync::Arc;

use actix_web::web::block;
use jiff::civil::Date;
use kernel::{DerivationId, Fixed, TicketId};
use settlement::{LineKey, Side, TimeFacts, week_ending};
use storage::{Books, ContractParty, TimeEntry, TimeUse};
use wire::Compared;

use super::adjusting::Adjustments;
use super::differences::{At, Differences};
use super::posted::{Agreements, Posted};
use super::scaling_again::{Again, Case, all};
use crate::books::paying_time::entry_of;
use crate::http::refusal::Refusal;

/// How many derivations are read at once.
const AT_ONCE: usize = 500;

/// What a line comes to, counted again.
#[derive(Debug, Default)]
pub struct Count {
    /// The number of the line.
    pub line: i32,
    /// What it counts by its records.
    pub counted: BTreeSet<DerivationId>,
    /// How much, in the counted unit.
    pub quantity: Fixed,
    /// How many pieces.
    pub pieces: i64,
    /// How much on each day.
    pub days: BTreeMap<Date, Fixed>,
}

/// The lines in the order of their keys.
pub type Counts = BTreeMap<LineKey, Count>;

/// Counts what every line stands on.
///
/// # Errors
///
/// [`wire::Code::TooLarge`]; whatever the books answer.
pub async fn count(
    books: &mut Books,
    posted: &Posted,
    compared: &mut Compared,
    found: &mut Differences,
) -> Result<Counts, Refusal> {
    let mut counts = Counts::new();
    for line in &posted.own {
        if counts.contains_key(&line.key) {
            let at = At::line(line.number, "", "the line");
            found.add(at.says("is about the same work as another line of the settlement"));
            continue;
        }
        let counted = posted.counted(line);
        counts.insert(line.key, Count { line: line.number, counted, ..Count::default() });
    }
    let time: Vec<LineKey> =
        counts.keys().filter(|key| matches!(key.side, Side::Member { .. })).copied().collect();
    for key in time {
        if let Some(count) = counts.get_mut(&key) {
            count_time(books, posted, &key, count, (compared, found)).await?;
        }
    }
    count_work(books, posted, &mut counts, compared, found).await?;
    Ok(counts)
}

async fn count_work(
    books: &mut Books,
    posted: &Posted,
    counts: &mut Counts,
    compared: &mut Compared,
    found: &mut Differences,
) -> Result<(), Refusal> {
    let agreements = Arc::new(Agreements::read(books, posted).await?);
    let adjustments = Adjustments::read(books).await?;
    adjustments.count(posted, counts, found)?;
    let mut lines: HashMap<DerivationId, Vec<LineKey>> = HashMap::new();
    for (key, count) in counts.iter().filter(|(key, _)| !matches!(key.side, Side::Member { .. })) {
        for derivation in count.counted.iter().filter(|id| adjustments.find(**id).is_none()) {
            lines.entry(*derivation).or_default().push(*key);
        }
    }
    let mut ids: Vec<DerivationId> = lines.keys().copied().collect();
    ids.sort_unstable();
    let mut seen: HashSet<TicketId> = HashSet::new();
    let mut under_way = None;
    for portion in ids.chunks(AT_ONCE) {
        let cases = read(books, portion, &mut seen).await?;
        for missing in portion.iter().filter(|id| !cases.iter().any(|case| case.derivation.id == **id)) {
            let number = lines.get(missing).and_then(|keys| keys.first()).and_then(|key| counts.get(key));
            let number = number.map_or(0, |count| count.line);
            found.add(At::line(number, "counted", "what it counts").says(format!("{missing} is not there")));
        }
        // The next portion is read while this one is scaled.
        let scaled = {
            let agreements = agreements.clone();
            block(move || all(&agreements, &cases))
        };
        if let Some(before) = under_way.replace(scaled) {
            take(posted, counts, &lines, before.await.map_err(Refusal::internal)?, (compared, found))?;
        }
    }
    if let Some(last) = under_way {
        take(posted, counts, &lines, last.await.map_err(Refusal::internal)?, (compared, found))?;
    }
    Ok(())
}

/// Reads a portion with its tickets.
async fn read(
    books: &mut Books,
    portion: &[DerivationId],
    seen: &mut HashSet<TicketId>,
) -> Result<Vec<Case>, Refusal> {
    let derivations = books.derivations_by_id(portion).await?;
    let tickets: BTreeSet<TicketId> = derivations.iter().map(|one| one.ticket).collect();
    let tickets: Vec<_> = tickets.into_iter().collect();
    let tickets: HashMap<TicketId, _> =
        books.tickets_by_id(&tickets).await?.into_iter().map(|one| (one.record.id, Arc::new(one))).collect();
    let case = |derivation: storage::Derivation| {
        let ticket = tickets.get(&derivation.ticket)?.clone();
        let whole = seen.insert(derivation.ticket);
        Some(Case { derivation, ticket, whole })
    };
    Ok(derivations.into_iter().filter_map(case).collect())
}

/// Adds what was scaled again to the lines that count it.
fn take(
    posted: &Posted,
    counts: &mut Counts,
    lines: &HashMap<DerivationId, Vec<LineKey>>,
    scaled: Vec<Again>,
    (compared, found): (&mut Compared, &mut Differences),
) -> Result<(), Refusal> {
    for again in scaled {
        let pieces = u64::try_from(again.pieces).unwrap_or(u64::MAX);
        compared.tickets = compared.tickets.saturating_add(u64::from(pieces > 0));
        compared.pieces = compared.pieces.saturating_add(pieces);
        compared.derivations = compared.derivations.saturating_add(1);
        let stored = u64::try_from(again.stored).unwrap_or(u64::MAX);
        compared.rate_lines = compared.rate_lines.saturating_add(stored);
        for key in lines.get(&again.derivation).into_iter().flatten() {
            let Some(count) = counts.get_mut(key) else { continue };
            check_belongs(posted, key, count.line, &again, found);
            let rate = key.rate.saturating_add(1);
            let Some((_, quantity, pieces)) = again.accruals.iter().find(|one| one.0 == rate) else {
                let at = At::line(count.line, "counted", "what it counts").on(&again.ticket);
                found.add(at.says("comes to nothing under the line's rate"));
                continue;
            };
            count.quantity = count.quantity.plus(*quantity)?;
            count.pieces = count.pieces.saturating_add(i64::try_from(*pieces).unwrap_or(i64::MAX));
            let day = count.days.entry(again.scaled_on).or_default();
            *day = day.plus(*quantity)?;
        }
        for difference in again.differences {
            found.add(difference);
        }
    }
    Ok(())
}

/// Whether a ticket belongs to a line: of its week, and divided as the crew divided its pay of that day.
fn check_belongs(posted: &Posted, key: &LineKey, line: i32, again: &Again, found: &mut Differences) {
    let day = again.scaled_on;
    let week = week_ending(day, posted.outfit.week_ends_on);
    found.compare(At::line(line, "week_ends_on", "its week").on(&again.ticket), &key.week, &week);
    if let Side::Crew { crew, share_set } = key.side {
        let held = posted.sharing.on(crew, day, &posted.names).ok().map(|set| set.id);
        let at = At::line(line, "share_set_id", "the division of pay that held").on(&again.ticket);
        found.compare_if_any(at, Some(&share_set), held.as_ref());
    }
}

/// Counts the entries of a line for one member's time.
async fn count_time(
    books: &mut Books,
    posted: &Posted,
    key: &LineKey,
    count: &mut Count,
    (compared, found): (&mut Compared, &mut Differences),
) -> Result<(), Refusal> {
    let ids: Vec<_> = count.counted.iter().copied().map(entry_of).collect();
    let entries = books.time_entries_by_id(&ids).await?;
    let number = u64::try_from(entries.len()).unwrap_or(u64::MAX);
    compared.time_entries = compared.time_entries.saturating_add(number);
    let at = |member: &str| At::line(count.line, member, "the hours it counts");
    if entries.len() != ids.len() {
        found.add(at("counted").values(Some(&entries.len()), Some(&ids.len())));
    }
    let mut facts = Vec::with_capacity(entries.len());
    for entry in &entries {
        match facts_of(posted, key, entry) {
            Some(one) => facts.push(one),
            None => found.add(at("counted").says(format!("{} is of other time than the line's", entry.id))),
        }
    }
    let Some(terms) = posted.terms.get(&key.terms) else { return Ok(()) };
    let accrued = settlement::accrue_time(&terms.rates, &facts)?;
    let of_rate = accrued.accruals.iter().find(|one| one.rate == usize::from(key.rate));
    count.quantity = of_rate.map(|one| one.quantity).unwrap_or_default();
    Ok(())
}

/// What pay needs to know of an entry, if it is of the line's week, crew and member.
fn facts_of(posted: &Posted, key: &LineKey, entry: &TimeEntry) -> Option<TimeFacts> {
    let (Side::Member { crew, worker }, TimeUse::Paid { crew: of, task, .. }) = (key.side, entry.what_for)
    else {
        return None;
    };
    let contract = posted.names.contracts().into_iter().find(|one| one.id == key.contract)?;
    let belongs = crew == of
        && worker == entry.worker
        && contract.party == ContractParty::Crew(crew)
        && week_ending(entry.worked_on, posted.outfit.week_ends_on) == key.week;
    let hours = entry.hours.filter(|_| belongs)?;
    Some(TimeFacts { entry: entry.id, worker, day: entry.worked_on, task, hours })
}
