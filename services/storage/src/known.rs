//! Records that were read before and cannot have changed since: whose books these are, what contracts say, and whom they
//! are with.
//!
//! A record is never altered or taken away, so what an instance once read of it holds for as long as it runs. Which of
//! them are in force is asked of the database every time, and so is whatever was not there; only what is found again by
//! its id is not read again.

use std::collections::HashMap;
use std::sync::{Arc, Mutex, PoisonError};

use kernel::{JobId, JournalEntryId, LandingId, OutfitId, SettlementId, TermsId};

use crate::{ContractParty, NamedContract, Outfit, Terms};

/// How many of each are remembered. Past that all are forgotten, and read again as they are needed.
const MOST: usize = 2_000;

type Remembered<Key, Record> = Mutex<HashMap<Key, Record>>;

/// What one instance remembers.
#[derive(Debug, Default)]
pub(crate) struct Known {
    outfits: Remembered<OutfitId, Arc<Outfit>>,
    terms: Remembered<(OutfitId, TermsId), Arc<Terms>>,
    contracts: Remembered<(OutfitId, JobId, ContractParty), Arc<NamedContract>>,
    landings: Remembered<(OutfitId, LandingId), JobId>,
    postings: Remembered<(OutfitId, SettlementId), Option<JournalEntryId>>,
}

impl Known {
    pub(crate) fn outfit(&self, id: OutfitId) -> Option<Arc<Outfit>> {
        recall(&self.outfits, &id)
    }

    pub(crate) fn remember_outfit(&self, outfit: Outfit) -> Arc<Outfit> {
        remember(&self.outfits, outfit.id, Arc::new(outfit))
    }

    /// Terms of this outfit. Another outfit that asks by the same id is answered nothing.
    pub(crate) fn terms(&self, outfit: OutfitId, id: TermsId) -> Option<Arc<Terms>> {
        recall(&self.terms, &(outfit, id))
    }

    pub(crate) fn remember_terms(&self, outfit: OutfitId, terms: Terms) -> Arc<Terms> {
        remember(&self.terms, (outfit, terms.id), Arc::new(terms))
    }

    /// The contract with this party on this job.
    pub(crate) fn contract(
        &self,
        outfit: OutfitId,
        job: JobId,
        party: ContractParty,
    ) -> Option<Arc<NamedContract>> {
        recall(&self.contracts, &(outfit, job, party))
    }

    pub(crate) fn remember_contract(
        &self,
        outfit: OutfitId,
        (job, party): (JobId, ContractParty),
        contract: NamedContract,
    ) -> Arc<NamedContract> {
        remember(&self.contracts, (outfit, job, party), Arc::new(contract))
    }

    /// The job that a landing is on.
    pub(crate) fn landing(&self, outfit: OutfitId, id: LandingId) -> Option<JobId> {
        recall(&self.landings, &(outfit, id))
    }

    pub(crate) fn remember_landing(&self, outfit: OutfitId, id: LandingId, job: JobId) {
        remember(&self.landings, (outfit, id), job);
    }

    /// The moment of the latest posting, as of when this settlement was the latest; the inner one is none where nothing of it
    /// has an id that tells it.
    pub(crate) fn posting(&self, outfit: OutfitId, id: SettlementId) -> Option<Option<JournalEntryId>> {
        recall(&self.postings, &(outfit, id))
    }

    pub(crate) fn remember_posting(
        &self,
        outfit: OutfitId,
        id: SettlementId,
        moment: Option<JournalEntryId>,
    ) {
        remember(&self.postings, (outfit, id), moment);
    }
}

fn recall<Key: Eq + std::hash::Hash, Record: Clone>(
    known: &Remembered<Key, Record>,
    key: &Key,
) -> Option<Record> {
    known.lock().unwrap_or_else(PoisonError::into_inner).get(key).cloned()
}

fn remember<Key: Eq + std::hash::Hash, Record: Clone>(
    known: &Remembered<Key, Record>,
    key: Key,
    record: Record,
) -> Record {
    let mut known = known.lock().unwrap_or_else(PoisonError::into_inner);
    if known.len() >= MOST {
        known.clear();
    }
    known.insert(key, record.clone());
    record
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn it_remembers_no_more_than_it_has_room_for() {
        let known = Mutex::new(HashMap::new());
        for number in 0..MOST {
            remember(&known, number, number);
        }
        assert_eq!(recall(&known, &0), Some(0));
        remember(&known, MOST, MOST);
        assert_eq!((recall(&known, &0), recall(&known, &MOST)), (None, Some(MOST)));
    }
}
