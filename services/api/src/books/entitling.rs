//! What the books entitle everybody to, and what was settled so far.

use std::collections::{BTreeMap, BTreeSet, HashMap};

use jiff::civil::Date;
use kernel::{CrewId, Currency, DerivationId, Fixed, Money, TermsId};
use settlement::{
    Entitlement, Figures, LineKey, PayeeAmount, RateSummary, Settled, Share, Side, week_ending,
};
use storage::{AccruedDay, Books, ContractParty, Outfit, PostedLine, ShareSet, Terms};
use wire::Code;

use super::names::Names;
use crate::http::refusal::Refusal;

/// The terms that lines refer to, by id.
pub type TermsById = HashMap<TermsId, Terms>;

/// Reads the terms with these ids.
///
/// # Errors
///
/// Whatever the books answer.
pub async fn terms_by_id(
    books: &mut Books,
    ids: impl Iterator<Item = TermsId>,
) -> Result<TermsById, Refusal> {
    let ids: Vec<_> = ids.collect::<BTreeSet<_>>().into_iter().collect();
    Ok(books.terms_by_id(&ids).await?.into_iter().map(|terms| (terms.id, terms)).collect())
}

/// What a line says of its rate.
///
/// # Errors
///
/// [`Code::Internal`] when the terms do not have it.
pub fn rate_summary(terms: &TermsById, key: &LineKey) -> Result<RateSummary, Refusal> {
    terms
        .get(&key.terms)
        .and_then(|terms| terms.rates.as_slice().get(usize::from(key.rate)))
        .map(RateSummary::from)
        .ok_or_else(|| Refusal::internal(format!("{key}: the terms have no such rate")))
}

/// Sums what days add up to into what each week, rate and party is entitled to.
///
/// # Errors
///
/// [`Code::NoShareSet`] when a crew worked on a day for which it has no division of pay; [`Code::TooLarge`].
pub fn entitlements(
    days: &[AccruedDay],
    outfit: &Outfit,
    share_sets: &[ShareSet],
    terms: &TermsById,
    names: &Names,
) -> Result<Vec<Entitlement>, Refusal> {
    let mut sums: BTreeMap<LineKey, (Fixed, i64, Vec<DerivationId>, Vec<Share>)> = BTreeMap::new();
    for day in days {
        let (side, shares) = side(day, share_sets, names)?;
        let rate =
            day.rate_number.checked_sub(1).ok_or_else(|| Refusal::internal("a rate without a number"))?;
        let week = week_ending(day.scaled_on, outfit.week_ends_on);
        let key = LineKey { week, contract: day.contract, terms: day.terms, rate, side };
        let sum = sums.entry(key).or_insert_with(|| (Fixed::ZERO, 0, Vec::new(), shares));
        sum.0 = sum.0.plus(day.quantity)?;
        sum.1 = sum.1.saturating_add(day.pieces);
        sum.2.extend(&day.derivations);
    }
    sums.into_iter()
        .map(|(key, (quantity, pieces, derivations, shares))| {
            let rate = rate_summary(terms, &key)?;
            Ok(Entitlement { key, rate, quantity, pieces, derivations, shares })
        })
        .collect()
}

fn side(day: &AccruedDay, share_sets: &[ShareSet], names: &Names) -> Result<(Side, Vec<Share>), Refusal> {
    match day.party {
        ContractParty::Mill(mill) => Ok((Side::Mill { mill }, Vec::new())),
        ContractParty::Crew(crew) => {
            let set = share_set_on(share_sets, crew, day.scaled_on)
                .ok_or_else(|| no_share_set(&names.crew(crew), day.scaled_on))?;
            let shares =
                set.shares.iter().map(|one| Share { worker: one.worker, parts: one.parts }).collect();
            Ok((Side::Crew { crew, share_set: set.id }, shares))
        }
    }
}

/// How a crew divides its pay of a day: as filed for the latest day on or before it and, among those, the latest filed.
#[must_use]
pub fn share_set_on(sets: &[ShareSet], crew: CrewId, day: Date) -> Option<&ShareSet> {
    sets.iter()
        .filter(|set| set.crew == crew && set.effective_from <= day)
        .max_by_key(|set| (set.effective_from, set.revision))
}

fn no_share_set(crew: &str, day: Date) -> Refusal {
    Refusal::new(
        Code::NoShareSet,
        format!("{crew} worked on {day} and has no division of its pay for that day"),
    )
}

/// Adds up everything that was posted, by key.
///
/// # Errors
///
/// [`Code::Internal`] when a line refers to terms that are not there; [`Code::TooLarge`].
pub fn settled(lines: &[PostedLine], currency: Currency, terms: &TermsById) -> Result<Vec<Settled>, Refusal> {
    let mut sums: BTreeMap<LineKey, (Figures, BTreeSet<DerivationId>)> = BTreeMap::new();
    for line in lines {
        let (figures, derivations) =
            sums.entry(line.key).or_insert_with(|| (Figures::nothing(currency), BTreeSet::new()));
        figures.quantity = figures.quantity.plus(line.quantity)?;
        figures.pieces = figures.pieces.saturating_add(line.pieces);
        figures.amount = figures.amount.plus(Money::from_minor(line.amount_minor, currency))?;
        for (payee, minor) in &line.by_payee {
            let amount = Money::from_minor(*minor, currency);
            match figures.by_payee.iter_mut().find(|share| share.payee == *payee) {
                Some(share) => share.amount = share.amount.plus(amount)?,
                None => figures.by_payee.push(PayeeAmount { payee: *payee, amount }),
            }
        }
        for gone in &line.withdrawn {
            derivations.remove(gone);
        }
        derivations.extend(&line.entered);
    }
    sums.into_iter()
        .map(|(key, (figures, derivations))| {
            let rate = rate_summary(terms, &key)?;
            Ok(Settled { key, rate, figures, derivations: derivations.into_iter().collect() })
        })
        .collect()
}
