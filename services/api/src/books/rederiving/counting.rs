//! Counting up again what the lines of a posted week stand on.

use std::collections::{BTreeMap, BTreeSet};

use jiff::civil::Date;
use kernel::{DerivationId, Fixed};
use settlement::{LineKey, Side, TimeFacts, week_ending};
use storage::{Books, ContractParty, TimeEntry, TimeUse};
use wire::Compared;

use super::counting_work::count_work;
use super::differences::{At, Differences};
use super::posted::Posted;
use crate::books::paying_time::entry_of;
use crate::http::refusal::Refusal;

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
    count_work(books, posted, &mut counts, (compared, found)).await?;
    Ok(counts)
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
