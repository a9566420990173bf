//! Reading what an issuer publishes: its discovery document, then its keys. Little at a time, not for long, and from
//! nowhere else than it says itself.

use std::time::Duration;

use reqwest::Url;
use reqwest::redirect::Policy;
use serde::Deserialize;
use serde::de::DeserializeOwned;
use serde_json::Value;

use super::checking::{NamedKey, usable};
use super::{is_this_machine, may_be_asked};

/// How long a connection may take.
const CONNECTING: Duration = Duration::from_secs(3);
/// How long an answer may take, with all of it.
const ANSWERING: Duration = Duration::from_secs(5);
/// The most that is read of a document.
const LONGEST: usize = 256 * 1024;
/// The most keys that are kept.
const MOST_KEYS: usize = 100;

/// What the discovery document says that matters here (OpenID Connect Discovery 1.0, section 3).
#[derive(Deserialize)]
struct Discovery {
    issuer: String,
    jwks_uri: String,
}

#[derive(Deserialize)]
struct KeySet {
    keys: Vec<Value>,
}

/// Reads what one issuer publishes.
pub(super) struct Fetcher {
    http: reqwest::Client,
    issuer: String,
}

impl Fetcher {
    pub(super) fn new(issuer: &str) -> Result<Self, reqwest::Error> {
        let mut builder = reqwest::Client::builder()
            .connect_timeout(CONNECTING)
            .timeout(ANSWERING)
            .redirect(Policy::none())
            // Connections belong to the thread that opened them, and there is one request in a long while.
            .pool_max_idle_per_host(0)
            .user_agent(concat!("skidway/", env!("CARGO_PKG_VERSION")));
        if issuer.parse().is_ok_and(|url: Url| is_this_machine(&url)) {
            builder = builder.no_proxy();
            if issuer.starts_with("http:") {
                // Nothing is encrypted, so a machine without any certificates of authorities will do.
                builder = builder.tls_certs_only([]);
            }
        }
        Ok(Self { http: builder.build()?, issuer: issuer.to_owned() })
    }

    /// The keys that the issuer publishes now, or why they cannot be read.
    pub(super) async fn keys(&self) -> Result<Vec<NamedKey>, String> {
        let at = format!("{}/.well-known/openid-configuration", self.issuer.trim_end_matches('/'));
        let at: Url = at.parse().map_err(|_| "the issuer is no address")?;
        let here = is_this_machine(&at);
        let discovery: Discovery = self.read(at).await?;
        if discovery.issuer != self.issuer {
            return Err("the discovery document is another issuer's".to_owned());
        }
        let keys_at: Url = discovery.jwks_uri.parse().map_err(|_| "the address of the keys is none")?;
        if !may_be_asked(&keys_at, here) {
            return Err("the address of the keys does not begin with https://".to_owned());
        }
        let set: KeySet = self.read(keys_at).await?;
        Ok(set.keys.into_iter().take(MOST_KEYS).filter_map(usable).collect())
    }

    async fn read<T: DeserializeOwned>(&self, at: Url) -> Result<T, String> {
        let says = |error: reqwest::Error| error.without_url().to_string();
        let mut response =
            self.http.get(at).header("Accept", "application/json").send().await.map_err(says)?;
        if response.status().as_u16() != 200 {
            return Err(format!("the issuer answered with status {}", response.status().as_u16()));
        }
        let mut body = Vec::new();
        while let Some(chunk) = response.chunk().await.map_err(says)? {
            if body.len().saturating_add(chunk.len()) > LONGEST {
                return Err(format!("the issuer answered with more than {LONGEST} bytes"));
            }
            body.extend_from_slice(&chunk);
        }
        serde_json::from_slice(&body).map_err(|error| format!("the answer is not of its form: {error}"))
    }
}
