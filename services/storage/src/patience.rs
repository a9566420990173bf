//! Waiting for the database no longer than it can still have something to say.
//!
//! A statement that takes too long is ended by the database itself, and a transaction that nobody goes on with as well
//! (`statement_timeout`, `idle_in_transaction_session_timeout`). A database that is stopped, or whose machine has no breath left
//! while its network still answers, does neither. So whatever asks it listens for a little longer than that, and then takes it
//! to be gone.

use std::future::poll_fn;
use std::pin::pin;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::task::{Context, Poll, Wake, Waker};
use std::time::Duration;

use futures_util::task::AtomicWaker;
use tokio::time::{Instant, sleep};

use crate::StorageError;

/// How much longer than the database ends a statement by itself it is waited for.
pub(crate) const GRACE: Duration = Duration::from_secs(5);

/// Whether something that the work waits for has come. Whoever waits beside it, such as for a caller who is still sending, does
/// not count.
struct Heard {
    came: AtomicBool,
    task: AtomicWaker,
}

impl Wake for Heard {
    fn wake(self: Arc<Self>) {
        self.wake_by_ref();
    }

    fn wake_by_ref(self: &Arc<Self>) {
        self.came.store(true, Ordering::Release);
        self.task.wake();
    }
}

/// Does `work` for as long as it goes on; none, and the work is abandoned, when nothing at all came of what it waits for in
/// `limit`. One timer serves for the whole of it: every answer only writes down when it came.
pub(crate) async fn patient<T>(limit: Duration, work: impl Future<Output = T>) -> Option<T> {
    let heard = Arc::new(Heard { came: AtomicBool::new(true), task: AtomicWaker::new() });
    let waker = Waker::from(heard.clone());
    let (mut work, mut timer) = (pin!(work), pin!(sleep(limit)));
    let mut last = Instant::now();
    poll_fn(|context| {
        heard.task.register(context.waker());
        if heard.came.swap(false, Ordering::AcqRel) {
            if let Poll::Ready(done) = work.as_mut().poll(&mut Context::from_waker(&waker)) {
                return Poll::Ready(Some(done));
            }
            last = Instant::now();
        }
        while timer.as_mut().poll(context).is_ready() {
            let Some(end) = last.checked_add(limit).filter(|end| *end > Instant::now()) else {
                return Poll::Ready(None);
            };
            timer.as_mut().reset(end);
        }
        Poll::Pending
    })
    .await
}

/// The same for a transaction, which says when it asks to be committed: from then on nobody knows whether it was kept until
/// the answer comes. Given up, it is an error that tells which.
pub(crate) async fn patiently<T, E: From<StorageError>>(
    limit: Duration,
    transaction: impl AsyncFnOnce(&AtomicBool) -> Result<T, E>,
) -> Result<T, E> {
    let committing = AtomicBool::new(false);
    let outcome = patient(limit, transaction(&committing)).await;
    outcome.unwrap_or_else(|| Err(StorageError::silent(committing.load(Ordering::Relaxed)).into()))
}

#[cfg(test)]
mod tests {
    use super::*;

    const LIMIT: Duration = Duration::from_millis(200);

    fn run<T>(work: impl Future<Output = T>) -> T {
        tokio::runtime::Builder::new_current_thread().enable_all().build().unwrap().block_on(work)
    }

    #[test]
    fn work_that_goes_on_may_take_longer_than_the_limit() {
        let steps = async {
            for _ in 0..6 {
                sleep(LIMIT / 2).await;
            }
            6
        };
        assert_eq!(run(patient(LIMIT, steps)), Some(6));
    }

    #[test]
    fn what_is_silent_is_given_up_however_busy_its_neighbours_are() {
        let neighbour = async {
            loop {
                sleep(LIMIT / 8).await;
            }
        };
        let silent = patient(LIMIT, std::future::pending::<()>());
        let both = async {
            tokio::select! {
                given_up = silent => given_up,
                () = neighbour => Some(()),
                () = sleep(LIMIT * 20) => Some(()),
            }
        };
        assert_eq!(run(both), None);
    }
}
