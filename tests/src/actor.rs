//! People who call the service, and what it answers them.

use std::sync::atomic::{AtomicU64, Ordering};

use reqwest::Method;
use serde_json::Value;
use wire::Code;

/// Somebody who calls the service. Blocks; tests are plain functions.
#[derive(Clone)]
pub struct Actor {
    url: String,
    token: Option<String>,
    http: reqwest::Client,
    runtime: std::sync::Arc<tokio::runtime::Runtime>,
}

impl std::fmt::Debug for Actor {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        formatter.debug_struct("Actor").field("url", &self.url).finish_non_exhaustive()
    }
}

/// What the service answered.
#[derive(Clone, Debug)]
pub struct Reply {
    /// The status.
    pub status: u16,
    /// The headers, names in small letters.
    pub headers: Vec<(String, String)>,
    /// The body as JSON; null when it was none.
    pub body: Value,
    /// The body as it came, as text.
    pub text: String,
    /// The body as it came.
    pub bytes: Vec<u8>,
    /// What was asked, for messages.
    pub asked: String,
}

impl Actor {
    pub(crate) fn new(url: String, token: Option<String>) -> Self {
        let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build();
        let http = reqwest::Client::builder()
            .no_proxy()
            // The API leads nowhere, and where the desk leads is looked at.
            .redirect(reqwest::redirect::Policy::none())
            .pool_max_idle_per_host(0)
            .build()
            .expect("a client can be made");
        Self { url, token, http, runtime: std::sync::Arc::new(runtime.expect("a runtime can be made")) }
    }

    /// Asks for a path.
    #[must_use]
    pub fn get(&self, path: &str) -> Reply {
        self.send(Method::GET, path, None)
    }

    /// Asks for a path with one more header.
    ///
    /// # Panics
    ///
    /// When the service does not answer.
    #[must_use]
    pub fn get_with(&self, path: &str, name: &str, value: &str) -> Reply {
        let mut request = self.http.get(format!("{}{path}", self.url)).header(name, value);
        if let Some(token) = &self.token {
            request = request.bearer_auth(token);
        }
        self.answered(request, format!("GET {path} with {name}: {value}"))
    }

    /// Sends JSON to a path.
    #[must_use]
    pub fn post(&self, path: &str, body: &Value) -> Reply {
        self.send(Method::POST, path, Some(body.to_string()))
    }

    /// Puts to a path, without a body.
    #[must_use]
    pub fn put(&self, path: &str) -> Reply {
        self.send(Method::PUT, path, None)
    }

    /// Sends any text as JSON.
    ///
    /// # Panics
    ///
    /// When the service does not answer.
    #[must_use]
    pub fn send(&self, method: Method, path: &str, body: Option<String>) -> Reply {
        self.send_as(method, path, body, "application/json")
    }

    /// Sends JSON to a path with a key of one's own against being done twice.
    #[must_use]
    pub fn post_with_key(&self, path: &str, body: &Value, key: &str) -> Reply {
        let headers = [("Content-Type", "application/json"), (KEY_HEADER, key)];
        self.send_with(Method::POST, path, Some(body.to_string()), &headers)
    }

    /// Sends any text as any kind of content; what is posted carries a new key.
    ///
    /// # Panics
    ///
    /// When the service does not answer.
    #[must_use]
    pub fn send_as(&self, method: Method, path: &str, body: Option<String>, content_type: &str) -> Reply {
        let key = new_key();
        let headers = [("Content-Type", content_type), (KEY_HEADER, &key)];
        let posts = method == Method::POST;
        self.send_with(method, path, body, if posts { &headers } else { &headers[..1] })
    }

    /// Sends any text with any headers.
    ///
    /// # Panics
    ///
    /// When the service does not answer.
    #[must_use]
    pub fn send_with(
        &self,
        method: Method,
        path: &str,
        body: Option<String>,
        headers: &[(&str, &str)],
    ) -> Reply {
        let asked = format!("{method} {path}");
        let mut request = self.http.request(method, format!("{}{path}", self.url));
        if let Some(token) = &self.token {
            request = request.bearer_auth(token);
        }
        // What has no body has no kind of content either.
        for (name, value) in headers.iter().filter(|(name, _)| body.is_some() || *name != "Content-Type") {
            request = request.header(*name, *value);
        }
        if let Some(body) = body {
            request = request.body(body);
        }
        self.answered(request, asked)
    }

    fn answered(&self, request: reqwest::RequestBuilder, asked: String) -> Reply {
        self.runtime.block_on(async {
            let response = request.send().await.unwrap_or_else(|error| panic!("{asked}: {error:?}"));
            let status = response.status().as_u16();
            let headers = response
                .headers()
                .iter()
                .map(|(name, value)| (name.to_string(), value.to_str().unwrap_or_default().to_owned()))
                .collect();
            let bytes = response.bytes().await.expect("the body can be read").to_vec();
            let text = String::from_utf8_lossy(&bytes).into_owned();
            let body = serde_json::from_str(&text).unwrap_or(Value::Null);
            Reply { status, headers, body, text, bytes, asked }
        })
    }
}

/// A key that no other request of this test program carries.
#[must_use]
pub fn new_key() -> String {
    static LAST: AtomicU64 = AtomicU64::new(0);
    format!("\"key-{}\"", LAST.fetch_add(1, Ordering::Relaxed))
}

/// The header of the key.
pub const KEY_HEADER: &str = "Idempotency-Key";

impl Reply {
    /// The body, after checking the status.
    ///
    /// # Panics
    ///
    /// When the status is another one.
    #[must_use]
    pub fn expect(self, status: u16) -> Value {
        assert_eq!(self.status, status, "{}: {:#}", self.asked, self.body);
        self.body
    }

    /// Checks that it is a refusal with this code, in the form of a problem document.
    ///
    /// # Panics
    ///
    /// When it is anything else.
    pub fn refused(&self, code: Code) -> &Value {
        assert_eq!(self.body["code"], code.text(), "{}: {:#}", self.asked, self.body);
        assert_eq!(self.status, code.status(), "{}", self.asked);
        assert_eq!(self.body["status"], code.status(), "{}", self.asked);
        assert_eq!(self.header("content-type"), Some("application/problem+json"), "{}", self.asked);
        assert_eq!(self.body["request_id"].as_str(), self.header("request-id"), "{}", self.asked);
        &self.body
    }

    /// A header.
    #[must_use]
    pub fn header(&self, name: &str) -> Option<&str> {
        self.headers.iter().find(|(known, _)| known == name).map(|(_, value)| value.as_str())
    }
}
