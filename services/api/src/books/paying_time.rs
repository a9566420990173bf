//! What members of crews have earned by time, from the hours that count and the terms of the crews' contracts.

use std::collections::{BTreeMap, HashMap};

use jiff::civil::Date;
use kernel::{ContractId, CrewId, DerivationId, Id, JobId, TermsId, TimeEntryId};
use settlement::{Entitlement, LineKey, RateSummary, Side, TimeFacts, UnpricedReason, week_ending};
use storage::{Books, Contract, ContractParty, Days, Outfit, Terms, TimeEntry, TimeUse};
use wire::{Code, FieldProblem};

use super::adjusting::in_force;
use super::names::Names;
use crate::http::refusal::Refusal;

/// What paid time comes to.
#[derive(Debug, Default)]
pub struct PaidTime {
    /// What members are entitled to, by week, rate, crew and member.
    pub entitlements: Vec<Entitlement>,
    /// The entries that nothing pays for, and why, in the order of their ids.
    pub unpriced: Vec<(TimeEntry, UnpricedReason)>,
}

/// Works out the paid time of some days.
///
/// # Errors
///
/// [`Code::TooLarge`]; whatever the books answer.
pub async fn paid_time(
    books: &mut Books,
    outfit: &Outfit,
    names: &Names,
    days: &[Days],
) -> Result<PaidTime, Refusal> {
    let mut entries = Vec::new();
    for (from, to) in days.iter().copied() {
        entries.extend(books.paid_time(from, to).await?);
    }
    if entries.is_empty() {
        return Ok(PaidTime::default());
    }
    let contracts = names.contracts();
    let ids: Vec<ContractId> = contracts.iter().map(|contract| contract.id).collect();
    let terms = books.terms_of(&ids).await?;
    count(outfit, &contracts, &terms, entries)
}

/// Entries of one week under the same terms, with the crew whose contract it is.
type Groups = BTreeMap<(Date, ContractId, TermsId, CrewId), Vec<TimeFacts>>;

/// Works out paid time under terms, filed or not; all of them are of contracts in the list.
///
/// # Errors
///
/// [`Code::TooLarge`].
pub fn count(
    outfit: &Outfit,
    contracts: &[&Contract],
    terms: &[Terms],
    entries: Vec<TimeEntry>,
) -> Result<PaidTime, Refusal> {
    let mut counted = PaidTime::default();
    let mut groups = Groups::new();
    for entry in &entries {
        let (Some(hours), TimeUse::Paid { job, crew, task }) = (entry.hours, entry.what_for) else {
            continue;
        };
        match terms_for(contracts, terms, job, crew, entry.worked_on) {
            Err(reason) => counted.unpriced.push((entry.clone(), reason)),
            Ok(terms) => {
                let week = week_ending(entry.worked_on, outfit.week_ends_on);
                let (worker, day) = (entry.worker, entry.worked_on);
                let facts = TimeFacts { entry: entry.id, worker, day, task, hours };
                groups.entry((week, terms.contract, terms.id, crew)).or_default().push(facts);
            }
        }
    }
    let terms: HashMap<TermsId, &Terms> = terms.iter().map(|terms| (terms.id, terms)).collect();
    let entries: HashMap<TimeEntryId, TimeEntry> =
        entries.into_iter().map(|entry| (entry.id, entry)).collect();
    for ((week, contract, id, crew), time) in groups {
        let Some(terms) = terms.get(&id) else { continue };
        let accrued = settlement::accrue_time(&terms.rates, &time)?;
        let without_rate = accrued.unpriced.iter().filter_map(|id| entries.get(id));
        counted.unpriced.extend(without_rate.map(|entry| (entry.clone(), UnpricedReason::NoRate)));
        for accrual in accrued.accruals {
            let rate = terms.rates.get(accrual.rate).map(RateSummary::from);
            let rate = rate.ok_or_else(|| Refusal::internal("time under a rate that is not there"))?;
            let position = u16::try_from(accrual.rate).map_err(|_| kernel::NumberError::TooLarge)?;
            let side = Side::Member { crew, worker: accrual.worker };
            counted.entitlements.push(Entitlement {
                key: LineKey { week, contract, terms: id, rate: position, side },
                rate,
                quantity: accrual.quantity,
                pieces: 0,
                derivations: accrual.entries.into_iter().map(as_counted).collect(),
                shares: Vec::new(),
            });
        }
    }
    counted.unpriced.sort_by_key(|(entry, _)| entry.id);
    Ok(counted)
}

/// The terms that pay for a crew's time on a job on a day.
fn terms_for<'a>(
    contracts: &[&Contract],
    terms: &'a [Terms],
    job: JobId,
    crew: CrewId,
    day: Date,
) -> Result<&'a Terms, UnpricedReason> {
    let with_crew = |one: &&&Contract| one.job == job && one.party == ContractParty::Crew(crew);
    let contract = contracts.iter().find(with_crew).ok_or(UnpricedReason::NoContract)?;
    let of_contract = terms.iter().filter(|terms| terms.contract == contract.id);
    in_force(of_contract, day).ok_or(UnpricedReason::NoTerms)
}

/// A line counts derivations by their ids; the line of a member's time counts his entries by theirs in the same place.
#[must_use]
pub fn as_counted(entry: TimeEntryId) -> DerivationId {
    DerivationId::from_uuid(entry.uuid())
}

/// The entry that the line of a member's time counts under this id.
#[must_use]
pub fn entry_of(counted: DerivationId) -> TimeEntryId {
    TimeEntryId::from_uuid(counted.uuid())
}

impl PaidTime {
    /// The entitlements, when every entry has a price.
    ///
    /// # Errors
    ///
    /// [`Code::UnpricedTime`] with every entry that has none.
    pub fn all_priced(self, names: &Names) -> Result<Vec<Entitlement>, Refusal> {
        if self.unpriced.is_empty() {
            return Ok(self.entitlements);
        }
        let problems = self.unpriced.iter().map(|(entry, reason)| {
            let TimeUse::Paid { crew, task, .. } = entry.what_for else {
                return problem(entry, reason.to_string());
            };
            let why = match reason {
                UnpricedReason::NoContract => "the crew has no contract on the job",
                UnpricedReason::NoTerms => "the crew's contract has no terms in force on that day",
                _ => "the terms in force have no rate by the hour or the day for it",
            };
            problem(entry, format!("{}, {task} on {}: {why}", names.crew(crew), entry.worked_on))
        });
        let detail = format!("{} entries of paid time have no price", self.unpriced.len());
        Err(Refusal::new(Code::UnpricedTime, detail).at(problems.collect()))
    }
}

fn problem(entry: &TimeEntry, detail: String) -> FieldProblem {
    let day = entry.worked_on;
    let pointer = format!("/v1/time-entries?worker_id={}&from={day}&to={day}", entry.worker);
    FieldProblem { pointer, detail }
}
