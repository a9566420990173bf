//! Taking somebody else's word: identity tokens of one OpenID Connect issuer, where the service is told of one.
//!
//! What the issuer publishes is read from its discovery document and kept for an hour. A token that names a key which is
//! not among the kept ones makes the service look again, but at most twice a minute, so that nobody can make it ask the
//! issuer without end. Addresses or keys in a token itself are never followed.

mod checking;
mod fetching;

use std::sync::Arc;

use jiff::{SignedDuration, Timestamp};
use kernel::Clock;
use reqwest::Url;
use storage::ExternalName;
use tokio::sync::Mutex;
use wire::Code;

use self::checking::{IssuerKey, NamedKey};
use self::fetching::Fetcher;
use crate::http::refusal::Refusal;

/// How long published keys are taken for the newest.
const FRESH: SignedDuration = SignedDuration::from_hours(1);
/// How long the service waits before it looks again for a key that was not there.
const PAUSE: SignedDuration = SignedDuration::from_secs(30);

/// Which issuer is trusted, and what it calls this service.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ExternalOptions {
    issuer: String,
    audience: String,
}

impl ExternalOptions {
    /// Trusts the issuer at this address, which must be https unless it is this machine, for tokens made out to
    /// `audience`.
    ///
    /// # Errors
    ///
    /// What is wrong, in words.
    ///
    /// ```
    /// use api::access::external::ExternalOptions;
    /// assert!(ExternalOptions::new("https://accounts.example", "skidway").is_ok());
    /// assert!(ExternalOptions::new("http://accounts.example", "skidway").is_err());
    /// assert!(ExternalOptions::new("http://127.0.0.1:9000", "skidway").is_ok());
    /// ```
    pub fn new(issuer: &str, audience: &str) -> Result<Self, &'static str> {
        let url: Url = issuer.parse().map_err(|_| "the issuer is not an address")?;
        if !may_be_asked(&url, is_this_machine(&url)) || url.query().is_some() || url.fragment().is_some() {
            return Err("the issuer is not an address that begins with https://, without query or fragment");
        }
        if audience.trim().is_empty() {
            return Err("the audience is empty");
        }
        Ok(Self { issuer: issuer.to_owned(), audience: audience.to_owned() })
    }

    /// The issuer, exactly as its tokens must say it.
    #[must_use]
    pub fn issuer(&self) -> &str {
        &self.issuer
    }
}

fn is_this_machine(url: &Url) -> bool {
    matches!(url.host_str(), Some("localhost" | "127.0.0.1" | "[::1]"))
}

/// Whether an address is one that keys may be read from: encrypted, or on this machine where the issuer is too.
fn may_be_asked(url: &Url, on_this_machine: bool) -> bool {
    url.scheme() == "https" || (url.scheme() == "http" && on_this_machine && is_this_machine(url))
}

/// What is known of the issuer's keys.
#[derive(Default)]
struct Known {
    keys: Arc<Vec<NamedKey>>,
    read_at: Option<Timestamp>,
    asked_at: Option<Timestamp>,
}

/// One issuer whose word is taken.
pub struct ExternalIssuer {
    options: ExternalOptions,
    fetcher: Fetcher,
    known: Mutex<Known>,
    clock: Arc<dyn Clock>,
}

impl std::fmt::Debug for ExternalIssuer {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        formatter.debug_struct("ExternalIssuer").field("options", &self.options).finish_non_exhaustive()
    }
}

/// Whether a span has passed since a time.
fn passed(since: Option<Timestamp>, span: SignedDuration, now: Timestamp) -> bool {
    since.is_none_or(|since| now.duration_since(since) >= span)
}

impl ExternalIssuer {
    /// Nothing is asked of the issuer yet.
    ///
    /// # Errors
    ///
    /// When encrypted connections cannot be made on this machine.
    pub fn new(options: ExternalOptions, clock: Arc<dyn Clock>) -> Result<Self, reqwest::Error> {
        let fetcher = Fetcher::new(&options.issuer)?;
        Ok(Self { options, fetcher, known: Mutex::default(), clock })
    }

    /// Whom an identity token is about.
    ///
    /// # Errors
    ///
    /// [`Code::ExternalSignInRefused`] when it is not good; [`Code::Unavailable`] when the issuer's keys cannot be read.
    pub async fn check(&self, id_token: &str) -> Result<ExternalName, Refusal> {
        let named = checking::named_key(id_token)?;
        let key = self.key(named.as_deref()).await?;
        let key = key.ok_or_else(|| checking::refused("names no key of the issuer"))?;
        let subject = checking::subject(id_token, &key, &self.options, self.clock.now())?;
        Ok(ExternalName { issuer: self.options.issuer.clone(), subject })
    }

    /// The issuer's key of this name; looks for it again when it is not among those that are known.
    async fn key(&self, named: Option<&str>) -> Result<Option<IssuerKey>, Refusal> {
        let now = self.clock.now();
        // One asks the issuer, and the others wait for the answer.
        let mut known = self.known.lock().await;
        let fresh = !passed(known.read_at, FRESH, now);
        let found = checking::find(&known.keys, named);
        if found.is_some() && fresh {
            return Ok(found);
        }
        if passed(known.asked_at, PAUSE, now) {
            known.asked_at = Some(now);
            match self.fetcher.keys().await {
                Ok(keys) => {
                    known.keys = Arc::new(keys);
                    known.read_at = Some(now);
                }
                Err(why) => tracing::warn!(external.problem = why, "the issuer's keys cannot be read"),
            }
        }
        if known.read_at.is_none() || passed(known.read_at, FRESH, now) {
            return Err(Refusal::new(Code::Unavailable, "the issuer's keys cannot be read at the moment"));
        }
        Ok(checking::find(&known.keys, named))
    }
}
