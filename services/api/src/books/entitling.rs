//! What the books entitle everybody to, and what was settled so far.

use std::collections::{BTreeMap, BTreeSet, HashMap};

use jiff::civil::Date;
use kernel::{Currency, DerivationId, Fixed, Money, TermsId};
use settlement::{Entitlement, Figures, LineKey, PayeeAmount, RateSummary, Settled, Side, week_ending};
use storage::{AccruedDay, Books, ContractParty, Outfit, PostedLine, ShareSet, Terms};

use super::names::Names;
use super::sharing::Sharing;
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
/// [`wire::Code::Internal`] when the terms do not have it.
pub fn rate_summary(terms: &TermsById, key: &LineKey) -> Result<RateSummary, Refusal> {
    terms
        .get(&key.terms)
        .and_then(|terms| terms.rates.as_slice().get(usize::from(key.rate)))
        .map(RateSummary::from)
        .ok_or_else(|| Refusal::internal(format!("{key}: the terms have no such rate")))
}

/// What days add up to for one key.
#[derive(Default)]
struct Sum<'a> {
    quantity: Fixed,
    pieces: i64,
    derivations: Vec<DerivationId>,
    /// How the crew shares; none on the mill's side.
    set: Option<&'a ShareSet>,
    days: Vec<(Date, Fixed)>,
}

/// Sums what days add up to into what each week, rate and party is entitled to.
///
/// # Errors
///
/// [`wire::Code::NoShareSet`] when a crew worked on a day for which it has no division of pay; [`wire::Code::NoHours`] when it
/// shares by hours and has none; [`wire::Code::TooLarge`].
pub fn entitlements(
    days: &[AccruedDay],
    outfit: &Outfit,
    sharing: &Sharing,
    terms: &TermsById,
    names: &Names,
) -> Result<Vec<Entitlement>, Refusal> {
    let mut sums: BTreeMap<LineKey, Sum<'_>> = BTreeMap::new();
    for day in days {
        let (side, set) = match day.party {
            ContractParty::Mill(mill) => (Side::Mill { mill }, None),
            ContractParty::Crew(crew) => {
                let set = sharing.on(crew, day.scaled_on, names)?;
                (Side::Crew { crew, share_set: set.id }, Some(set))
            }
        };
        let rate =
            day.rate_number.checked_sub(1).ok_or_else(|| Refusal::internal("a rate without a number"))?;
        let week = week_ending(day.scaled_on, outfit.week_ends_on);
        let key = LineKey { week, contract: day.contract, terms: day.terms, rate, side };
        let sum = sums.entry(key).or_default();
        sum.quantity = sum.quantity.plus(day.quantity)?;
        sum.pieces = sum.pieces.saturating_add(day.pieces);
        sum.derivations.extend(&day.derivations);
        sum.set = set;
        sum.days.push((day.scaled_on, day.quantity));
    }
    sums.into_iter()
        .map(|(key, Sum { quantity, pieces, derivations, set, days })| {
            let rate = rate_summary(terms, &key)?;
            let shares = match set {
                None => Vec::new(),
                Some(set) => sharing.shares(set, &days, names)?,
            };
            Ok(Entitlement { key, rate, quantity, pieces, derivations, shares })
        })
        .collect()
}

/// Adds up everything that was posted, by key.
///
/// # Errors
///
/// [`wire::Code::Internal`] when a line refers to terms that are not there; [`wire::Code::TooLarge`].
pub fn settled(lines: &[PostedLine], currency: Currency, terms: &TermsById) -> Result<Vec<Settled>, Refusal> {
    let mut sums: BTreeMap<LineKey, (Figures, BTreeMap<DerivationId, i32>)> = BTreeMap::new();
    for line in lines {
        let (figures, derivations) =
            sums.entry(line.key).or_insert_with(|| (Figures::nothing(currency), BTreeMap::new()));
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
        // Counted and not only noted, so that the order of the lines does not matter: it is that of drafting, and clocks
        // can be set back between two drafts.
        let changes =
            line.entered.iter().map(|one| (one, 1)).chain(line.withdrawn.iter().map(|one| (one, -1)));
        for (derivation, change) in changes {
            let times = derivations.entry(*derivation).or_insert(0_i32);
            *times = times.saturating_add(change);
        }
    }
    sums.into_iter()
        .map(|(key, (figures, derivations))| {
            let rate = rate_summary(terms, &key)?;
            let counted = derivations.into_iter().filter(|(_, times)| *times > 0);
            Ok(Settled {
                key,
                rate,
                figures,
                derivations: counted.map(|(derivation, _)| derivation).collect(),
            })
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;
    use serde_json::json;
    use storage::Stamp;

    /// A ticket was counted, and taken out again by the next week's settlement, whose draft has the smaller id, since the
    /// clock was set back.
    #[test]
    fn what_is_counted_does_not_hang_on_the_order_of_drafts() {
        let id = |last: u8| format!("0197a000-0000-7000-8000-0000000000{last:02}");
        let key = LineKey {
            week: date(2026, 6, 6),
            contract: id(1).parse().unwrap(),
            terms: id(2).parse().unwrap(),
            rate: 0,
            side: Side::Mill { mill: id(3).parse().unwrap() },
        };
        let rate =
            json!({"name": "ties", "task": "hewing", "product": "tie", "unit": "piece", "price": "0.48"});
        let terms = Terms {
            id: key.terms,
            contract: key.contract,
            effective_from: date(2026, 6, 1),
            revision: 1,
            practice: serde_json::from_value(json!({})).unwrap(),
            rates: serde_json::from_value(json!([rate])).unwrap(),
            holdback: None,
            check_tolerance: None,
            filed: Stamp { at: "2026-06-01T12:00:00Z".parse().unwrap(), by: "manager".to_owned() },
        };
        let (gone, kept): (DerivationId, DerivationId) = (id(4).parse().unwrap(), id(5).parse().unwrap());
        let line = |draft: u8, entered: Vec<DerivationId>, withdrawn: Vec<DerivationId>| PostedLine {
            settlement: id(draft).parse().unwrap(),
            number: 1,
            key,
            quantity: "0".parse().unwrap(),
            pieces: 0,
            amount_minor: 0,
            by_payee: Vec::new(),
            entered,
            withdrawn,
        };
        let lines = [line(6, Vec::new(), vec![gone]), line(7, vec![gone, kept], Vec::new())];
        let terms = TermsById::from([(terms.id, terms)]);
        let sums = settled(&lines, "USD".parse().unwrap(), &terms).unwrap();
        assert_eq!(sums[0].derivations, [kept]);
    }
}
