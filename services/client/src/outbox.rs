//! The outbox: what is filed goes to the disk first, with its key, and then to the service.
//!
//! ```text
//! filing ──keep──▶ waiting/ ──send──▶ sent/      answered, with the reply
//!                     ▲         └───▶ refused/   refused, with the problem
//!                     └──put back───┘    └─set aside──▶ dropped/
//! ```
//!
//! - What [`Outbox::keep`] answers well for is on the disk: a killed program or a loss of power does not take it away.
//! - It is sent as it was kept, with the key it was kept with: however often that happens, it is done once.
//! - It goes to the service it was made for, for the outfit and as the person it was made by, and to nobody else.
//! - Entries go in the order they were kept. A refused one does not stop those behind it, except those that follow from
//!   it. When the service does not answer, or does not know the caller, sending stops.
//! - Nothing is deleted but what was answered more than [`KEPT_DAYS`] days ago.
//!
//! Any operation that files something can go through it:
//!
//! ```no_run
//! # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
//! use client::outbox::{Filing, Key, Outbox, Owner};
//! use kernel::{SystemClock, SystemEntropy};
//!
//! let charge = serde_json::json!({"worker_id": "…", "dated": "2031-06-09", "kind": "tools", "says": "axe handle",
//!                                 "amount": "0.60"});
//! let outbox = Outbox::of_user()?;
//! let owner = Owner::of(client.service(), Some("the access token"));
//! let filing = Filing {
//!     operation: "file_charge".to_owned(),
//!     path: "/v1/charges".to_owned(),
//!     body: charge,
//!     key: Key::new(&SystemEntropy),
//!     says: "axe handle, 0.60".to_owned(),
//!     stamp: None,
//!     follows: None,
//! };
//! let kept = outbox.keep(filing, &owner, &SystemClock)?;
//! let sending = outbox.send(&client, &owner, &SystemClock, &mut |_, _| ()).await?;
//! println!("{} went, {} wait", sending.answered, sending.waiting);
//! # Ok(()) }
//! ```

mod entry;
mod fault;
mod keeping;
mod moving;
mod owner;
mod sending;
#[cfg(test)]
mod trying;

pub use entry::{Answer, Dropped, Entry, Filing, Follows, Key, Place, Refusal};
pub use fault::OutboxError;
pub use keeping::{KEPT_DAYS, Kept, Outbox};
pub use owner::Owner;
pub use sending::{Outcome, Sending, Stop};
