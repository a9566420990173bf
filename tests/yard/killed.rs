//! The outbox killed at random moments, with a signal that comes and goes: whatever was confirmed is in the books at last,
//! exactly once.
//!
//! A plain run takes some seconds. `SKIDWAY_OUTBOX_SECONDS=600` takes longer; `SKIDWAY_OUTBOX_SEED` is for a run that
//! failed, whose seed is printed: the order of what is done is then the same, the moments of the kills nearly so.

use std::collections::{BTreeMap, BTreeSet};
use std::io::{Read, Write};
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use client::outbox::{Filing, Key, Outbox, Owner, Place};
use kernel::{SystemClock, SystemEntropy};
use serde_json::{Value, json};
use tests::{log, ticket};

use crate::dialogue::Yard;
use crate::signal::Signal;

/// How long a plain run goes on killing.
const SECONDS: u64 = 15;

/// A small generator of chance (xorshift by G. Marsaglia, 2003; from memory): all that matters is that it can be repeated.
struct Chance(u64);

impl Chance {
    fn below(&mut self, most: u64) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0 % most
    }

    fn one_of(&mut self, choices: &[u64]) -> u64 {
        let count = u64::try_from(choices.len()).expect("few");
        choices[usize::try_from(self.below(count)).expect("few")]
    }
}

fn asked(name: &str, otherwise: u64) -> u64 {
    std::env::var(name).ok().map_or(otherwise, |text| text.parse().expect("a number"))
}

/// A yard, its outbox, and what was promised.
struct Trial {
    yard: Yard,
    signal: Signal,
    token: String,
    chance: Chance,
    /// The tickets by number, whatever became of them.
    made: BTreeMap<u64, Value>,
    /// Those of them that skid confirmed.
    confirmed: BTreeSet<u64>,
    /// Charges that were confirmed, by what they say.
    charges: BTreeSet<String>,
    worker: String,
    kills: u32,
}

impl Trial {
    fn new(seed: u64) -> Self {
        let yard = Yard::new();
        let worker = yard.outfit.manager.get("/v1/workers").expect(200)["items"][0]["worker_id"].clone();
        Self {
            signal: Signal::to(yard.app.address),
            // Somebody who may post tickets and file charges.
            token: yard.token_of(wire::Role::Bookkeeper, "Office"),
            chance: Chance(seed),
            made: BTreeMap::new(),
            confirmed: BTreeSet::new(),
            charges: BTreeSet::new(),
            worker: worker.as_str().expect("an id").to_owned(),
            kills: 0,
            yard,
        }
    }

    fn service(&self) -> String {
        format!("http://{}", self.signal.address)
    }

    fn start(&self, words: &[&str], input: &str) -> Child {
        let mut child = Command::new(tests::skid())
            .args(words)
            .env("SKID_SERVICE", self.service())
            .env("SKID_TOKEN", &self.token)
            .env("SKID_HOME", self.yard.home())
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .expect("skid can be started");
        let _written = child.stdin.take().expect("a pipe").write_all(input.as_bytes());
        child
    }

    /// One thing after another, at random.
    fn round(&mut self) {
        let (is_there, loses) = (self.chance.below(3) > 0, self.chance.one_of(&[0, 2, 3]));
        self.signal.set(is_there, loses);
        let child = match self.chance.below(6) {
            0 => self.start(&["outbox", "send"], ""),
            1 => {
                self.charge();
                self.start(&["outbox", "send", "--json"], "")
            }
            _ => {
                let tickets: Vec<_> = (0..=self.chance.below(3)).map(|_| self.ticket().to_string()).collect();
                self.start(&["ticket", "post", "-"], &tickets.join("\n"))
            }
        };
        let out = self.killed_perhaps(child);
        for line in out.lines() {
            self.hear(line);
        }
    }

    /// A ticket that was not there before, or one that was, posted again.
    fn ticket(&mut self) -> Value {
        let again = u64::try_from(self.made.len()).expect("few");
        let number =
            if again > 0 && self.chance.below(4) == 0 { self.chance.below(again) + 1 } else { again + 1 };
        let sticks: Vec<_> = (0..=number % 5).map(|at| log(&(10 + at).to_string(), "16")).collect();
        let made = ticket(&self.yard.outfit, u32::try_from(number).expect("few"), "2026-06-10", &sticks);
        self.made.insert(number, made.clone());
        made
    }

    /// A charge, which does not name itself: only its key keeps it from being filed twice.
    fn charge(&mut self) {
        let says = format!("saw file {}", self.charges.len());
        let owner = Owner::of(&self.service(), Some(&self.token));
        let filing = Filing {
            operation: "file_charge".to_owned(),
            path: "/v1/charges".to_owned(),
            body: json!({"worker_id": self.worker, "dated": "2026-06-10", "kind": "tools", "says": says, "amount": "0.60"}),
            key: Key::new(&SystemEntropy),
            says: says.clone(),
            stamp: None,
            follows: None,
        };
        let outbox = Outbox::at(&self.yard.home().join("outbox")).expect("the outbox opens");
        let _kept = outbox.keep(filing, &owner, &SystemClock).expect("it is kept");
        self.charges.insert(says);
    }

    /// Kills it after a random while, most of the time; answers with what it had said.
    fn killed_perhaps(&mut self, mut child: Child) -> String {
        if self.chance.below(8) > 0 {
            // Most of what happens, happens soon.
            let longest = self.chance.one_of(&[8_000, 40_000, 150_000, 600_000]);
            std::thread::sleep(Duration::from_micros(self.chance.below(longest)));
            child.kill().expect("SIGKILL is sent");
            self.kills += 1;
        }
        let mut out = String::new();
        child.stdout.take().expect("a pipe").read_to_string(&mut out).expect("text");
        let _status = child.wait().expect("it ends");
        out
    }

    /// What a line confirms: a ticket that was kept or accepted.
    fn hear(&mut self, line: &str) {
        let Some((name, said)) = line.split_once(": ") else { return };
        let number = name.strip_prefix("A ").or_else(|| name.strip_prefix("ticket A ")?.split(',').next());
        let Some(number) = number.and_then(|number| number.parse().ok()) else { return };
        let confirms =
            ["kept", "accepted", "was there already", "sent"].iter().any(|word| said.starts_with(word));
        assert!(confirms, "nothing is wrong with any ticket: {line}");
        self.confirmed.insert(number);
    }

    /// The signal is good again, and everything is sent.
    fn send_all(&mut self) {
        self.signal.set(true, 0);
        for _ in 0..3 {
            let mut child = self.start(&["outbox", "send"], "");
            let _status = child.wait();
        }
        let outbox = Outbox::at(&self.yard.home().join("outbox")).expect("the outbox opens");
        for place in [Place::Waiting, Place::Refused, Place::Dropped] {
            let left = outbox.entries(place).expect("every file can be read");
            assert!(left.is_empty(), "{place}: {left:#?}");
        }
    }

    fn check(&self) {
        let mut found: BTreeMap<u64, Value> = BTreeMap::new();
        let mut path = "/v1/tickets?limit=500".to_owned();
        loop {
            let listed = self.yard.outfit.contractor.get(&path).expect(200);
            for view in listed["items"].as_array().expect("tickets") {
                let number = view["ticket"]["number"].as_u64().expect("a number");
                assert!(found.insert(number, view["ticket"].clone()).is_none(), "{number} is there twice");
            }
            match listed["next"].as_str() {
                Some(next) => path = format!("/v1/tickets?limit=500&after={next}"),
                None => break,
            }
        }
        for number in &self.confirmed {
            assert!(found.contains_key(number), "ticket {number} was confirmed, and is lost");
        }
        for (number, there) in &found {
            assert_eq!(there["pieces"], self.made[number]["pieces"], "ticket {number}");
        }
        let charges = self.yard.outfit.bookkeeper.get("/v1/charges?limit=500").expect(200);
        let mut says: Vec<_> =
            charges["items"].as_array().expect("charges").iter().map(|one| one["says"].to_string()).collect();
        says.sort_unstable();
        let mut expected: Vec<_> = self.charges.iter().map(|says| format!("{says:?}")).collect();
        expected.sort_unstable();
        assert_eq!(says, expected, "every charge once");
    }
}

#[test]
fn whatever_was_confirmed_is_in_the_books_exactly_once() {
    let now = std::time::SystemTime::UNIX_EPOCH.elapsed().expect("a time").as_nanos();
    let seed = asked("SKIDWAY_OUTBOX_SEED", u64::try_from(now % 1_000_000_007).expect("it fits") + 1);
    let seconds = asked("SKIDWAY_OUTBOX_SECONDS", SECONDS);
    println!("SKIDWAY_OUTBOX_SEED={seed}");
    let mut trial = Trial::new(seed);
    let _built = tests::skid();
    let (since, mut rounds) = (Instant::now(), 0);
    while since.elapsed() < Duration::from_secs(seconds) {
        trial.round();
        rounds += 1;
    }
    trial.send_all();
    trial.check();
    println!(
        "{rounds} rounds, {} kills, {} tickets made, {} confirmed, {} charges",
        trial.kills,
        trial.made.len(),
        trial.confirmed.len(),
        trial.charges.len()
    );
    assert!(trial.kills > 5 && trial.confirmed.len() > 5, "too little was tried");
}
