//! One subscription's line: what is to be sent next, sending it, and writing down what came of it.
//!
//! An event that the tool does not take holds up those behind it until it is delivered or given up. Nothing is held
//! open in the database while a tool is waited for: what is next is read in one transaction, what came of it is written
//! in another. When the service dies between the two, the event is sent again with the same id.

use client::events::{Secret, sign};
use jiff::Timestamp;
use kernel::{Id, OutfitId};
use storage::{
    Attempt, AuditEntry, Books, DeliveryPlace, EventPlace, EventSubscription, Session, Settled, Stamp,
    SubscriptionEnd,
};
use uuid::Uuid;
use wire::EventKind;

use super::happening::{Happening, told_by};
use super::schedule::{Next, after};
use super::secrets::{Owner, signing};
use super::sending::{Answer, Outgoing};
use crate::http::refusal::Refusal;
use crate::service::Service;

/// How many entries are looked at in one transaction.
const ENTRIES: u16 = 20;
/// After so many events it is somebody else's turn.
const MOST: u32 = 200;

/// An event at the head of a line, or behind it.
#[derive(Clone, Debug)]
struct Turn {
    place: DeliveryPlace,
    id: Uuid,
    kind: EventKind,
    happened_at: Timestamp,
    closes_entry: bool,
    body: Vec<u8>,
    /// How often it was sent in this round.
    tries: u16,
    /// It may not be sent before this.
    not_before: Option<Timestamp>,
}

impl Turn {
    /// Whether it is to be sent now.
    fn is_due(&self, now: Timestamp) -> bool {
        self.not_before.is_none_or(|at| at <= now)
    }
}

/// What one transaction found for a line.
#[derive(Default)]
struct Found {
    turns: Vec<Turn>,
    /// The secrets that sign now; none when the newest cannot be opened.
    secrets: Vec<Secret>,
}

/// One subscription's line, while its outfit is held.
pub(super) struct Line<'a> {
    pub(super) service: &'a Service,
    pub(super) session: &'a Session,
    pub(super) outfit: OutfitId,
    pub(super) subscription: &'a EventSubscription,
    /// Whether to stop after the event that is being sent.
    pub(super) stopping: &'a (dyn Fn() -> bool + Sync),
}

impl Line<'_> {
    /// Sends what is due, in order, until something is not taken; then what is to be sent again. Answers how many events
    /// were sent.
    pub(super) async fn work_off(&self) -> Result<u32, Refusal> {
        let mut sent = 0;
        'line: while sent < MOST {
            let found = self.session.write(self.outfit, async |books| self.find(books, false).await).await?;
            if found.turns.is_empty() {
                break;
            }
            for turn in &found.turns {
                if (self.stopping)() || !turn.is_due(self.service.clock.now()) {
                    break 'line;
                }
                sent += 1;
                match self.send(turn, &found.secrets).await? {
                    Next::Delivered | Next::GivenUp => {}
                    Next::Again(_) => break 'line,
                    Next::Ended => return Ok(sent),
                }
            }
        }
        let found = self.session.write(self.outfit, async |books| self.find(books, true).await).await?;
        for turn in &found.turns {
            if (self.stopping)() {
                break;
            }
            if turn.is_due(self.service.clock.now()) {
                sent += 1;
                if self.send(turn, &found.secrets).await? == Next::Ended {
                    break;
                }
            }
        }
        Ok(sent)
    }

    /// What is next, or what is to be sent again.
    async fn find(&self, books: &mut Books, replays: bool) -> Result<Found, Refusal> {
        let lasts =
            books.event_subscription(self.subscription.id).await?.is_some_and(|one| one.ended.is_none());
        if !lasts {
            return Ok(Found::default());
        }
        let turns = if replays { self.replays(books).await? } else { self.upcoming(books).await? };
        let all = books.signing_secrets(self.subscription.id).await?;
        let opened: Option<Vec<Secret>> = signing(&all, self.service.clock.now())
            .into_iter()
            .map(|(one, _)| {
                let owner = Owner { outfit: self.outfit, subscription: self.subscription.id, secret: one.id };
                self.service.secrets.open(&one.sealed, owner)
            })
            .collect();
        Ok(Found { turns, secrets: opened.unwrap_or_default() })
    }

    fn kinds(&self) -> Vec<EventKind> {
        self.subscription.kinds.iter().filter_map(|name| Happening::kind(name)).collect()
    }

    async fn upcoming(&self, books: &mut Books) -> Result<Vec<Turn>, Refusal> {
        let (id, kinds) = (self.subscription.id, self.kinds());
        let told = books.told(id).await?;
        let mut happenings = Vec::new();
        if let Some(begun) = told.filter(|told| !told.closes_entry)
            && let Some(entry) = books.entry_to_tell(begun.place.entry).await?
        {
            let all = told_by(books, &entry, &kinds).await?;
            happenings.extend(all.into_iter().filter(|one| one.place > begun.place));
        }
        let mut behind = None;
        while happenings.is_empty() {
            let entries = books.entries_behind(id, behind, ENTRIES).await?;
            for entry in &entries {
                happenings.extend(told_by(books, entry, &kinds).await?);
            }
            // Entries may tell nothing of these kinds: a week without statements.
            behind = entries.last().map(|last| (last.transaction, last.id));
            if behind.is_none() {
                break;
            }
        }
        let mut turns = happenings.into_iter().map(|one| turn(&one, 0)).collect::<Result<Vec<_>, _>>()?;
        // Nothing behind the first was sent yet: it would not have been its turn.
        if let Some(first) = turns.first_mut() {
            self.remember(books, first).await?;
        }
        Ok(turns)
    }

    async fn replays(&self, books: &mut Books) -> Result<Vec<Turn>, Refusal> {
        let kinds = self.kinds();
        let mut turns = Vec::new();
        let now = self.service.clock.now();
        for asked in books.waiting_replays(self.subscription.id, now, ENTRIES).await? {
            let place: EventPlace = asked.place.event;
            let Some(entry) = books.entry_to_tell(place.entry).await? else { continue };
            let told = told_by(books, &entry, &kinds).await?;
            if let Some(happening) = told.iter().find(|one| one.place == place) {
                let mut turn = turn(happening, asked.place.round)?;
                self.remember(books, &mut turn).await?;
                turns.push(turn);
            }
        }
        Ok(turns)
    }

    /// Adds how often it was sent, and when it may be sent again.
    async fn remember(&self, books: &mut Books, turn: &mut Turn) -> Result<(), Refusal> {
        if let Some(last) = books.last_delivery_attempt(self.subscription.id, turn.place).await? {
            turn.tries = last.number;
            turn.not_before = last.not_before;
        }
        Ok(())
    }

    /// Sends it, and writes down what came of it.
    async fn send(&self, turn: &Turn, secrets: &[Secret]) -> Result<Next, Refusal> {
        let number = turn.tries.saturating_add(1);
        let began_at = self.service.clock.now();
        let answer = match self.service.sender.target(&self.subscription.url) {
            _ if secrets.is_empty() => Answer::NotSigned,
            Err(_) => Answer::TargetRefused,
            Ok(target) => {
                let id = turn.id.to_string();
                let signature = sign(secrets, &id, began_at, &turn.body);
                let timestamp = began_at.as_second();
                let body = turn.body.clone();
                self.service.sender.send(&Outgoing { target, id, timestamp, signature, body }).await
            }
        };
        let now = self.service.clock.now();
        let next = after(number, answer, now, self.service.chance());
        let attempt = Attempt {
            place: turn.place,
            number,
            event: turn.id,
            kind: turn.kind.name().to_owned(),
            happened_at: turn.happened_at,
            began_at,
            outcome: answer.outcome().name().to_owned(),
            status: answer.status(),
            milliseconds: milliseconds(began_at, now),
            not_before: if let Next::Again(at) = next { Some(at) } else { None },
        };
        tracing::info!(
            event.id = %turn.id, event.kind = attempt.kind, delivery.attempt = number,
            delivery.outcome = attempt.outcome, delivery.status = attempt.status, "event sent"
        );
        self.session
            .write(self.outfit, async |books| self.write_down(books, turn, &attempt, next).await)
            .await?;
        Ok(next)
    }

    async fn write_down(
        &self,
        books: &mut Books,
        turn: &Turn,
        attempt: &Attempt,
        next: Next,
    ) -> Result<(), Refusal> {
        let now = self.service.clock.now();
        let id = self.subscription.id;
        books.add_delivery_attempt(id, attempt).await?;
        match next {
            Next::Again(_) => {}
            Next::Delivered | Next::GivenUp => {
                let settled = Settled {
                    place: turn.place,
                    event: turn.id,
                    kind: attempt.kind.clone(),
                    happened_at: turn.happened_at,
                    closes_entry: turn.closes_entry,
                    delivered: next == Next::Delivered,
                    at: now,
                };
                books.settle_delivery(id, &settled).await?;
            }
            Next::Ended => {
                let made = Stamp { at: now, by: "skidway".to_owned() };
                let reason = "the tool answered 410: it is gone".to_owned();
                if books.end_event_subscription(id, &SubscriptionEnd { reason, made: made.clone() }).await? {
                    let entry = AuditEntry {
                        id: self.service.ids.make(),
                        made,
                        role: "service".to_owned(),
                        operation: "end_event_subscription".to_owned(),
                        about: id.uuid(),
                        request: None,
                    };
                    books.enter_audit(&entry).await?;
                }
            }
        }
        Ok(())
    }
}

fn turn(happening: &Happening, round: u16) -> Result<Turn, Refusal> {
    Ok(Turn {
        place: DeliveryPlace { event: happening.place, round },
        id: happening.id,
        kind: happening.kind,
        happened_at: happening.event.timestamp,
        closes_entry: happening.closes_entry,
        body: serde_json::to_vec(&happening.event).map_err(Refusal::internal)?,
        tries: 0,
        not_before: None,
    })
}

/// How long it took; nothing when a clock was set back meanwhile.
pub fn milliseconds(from: Timestamp, to: Timestamp) -> u32 {
    let passed = to.as_millisecond().saturating_sub(from.as_millisecond());
    u32::try_from(passed.clamp(0, i64::from(i32::MAX))).unwrap_or_default()
}
