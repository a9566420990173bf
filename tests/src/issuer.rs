//! An OpenID Connect issuer on this machine, for one test: it publishes what the test tells it to.

use std::io::{Read, Write};
use std::net::{SocketAddr, TcpListener, TcpStream};
use std::sync::{Arc, Mutex, MutexGuard};
use std::thread::JoinHandle;

use api::http::token_key::{PublicKey, signing_key};
use jsonwebtoken::{Algorithm, EncodingKey, Header};
use serde_json::{Value, json};

/// What the issuer calls the service.
pub const AUDIENCE: &str = "skidway-tests";

/// What it publishes, and how often it was asked.
#[derive(Debug, Default)]
struct Published {
    keys: Vec<Value>,
    discovery: Value,
    /// The whole answer to a question for keys, in place of the keys.
    instead: Option<Vec<u8>>,
    asked: u32,
    over: bool,
}

/// An issuer; stops with the value.
#[derive(Debug)]
pub struct Issuer {
    address: SocketAddr,
    published: Arc<Mutex<Published>>,
    thread: Option<JoinHandle<()>>,
}

/// The key that grows from a number.
fn key(number: u8) -> EncodingKey {
    signing_key(&[number; 32])
}

fn held(published: &Mutex<Published>) -> MutexGuard<'_, Published> {
    published.lock().expect("nobody panics while holding it")
}

impl Issuer {
    /// Starts one that publishes the key of number 1.
    ///
    /// # Panics
    ///
    /// When no port is free.
    #[must_use]
    pub fn start() -> Self {
        let listener = TcpListener::bind("127.0.0.1:0").expect("a port is free");
        let address = listener.local_addr().expect("it was bound");
        let published = Arc::new(Mutex::new(Published::default()));
        let shared = published.clone();
        let thread = std::thread::spawn(move || {
            for stream in listener.incoming() {
                if held(&shared).over {
                    return;
                }
                // Whoever hangs up gets no answer.
                let _broken_off = stream.and_then(|stream| answer(stream, &shared));
            }
        });
        let issuer = Self { address, published, thread: Some(thread) };
        issuer.publish(&[1]);
        let at = issuer.url();
        issuer.discover(json!({"issuer": at, "jwks_uri": format!("{at}/keys")}));
        issuer
    }

    /// Its address, which its tokens say in `iss`.
    #[must_use]
    pub fn url(&self) -> String {
        format!("http://{}", self.address)
    }

    /// Publishes the keys of these numbers; each is named after its number.
    ///
    /// # Panics
    ///
    /// When a key cannot be made.
    pub fn publish(&self, numbers: &[u8]) {
        let public = |number: &u8| {
            let view = PublicKey::of(&key(*number)).expect("a key").view();
            json!({"kty": view.kty, "crv": view.crv, "x": view.x, "use": "sig", "kid": format!("key-{number}")})
        };
        held(&self.published).keys = numbers.iter().map(public).collect();
    }

    /// Publishes these keys as they are.
    pub fn publish_as_they_are(&self, keys: &[Value]) {
        held(&self.published).keys = keys.to_vec();
    }

    /// Publishes this for a discovery document.
    pub fn discover(&self, document: Value) {
        held(&self.published).discovery = document;
    }

    /// Answers questions for keys with these bytes and nothing else.
    pub fn answer_instead(&self, bytes: Option<Vec<u8>>) {
        held(&self.published).instead = bytes;
    }

    /// How often its keys were asked for.
    #[must_use]
    pub fn asked(&self) -> u32 {
        held(&self.published).asked
    }

    /// What it says of somebody at a time, in seconds since 1970.
    #[must_use]
    pub fn claims(&self, subject: &str, now: i64) -> Value {
        json!({"iss": self.url(), "aud": AUDIENCE, "sub": subject, "iat": now, "exp": now + 300})
    }

    /// A token with these claims, signed with the key of this number.
    ///
    /// # Panics
    ///
    /// When it cannot be signed.
    #[must_use]
    pub fn token(&self, number: u8, claims: &Value) -> String {
        let header = Header { kid: Some(format!("key-{number}")), ..Header::new(Algorithm::EdDSA) };
        self.token_under(&header, number, claims)
    }

    /// A token with this header and these claims, signed with the key of this number.
    ///
    /// # Panics
    ///
    /// When it cannot be signed.
    #[must_use]
    pub fn token_under(&self, header: &Header, number: u8, claims: &Value) -> String {
        jsonwebtoken::encode(header, claims, &key(number)).expect("it can be signed")
    }
}

fn answer(mut stream: TcpStream, published: &Mutex<Published>) -> std::io::Result<()> {
    let mut head = Vec::new();
    let mut byte = [0];
    while !head.ends_with(b"\r\n\r\n") && stream.read(&mut byte)? == 1 {
        head.push(byte[0]);
    }
    let asked_for = String::from_utf8_lossy(&head);
    let mut published = held(published);
    let body = if asked_for.starts_with("GET /.well-known/openid-configuration ") {
        published.discovery.to_string()
    } else if asked_for.starts_with("GET /keys ") {
        published.asked += 1;
        if let Some(bytes) = published.instead.clone() {
            drop(published);
            return stream.write_all(&bytes);
        }
        json!({"keys": published.keys}).to_string()
    } else {
        return stream.write_all(b"HTTP/1.1 404 Not Found\r\nContent-Length: 0\r\nConnection: close\r\n\r\n");
    };
    drop(published);
    let length = body.len();
    write!(stream, "HTTP/1.1 200 OK\r\nContent-Length: {length}\r\nConnection: close\r\n\r\n{body}")
}

impl Drop for Issuer {
    fn drop(&mut self) {
        held(&self.published).over = true;
        // The thread waits for somebody to call.
        let _woken = TcpStream::connect(self.address);
        if let Some(thread) = self.thread.take() {
            let _ended = thread.join();
        }
    }
}
