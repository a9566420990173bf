//! Audit entries of what comes by no filing: whoever is let in or out is nobody yet when the request comes.

use kernel::Id;
use storage::{AuditEntry, Books, Stamp};
use uuid::Uuid;

use crate::http::operation::Operation;
use crate::http::refusal::Refusal;
use crate::service::Service;

/// Who did it: a name and a role.
#[derive(Clone, Copy, Debug)]
pub struct Author<'a> {
    /// The name, as records carry it.
    pub name: &'a str,
    /// The role, as the books name it.
    pub role: &'a str,
}

/// Writes down that it was done.
///
/// # Errors
///
/// Whatever the books answer.
pub async fn enter(
    books: &mut Books,
    service: &Service,
    author: Author<'_>,
    operation: &Operation,
    about: impl Id,
    request: Option<Uuid>,
) -> Result<(), Refusal> {
    let entry = AuditEntry {
        id: service.ids.make(),
        made: Stamp { at: service.clock.now(), by: author.name.to_owned() },
        role: author.role.to_owned(),
        operation: operation.id.to_owned(),
        about: about.uuid(),
        request,
    };
    Ok(books.enter_audit(&entry).await?)
}
