//! One request and its answer: sending, trying again where that is harmless, reading what came back.

use std::time::Duration;

use reqwest::header::{AUTHORIZATION, CONTENT_TYPE, RETRY_AFTER};
use reqwest::{Method, Request, RequestBuilder, StatusCode};
use serde::Serialize;
use serde::de::DeserializeOwned;
use wire::Problem;

use crate::error::innermost;
use crate::{Client, ClientError, Unreachable};

/// The header that tells a repeat from another request (the IETF's draft of the Idempotency-Key header field).
const KEY_HEADER: &str = "Idempotency-Key";

/// How long a request of many tickets may take.
const WORKING: Duration = Duration::from_secs(60 * 60);

/// Whether a request may be sent twice.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Repeat {
    /// Sending it twice does what sending it once does.
    Harmless,
    /// Sending it twice could do it twice, were it not for the key that it carries.
    Keyed,
    /// Sending it twice could do it twice, or find a secret used that was good once.
    Never,
}

/// An answer that was read, and whether the service had done it before.
#[derive(Debug)]
pub(crate) struct Answered<T> {
    pub(crate) body: T,
    pub(crate) replayed: bool,
}

/// What came of sending a request once.
enum Attempt {
    Answer { status: StatusCode, asked_to_wait: Option<Duration>, body: Vec<u8> },
    Nothing { cause: String, perhaps_done: bool },
}

impl Attempt {
    /// Whether the service, or something between it and us, was not there to do it, or asked for a pause first.
    fn nobody_there(&self) -> bool {
        match self {
            // The service asks to wait where the same request is still being worked on.
            Self::Answer { status, asked_to_wait, .. } => {
                matches!(status.as_u16(), 429 | 502..=504)
                    || (*status == StatusCode::CONFLICT && asked_to_wait.is_some())
            }
            Self::Nothing { .. } => true,
        }
    }

    fn asked_to_wait(&self) -> Option<Duration> {
        match self {
            Self::Answer { asked_to_wait, .. } => *asked_to_wait,
            Self::Nothing { .. } => None,
        }
    }
}

impl Client {
    /// Reads something.
    pub(crate) async fn get<T: DeserializeOwned>(&self, path: &str) -> Result<T, ClientError> {
        self.get_with(path, &()).await
    }

    /// Reads something with values in the query.
    pub(crate) async fn get_with<T, Q>(&self, path: &str, query: &Q) -> Result<T, ClientError>
    where
        T: DeserializeOwned,
        Q: Serialize + ?Sized,
    {
        let request = self.request(Method::GET, path).query(query);
        Ok(self.exchange(request, Repeat::Harmless).await?.body)
    }

    /// Reads bytes, whatever their media type, with values in the query.
    pub(crate) async fn get_bytes(
        &self,
        path: &str,
        query: &(impl Serialize + ?Sized),
    ) -> Result<Vec<u8>, ClientError> {
        let request = self.request(Method::GET, path).query(query);
        Ok(self.succeed(request, Repeat::Harmless).await?.1)
    }

    /// Reads a text, whatever its media type, with values in the query.
    pub(crate) async fn get_text(
        &self,
        path: &str,
        query: &(impl Serialize + ?Sized),
    ) -> Result<String, ClientError> {
        let request = self.request(Method::GET, path).query(query);
        let (status, body) = self.succeed(request, Repeat::Harmless).await?;
        String::from_utf8(body).map_err(|error| self.not_understood(status, &error.to_string()))
    }

    /// Sends something to be done or filed.
    pub(crate) async fn post<T, B>(
        &self,
        path: &str,
        body: &B,
        repeat: Repeat,
    ) -> Result<Answered<T>, ClientError>
    where
        T: DeserializeOwned,
        B: Serialize,
    {
        let request = self.request(Method::POST, path).json(body);
        let request = match repeat {
            Repeat::Harmless | Repeat::Never => request,
            Repeat::Keyed => request.header(KEY_HEADER, self.new_key()),
        };
        self.exchange(request, repeat).await
    }

    /// Sends what was kept, with the key it was kept with; a body without one names itself.
    pub(crate) async fn post_kept(
        &self,
        path: &str,
        body: &serde_json::Value,
        key: Option<&str>,
    ) -> Result<Answered<serde_json::Map<String, serde_json::Value>>, ClientError> {
        let request = self.request(Method::POST, path).json(body);
        let request = match key {
            Some(key) => request.header(KEY_HEADER, key),
            None => request,
        };
        self.exchange(request, Repeat::Harmless).await
    }

    /// Sends something else than JSON that may be sent twice; there may be much of it, so the service gets the time it
    /// takes.
    pub(crate) async fn post_as(
        &self,
        path: &str,
        body: Vec<u8>,
        media_type: &str,
    ) -> Result<Vec<u8>, ClientError> {
        let request = self.request(Method::POST, path).header(CONTENT_TYPE, media_type).timeout(WORKING);
        Ok(self.succeed(request.body(body), Repeat::Harmless).await?.1)
    }

    /// That an answer of the right status cannot be read.
    pub(crate) fn unreadable(&self, error: &serde_json::Error) -> ClientError {
        self.not_understood(StatusCode::OK, &error.to_string())
    }

    /// That an answer has no end.
    pub(crate) fn cut_off(&self) -> ClientError {
        self.not_understood(StatusCode::OK, "the answer was cut off; sending all of it again does no harm")
    }

    /// That something cannot be sent.
    pub(crate) fn unwritable(&self, error: &serde_json::Error) -> ClientError {
        self.unreachable(0, error.to_string(), false)
    }

    /// Puts something into a state; being there already is no harm.
    pub(crate) async fn put<T: DeserializeOwned>(&self, path: &str) -> Result<Answered<T>, ClientError> {
        self.exchange(self.request(Method::PUT, path), Repeat::Harmless).await
    }

    /// A key that no other request carries (the String item of RFC 9651).
    fn new_key(&self) -> String {
        let mut bytes = [0; 16];
        self.entropy.fill(&mut bytes);
        format!("\"{}\"", kernel::hexadecimal(&bytes))
    }

    fn request(&self, method: Method, path: &str) -> RequestBuilder {
        let mut request = self.http.request(method, format!("{}{path}", self.service()));
        if let Some((parent, state)) = &self.trace {
            request = request.header("traceparent", parent.to_string());
            if !state.as_str().is_empty() {
                request = request.header("tracestate", state.as_str());
            }
        }
        if let Some((pass, address)) = &self.behalf {
            request = request.header(crate::DESK_PASS, pass.clone());
            request = request.header("x-forwarded-for", address.clone());
        }
        match &self.authorization {
            Some(value) => request.header(AUTHORIZATION, value.clone()),
            None => request,
        }
    }

    async fn exchange<T: DeserializeOwned>(
        &self,
        request: RequestBuilder,
        repeat: Repeat,
    ) -> Result<Answered<T>, ClientError> {
        let (status, body) = self.succeed(request, repeat).await?;
        let body =
            serde_json::from_slice(&body).map_err(|error| self.not_understood(status, &error.to_string()))?;
        // New records are answered 201; what was there already, and what is only read, 200.
        Ok(Answered { body, replayed: status == StatusCode::OK })
    }

    /// The status and the body of an answer that says all is well.
    async fn succeed(
        &self,
        request: RequestBuilder,
        repeat: Repeat,
    ) -> Result<(StatusCode, Vec<u8>), ClientError> {
        let request = request.build().map_err(|error| self.unreachable(0, innermost(&error), false))?;
        let mut tries = 1;
        loop {
            // Bodies are held in memory, so a copy is always there to be had.
            let copy = request.try_clone().filter(|_| repeat != Repeat::Never);
            let Some(copy) = copy else {
                return self.read(self.once(request).await, tries, repeat);
            };
            let attempt = self.once(copy).await;
            let pause = self.patience.pause_after(tries, attempt.asked_to_wait());
            match pause.filter(|_| attempt.nobody_there()) {
                None => return self.read(attempt, tries, repeat),
                Some(pause) => tokio::time::sleep(pause).await,
            }
            tries += 1;
        }
    }

    async fn once(&self, request: Request) -> Attempt {
        let nothing = |error: reqwest::Error| Attempt::Nothing {
            cause: innermost(&error),
            perhaps_done: !error.is_connect(),
        };
        let response = match self.http.execute(request).await {
            Ok(response) => response,
            Err(error) => return nothing(error),
        };
        let status = response.status();
        let header = response.headers().get(RETRY_AFTER).and_then(|value| value.to_str().ok());
        let asked_to_wait = header.and_then(|seconds| seconds.parse().ok()).map(Duration::from_secs);
        match response.bytes().await {
            Ok(body) => Attempt::Answer { status, asked_to_wait, body: body.into() },
            Err(error) => nothing(error),
        }
    }

    fn read(
        &self,
        attempt: Attempt,
        tries: u32,
        repeat: Repeat,
    ) -> Result<(StatusCode, Vec<u8>), ClientError> {
        let (status, body) = match attempt {
            Attempt::Answer { status, body, .. } => (status, body),
            Attempt::Nothing { cause, perhaps_done } => {
                return Err(self.unreachable(tries, cause, perhaps_done && repeat != Repeat::Harmless));
            }
        };
        if status.is_success() {
            return Ok((status, body));
        }
        match serde_json::from_slice::<Problem>(&body) {
            Ok(problem) => Err(ClientError::Refused(Box::new(problem))),
            Err(_) => Err(self.not_understood(status, &on_one_line(&body))),
        }
    }

    fn unreachable(&self, tries: u32, cause: String, perhaps_done: bool) -> ClientError {
        let service = self.service().to_owned();
        ClientError::Unreachable(Unreachable { service, tries, cause, perhaps_done })
    }

    /// Whatever answered may have sent the token back; it is taken out.
    fn not_understood(&self, status: StatusCode, says: &str) -> ClientError {
        let header = self.authorization.as_ref().and_then(|value| value.to_str().ok());
        let token = header.and_then(|text| text.strip_prefix("Bearer "));
        let detail = match token {
            Some(token) => says.replace(token, "(token hidden)"),
            None => says.to_owned(),
        };
        let detail = detail.chars().take(300).collect();
        ClientError::NotUnderstood { status: status.as_u16(), detail }
    }
}

/// A body that is no problem document, on one line.
fn on_one_line(body: &[u8]) -> String {
    let text = String::from_utf8_lossy(body);
    let line = text.split_whitespace().collect::<Vec<_>>().join(" ");
    if line.is_empty() { "it is empty".to_owned() } else { line }
}
