//! Everybody who works at the same time, and what they share.

use std::sync::atomic::{AtomicBool, AtomicU32, Ordering};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::time::{Duration, Instant};

use client::ClientError;
use kernel::TicketId;
use tokio::sync::watch;
use tokio::task::JoinSet;

use super::answer::{Answer, Sender};
use super::outfit::Outfit;
use super::sent::{Name, Progress, Sent};
use super::{auditor, bookkeeper, bulk, writer};
use crate::chance::Chance;
use crate::report::Report;

/// How long one thing may take until it is answered, faults and all.
pub const LONGEST: Duration = Duration::from_secs(180);

/// What everybody shares.
#[derive(Debug)]
pub struct Work {
    /// Whose books these are.
    pub outfit: Outfit,
    sent: Mutex<Sent>,
    progress: watch::Sender<Progress>,
    over: AtomicBool,
    /// The bookkeeper closes a week: nobody enters tickets for it meanwhile, as an office asks of its yard.
    pub closing: AtomicBool,
    /// The week that is open, counted from 0.
    pub week: AtomicU32,
    /// Codes beside those of 503 that are answered with good reason while this is broken.
    tolerated: &'static [&'static str],
}

impl Work {
    fn lock(&self) -> MutexGuard<'_, Sent> {
        self.sent.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Reads or changes the record.
    pub fn record<T>(&self, with: impl FnOnce(&mut Sent) -> T) -> T {
        with(&mut self.lock())
    }

    /// Whether everybody is to come to an end.
    pub fn is_over(&self) -> bool {
        self.over.load(Ordering::Acquire)
    }

    /// Something that must not be.
    pub fn fault(&self, says: String) {
        self.record(|sent| sent.faults.push(says));
    }

    /// A ticket was acknowledged that was sent at `began`.
    pub fn acknowledge(&self, name: &Name, id: TicketId, replayed: bool, began: Instant) {
        self.record(|sent| sent.acknowledge(name, id, replayed));
        self.progress.send_modify(|progress| {
            progress.acknowledged += 1;
            progress.latest_sent = progress.latest_sent.max(began);
        });
    }

    /// Whether what was answered tells to come back. Anything else would send a tablet the wrong way, and is a fault.
    pub fn will_pass(&self, answer: &Answer, what: &str) -> bool {
        match answer {
            Answer::Done { .. } => true,
            Answer::Ended(how) => {
                self.record(|sent| sent.ended(how));
                true
            }
            Answer::Refused { status: 503, code, says_when, .. } => {
                if !says_when {
                    self.fault(format!("{what}: 503 {code} does not say when to come back"));
                }
                self.record(|sent| sent.ended(&format!("503 {code}")));
                true
            }
            Answer::Refused { status, code, .. } if self.tolerated.contains(&code.as_str()) => {
                self.record(|sent| sent.ended(&format!("{status} {code}")));
                true
            }
            Answer::Refused { status, code, detail, .. } => {
                self.fault(format!("{what}: {status} {code}: {detail}"));
                false
            }
            Answer::Strange(says) => {
                self.fault(format!("{what}: an answer that is none of the service's: {says}"));
                false
            }
        }
    }

    /// The same for an error of the client.
    pub fn error_will_pass(&self, error: &ClientError, what: &str) -> bool {
        let answer = match error {
            ClientError::Unreachable(_) => Answer::Ended("connection ended".to_owned()),
            ClientError::Refused(problem) => Answer::Refused {
                status: problem.status,
                code: problem.code.text().to_owned(),
                detail: problem.detail.clone(),
                // The client does not hand out the header; writers look at it.
                says_when: true,
            },
            ClientError::NotUnderstood { .. } => Answer::Strange(error.to_string()),
        };
        self.will_pass(&answer, what)
    }

    /// How far the work has come.
    pub fn progress(&self) -> Progress {
        *self.progress.borrow()
    }

    /// Waits until so many more were acknowledged, or until a time has passed; answers whether they were.
    pub async fn until_acknowledged(&self, more: u64, at_most: Duration) -> bool {
        let enough = self.progress().acknowledged + more;
        let mut seen = self.progress.subscribe();
        let waiting = seen.wait_for(|now| now.acknowledged >= enough);
        tokio::time::timeout(at_most, waiting).await.is_ok()
    }

    /// Waits until something that was sent after `moment` is acknowledged, and answers how long after it that was.
    pub async fn recovered_since(&self, moment: Instant) -> Option<Duration> {
        let mut seen = self.progress.subscribe();
        let waiting = seen.wait_for(|now| now.latest_sent >= moment);
        let recovered = tokio::time::timeout(LONGEST, waiting).await.is_ok();
        recovered.then(|| moment.elapsed())
    }
}

/// Everybody at work.
#[derive(Debug)]
pub struct Crowd {
    /// What they share.
    pub work: Arc<Work>,
    tasks: JoinSet<()>,
    chance: Chance,
}

impl Crowd {
    /// Nobody yet. `tolerated` are codes beside those of 503 that are answered with good reason.
    pub fn of(outfit: Outfit, tolerated: &'static [&'static str], chance: Chance) -> Self {
        let (progress, _) = watch::channel(Progress { acknowledged: 0, latest_sent: Instant::now() });
        let work = Work {
            outfit,
            sent: Mutex::default(),
            progress,
            over: AtomicBool::new(false),
            closing: AtomicBool::new(false),
            week: AtomicU32::new(0),
            tolerated,
        };
        Self { work: Arc::new(work), tasks: JoinSet::new(), chance }
    }

    /// Writers who post single tickets and correct some, at each of these addresses in turn. `book` tells them from others.
    pub fn writers(&mut self, book: &str, count: usize, addresses: &[String]) -> anyhow::Result<()> {
        for (number, address) in (1..=count).zip(addresses.iter().cycle()) {
            let sender = Sender::new(address, &self.work.outfit.token)?;
            let book = format!("{book} {number}");
            self.tasks.spawn(writer::write(self.work.clone(), sender, book, self.chance.split()));
        }
        Ok(())
    }

    /// Somebody who sends many tickets in one request, again and again.
    pub fn bulk(&mut self, book: &str, address: &str) -> anyhow::Result<()> {
        let sender = Sender::new(address, &self.work.outfit.token)?;
        self.tasks.spawn(bulk::send(self.work.clone(), sender, book.to_owned(), self.chance.split()));
        Ok(())
    }

    /// The bookkeeper, who posts one week after the other.
    pub fn bookkeeper(&mut self, address: &str) -> anyhow::Result<()> {
        let client = client::Client::new(address, Some(self.work.outfit.token.clone()))?;
        self.tasks.spawn(bookkeeper::keep(self.work.clone(), client));
        Ok(())
    }

    /// An auditor, who reads and adds up.
    pub fn auditor(&mut self, address: &str) -> anyhow::Result<()> {
        let client = client::Client::new(address, Some(self.work.outfit.token.clone()))?;
        self.tasks.spawn(auditor::read(self.work.clone(), client, self.chance.split()));
        Ok(())
    }

    /// The usual ones: four writers, one with many tickets, a bookkeeper and an auditor.
    pub fn everybody(&mut self, addresses: &[String]) -> anyhow::Result<()> {
        let at = |place: usize| addresses.iter().cycle().nth(place).map(String::as_str).unwrap_or_default();
        self.writers("Yard", 4, addresses)?;
        self.bulk("Import", at(0))?;
        self.bookkeeper(at(1))?;
        self.auditor(at(2))
    }

    /// Lets everybody finish what is begun, and tells what was sent. What is to serve must be up.
    pub async fn finish(&mut self, report: &mut Report) {
        self.work.over.store(true, Ordering::Release);
        while let Some(ended) = self.tasks.join_next().await {
            if let Err(error) = ended {
                report.fault(format!("somebody at work failed: {error}"));
            }
        }
        self.work.record(|sent| {
            let corrections = sent.corrections().len();
            report.row("tickets sent", format!("{}, {corrections} of them corrections", sent.tickets.len()));
            let told =
                format!("{}, {} of them of what was there before", sent.acknowledgements, sent.replays);
            report.row("acknowledgements", told);
            let posted = sent.postings.values().filter(|(_, acknowledged)| *acknowledged).count();
            report.row("weeks posted under load", posted);
            report.row("not acknowledged, sent again", sent.endings_told());
            report.faults.append(&mut sent.faults);
        });
    }
}
