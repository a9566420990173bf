//! The desk: pages for the yard, the office and the audit, served beside the API and read in a browser.
//!
//! The desk is a user of the API like any other. Every page asks the service over HTTP, with the token of whoever is
//! signed in, through the same [`client::Client`] as every other tool. So it can do nothing that the API does not let
//! that person do, shows the figures that the API answers, and what is filed through it stands in the audit trail as
//! theirs. It keeps nothing: who is signed in lies sealed in their cookie ([`session`]).
//!
//! A page is made on the service ([`page`], [`pages`]) and works without script; the scripts in `assets/` add what a
//! page alone cannot do, such as keeping tickets while there is no signal. What a form sends is read by [`form`], which
//! also makes sure that it was sent from a page of this desk. Whatever goes wrong becomes a page ([`trouble`]).

pub mod assets;
pub mod desk;
pub mod form;
pub mod mount;
pub mod page;
pub mod pages;
pub mod session;
pub mod table;
pub mod trouble;

pub use desk::{CameFrom, Desk, DeskParts};
pub use mount::attach;
