//! What a check scale comes to under each rate, in quantity and in money.

use std::collections::BTreeMap;

use audit::{CheckMeasure, Number, ScaleTotals, Stratum};
use kernel::{Fixed, Money, TermsId};
use settlement::{Basis, Rate, RateUnit};
use storage::{AdjustedQuantity, ContractParty, Outfit, Terms};
use wire::{CheckMoneyLine, CheckMoneyView};

use super::comparing::Compared;
use super::verdict::statistic;
use crate::http::refusal::Refusal;

/// The effect of a check scale.
#[derive(Debug)]
pub struct Effect {
    /// What an adjustment would add, by day, terms and rate.
    pub quantities: Vec<AdjustedQuantity>,
    /// The same priced.
    pub money: CheckMoneyView,
}

/// What an adjustment would add: every day of the lot under every rate × (ratio - 1). `party` is the name of whom the
/// contract is with.
///
/// # Errors
///
/// [`wire::Code::TooLarge`]; [`wire::Code::Internal`] when the lot refers to a rate that is not there.
pub fn effect(compared: &Compared, outfit: &Outfit, party: &str) -> Result<Effect, Refusal> {
    let mut rates: BTreeMap<(TermsId, u16), RateEffect<'_>> = BTreeMap::new();
    for ((day, terms, number), held) in &compared.lot.quantities {
        let key = (*terms, *number);
        let rate = rate_of(&compared.standard.terms, key)?;
        let entry = rates.entry(key).or_insert_with(|| RateEffect::of(rate, &compared.strata));
        if let Ok(ratio) = &entry.ratio {
            let part = ratio.minus(&Number::whole(1));
            let quantity = Number::from(*held).times(&part).shown(6).map_err(statistic)?;
            entry.held = entry.held.plus(*held)?;
            entry.change = entry.change.plus(quantity)?;
            let ratio = ratio.to_string();
            let (terms, rate_number) = key;
            let scaled_on = *day;
            entry.days.push(AdjustedQuantity { scaled_on, terms, rate_number, held: *held, ratio, quantity });
        }
    }
    let mut effect = Effect { quantities: Vec::new(), money: nothing(compared, outfit) };
    for ((terms, number), one) in rates {
        match &one.ratio {
            Err(why) => effect.money.says.push(format!("rate {number}, {}: {why}", one.rate.name())),
            Ok(ratio) => {
                let line = line((terms, number), &one, ratio, outfit)?;
                effect.money.amount = effect.money.amount.plus(line.amount)?;
                effect.money.lines.push(line);
                effect.quantities.extend(one.days.into_iter().filter(|day| !day.quantity.is_zero()));
            }
        }
    }
    effect.money.says.insert(0, direction(compared, effect.money.amount, party));
    if compared.lot.corrected > 0 {
        effect.money.says.push(format!(
            "{} of the lot's {} tickets were corrected since the check: they are set right by themselves and are left out",
            compared.lot.corrected, compared.lot.tickets
        ));
    }
    Ok(effect)
}

fn nothing(compared: &Compared, outfit: &Outfit) -> CheckMoneyView {
    CheckMoneyView {
        lines: Vec::new(),
        amount: Money::zero(outfit.currency),
        asked_for: compared.verdict.asks_for_adjustment(),
        says: Vec::new(),
    }
}

fn direction(compared: &Compared, amount: Money, party: &str) -> String {
    let more_or_less = match amount.minor() {
        0 => return "it comes to nothing in money".to_owned(),
        minor if minor > 0 => "more",
        _ => "less",
    };
    let what = match compared.standard.contract.party {
        ContractParty::Crew(_) => format!("{party} would be paid {more_or_less}"),
        ContractParty::Mill(_) => format!("{party} would owe {more_or_less}"),
    };
    let asked = if compared.verdict.asks_for_adjustment() {
        "the tolerance asks for it"
    } else {
        "the tolerance does not ask for it"
    };
    format!("{what}: {amount}; {asked}")
}

fn rate_of(terms: &[Terms], (id, number): (TermsId, u16)) -> Result<&Rate, Refusal> {
    let terms = terms.iter().find(|terms| terms.id == id);
    let place = number.checked_sub(1).map(usize::from);
    let rate = terms.zip(place).and_then(|(terms, place)| terms.rates.as_slice().get(place));
    rate.ok_or_else(|| Refusal::internal(format!("terms {id} have no rate {number}")))
}

/// What is found for one rate.
struct RateEffect<'a> {
    rate: &'a Rate,
    /// The ratio it goes by, or why it goes by none.
    ratio: Result<Number, String>,
    held: Fixed,
    change: Fixed,
    days: Vec<AdjustedQuantity>,
}

impl<'a> RateEffect<'a> {
    fn of(rate: &'a Rate, strata: &[Stratum]) -> Self {
        Self { rate, ratio: ratio(rate, strata), held: Fixed::ZERO, change: Fixed::ZERO, days: Vec::new() }
    }
}

/// The ratio that a rate goes by: of the volume it pays for, of length, or of the count.
fn ratio(rate: &Rate, strata: &[Stratum]) -> Result<Number, String> {
    let unit = rate.unit();
    let Some(product) = rate.product() else {
        return Err("a check scale does not change what is paid by the turn or by time".to_owned());
    };
    let of_product = |stratum: &&Stratum| stratum.product == product;
    let none = || format!("no {} was sampled by which it could go", product.name().replace('_', " "));
    if let Some(volume) = unit.volume_unit() {
        let stratum = strata.iter().filter(of_product).find(|one| one.unit == Some(volume));
        let measure = match rate.basis() {
            Some(Basis::Gross) => CheckMeasure::Gross,
            Some(Basis::Net) | None => CheckMeasure::Net,
        };
        let ratio = stratum.ok_or_else(none)?.ratio(measure, None).map_err(|_| none())?;
        return Ok(ratio.exact().clone());
    }
    let by_length = matches!(unit, RateUnit::LinearFoot | RateUnit::LinearMetre);
    let figure = |totals: &ScaleTotals| {
        if by_length { Number::from(totals.length) } else { Number::whole(i128::from(totals.pieces)) }
    };
    let (mut original, mut check) = (Number::whole(0), Number::whole(0));
    for stratum in strata.iter().filter(of_product) {
        original = original.plus(&figure(&stratum.totals.original));
        check = check.plus(&figure(&stratum.totals.check));
    }
    check.over(&original).map_err(|_| none())
}

fn line(
    (terms_id, rate_number): (TermsId, u16),
    found: &RateEffect<'_>,
    ratio: &Number,
    outfit: &Outfit,
) -> Result<CheckMoneyLine, Refusal> {
    let rate = found.rate;
    let working =
        settlement::explain_amount(found.change, rate.signed_price(), rate.unit(), outfit.currency)?;
    Ok(CheckMoneyLine {
        terms_id,
        rate_number,
        rate_name: rate.name().as_str().to_owned(),
        task: rate.task(),
        unit: rate.unit(),
        basis: rate.basis(),
        price: rate.signed_price(),
        quantity: found.held,
        ratio: ratio.shown(6).map_err(statistic)?,
        change: found.change,
        exact: working.exact,
        amount: working.amount,
    })
}
