//! Exceptions: what the books hold that an auditor would stop at, kind by kind, put into words.

mod arriving;
mod counting;
mod hewing;
mod listed;
mod moving;
mod numbering;
mod paying;
mod standing_out;

use storage::{Books, ExceptionScope, Outfit};
use wire::{ExceptionKind, ExceptionView};

use super::names::Names;
use crate::http::refusal::Refusal;
pub use counting::summary;
pub use listed::Listed;

/// What is needed to put a finding into words.
#[derive(Debug)]
struct Words<'a> {
    outfit: &'a Outfit,
    names: &'a Names,
}

/// What was found, and what could not be judged.
#[derive(Debug, Default)]
pub struct Exceptions {
    /// The exceptions, in the order in which they are listed.
    pub listed: Vec<Listed>,
    /// Which groups have too few figures, or nothing to tell them apart by.
    pub cannot_be_told: Vec<String>,
}

impl Exceptions {
    fn add(&mut self, views: Vec<ExceptionView>) -> Result<(), Refusal> {
        for view in views {
            self.listed.push(Listed::new(view)?);
        }
        Ok(())
    }
}

/// Finds the exceptions of some days; of one kind when one is asked for.
///
/// # Errors
///
/// Whatever the books answer; [`wire::Code::TooLarge`].
pub async fn exceptions(
    books: &mut Books,
    outfit: &Outfit,
    scope: ExceptionScope,
    only: Option<ExceptionKind>,
) -> Result<Exceptions, Refusal> {
    let names = Names::read(books).await?;
    let words = Words { outfit, names: &names };
    let mut found = Exceptions::default();
    for kind in ExceptionKind::ALL.iter().filter(|kind| only.is_none_or(|only| only == **kind)) {
        let views = of_kind(books, &words, scope, *kind, &mut found.cannot_be_told).await?;
        found.add(views)?;
    }
    found.listed.sort_by(|one, other| one.place.cmp(&other.place));
    Ok(found)
}

async fn of_kind(
    books: &mut Books,
    words: &Words<'_>,
    scope: ExceptionScope,
    kind: ExceptionKind,
    cannot_be_told: &mut Vec<String>,
) -> Result<Vec<ExceptionView>, Refusal> {
    use ExceptionKind as Kind;
    Ok(match kind {
        Kind::PiecePaidTwice => books.paid_twice(scope).await?.iter().map(paying::twice).collect(),
        Kind::PieceNeverPaid => {
            books.never_paid(scope).await?.iter().map(|found| paying::never(words, found)).collect()
        }
        Kind::SkiddedMoreThanFelled => {
            books.more_skidded(scope).await?.iter().map(moving::more_skidded).collect()
        }
        Kind::LogAlsoPaidAsLog => books.logs_also_paid(scope).await?.iter().map(moving::also_paid).collect(),
        Kind::TurnWithoutTicket | Kind::TicketWithoutCountedTurn => {
            let apart = books.turns_apart(scope).await?;
            apart.iter().map(|found| moving::turns(words, found)).filter(|view| view.kind == kind).collect()
        }
        Kind::ScaleBookGap => books.numbers_missing(scope).await?.iter().map(numbering::gap).collect(),
        Kind::ScaleBookRepeat => books.written_twice(scope).await?.iter().map(numbering::repeat).collect(),
        Kind::UnpricedPiece => {
            books.unpriced_work(scope).await?.iter().map(|found| paying::unpriced(words, found)).collect()
        }
        Kind::SetAsidePiece => books.set_aside_work(scope).await?.iter().map(paying::set_aside).collect(),
        Kind::LateTicket => books.late_tickets(scope).await?.iter().map(arriving::late).collect(),
        Kind::CorrectedAfterPosting => arriving::corrected(books, words, scope).await?,
        Kind::VolumeStandsOut => standing_out::find(&books.scaled_sticks(scope).await?, cannot_be_told)?,
        Kind::HewnYieldStandsOut => hewing::find(&books.hewn_sticks(scope).await?, cannot_be_told)?,
    })
}
