//! Admission: how many requests are worked on at once. Whoever comes on top is told to come back before anything was
//! done for them, so that those who are in are served in time.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicU64, AtomicUsize, Ordering};

/// Why a request was not let in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Full {
    /// As many requests as are worked on at once are in.
    Requests,
    /// There is no room for its body.
    Bodies,
}

impl Full {
    /// The word for it in the metrics.
    #[must_use]
    pub const fn text(self) -> &'static str {
        match self {
            Self::Requests => "requests",
            Self::Bodies => "bodies",
        }
    }
}

/// The room there is, and how much of it is taken.
#[derive(Debug)]
pub struct Admission {
    most_requests: usize,
    most_bytes: usize,
    requests: AtomicUsize,
    bytes: AtomicUsize,
    awaited: AtomicUsize,
    turned_away: AtomicU64,
}

/// A request that was let in; gives its room back when dropped.
#[derive(Debug)]
pub struct Admitted {
    admission: Arc<Admission>,
    bytes: usize,
    /// Whether it is among those that are worked on.
    working: AtomicBool,
}

impl Admission {
    /// Room for so many requests with so many bytes of bodies.
    #[must_use]
    pub fn new(most_requests: usize, most_bytes: usize) -> Arc<Self> {
        Arc::new(Self {
            most_requests,
            most_bytes,
            requests: AtomicUsize::new(0),
            bytes: AtomicUsize::new(0),
            awaited: AtomicUsize::new(0),
            turned_away: AtomicU64::new(0),
        })
    }

    /// Lets a request in whose body takes up to so many bytes.
    ///
    /// # Errors
    ///
    /// [`Full`] when there is no room; nothing is taken then.
    pub fn admit(self: &Arc<Self>, bytes: usize) -> Result<Admitted, Full> {
        self.take_request()?;
        if take(&self.bytes, bytes, self.most_bytes) {
            return Ok(Admitted { admission: self.clone(), bytes, working: AtomicBool::new(true) });
        }
        self.requests.fetch_sub(1, Ordering::AcqRel);
        Err(self.turn_away(Full::Bodies))
    }

    fn take_request(&self) -> Result<(), Full> {
        if take(&self.requests, 1, self.most_requests) { Ok(()) } else { Err(self.turn_away(Full::Requests)) }
    }

    fn turn_away(&self, full: Full) -> Full {
        self.turned_away.fetch_add(1, Ordering::Relaxed);
        full
    }

    /// Requests that are worked on now.
    #[must_use]
    pub fn requests(&self) -> usize {
        self.requests.load(Ordering::Acquire)
    }

    /// Requests that were let in and whose body is on the way.
    #[must_use]
    pub fn awaited(&self) -> usize {
        self.awaited.load(Ordering::Acquire)
    }

    /// How many seconds the next one who is turned away is asked to wait: not all of them the same.
    #[must_use]
    pub fn seconds_to_wait(&self) -> u64 {
        1 + self.turned_away.load(Ordering::Relaxed) % 3
    }
}

/// Takes so much more where that does not exceed the most; says whether it did.
fn take(taken: &AtomicUsize, more: usize, most: usize) -> bool {
    let sum = |now: usize| now.checked_add(more).filter(|sum| *sum <= most);
    taken.try_update(Ordering::AcqRel, Ordering::Acquire, sum).is_ok()
}

impl Admitted {
    /// Gives up its place among those that are worked on while its body is on the way, and keeps the room for the body. A
    /// caller with a poor signal, or one who never comes to an end, keeps nobody from being served.
    pub fn step_aside(&self) {
        if self.working.swap(false, Ordering::AcqRel) {
            self.admission.requests.fetch_sub(1, Ordering::AcqRel);
            self.admission.awaited.fetch_add(1, Ordering::AcqRel);
        }
    }

    /// Takes a place again, once the body is there.
    ///
    /// # Errors
    ///
    /// [`Full`] when there is none.
    pub fn come_back(&self) -> Result<(), Full> {
        if !self.working.load(Ordering::Acquire) {
            self.admission.take_request()?;
            self.admission.awaited.fetch_sub(1, Ordering::AcqRel);
            self.working.store(true, Ordering::Release);
        }
        Ok(())
    }
}

impl Drop for Admitted {
    fn drop(&mut self) {
        let place = if *self.working.get_mut() { &self.admission.requests } else { &self.admission.awaited };
        place.fetch_sub(1, Ordering::AcqRel);
        self.admission.bytes.fetch_sub(self.bytes, Ordering::AcqRel);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn room_is_taken_and_given_back() {
        let admission = Admission::new(2, 100);
        let first = admission.admit(60).unwrap();
        assert_eq!(admission.admit(41).unwrap_err(), Full::Bodies);
        assert_eq!(admission.requests(), 1, "what was turned away takes no room");
        let second = admission.admit(40).unwrap();
        assert_eq!(admission.admit(0).unwrap_err(), Full::Requests);
        drop(first);
        let third = admission.admit(60).unwrap();
        assert_eq!(admission.admit(usize::MAX).unwrap_err(), Full::Requests);
        drop((second, third));
        assert_eq!(admission.admit(usize::MAX).unwrap_err(), Full::Bodies);
        assert_eq!((admission.requests(), admission.bytes.load(Ordering::Acquire)), (0, 0));
    }

    #[test]
    fn whoever_waits_for_a_body_takes_no_place() {
        let admission = Admission::new(1, 100);
        let slow = admission.admit(60).unwrap();
        slow.step_aside();
        let quick = admission.admit(40).unwrap();
        assert_eq!(slow.come_back(), Err(Full::Requests));
        drop(quick);
        assert_eq!(slow.come_back(), Ok(()));
        assert_eq!(slow.come_back(), Ok(()), "it is back already");
        assert_eq!((admission.requests(), admission.awaited()), (1, 0));
        slow.step_aside();
        assert_eq!((admission.requests(), admission.awaited()), (0, 1));
        drop(slow);
        assert_eq!(admission.awaited(), 0);
        assert_eq!((admission.requests(), admission.bytes.load(Ordering::Acquire)), (0, 0));
    }

    #[test]
    fn many_at_once_never_exceed_the_room() {
        let admission = Admission::new(3, 1_000);
        std::thread::scope(|scope| {
            for _ in 0..8 {
                scope.spawn(|| {
                    for _ in 0..2_000 {
                        if let Ok(_admitted) = admission.admit(400) {
                            assert!(admission.requests() <= 3);
                            assert!(admission.bytes.load(Ordering::Acquire) <= 1_000);
                        }
                    }
                });
            }
        });
        assert_eq!(admission.requests(), 0);
    }

    #[test]
    fn not_everybody_is_asked_to_come_back_at_once() {
        let admission = Admission::new(0, 0);
        let waits: Vec<_> = (0..6)
            .map(|_| {
                assert!(admission.admit(0).is_err());
                admission.seconds_to_wait()
            })
            .collect();
        assert_eq!(waits, [2, 3, 1, 2, 3, 1]);
    }
}
