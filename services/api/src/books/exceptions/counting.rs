//! Exceptions counted by kind.

use storage::{Books, ExceptionScope, Outfit};
use wire::{ExceptionCount, ExceptionKind, ExceptionSummary};

use super::exceptions;
use crate::http::refusal::Refusal;

/// How many exceptions of each kind some days have, and what each kind is.
///
/// # Errors
///
/// Whatever the books answer; [`wire::Code::TooLarge`].
pub async fn summary(
    books: &mut Books,
    outfit: &Outfit,
    scope: ExceptionScope,
) -> Result<ExceptionSummary, Refusal> {
    let found = exceptions(books, outfit, scope, None).await?;
    let count = |kind: ExceptionKind| {
        let count = found.listed.iter().filter(|one| one.view.kind == kind).count();
        ExceptionCount {
            kind,
            count: u32::try_from(count).unwrap_or(u32::MAX),
            means: kind.means().to_owned(),
            found_by: kind.found_by().to_owned(),
            what_to_do: kind.what_to_do().to_owned(),
        }
    };
    Ok(ExceptionSummary {
        from: scope.from,
        to: scope.to,
        count: u32::try_from(found.listed.len()).unwrap_or(u32::MAX),
        kinds: ExceptionKind::ALL.iter().map(|kind| count(*kind)).collect(),
        cannot_be_told: found.cannot_be_told,
    })
}
