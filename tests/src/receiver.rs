//! A tool that is told of events: a listener on this machine that writes down what it hears.

use std::collections::VecDeque;
use std::io::{Read, Write};
use std::net::{SocketAddr, TcpListener, TcpStream};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex, MutexGuard};
use std::thread::JoinHandle;
use std::time::Duration;

use client::events::{Delivery, ID_HEADER, SIGNATURE_HEADER, Secret, TIMESTAMP_HEADER, verify};
use jiff::Timestamp;
use serde_json::Value;

/// A request as it came in.
#[derive(Clone, Debug)]
pub struct Heard {
    /// The first line.
    pub line: String,
    /// The headers, names in small letters.
    pub headers: Vec<(String, String)>,
    /// The body as it came.
    pub body: Vec<u8>,
}

impl Heard {
    /// A header.
    #[must_use]
    pub fn header(&self, name: &str) -> &str {
        self.headers.iter().find(|(known, _)| known == name).map_or("", |(_, value)| value)
    }

    /// The event's id.
    #[must_use]
    pub fn id(&self) -> &str {
        self.header(ID_HEADER)
    }

    /// The body as JSON.
    ///
    /// # Panics
    ///
    /// When it is none.
    #[must_use]
    pub fn event(&self) -> Value {
        serde_json::from_slice(&self.body).expect("an event is JSON")
    }

    /// The event's type.
    #[must_use]
    pub fn kind(&self) -> String {
        self.event()["type"].as_str().unwrap_or_default().to_owned()
    }

    /// Whether it was signed with this secret, by the client's own check.
    #[must_use]
    pub fn signed_with(&self, secret: &str, now: Timestamp) -> bool {
        let delivery = Delivery {
            id: self.id(),
            timestamp: self.header(TIMESTAMP_HEADER),
            signature: self.header(SIGNATURE_HEADER),
            body: &self.body,
        };
        let secret: Secret = secret.parse().expect("a secret");
        verify(&delivery, &[secret], now).is_ok()
    }
}

#[derive(Default)]
struct Shared {
    heard: Mutex<Vec<Heard>>,
    /// What is answered next, one after the other; 204 when there is nothing left.
    answers: Mutex<VecDeque<String>>,
    /// How long an answer takes.
    pause: Mutex<Duration>,
    over: AtomicBool,
}

fn locked<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(std::sync::PoisonError::into_inner)
}

/// A tool that listens.
pub struct Receiver {
    /// Where it listens.
    pub address: SocketAddr,
    shared: Arc<Shared>,
    thread: Option<JoinHandle<()>>,
}

impl std::fmt::Debug for Receiver {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        formatter.debug_struct("Receiver").field("address", &self.address).finish_non_exhaustive()
    }
}

impl Receiver {
    /// Starts listening on any port of this machine.
    ///
    /// # Panics
    ///
    /// When no port is free.
    #[must_use]
    pub fn start() -> Self {
        let listener = TcpListener::bind("127.0.0.1:0").expect("a port is free");
        let address = listener.local_addr().expect("it was bound");
        let shared = Arc::new(Shared::default());
        let listening = shared.clone();
        let thread = std::thread::spawn(move || {
            for stream in listener.incoming() {
                if listening.over.load(Ordering::Relaxed) {
                    return;
                }
                let shared = listening.clone();
                // Whoever is slow to be answered does not keep another from being heard.
                std::thread::spawn(move || stream.ok().and_then(|stream| hear(stream, &shared)));
            }
        });
        Self { address, shared, thread: Some(thread) }
    }

    /// Its address.
    #[must_use]
    pub fn url(&self) -> String {
        format!("http://{}/skidway", self.address)
    }

    /// What is answered next: a status, perhaps with further lines of a head.
    pub fn will_answer(&self, heads: &[&str]) {
        locked(&self.shared.answers).extend(heads.iter().map(|head| (*head).to_owned()));
    }

    /// How long it takes to answer from now on.
    pub fn takes(&self, pause: Duration) {
        *locked(&self.shared.pause) = pause;
    }

    /// What it heard so far.
    #[must_use]
    pub fn heard(&self) -> Vec<Heard> {
        locked(&self.shared.heard).clone()
    }

    /// The types of what it heard so far.
    #[must_use]
    pub fn kinds(&self) -> Vec<String> {
        self.heard().iter().map(Heard::kind).collect()
    }
}

impl Drop for Receiver {
    fn drop(&mut self) {
        self.shared.over.store(true, Ordering::Relaxed);
        // Wakes the listener.
        drop(TcpStream::connect(self.address));
        if let Some(thread) = self.thread.take() {
            let _ended = thread.join();
        }
    }
}

/// Reads one request and answers it.
fn hear(mut stream: TcpStream, shared: &Shared) -> Option<()> {
    let mut bytes = Vec::new();
    let mut buffer = [0; 4096];
    let (head, length) = loop {
        let read = stream.read(&mut buffer).ok().filter(|read| *read > 0)?;
        bytes.extend_from_slice(buffer.get(..read)?);
        let text = String::from_utf8_lossy(&bytes).into_owned();
        if let Some((head, _)) = text.split_once("\r\n\r\n") {
            let lower = head.to_lowercase();
            let length = lower.lines().find_map(|line| line.strip_prefix("content-length: "));
            let length = length.and_then(|length| length.trim().parse::<usize>().ok()).unwrap_or(0);
            break (head.to_owned(), length);
        }
    };
    let begins = head.len() + 4;
    while bytes.len() < begins + length {
        let read = stream.read(&mut buffer).ok().filter(|read| *read > 0)?;
        bytes.extend_from_slice(buffer.get(..read)?);
    }
    let mut lines = head.lines();
    let line = lines.next().unwrap_or_default().to_owned();
    let headers = lines
        .filter_map(|line| line.split_once(':'))
        .map(|(name, value)| (name.to_lowercase(), value.trim().to_owned()))
        .collect();
    let body = bytes.get(begins..)?.to_vec();
    locked(&shared.heard).push(Heard { line, headers, body });
    let pause = *locked(&shared.pause);
    std::thread::sleep(pause);
    let answer = locked(&shared.answers).pop_front().unwrap_or_else(|| "204 No Content".to_owned());
    let answer = format!("HTTP/1.1 {answer}\r\nContent-Length: 0\r\nConnection: close\r\n\r\n");
    stream.write_all(answer.as_bytes()).ok()
}
