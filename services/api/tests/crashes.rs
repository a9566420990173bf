//! Crashes: the service or its Postgres is killed at random moments while several writers post tickets and send them again
//! until they are answered. Afterwards every ticket that was answered is there once, none twice, and the books balance.
//!
//! The real program with its private database in a directory, a dozen seconds long. Longer, or the same again:
//!
//! ```text
//! SKIDWAY_CRASH_SECONDS=600 SKIDWAY_CRASH_SEED=7 cargo test -p api --test crashes -- --nocapture
//! ```
#![expect(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    reason = "a step of a test that cannot be taken has failed the test"
)]

mod crashing;

use std::collections::BTreeMap;
use std::sync::Mutex;
use std::sync::atomic::{AtomicBool, AtomicU32, Ordering};
use std::time::{Duration, Instant};

use client::{Client, ClientError, Patience, TicketQuery, all_pages};
use serde_json::{Value, json};
use wire::{Code, TicketCreate};

use crashing::{Chance, Ground};

/// People who post at the same time.
const WRITERS: usize = 4;
/// Answers that must have come since one crash before the next.
const BETWEEN: u32 = 8;
/// How long a ticket may take until it is answered, crashes and all.
const LONGEST: Duration = Duration::from_secs(60);

fn form<T: serde::de::DeserializeOwned>(value: Value) -> T {
    serde_json::from_value(value).unwrap()
}

fn block_on<T>(future: impl Future<Output = T>) -> T {
    tokio::runtime::Builder::new_current_thread().enable_all().build().unwrap().block_on(future)
}

/// The same ticket, whoever sends it and how often.
fn ticket(outfit: &Outfit, number: u32) -> TicketCreate {
    let pole = json!({"product": "pole", "species": "cedar", "length_ft": "35"});
    let mut ticket = outfit.ticket.clone();
    ticket["number"] = Value::from(number);
    ticket["pieces"] = Value::from(vec![pole; 2]);
    form(ticket)
}

/// An outfit that pays its crew a dollar a pole.
struct Outfit {
    manager: Client,
    /// A ticket without its number and pieces.
    ticket: Value,
}

impl Outfit {
    fn open(ground: &Ground) -> Self {
        let operator = Client::new(&ground.address(), Some(ground.token(&["operator"]))).unwrap();
        block_on(async {
            let outfit = json!({"name": "Invented outfit", "currency": "USD", "time_zone": "UTC", "week_ends_on": "saturday"});
            let outfit = operator.open_outfit(&form(outfit)).await.unwrap().outfit_id.to_string();
            let token = ground.token(&["manager", "--outfit", &outfit, "--subject", "manager"]);
            let manager = Client::new(&ground.address(), Some(token)).unwrap();
            let named = |name: &str| json!({"name": name});
            let job = manager.file_job(&form(named("Invented tract"))).await.unwrap().job_id;
            let landing = manager.file_landing(job, &form(named("North landing"))).await.unwrap().landing_id;
            let worker = manager.file_worker(&form(named("Sawyer"))).await.unwrap().worker_id;
            let crew = manager.file_crew(&form(named("Crew"))).await.unwrap().crew_id;
            let shares =
                json!({"effective_from": "2026-06-01", "shares": [{"worker_id": worker, "parts": "1"}]});
            manager.file_share_set(crew, &form(shares)).await.unwrap();
            let rate =
                json!({"name": "poles", "task": "felling", "product": "pole", "unit": "piece", "price": "1"});
            let terms = json!({"effective_from": "2026-06-01", "practice": {}, "rates": [rate]});
            let contract =
                json!({"title": "Felling", "job_id": job, "party": {"crew_id": crew}, "terms": terms});
            manager.file_contract(&form(contract)).await.unwrap();
            let ticket = json!({"book": "A", "job_id": job, "landing_id": landing, "scaled_on": "2026-06-03",
                                "scaler": "Yard scaler", "work": [{"task": "felling", "crew_id": crew}]});
            Self { manager, ticket }
        })
    }
}

/// What the writers share.
struct Writing<'a> {
    outfit: &'a Outfit,
    /// Every number is given out twice: two writers send the same ticket, perhaps at once.
    next: AtomicU32,
    over: AtomicBool,
    /// The id that was answered for each number.
    answered: Mutex<BTreeMap<u32, String>>,
    tries: AtomicU32,
    answers: AtomicU32,
}

impl Writing<'_> {
    fn write(&self, mut chance: Chance) {
        let client = self.outfit.manager.clone().with_patience(Patience::NONE);
        block_on(async {
            while !self.over.load(Ordering::Acquire) {
                let number = self.next.fetch_add(1, Ordering::AcqRel) / 2 + 1;
                self.post(&client, number).await;
                if chance.one_in(4) {
                    // Nobody was told that it was answered: it is sent again.
                    self.post(&client, number).await;
                }
            }
        });
    }

    async fn post(&self, client: &Client, number: u32) {
        let ticket = ticket(self.outfit, number);
        let began = Instant::now();
        loop {
            self.tries.fetch_add(1, Ordering::Relaxed);
            match client.post_ticket(&ticket).await {
                Ok(posted) => {
                    let id = posted.ticket.ticket_id.to_string();
                    let mut answered = self.answered.lock().unwrap();
                    let first = answered.entry(number).or_insert_with(|| id.clone());
                    assert_eq!(*first, id, "ticket {number} is in the books twice");
                    self.answers.fetch_add(1, Ordering::AcqRel);
                    return;
                }
                Err(error) => {
                    self.will_pass(&error, number);
                    assert!(began.elapsed() < LONGEST, "ticket {number} is not answered: {error}");
                }
            }
            tokio::time::sleep(Duration::from_millis(20)).await;
        }
    }

    /// A crash is told as what it is: come back later. Anything else would send a tablet the wrong way.
    fn will_pass(&self, error: &ClientError, number: u32) {
        let passes = match error {
            ClientError::Unreachable(_) => true,
            ClientError::Refused(problem) => matches!(problem.code, Code::Unavailable | Code::Overloaded),
            ClientError::NotUnderstood { .. } => false,
        };
        assert!(passes, "ticket {number}: {error:?}");
    }
}

#[test]
fn what_was_answered_is_there_once_and_nothing_twice() {
    let number = |name: &str, usual: u64| std::env::var(name).map_or(usual, |text| text.parse().unwrap());
    let (seconds, seed) = (number("SKIDWAY_CRASH_SECONDS", 12), number("SKIDWAY_CRASH_SEED", 2026));
    println!("crashing for {seconds} seconds with the seed {seed}");
    let mut ground = Ground::new();
    let outfit = Outfit::open(&ground);
    let writing = Writing {
        outfit: &outfit,
        next: AtomicU32::new(0),
        over: AtomicBool::new(false),
        answered: Mutex::default(),
        tries: AtomicU32::new(0),
        answers: AtomicU32::new(0),
    };
    let mut chance = Chance(seed);
    let mut crashes = [0; 3];
    std::thread::scope(|scope| {
        let writers: Vec<_> = (0..WRITERS)
            .map(|_| {
                let (chance, writing) = (Chance(chance.next()), &writing);
                scope.spawn(move || writing.write(chance))
            })
            .collect();
        let began = Instant::now();
        // A writer ends before it is told to only by a failure.
        let failed = || writers.iter().any(std::thread::ScopedJoinHandle::is_finished);
        while (began.elapsed() < Duration::from_secs(seconds) || crashes.contains(&0)) && !failed() {
            // Between two crashes the work goes on: a machine that is slow to recover is given the time.
            let before = writing.answers.load(Ordering::Acquire);
            while writing.answers.load(Ordering::Acquire) < before + BETWEEN && !failed() {
                std::thread::sleep(Duration::from_millis(5));
            }
            std::thread::sleep(Duration::from_millis(chance.next() % 600));
            // Each kind comes, and then chance decides.
            let kind = crashes.iter().position(|count| *count == 0);
            let kind = kind.unwrap_or_else(|| usize::try_from(chance.next() % 3).unwrap());
            crashes[kind] += u32::from(ground.crash(kind));
        }
        writing.over.store(true, Ordering::Release);
    });
    ground.start_if_down();
    let answered = writing.answered.into_inner().unwrap();
    let (tickets, tries) = (answered.len(), writing.tries.into_inner());
    println!("{crashes:?} crashes of service, Postgres, one backend; {tickets} tickets in {tries} tries");
    assert!(tickets > 0, "the writers got nowhere");
    block_on(check(&outfit, &answered));
    ground.stop();
}

/// Every answered ticket once, whole, with its pay; no other; and the week's books in balance.
async fn check(outfit: &Outfit, answered: &BTreeMap<u32, String>) {
    let manager = &outfit.manager;
    let listed = all_pages(async |after| {
        manager.list_tickets(&TicketQuery { after, limit: Some(500), ..TicketQuery::default() }).await
    });
    let listed = listed.await.unwrap();
    let kept: BTreeMap<u32, String> =
        listed.iter().map(|one| (one.ticket.number, one.ticket_id.to_string())).collect();
    assert_eq!(listed.len(), kept.len(), "a number is in the books twice");
    assert_eq!(kept, *answered);
    let poles = answered.len() * 2;
    let week = json!({"week_ends_on": "2026-06-06"});
    let draft = manager.draft_settlement(&form(week)).await.unwrap();
    manager.post_settlement(draft.settlement_id).await.unwrap();
    let balance = manager.show_trial_balance(None).await.unwrap();
    assert_eq!(balance.debits, balance.credits);
    let owed = manager.list_balances(None).await.unwrap().owed_to_workers;
    assert_eq!(json!(owed)["amount"], format!("{poles}.00"), "a dollar a pole");
}
