//! A request and what came of it, as bare as it is on the wire.

use std::time::Duration;

use reqwest::header::{AUTHORIZATION, CONTENT_TYPE, RETRY_AFTER};
use serde_json::Value;

/// How long an answer may take before the connection is given up.
const ANSWERING: Duration = Duration::from_secs(30);

/// What came of a request.
#[derive(Debug)]
pub enum Answer {
    /// It was done, now or before.
    Done {
        /// The status.
        status: u16,
        /// The document.
        body: Value,
    },
    /// It was not done, and a problem document says why.
    Refused {
        /// The status.
        status: u16,
        /// The problem's code.
        code: String,
        /// What was wrong this time.
        detail: String,
        /// Whether the answer says when to come back.
        says_when: bool,
    },
    /// The connection ended, or was given up, before there was a whole answer.
    Ended(String),
    /// An answer of another form than the service's.
    Strange(String),
}

/// Somebody who sends requests to one address.
#[derive(Clone, Debug)]
pub struct Sender {
    http: reqwest::Client,
    address: String,
    token: String,
}

impl Sender {
    /// A sender with connections of its own.
    pub fn new(address: &str, token: &str) -> anyhow::Result<Self> {
        let http = reqwest::Client::builder()
            .no_proxy()
            .tls_certs_only([])
            .connect_timeout(Duration::from_secs(5))
            .build()?;
        Ok(Self { http, address: address.to_owned(), token: token.to_owned() })
    }

    /// A request, for whoever reads the answer by himself.
    pub fn request(&self, path: &str, media_type: &str, body: String) -> reqwest::RequestBuilder {
        let request = self.http.post(format!("{}{path}", self.address)).header(CONTENT_TYPE, media_type);
        request.header(AUTHORIZATION, format!("Bearer {}", self.token)).body(body)
    }

    /// Sends a document, once.
    pub async fn post(&self, path: &str, body: &Value) -> Answer {
        let request = self.request(path, "application/json", body.to_string()).timeout(ANSWERING);
        match request.send().await {
            Ok(response) => read(response).await,
            Err(error) => Answer::Ended(kind_of(&error)),
        }
    }
}

/// Reads a whole answer.
pub async fn read(response: reqwest::Response) -> Answer {
    let status = response.status();
    let says_when = response.headers().contains_key(RETRY_AFTER);
    let bytes = match response.bytes().await {
        Ok(bytes) => bytes,
        Err(error) => return Answer::Ended(kind_of(&error)),
    };
    let Ok(body) = serde_json::from_slice::<Value>(&bytes) else {
        let text: String = String::from_utf8_lossy(&bytes).chars().take(120).collect();
        return Answer::Strange(format!("status {status}: {text}"));
    };
    if status.is_success() {
        return Answer::Done { status: status.as_u16(), body };
    }
    let text = |member: &str| body.get(member).and_then(Value::as_str).map(str::to_owned);
    match text("code") {
        Some(code) => Answer::Refused {
            status: status.as_u16(),
            code,
            detail: text("detail").unwrap_or_default(),
            says_when,
        },
        None => Answer::Strange(format!("status {status}: {body}")),
    }
}

/// How a connection ended, in a word or two.
pub fn kind_of(error: &reqwest::Error) -> String {
    if error.is_connect() {
        "no connection".to_owned()
    } else if error.is_timeout() {
        "no answer in time".to_owned()
    } else {
        "connection ended".to_owned()
    }
}
