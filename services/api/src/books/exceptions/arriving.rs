//! Tickets that came, or were corrected, after their week had been posted.

use kernel::{Exact, Fixed, Money};
use storage::{AccruedQuantity, Books, CorrectedAfterPosting, ExceptionScope, Found, LateTicket};
use wire::{ExceptionKind, ExceptionView};

use super::Words;
use super::listed::{begin, named};
use crate::books::entitling::{TermsById, terms_by_id};
use crate::http::refusal::Refusal;

/// A ticket that came late.
pub(super) fn late(found: &Found<LateTicket>) -> ExceptionView {
    let LateTicket { made_by, made_at, settlement_id, week_ends_on } = &found.figures;
    let says = format!(
        "ticket {} of {} was posted by {made_by} after the week ending {week_ends_on} had been settled",
        named(&found.tickets),
        found.day
    );
    let mut view = ExceptionView {
        made_by: Some(made_by.clone()),
        made_at: Some(*made_at),
        settlement_id: Some(*settlement_id),
        ..begin(ExceptionKind::LateTicket, found, says)
    };
    view.links.push(format!("/v1/settlements/{settlement_id}"));
    view
}

/// Corrections after posting, with what each changes.
pub(super) async fn corrected(
    books: &mut Books,
    words: &Words<'_>,
    scope: ExceptionScope,
) -> Result<Vec<ExceptionView>, Refusal> {
    let found = books.corrected_after_posting(scope).await?;
    let quantities = found.iter().flat_map(|one| one.figures.before.iter().chain(&one.figures.after));
    let terms = terms_by_id(books, quantities.map(|one| one.terms_id)).await?;
    found.iter().map(|one| correction(words, one, &terms)).collect()
}

fn correction(
    words: &Words<'_>,
    found: &Found<CorrectedAfterPosting>,
    terms: &TermsById,
) -> Result<ExceptionView, Refusal> {
    let CorrectedAfterPosting { made_by, made_at, reason, settlement_id, before, after } = &found.figures;
    let change = |owed_by_mill: bool| -> Result<Money, Refusal> {
        let now = worth(after, owed_by_mill, terms)?;
        let then = worth(before, owed_by_mill, terms)?;
        Ok(Money::from_exact(now.minus(then)?, words.outfit.currency)?)
    };
    let (crews, mills) = (change(false)?, change(true)?);
    let [wrong, right] = [0, 1].map(|at| found.tickets.get(at..=at).map(named).unwrap_or_default());
    let says = format!(
        "ticket {wrong} was corrected by {right} after its week had been settled, by {made_by}: {reason}; what crews \
         earn changes by {crews}, what mills owe by {mills}"
    );
    let mut view = ExceptionView {
        made_by: Some(made_by.clone()),
        made_at: Some(*made_at),
        reason: Some(reason.clone()),
        settlement_id: *settlement_id,
        crews_change: Some(crews),
        mills_change: Some(mills),
        ..begin(ExceptionKind::CorrectedAfterPosting, found, says)
    };
    view.links.extend(settlement_id.map(|id| format!("/v1/settlements/{id}")));
    Ok(view)
}

/// What quantities are worth at their rates, not rounded.
fn worth(quantities: &[AccruedQuantity], owed_by_mill: bool, terms: &TermsById) -> Result<Exact, Refusal> {
    let mut sum = Exact::ZERO;
    for one in quantities.iter().filter(|one| one.owed_by_mill == owed_by_mill) {
        let place = one.rate_number.checked_sub(1).map(usize::from);
        let rates = terms.get(&one.terms_id).map(|terms| terms.rates.as_slice());
        let rate = place.and_then(|place| rates?.get(place)).ok_or_else(|| {
            Refusal::internal(format!("terms {} have no rate {}", one.terms_id, one.rate_number))
        })?;
        let whole = Fixed::from_millionths(one.quantity).exact().times(rate.signed_price().exact())?;
        sum = sum.plus(whole.over(Exact::of(rate.unit().counted_per_unit().into()))?)?;
    }
    Ok(sum)
}
