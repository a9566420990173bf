//! Records that were read before and cannot have changed since: whose books these are, and what contracts say.
//!
//! A record is never altered or taken away, so what an instance once read of it holds for as long as it runs. Which of
//! them are in force is asked of the database every time; only the document behind an id is not read again.

use std::collections::HashMap;
use std::sync::{Arc, Mutex, PoisonError};

use kernel::{OutfitId, TermsId};

use crate::{Outfit, Terms};

/// How many of each are remembered. Past that all are forgotten, and read again as they are needed.
const MOST: usize = 2_000;

/// What one instance remembers.
#[derive(Debug, Default)]
pub(crate) struct Known {
    outfits: Mutex<HashMap<OutfitId, Arc<Outfit>>>,
    terms: Mutex<HashMap<(OutfitId, TermsId), Arc<Terms>>>,
}

impl Known {
    pub(crate) fn outfit(&self, id: OutfitId) -> Option<Arc<Outfit>> {
        recall(&self.outfits, &id)
    }

    pub(crate) fn remember_outfit(&self, outfit: Outfit) -> Arc<Outfit> {
        remember(&self.outfits, outfit.id, outfit)
    }

    /// Terms of this outfit. Another outfit that asks by the same id is answered nothing.
    pub(crate) fn terms(&self, outfit: OutfitId, id: TermsId) -> Option<Arc<Terms>> {
        recall(&self.terms, &(outfit, id))
    }

    pub(crate) fn remember_terms(&self, outfit: OutfitId, terms: Terms) -> Arc<Terms> {
        remember(&self.terms, (outfit, terms.id), terms)
    }
}

fn recall<Key: Eq + std::hash::Hash, Record>(
    known: &Mutex<HashMap<Key, Arc<Record>>>,
    key: &Key,
) -> Option<Arc<Record>> {
    known.lock().unwrap_or_else(PoisonError::into_inner).get(key).cloned()
}

fn remember<Key: Eq + std::hash::Hash, Record>(
    known: &Mutex<HashMap<Key, Arc<Record>>>,
    key: Key,
    record: Record,
) -> Arc<Record> {
    let record = Arc::new(record);
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
        assert_eq!(recall(&known, &0).as_deref(), Some(&0));
        remember(&known, MOST, MOST);
        assert_eq!((recall(&known, &0), recall(&known, &MOST).as_deref()), (None, Some(&MOST)));
    }
}
