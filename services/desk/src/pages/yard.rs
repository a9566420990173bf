//! The yard: tickets are entered on a phone, with poor signal.

pub mod books;
pub mod choices;
pub mod correct;
pub mod draft;
pub mod entry;
pub mod fields;
pub mod running;
pub mod said;
pub mod scale;
pub mod schema;
pub mod send;
pub mod table;
pub mod tables;
pub mod ticket;
pub mod tickets;
pub mod values;
pub mod view;
pub mod void;
pub mod who;
pub mod worker;

use actix_web::web::ServiceConfig;
use client::ClientError;
use wire::{Code, Problem};

use crate::session::person::Person;
use crate::trouble::Trouble;

/// The scripts of the page on which tickets are entered, in the order in which they build on each other.
pub const SCRIPTS: &[&str] =
    &["yard-store.js", "yard-fields.js", "yard-scale.js", "yard-queue.js", "yard-entry.js"];

/// Attaches the pages.
pub fn attach(config: &mut ServiceConfig) {
    config.service(entry::show).service(entry::step);
    config.service(worker::serve).service(who::show);
    config.service(send::post).service(scale::show).service(tables::show);
    config.service(tickets::list).service(ticket::show);
    config.service(correct::show).service(void::show).service(void::file);
    config.service(books::show).service(books::void_numbers);
}

/// Refuses whoever posts no tickets, as the service would when they tried.
///
/// # Errors
///
/// The refusal.
pub fn only_who_scales(person: &Person) -> Result<(), Trouble> {
    if person.works_in_yard() {
        return Ok(());
    }
    let detail = format!("a {} enters no tickets", person.role().name());
    Err(Trouble::Service(ClientError::Refused(Box::new(Problem::new(Code::RoleNotAllowed, detail)))))
}
