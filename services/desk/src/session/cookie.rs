//! The cookies: one that holds the session, one that shows that a sign-in came from our page, one that remembers the
//! outfit. All are for this host alone, over encrypted connections or on this machine, and go with no request that
//! another site makes.

use actix_web::cookie::time::Duration;
use actix_web::cookie::{Cookie, SameSite};

/// The session, sealed. The prefix makes browsers keep it to this host (RFC 6265bis, 4.1.3.2).
pub const SESSION: &str = "__Host-skidway-session";
/// What the form for signing in must repeat.
pub const DOOR: &str = "__Host-skidway-door";
/// The outfit that somebody signed in to last; no secret.
pub const OUTFIT: &str = "__Host-skidway-outfit";

/// How long an outfit is remembered.
const REMEMBERED: Duration = Duration::days(365);
/// How long a form for signing in may lie open.
const AT_THE_DOOR: Duration = Duration::hours(8);

fn ours(name: &'static str, value: String) -> Cookie<'static> {
    Cookie::build(name, value).path("/").secure(true).http_only(true).same_site(SameSite::Strict).finish()
}

/// The cookie of a session that ends after so many seconds.
#[must_use]
pub fn session(sealed: String, seconds: i64) -> Cookie<'static> {
    let mut cookie = ours(SESSION, sealed);
    cookie.set_max_age(Duration::seconds(seconds));
    cookie
}

/// What takes the session's cookie away.
#[must_use]
pub fn no_session() -> Cookie<'static> {
    let mut cookie = ours(SESSION, String::new());
    cookie.make_removal();
    cookie
}

/// What the form for signing in must repeat.
#[must_use]
pub fn door(value: String) -> Cookie<'static> {
    let mut cookie = ours(DOOR, value);
    cookie.set_max_age(AT_THE_DOOR);
    cookie
}

/// Remembers the outfit.
#[must_use]
pub fn outfit(value: String) -> Cookie<'static> {
    let mut cookie = ours(OUTFIT, value);
    cookie.set_max_age(REMEMBERED);
    cookie
}
