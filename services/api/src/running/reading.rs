//! An instance that only reads: it answers from the books as they are, or from a replica of them, and sends whoever wants
//! to change something elsewhere.

use std::sync::{Mutex, PoisonError};
use std::time::{Duration, Instant};

use jiff::Timestamp;
use storage::{ReplicaState, StorageError, Store};
use wire::{Code, ReplicaView};

use crate::http::refusal::Refusal;

/// How long what the database said of itself is told again before it is asked anew. What is told is older for it, and so
/// still right: the books hold every change that was committed before it.
const ASKED_AGAIN: Duration = Duration::from_secs(1);

/// What an instance knows that only reads.
#[derive(Debug, Default)]
pub struct Reading {
    /// Where changes are to be sent, where that is known.
    keeper: Option<String>,
    last: Mutex<Option<(Instant, ReplicaState)>>,
}

impl Reading {
    /// An instance that only reads, and the address of the one that keeps the books, where it is known.
    #[must_use]
    pub fn beside(keeper: Option<String>) -> Self {
        Self { keeper, last: Mutex::default() }
    }

    /// How whoever wants to change something is sent away.
    #[must_use]
    pub fn refusal(&self) -> Refusal {
        let keeper = self.keeper.as_deref().unwrap_or("the instance that keeps the books");
        Refusal::new(Code::ReadOnly, format!("this instance changes nothing; send it to {keeper}"))
    }

    /// How the database stands, at most a second ago.
    ///
    /// # Errors
    ///
    /// When the database does not answer.
    pub async fn state(&self, store: &Store) -> Result<ReplicaState, StorageError> {
        // Nothing here can be left half written by a panic elsewhere.
        let last = *self.last.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some((asked, state)) = last
            && asked.elapsed() < ASKED_AGAIN
        {
            return Ok(state);
        }
        let asked = Instant::now();
        let state = store.replica_state().await?;
        *self.last.lock().unwrap_or_else(PoisonError::into_inner) = Some((asked, state));
        Ok(state)
    }
}

/// What is told of it at this time.
#[must_use]
pub fn view(state: &ReplicaState, now: Timestamp) -> ReplicaView {
    let since = u64::try_from(now.duration_since(state.as_of).as_secs()).unwrap_or_default();
    ReplicaView {
        as_of: state.as_of,
        caught_up: state.caught_up,
        lag_seconds: if state.caught_up { 0 } else { since },
        behind_bytes: state.behind_bytes,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_quiet_night_is_no_lag_and_a_lost_connection_is() {
        let as_of: Timestamp = "2031-06-06T18:00:00Z".parse().unwrap();
        let now: Timestamp = "2031-06-06T19:00:00Z".parse().unwrap();
        let state = |caught_up| ReplicaState { follows: true, as_of, caught_up, behind_bytes: 0 };
        assert_eq!(view(&state(true), now).lag_seconds, 0);
        assert_eq!(view(&state(false), now).lag_seconds, 3_600);
        assert_eq!(view(&state(false), as_of - jiff::SignedDuration::from_secs(9)).lag_seconds, 0);
    }

    #[test]
    fn whoever_wants_to_change_something_is_told_where() {
        let told = |keeper: Option<&str>| Reading::beside(keeper.map(str::to_owned)).refusal().problem.detail;
        assert!(told(Some("https://books.example")).ends_with("send it to https://books.example"));
        assert!(told(None).ends_with("the instance that keeps the books"));
    }
}
