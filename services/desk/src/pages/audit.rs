//! The audit: volume against pay with its charts, and every way further down from there.

pub mod addresses;
pub mod asked;
pub mod changes;
pub mod check_scale;
pub mod check_scales;
pub mod cruise;
pub mod cruises;
pub mod exceptions;
pub mod exceptions_of_kind;
pub mod find;
pub mod line;
pub mod overrun;
pub mod overview;
pub mod records;
pub mod seal;
pub mod seal_files;
pub mod seals;
pub mod ticket;
pub mod tickets;

use actix_web::HttpResponse;
use actix_web::web::ServiceConfig;
use maud::{Markup, html};
use wire::Role;

use crate::page::{Page, Place};
use crate::session::person::Person;

/// Attaches the pages of the audit.
pub fn attach(config: &mut ServiceConfig) {
    config.service(overview::show).service(find::show).service(tickets::show);
    config.service(ticket::show).service(ticket::show_piece);
    config.service(line::week_of_settlement).service(line::of_settlement).service(line::of_statement);
    config.service(records::time_entries).service(records::payments);
    config.service(records::statements).service(records::balances);
    config.service(exceptions::show).service(exceptions_of_kind::show);
    config.service(check_scales::show).service(check_scale::show);
    config.service(overrun::show).service(cruises::show).service(cruise::show);
    config.service(seals::show).service(seal::show).service(seal::check);
    config.service(seal_files::seal_itself).service(seal_files::inclusion_of_ticket);
    config
        .service(seal_files::inclusion_of_settlement)
        .service(seal_files::consistency)
        .service(seal_files::records);
    config.service(changes::show);
}

/// The parts of the audit that somebody of a role may look at: address and name.
#[must_use]
pub fn parts(role: Role) -> Vec<(&'static str, &'static str)> {
    let all = [
        ("/desk/audit", "Volume against pay", true),
        ("/desk/audit/find", "Find a ticket", true),
        ("/desk/audit/exceptions", "Exceptions", false),
        ("/desk/audit/check-scales", "Check scales", true),
        ("/desk/audit/overrun", "Overrun", true),
        ("/desk/audit/cruises", "Cruises", false),
        ("/desk/audit/seals", "Seals", true),
        ("/desk/audit/changes", "Changes", false),
    ];
    let may = |for_a_mill: bool| for_a_mill || role != Role::Mill;
    all.into_iter().filter(|(_, _, mill)| may(*mill)).map(|(to, says, _)| (to, says)).collect()
}

/// A page of the audit: its parts above, then what it is about.
#[must_use]
pub fn page(person: &Person, title: &str, here: &str, content: &Markup) -> HttpResponse {
    let content = html! {
        nav.parts aria-label="Parts of the audit" {
            ul {
                @for (to, says) in parts(person.role()) {
                    li { a href=(to) aria-current=[(to == here).then_some("page")] { (says) } }
                }
            }
        }
        (content)
    };
    Page { title, person: Some(person), here: Some(Place::Audit), scripts: &[], content }.found()
}

/// Facts, each with its name.
#[must_use]
pub fn facts(known: &[(&str, String)]) -> Markup {
    html! { dl.facts { @for (name, says) in known { div { dt { (name) } dd { (says) } } } } }
}

/// Sentences of the service as a list: a capital before, a full stop after.
#[must_use]
pub fn sentences(all: &[String]) -> Markup {
    html! { @if !all.is_empty() { ul { @for says in all { li { (sentence(says)) } } } } }
}

/// One of them.
#[must_use]
pub fn sentence(says: &str) -> String {
    let stop = if says.ends_with(['.', '!', '?']) { "" } else { "." };
    format!("{}{stop}", papers::words::capital(says))
}

/// The way to the next page of a list, if there is one.
#[must_use]
pub fn further(address: &str, query: &str, next: Option<&String>) -> Markup {
    let kept: Vec<&str> =
        query.split('&').filter(|pair| !pair.is_empty() && !pair.starts_with("after=")).collect();
    html! {
        @if let Some(next) = next {
            @let more = crate::page::query(&[("after", next)]);
            @let query = kept.iter().copied().chain([more.as_str()]).collect::<Vec<_>>().join("&");
            p { a #further href={ (address) "?" (query) } { "Further down the list" } }
        }
    }
}
