//! Which operation a request is for. To match its path with every pattern takes longer than most of what is done with the
//! answer, so it is found once for all who ask.

use std::rc::Rc;

use actix_web::{HttpMessage, HttpRequest};

use super::operation::Operation;
use crate::routes;

struct Pattern(Option<Rc<str>>);

/// The pattern of the path that is asked for, whatever the method; none where nothing is served.
#[must_use]
pub fn pattern(request: &HttpRequest) -> Option<Rc<str>> {
    if let Some(Pattern(found)) = request.extensions().get::<Pattern>() {
        return found.clone();
    }
    let found: Option<Rc<str>> = request.match_pattern().map(Rc::from);
    request.extensions_mut().insert(Pattern(found.clone()));
    found
}

/// The operation that is asked for.
#[must_use]
pub fn operation(request: &HttpRequest) -> Option<&'static Operation> {
    routes::find(request.method(), &pattern(request)?)
}
