//! Sending what waits, in order, one program at a time.

use std::fs::{File, TryLockError};
use std::time::Duration;

use kernel::Clock;
use serde_json::{Value, json};
use wire::Code;

use super::keeping::disk;
use super::{Answer, Entry, Outbox, OutboxError, Owner, Place, Refusal};
use crate::{Client, ClientError};

/// How often to look whether the other program that sends is done, and how long to wait in between.
const LOOKS: u32 = 50;
const BETWEEN_LOOKS: Duration = Duration::from_millis(100);

/// What became of one entry.
#[derive(Debug)]
pub enum Outcome {
    /// It was answered.
    Answered,
    /// It was refused.
    Refused,
    /// It waits on: what it follows from was not answered.
    Follows(u64),
    /// It waits on, for the service had a fault of its own; those behind it are sent all the same.
    Fault(ClientError),
}

/// Why sending ended before everything was tried.
#[derive(Debug)]
pub enum Stop {
    /// The service did not answer, or not like one.
    Unreachable(ClientError),
    /// The service does not take the caller for whom it is said to be.
    NotKnown(ClientError),
}

impl Stop {
    /// What happened.
    #[must_use]
    pub const fn error(&self) -> &ClientError {
        match self {
            Self::Unreachable(error) | Self::NotKnown(error) => error,
        }
    }
}

/// What came of sending.
#[derive(Debug, Default)]
pub struct Sending {
    /// How many were answered.
    pub answered: usize,
    /// How many were refused.
    pub refused: usize,
    /// How many wait on for this caller.
    pub waiting: usize,
    /// How many wait for somebody else, and were not sent.
    pub of_others: usize,
    /// Why it ended early, if it did.
    pub stop: Option<Stop>,
}

/// What came of one request, sorted by what to do about it.
enum Came {
    Answer(Answer),
    Refusal(Refusal),
    Fault(ClientError),
    Stop(Stop),
}

impl Outbox {
    /// The one who may send, or change what is being sent.
    pub(super) fn only_sender(&self) -> Result<File, OutboxError> {
        let (path, file) = self.lock_file("sending.lock")?;
        match file.try_lock() {
            Ok(()) => Ok(file),
            Err(TryLockError::WouldBlock) => Err(OutboxError::Busy),
            Err(TryLockError::Error(source)) => Err(disk(&path)(source)),
        }
    }

    /// Waits a while for the other one who sends.
    async fn sender_in_turn(&self) -> Result<File, OutboxError> {
        for _ in 1..LOOKS {
            match self.only_sender() {
                Err(OutboxError::Busy) => tokio::time::sleep(BETWEEN_LOOKS).await,
                other => return other,
            }
        }
        self.only_sender()
    }

    /// Sends what waits for this owner, in the order it was kept, and tells what becomes of each.
    ///
    /// What waits for another owner stays. A refused entry does not stop those behind it; a service that does not
    /// answer does, and so does one that does not know the caller.
    ///
    /// # Errors
    ///
    /// [`OutboxError::Busy`] when another program goes on sending; otherwise what the disk answers. What was answered
    /// and could not be written down is sent again next time, which does no harm.
    pub async fn send(
        &self,
        client: &Client,
        owner: &Owner,
        clock: &dyn Clock,
        told: &mut dyn FnMut(&Entry, &Outcome),
    ) -> Result<Sending, OutboxError> {
        let _sender = self.sender_in_turn().await?;
        let mut sending = Sending::default();
        for entry in self.entries(Place::Waiting)? {
            if entry.owner != *owner {
                sending.of_others += 1;
            } else if sending.stop.is_some() {
                sending.waiting += 1;
            } else {
                self.send_one(client, entry, clock, &mut sending, told).await?;
            }
        }
        self.clear_old(clock)?;
        Ok(sending)
    }

    async fn send_one(
        &self,
        client: &Client,
        mut entry: Entry,
        clock: &dyn Clock,
        sending: &mut Sending,
        told: &mut dyn FnMut(&Entry, &Outcome),
    ) -> Result<(), OutboxError> {
        let path = match self.path(&entry)? {
            Ok(path) => path,
            Err(first) => {
                sending.waiting += 1;
                told(&entry, &Outcome::Follows(first));
                return Ok(());
            }
        };
        entry.tries = entry.tries.saturating_add(1);
        entry.tried_at = Some(clock.now());
        let outcome = match once(client, &path, &entry, clock).await {
            Came::Answer(answer) => {
                entry.told = None;
                entry.answer = Some(answer);
                self.move_on(Place::Waiting, Place::Sent, &entry)?;
                sending.answered += 1;
                Outcome::Answered
            }
            Came::Refusal(refusal) => {
                entry.told = None;
                entry.refusal = Some(refusal);
                self.move_on(Place::Waiting, Place::Refused, &entry)?;
                sending.refused += 1;
                Outcome::Refused
            }
            Came::Fault(error) => {
                self.waits_on(&mut entry, &error, sending)?;
                Outcome::Fault(error)
            }
            Came::Stop(stop) => {
                self.waits_on(&mut entry, stop.error(), sending)?;
                sending.stop = Some(stop);
                return Ok(());
            }
        };
        told(&entry, &outcome);
        Ok(())
    }

    fn waits_on(
        &self,
        entry: &mut Entry,
        error: &ClientError,
        sending: &mut Sending,
    ) -> Result<(), OutboxError> {
        entry.told = Some(error.to_string());
        sending.waiting += 1;
        self.rewrite(Place::Waiting, entry)
    }

    /// Where it is posted to, or the entry that has to be answered first.
    fn path(&self, entry: &Entry) -> Result<Result<String, u64>, OutboxError> {
        let Some(follows) = &entry.filing.follows else { return Ok(Ok(entry.filing.path.clone())) };
        let answer = match self.find(follows.entry) {
            Ok((Place::Sent, first)) => first.answer,
            Ok(_) | Err(OutboxError::NoEntry(_)) => None,
            Err(error) => return Err(error),
        };
        let Some(answer) = answer else { return Ok(Err(follows.entry)) };
        let Some(member) = &follows.member else { return Ok(Ok(entry.filing.path.clone())) };
        let value = answer.reply.get(member).and_then(Value::as_str);
        Ok(value.map(|value| entry.filing.path.replace(&format!("{{{member}}}"), value)).ok_or(follows.entry))
    }
}

async fn once(client: &Client, path: &str, entry: &Entry, clock: &dyn Clock) -> Came {
    let mut body = entry.filing.body.clone();
    if let (Some(stamp), Some(members)) = (&entry.filing.stamp, body.as_object_mut()) {
        members.insert(stamp.clone(), json!(clock.now()));
    }
    match client.post_kept(path, &body, entry.filing.key.header()).await {
        Ok(answered) => {
            let (replayed, reply) = (answered.replayed, Value::Object(answered.body));
            Came::Answer(Answer { at: clock.now(), replayed, reply })
        }
        Err(ClientError::Refused(problem)) => match problem.code {
            Code::NoToken | Code::TokenRefused | Code::TokenExpired | Code::AccessRevoked => {
                Came::Stop(Stop::NotKnown(ClientError::Refused(problem)))
            }
            Code::Internal => Came::Fault(ClientError::Refused(problem)),
            Code::RequestInProgress => Came::Stop(Stop::Unreachable(ClientError::Refused(problem))),
            _ => {
                let error = ClientError::Refused(problem.clone());
                if error.is_unreachable() {
                    Came::Stop(Stop::Unreachable(error))
                } else {
                    Came::Refusal(Refusal { at: clock.now(), problem: *problem })
                }
            }
        },
        // Whatever answers like this is not the service: a page that wants a sign-in to the network, for one.
        Err(error) => Came::Stop(Stop::Unreachable(error)),
    }
}
