//! What a key for a machine may be used for: areas of the API, taken from the list of operations.

use actix_web::http::Method;
use wire::{Code, FieldProblem, Scope};

use crate::http::operation::{Access, Operation};
use crate::http::refusal::Refusal;
use crate::routes::OPERATIONS;

/// Areas that no key is for: whoever could use them could give itself any other.
const ABOUT_ACCESS: [&str; 7] =
    ["access-grants", "access-tokens", "accounts", "machine-keys", "outfits", "sign-in", "sign-out"];

/// The scope that an operation is under; none when no key is for it.
#[must_use]
pub fn of(operation: &Operation) -> Option<Scope> {
    let area = operation.path.strip_prefix("/v1/")?.split('/').next()?;
    if operation.access == Access::Open || ABOUT_ACCESS.contains(&area) {
        return None;
    }
    let what = if operation.method == Method::GET { "read" } else { "write" };
    Scope::try_from(format!("{area}:{what}")).ok()
}

/// Every scope there is.
#[must_use]
pub fn all() -> Vec<Scope> {
    let mut all: Vec<_> = OPERATIONS.iter().filter_map(|operation| of(operation)).collect();
    all.sort();
    all.dedup();
    all
}

/// Refuses scopes that are none, or are none at all.
///
/// # Errors
///
/// [`Code::WrongForm`].
pub fn must_exist(asked: &[Scope]) -> Result<(), Refusal> {
    let all = all();
    let mut errors: Vec<_> = asked
        .iter()
        .enumerate()
        .filter(|(_, scope)| !all.contains(scope))
        .map(|(place, scope)| FieldProblem {
            pointer: format!("#/scopes/{place}"),
            detail: format!("there is no scope {scope}"),
        })
        .collect();
    if asked.is_empty() {
        let detail = "name at least one scope".to_owned();
        errors.push(FieldProblem { pointer: "#/scopes".to_owned(), detail });
    }
    if errors.is_empty() {
        return Ok(());
    }
    let names: Vec<_> = all.iter().map(ToString::to_string).collect();
    Err(Refusal::new(Code::WrongForm, format!("the scopes are: {}", names.join(", "))).at(errors))
}

/// Refuses a key that is not meant for an operation.
///
/// # Errors
///
/// [`Code::ScopeNotGranted`].
pub fn must_hold(granted: &[Scope], operation: &Operation) -> Result<(), Refusal> {
    match of(operation) {
        Some(needed) if granted.contains(&needed) => Ok(()),
        Some(needed) => Err(Refusal::new(Code::ScopeNotGranted, format!("this needs the scope {needed}"))),
        None => Err(Refusal::new(Code::ScopeNotGranted, "no key is meant for this: sign in")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn scopes_come_from_the_operations() {
        let names: Vec<_> = all().iter().map(ToString::to_string).collect();
        assert!(names.contains(&"tickets:read".to_owned()) && names.contains(&"tickets:write".to_owned()));
        for area in ABOUT_ACCESS {
            assert!(!names.iter().any(|name| name.starts_with(&format!("{area}:"))), "{area}");
            let served = |operation: &&&Operation| operation.path.starts_with(&format!("/v1/{area}"));
            assert!(OPERATIONS.iter().any(|operation| served(&operation)), "{area} is no area any more");
        }
    }
}
