//! What every operation works with.

use std::sync::Arc;

use kernel::{Clock, IdSource};
use storage::Store;

use crate::http::token::Tokens;

/// The running service: the books, the clock, and what makes ids and tokens. Holds no state of its own.
#[derive(Clone)]
pub struct Service {
    /// The books.
    pub store: Store,
    /// The time.
    pub clock: Arc<dyn Clock>,
    /// New ids.
    pub ids: IdSource,
    /// Makes and checks access tokens.
    pub tokens: Tokens,
}

impl std::fmt::Debug for Service {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        formatter.write_str("Service")
    }
}
