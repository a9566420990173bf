//! More than one machine: outfits on several databases, each with a service of its own, behind a proxy that sends every
//! request to the books of its outfit; and how one outfit moves from one database to another.
//!
//! Both need HAProxy; where it is not there, they say so and check nothing.
#![expect(
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a check that cannot be made has failed, and says so where it stands"
)]

mod moving;
mod placing;
mod proxy;
mod shards;
