//! Journal entries for money that changes hands, or changes its place in the books, beside the settlements.

use kernel::{Money, WorkerId};

use crate::{Account, JournalEntry, JournalError, Payee, Posting};

/// What is booked.
///
/// ```
/// use kernel::Money;
/// use settlement::{Account, Booking, Payee};
/// let worker = "0197a000-0000-7000-8000-000000000001".parse()?;
/// let entry = Booking::Payment(Payee::Worker(worker)).entry(Money::from_minor(4_000, "USD".parse()?))?;
/// let booked: Vec<_> = entry.postings().iter().map(|one| (one.account, one.amount.minor())).collect();
/// assert_eq!(booked, [(Account::PayableToWorker(worker), 4_000), (Account::Cash, -4_000)]);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Booking {
    /// Money handed to a worker before it was earned.
    Advance(WorkerId),
    /// Money handed to a worker for what he has coming, or handed over by a mill for what it owes.
    Payment(Payee),
    /// Holdback that is let go, and owed to the worker from then on.
    Release(WorkerId),
}

impl Booking {
    /// The entry: the first of the two accounts is debited, the second credited.
    ///
    /// # Errors
    ///
    /// [`JournalError::Money`] for the one amount that has no opposite.
    ///
    /// ```
    /// use kernel::Money;
    /// use settlement::Booking;
    /// let worker = "0197a000-0000-7000-8000-000000000001".parse()?;
    /// let let_go = Booking::Release(worker).entry(Money::from_minor(250, "USD".parse()?))?;
    /// assert_eq!(let_go.postings().len(), 2);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn entry(self, amount: Money) -> Result<JournalEntry, JournalError> {
        let (debited, credited) = match self {
            Self::Advance(worker) => (Account::AdvanceToWorker(worker), Account::Cash),
            Self::Payment(Payee::Worker(worker)) => (Account::PayableToWorker(worker), Account::Cash),
            Self::Payment(Payee::Mill(mill)) => (Account::Cash, Account::ReceivableFromMill(mill)),
            Self::Release(worker) => (Account::HoldbackPayable(worker), Account::PayableToWorker(worker)),
        };
        JournalEntry::new([
            Posting { account: debited, amount },
            Posting { account: credited, amount: amount.negated()? },
        ])
    }
}
