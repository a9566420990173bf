//! Holds every refusal to the API document: an operation refuses only in the ways it declares.

use api::http::operation::Operation;
use api::routes::OPERATIONS;
use serde_json::Value;
use wire::Code;

use crate::Reply;

/// The operation that a request is for, if any.
#[must_use]
pub fn operation_for(method: &str, path: &str) -> Option<&'static Operation> {
    let path = path.split('?').next().unwrap_or_default();
    let matches = |pattern: &str| {
        let (pattern, path): (Vec<_>, Vec<_>) = (pattern.split('/').collect(), path.split('/').collect());
        pattern.len() == path.len()
            && pattern
                .iter()
                .zip(&path)
                .all(|(want, got)| want == got || (want.starts_with('{') && !got.is_empty()))
    };
    OPERATIONS.iter().find(|one| one.method.as_str() == method && matches(one.path)).copied()
}

impl Reply {
    /// The code of the refusal; none when it is none.
    #[must_use]
    pub fn code(&self) -> Option<Code> {
        Code::ALL.iter().find(|code| self.body["code"] == code.text()).copied()
    }

    /// Checks that, if it is a refusal, it is one that the document names for the operation.
    ///
    /// # Panics
    ///
    /// When it is an undocumented one, or an error that is no problem document.
    #[must_use]
    pub fn documented(self) -> Self {
        if self.status < 400 {
            return self;
        }
        let (method, path) = self.asked.split_once(' ').unwrap_or_default();
        let code = self.code().unwrap_or_else(|| panic!("{}: {} without a code", self.asked, self.status));
        match operation_for(method, path) {
            Some(operation) => assert!(
                operation.all_refusals().contains(&code),
                "{}: {} is not among the refusals that the document names for {}: {:#}",
                self.asked,
                code.text(),
                operation.id,
                self.body
            ),
            None => assert!(
                matches!(code, Code::NoSuchPath | Code::MethodNotAllowed | Code::WrongAddress),
                "{}: {}",
                self.asked,
                code.text()
            ),
        }
        self
    }

    /// Checks that it is a refusal with this code, in the form of a problem document, that the document names.
    ///
    /// # Panics
    ///
    /// When it is anything else.
    #[must_use]
    pub fn refuses(self, code: Code) -> Value {
        let reply = self.documented();
        reply.refused(code).clone()
    }
}
