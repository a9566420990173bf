//! What was kept, counted: for whoever watches the service run.

use std::sync::atomic::{AtomicU64, Ordering};

/// Records that were added.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Added {
    /// Tickets, corrections among them.
    pub tickets: u64,
    /// The pieces on them.
    pub pieces: u64,
    /// What they accrued, one for each rate.
    pub accruals: u64,
}

impl Added {
    pub(crate) fn ticket(&mut self, pieces: usize) {
        self.tickets = self.tickets.saturating_add(1);
        self.pieces = self.pieces.saturating_add(wide(pieces));
    }

    pub(crate) fn accruals(&mut self, count: usize) {
        self.accruals = self.accruals.saturating_add(wide(count));
    }
}

fn wide(count: usize) -> u64 {
    u64::try_from(count).unwrap_or(u64::MAX)
}

/// The sum over every transaction that was committed; what was undone is not in it.
#[derive(Debug, Default)]
pub(crate) struct Kept {
    tickets: AtomicU64,
    pieces: AtomicU64,
    accruals: AtomicU64,
}

impl Kept {
    pub(crate) fn count(&self, added: Added) {
        self.tickets.fetch_add(added.tickets, Ordering::Relaxed);
        self.pieces.fetch_add(added.pieces, Ordering::Relaxed);
        self.accruals.fetch_add(added.accruals, Ordering::Relaxed);
    }

    pub(crate) fn sum(&self) -> Added {
        Added {
            tickets: self.tickets.load(Ordering::Relaxed),
            pieces: self.pieces.load(Ordering::Relaxed),
            accruals: self.accruals.load(Ordering::Relaxed),
        }
    }
}
