//! The frame of every page: head, places to go, content, foot.

use actix_web::HttpResponse;
use actix_web::http::StatusCode;
use maud::{DOCTYPE, Markup, html};
use wire::Role;

use crate::assets;
use crate::form::key_field;
use crate::session::person::Person;

/// What a browser may do with a page of the desk: use what the desk itself serves, and send forms to it. No script and no
/// style stands in a page.
pub const CONTENT_SECURITY_POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; \
connect-src 'self'; manifest-src 'self'; worker-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'";

/// A part of the desk.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Place {
    /// Entering tickets.
    Yard,
    /// Settling the week.
    Week,
    /// What everybody has coming.
    Statements,
    /// Contracts and their terms.
    Contracts,
    /// Volume against pay.
    Audit,
}

impl Place {
    /// Where it begins.
    #[must_use]
    pub const fn address(self) -> &'static str {
        match self {
            Self::Yard => "/desk/yard",
            Self::Week => "/desk/week",
            Self::Statements => "/desk/statements",
            Self::Contracts => "/desk/contracts",
            Self::Audit => "/desk/audit",
        }
    }

    /// What it is called.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Yard => "Yard",
            Self::Week => "Week",
            Self::Statements => "Statements",
            Self::Contracts => "Contracts",
            Self::Audit => "Audit",
        }
    }

    /// The places that somebody of a role has something to do in, the most usual first.
    #[must_use]
    pub const fn of(role: Role) -> &'static [Self] {
        match role {
            Role::Scaler => &[Self::Yard],
            Role::Bookkeeper | Role::Manager => {
                &[Self::Week, Self::Yard, Self::Statements, Self::Contracts, Self::Audit]
            }
            Role::Contractor => &[Self::Audit, Self::Week, Self::Statements, Self::Contracts],
            Role::Mill => &[Self::Audit, Self::Statements],
            Role::Operator => &[],
        }
    }
}

/// A page.
#[derive(Debug)]
pub struct Page<'a> {
    /// What it is about; its heading.
    pub title: &'a str,
    /// Whoever is signed in.
    pub person: Option<&'a Person>,
    /// The part of the desk it belongs to.
    pub here: Option<Place>,
    /// Scripts of `assets/` that add to it.
    pub scripts: &'a [&'static str],
    /// What stands on it, below its heading.
    pub content: Markup,
}

impl Page<'_> {
    /// The page as an answer with status 200.
    #[must_use]
    pub fn found(&self) -> HttpResponse {
        self.answer(StatusCode::OK)
    }

    /// The page as an answer.
    #[must_use]
    pub fn answer(&self, status: StatusCode) -> HttpResponse {
        HttpResponse::build(status).content_type("text/html; charset=utf-8").body(self.markup().into_string())
    }

    /// The page.
    #[must_use]
    pub fn markup(&self) -> Markup {
        html! {
            (DOCTYPE)
            html lang="en" {
                head {
                    meta charset="utf-8";
                    meta name="viewport" content="width=device-width, initial-scale=1";
                    meta name="color-scheme" content="light";
                    title { (self.title) " · Skidway" }
                    link rel="stylesheet" href=(assets::address("desk.css"));
                    link rel="icon" href=(assets::address("mark.svg")) type="image/svg+xml";
                    @if self.person.is_some_and(Person::works_in_yard) {
                        // Asks before a phone on which tickets wait is signed out.
                        script src=(assets::address("yard-leaving.js")) defer {}
                    }
                    @for script in self.scripts { script src=(assets::address(script)) defer {} }
                }
                body {
                    a.skip href="#content" { "To the content" }
                    (self.head())
                    main id="content" tabindex="-1" { h1 { (self.title) } (self.content) }
                    footer {
                        p { "Skidway does arithmetic; local law and licensed practice decide what must be paid and who may scale." }
                    }
                }
            }
        }
    }

    fn head(&self) -> Markup {
        html! {
            header {
                p.name { "Skidway" @if let Some(person) = self.person { " · " (person.session.outfit_name) } }
                @if let Some(person) = self.person {
                    nav aria-label="Places" {
                        ul {
                            @for place in Place::of(person.role()) {
                                li {
                                    a href=(place.address()) aria-current=[(self.here == Some(*place)).then_some("page")] {
                                        (place.name())
                                    }
                                }
                            }
                        }
                    }
                    form.who method="post" action="/desk/sign-out"
                        data-owner=(person.owner()) {
                        (key_field(person))
                        span { (person.session.signed_in.subject) ", " (person.role().name()) }
                        button.plain type="submit" { "Sign out" }
                    }
                }
            }
        }
    }
}

/// A moment as pages write it: to the minute.
///
/// ```
/// let at = "2026-06-08T13:05:09.25Z".parse()?;
/// assert_eq!(desk::page::moment(at), "2026-06-08 13:05 UTC");
/// # Ok::<(), jiff::Error>(())
/// ```
#[must_use]
pub fn moment(at: jiff::Timestamp) -> String {
    at.strftime("%Y-%m-%d %H:%M UTC").to_string()
}

/// Names and values as the query of an address.
///
/// ```
/// assert_eq!(desk::page::query(&[("from", "2026-06-01"), ("q", "a&b")]), "from=2026-06-01&q=a%26b");
/// ```
#[must_use]
pub fn query(pairs: &[(&str, &str)]) -> String {
    let escaped = |text: &str| {
        text.bytes().fold(String::new(), |mut done, byte| {
            if byte.is_ascii_alphanumeric() || matches!(byte, b'-' | b'.' | b'_' | b'~' | b'/') {
                done.push(char::from(byte));
            } else {
                done.push('%');
                done.push_str(&kernel::hexadecimal(&[byte]).to_uppercase());
            }
            done
        })
    };
    let parts: Vec<_> = pairs.iter().map(|(name, value)| format!("{name}={}", escaped(value))).collect();
    parts.join("&")
}
