//! What the service names as an address becomes a page of the desk.

use maud::{Markup, html};
use wire::{MadeOf, MadeOfKind};

/// Lists and records of the API that the audit has a page for, each under the same path.
const PAGES: [&str; 6] = ["tickets", "settlements", "time-entries", "statements", "payments", "balances"];

/// As many links as are shown at once.
const SHOWN: usize = 4;

/// The page for an address of the API; none where there is no page.
///
/// ```
/// use desk::pages::audit::addresses::page_of;
/// assert_eq!(page_of("/v1/tickets?from=2031-06-01").as_deref(), Some("/desk/audit/tickets?from=2031-06-01"));
/// assert_eq!(page_of("/v1/workers"), None);
/// ```
#[must_use]
pub fn page_of(address: &str) -> Option<String> {
    let rest = address.strip_prefix("/v1/")?;
    let name = rest.split(['/', '?']).next()?;
    PAGES.contains(&name).then(|| format!("/desk/audit/{}", rest.replace("/explanation", "")))
}

/// An address with more of what was asked for, where it does not say so itself.
#[must_use]
pub fn narrowed(address: &str, asked: &[(&str, &str)]) -> String {
    let mut narrowed = address.to_owned();
    for (name, value) in asked.iter().filter(|(_, value)| !value.is_empty()) {
        if narrowed.starts_with("/v1/tickets?") && !narrowed.contains(&format!("{name}=")) {
            narrowed.push_str(&format!("&{}", crate::page::query(&[(name, value)])));
        }
    }
    narrowed
}

/// What lies there, in a word.
fn words(made_of: &MadeOf) -> String {
    match made_of.kind {
        MadeOfKind::Tickets => "tickets".to_owned(),
        MadeOfKind::SettlementLine => {
            format!("line {}", made_of.address.rsplit('/').next().unwrap_or_default())
        }
        MadeOfKind::TimeEntries => "hours".to_owned(),
        MadeOfKind::Statements => "statements".to_owned(),
        MadeOfKind::Payments => "payments".to_owned(),
        MadeOfKind::Balances => "balances".to_owned(),
    }
}

/// The links to what something is made of; many of them folded away.
#[must_use]
pub fn links(made_of: &[MadeOf], asked: &[(&str, &str)]) -> Markup {
    let all: Vec<(String, String)> = made_of
        .iter()
        .filter_map(|one| Some((page_of(&narrowed(&one.address, asked))?, words(one))))
        .collect();
    let (first, rest) = all.split_at_checked(SHOWN).unwrap_or((&all, &[]));
    html! {
        @for (to, says) in first { a href=(to) { (says) } " " }
        @if !rest.is_empty() {
            details { summary { (rest.len()) " more" } @for (to, says) in rest { a href=(to) { (says) } " " } }
        }
    }
}
