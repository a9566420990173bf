//! Numbers missing from scale books, and loads that stand in them twice.

use kernel::Exact;
use storage::{Found, NumbersMissing, WrittenTwice};
use wire::{ExceptionKind, ExceptionView};

use super::listed::{begin, named, tasks};
use crate::http::query::encoded;

/// Numbers that are missing.
pub(super) fn gap(found: &Found<NumbersMissing>) -> ExceptionView {
    let NumbersMissing { book, first, last } = &found.figures;
    let missing = last.saturating_sub(*first).saturating_add(1);
    let says = if missing == 1 {
        format!("number {first} is missing from book {book}")
    } else {
        format!("numbers {first} to {last} are missing from book {book}")
    };
    let mut view = ExceptionView {
        figure: Some("missing numbers".to_owned()),
        expected: Some(Exact::ZERO),
        found: Some(Exact::of(missing.into())),
        ..begin(ExceptionKind::ScaleBookGap, found, says)
    };
    view.links.push(format!("/v1/scale-books/{}/gaps", encoded(book)));
    view
}

/// A load that stands on two tickets.
pub(super) fn repeat(found: &Found<WrittenTwice>) -> ExceptionView {
    let WrittenTwice { pieces, tasks: done } = &found.figures;
    let says = format!(
        "the same {pieces} sticks stand on two tickets of one day, both for {}: {}",
        tasks(done),
        named(&found.tickets)
    );
    ExceptionView {
        task: done.first().copied(),
        figure: Some("tickets".to_owned()),
        expected: Some(Exact::ONE),
        found: Some(Exact::of(2)),
        ..begin(ExceptionKind::ScaleBookRepeat, found, says)
    }
}
