//! Filing by way of the outbox: kept on this machine first, then sent. No signal is no fault.
//!
//! Commands that file something send what waits first, in the order it was kept, and then their own. Commands that only
//! read send nothing: whoever looks at the books changes nothing in them. They say on standard error that something
//! waits.

use anyhow::Context;
use client::outbox::{Entry, Outbox, OutboxError, Outcome, Owner, Place, Sending, Stop};
use client::{Client, ClientError};
use kernel::SystemClock;

use super::ending::Ending;
use super::output;
use super::service::ServiceOptions;

/// The user's outbox, and whose books are filed into.
pub(crate) struct Filer<'a> {
    pub(crate) outbox: Outbox,
    pub(crate) owner: Owner,
    service: &'a ServiceOptions,
}

/// The client, or why there is none at this moment though nothing is wrong with the command.
enum Reached {
    Client(Box<Client>),
    Not(Stop),
}

impl<'a> Filer<'a> {
    /// Opens the user's outbox; asks nobody.
    pub(crate) fn open(service: &'a ServiceOptions) -> anyhow::Result<Self> {
        Ok(Self { outbox: Outbox::of_user()?, owner: service.owner()?, service })
    }

    /// Sends what waits, and tells what becomes of each. That the service is not reachable is no error: it is in the
    /// answer.
    pub(crate) async fn send(
        &self,
        told: &mut dyn FnMut(&Entry, &Outcome),
    ) -> anyhow::Result<Result<Sending, OutboxError>> {
        let waiting = self.outbox.entries(Place::Waiting)?;
        let ours = waiting.iter().filter(|entry| entry.owner == self.owner).count();
        let of_others = waiting.len() - ours;
        if ours == 0 {
            return Ok(Ok(Sending { of_others, ..Sending::default() }));
        }
        match self.reach().await? {
            Reached::Client(client) => {
                match self.outbox.send(&client, &self.owner, &SystemClock, told).await {
                    Err(busy @ OutboxError::Busy) => Ok(Err(busy)),
                    sent => Ok(Ok(sent?)),
                }
            }
            Reached::Not(stop) => {
                Ok(Ok(Sending { waiting: ours, of_others, stop: Some(stop), ..Sending::default() }))
            }
        }
    }

    /// Gets a client. Exchanging an old sign-in for a new one needs signal too.
    async fn reach(&self) -> anyhow::Result<Reached> {
        let error = match self.service.client().await {
            Ok(client) => return Ok(Reached::Client(Box::new(client))),
            Err(error) => error,
        };
        let error = error.downcast::<ClientError>()?;
        Ok(Reached::Not(match Ending::from(&error) {
            Ending::Refused => Stop::NotKnown(error),
            _ => Stop::Unreachable(error),
        }))
    }
}

/// How a command ends that has sent what waited: what was refused is told by the status; that there was no signal only
/// to whoever asked for it with `--now`.
pub(crate) fn ending(sending: &Sending, now: bool) -> Ending {
    match &sending.stop {
        _ if sending.refused > 0 => Ending::Refused,
        Some(Stop::NotKnown(_)) => Ending::Refused,
        Some(Stop::Unreachable(_)) if now => Ending::Unreachable,
        _ => Ending::Done,
    }
}

/// What is said at the end to people: what waits, and why.
pub(crate) fn rest(sent: &Result<Sending, OutboxError>) -> String {
    let sending = match sent {
        Ok(sending) => sending,
        Err(busy) => return format!("Kept. {busy}.\n"),
    };
    let mut said = match (&sending.stop, sending.waiting) {
        (_, 0) => String::new(),
        (Some(Stop::Unreachable(_)), count) => format!("No signal: kept; {}.\n", wait(count)),
        (Some(Stop::NotKnown(error)), count) => {
            format!("Kept; {}, for the service does not know who sends: {}", wait(count), output::told(error))
        }
        (None, count) => format!("Kept; {}.\n", wait(count)),
    };
    if sending.of_others > 0 {
        said.push_str(&format!(
            "{} for somebody else, or for another service, and not sent: see `skid outbox`.\n",
            wait(sending.of_others)
        ));
    }
    said
}

fn wait(count: usize) -> String {
    if count == 1 { "1 waits".to_owned() } else { format!("{count} wait") }
}

/// Says on standard error that something waits for this service, where somebody only reads. It is no matter for the
/// command if that cannot be found out.
pub(crate) fn remind(service: &ServiceOptions) {
    let Some(place) = client::shelf::of_user().map(|place| place.join("outbox")) else { return };
    if !place.is_dir() {
        return;
    }
    let waiting = Outbox::at(&place).and_then(|outbox| outbox.entries(Place::Waiting));
    let (Ok(waiting), Ok(owner)) = (waiting, service.owner()) else { return };
    let ours = waiting.iter().filter(|entry| entry.owner == owner).count();
    if ours > 0 {
        eprintln!("skid: {} in the outbox, not sent yet: skid outbox send", wait(ours));
    }
}

/// The ticket that an entry holds.
pub(crate) fn ticket(entry: &Entry) -> anyhow::Result<wire::TicketCreate> {
    let is_ticket = entry.filing.operation == "post_ticket";
    anyhow::ensure!(is_ticket, "entry {} is no ticket but {}", entry.number, entry.filing.says);
    serde_json::from_value(entry.filing.body.clone())
        .with_context(|| format!("entry {} holds no ticket this program can read", entry.number))
}
