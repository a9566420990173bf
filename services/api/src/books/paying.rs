//! What each worker's pay comes to beside the lines of work: what is added for his hours, and what is kept back.

use std::collections::{BTreeMap, BTreeSet};

use jiff::civil::Date;
use kernel::{ContractId, Exact, Fixed, Money, WorkerId};
use settlement::{
    Due, Entitlement, Hours, Keeping, Line, Pay, Payee, Purse, Supplement, SupplementKey, WageTerms, Week,
    WeekEarned, WeekWages, WorkedWeek, earned_by_week, earned_by_worker, holdback_due, recovery_due, restate,
    take_off,
};
use storage::{AdvanceState, Books, ChargeState, Days, Outfit, WageTermsFiled};
use wire::{HoursView, PayView, SupplementView, TakeOffView};

use super::entitling::TermsById;
use super::hours::{WeekHours, week_hours};
use super::names::Names;
use crate::http::refusal::Refusal;

/// What a week's pay is worked out from beside its lines, as the books have it at some moment.
#[derive(Debug, Default)]
pub struct PayRecords {
    /// Charges of which something is still to be taken or given back.
    pub charges: Vec<ChargeState>,
    /// Advances likewise.
    pub advances: Vec<AdvanceState>,
    /// What is held of each worker under each contract.
    pub held: BTreeMap<(WorkerId, ContractId), i64>,
    /// What everybody has coming.
    pub balances: BTreeMap<Payee, i64>,
    /// The hours of each worker's weeks that are stated.
    pub hours: BTreeMap<(Date, WorkerId), WeekHours>,
    /// Every wage terms filed.
    pub wage_terms: Vec<WageTermsFiled>,
    /// What was added before to each week that is stated.
    pub formerly: BTreeMap<SupplementKey, i64>,
}

impl PayRecords {
    /// As the books have it now, for the settlement of a week that states these days.
    async fn read(
        books: &mut Books,
        outfit: &Outfit,
        (week, stated): (Date, &[Days]),
    ) -> Result<Self, Refusal> {
        let mut formerly = BTreeMap::new();
        for days in stated {
            formerly.extend(books.posted_supplements(*days).await?);
        }
        Ok(Self {
            charges: books.charges_due(week).await?,
            advances: books.advances_due(week).await?,
            held: books.held().await?,
            balances: books.balances().await?,
            hours: week_hours(books, outfit, stated).await?,
            wage_terms: books.wage_terms().await?,
            formerly,
        })
    }
}

/// The same with the wages worked out.
struct Found {
    charges: Vec<ChargeState>,
    advances: Vec<AdvanceState>,
    held: BTreeMap<(WorkerId, ContractId), i64>,
    balances: BTreeMap<Payee, i64>,
    hours: BTreeMap<(Date, WorkerId), WeekHours>,
    wages: BTreeMap<(Date, WorkerId), WeekWages>,
}

/// The pay of everybody whom the settlement of `week` pays, adds to, or gives back to, and the same as it is shown.
///
/// # Errors
///
/// [`wire::Code::TooLarge`]; whatever the books answer.
pub async fn pays(
    books: &mut Books,
    outfit: &Outfit,
    (week, stated): (Date, &[Days]),
    (lines, entitlements): (&[Line], &[Entitlement]),
    terms: &TermsById,
    names: &Names,
) -> Result<(Vec<Pay>, Vec<PayView>), Refusal> {
    let records = PayRecords::read(books, outfit, (week, stated)).await?;
    let earned = earned_by_week(entitlements, outfit.currency).map_err(Refusal::internal)?;
    pays_from(records, outfit, week, (lines, &earned), terms, names)
}

/// The same from records that were read, and what each worker's weeks brought.
///
/// # Errors
///
/// [`wire::Code::TooLarge`].
pub fn pays_from(
    records: PayRecords,
    outfit: &Outfit,
    week: Date,
    (lines, earned): (&[Line], &BTreeMap<(Date, WorkerId), WeekEarned>),
    terms: &TermsById,
    names: &Names,
) -> Result<(Vec<Pay>, Vec<PayView>), Refusal> {
    let money = |minor| Money::from_minor(minor, outfit.currency);
    let PayRecords { charges, advances, held, balances, hours, wage_terms, formerly } = records;
    let wages = worked_out(outfit, &wage_terms, &hours, earned)?;
    let found = Found { charges, advances, held, balances, hours, wages };
    let formerly = formerly.into_iter().map(|(key, minor)| (key, money(minor))).collect();
    let supplements = restate(week, outfit.currency, &amounts(&found.wages), &formerly)?;
    let earned = earned_by_worker(lines)?;
    let mut workers: BTreeSet<WorkerId> = earned.keys().copied().collect();
    workers.extend(supplements.iter().map(|line| line.key.worker));
    workers.extend(found.owed_back());
    let mut pays = Vec::with_capacity(workers.len());
    let mut views = Vec::with_capacity(workers.len());
    for worker in workers {
        let mut pay = Pay {
            worker,
            earned: earned.get(&worker).copied().unwrap_or(money(0)),
            supplements: supplements.iter().filter(|line| line.key.worker == worker).copied().collect(),
            take_offs: Vec::new(),
        };
        let purse = found.purse(&pay, week, outfit)?;
        pay.take_offs = take_off(&purse, &found.dues(&pay, lines, terms, outfit)?)?;
        views.push(found.view(&pay, &purse, week, names)?);
        pays.push(pay);
    }
    Ok((pays, views))
}

/// The wage terms that hold for the week that ends on `week`: those in force on its first day.
fn terms_of<'a>(filed: &'a [WageTermsFiled], outfit: &Outfit, week: Date) -> Option<&'a WageTerms> {
    let first = Week::containing(week, outfit.week_ends_on).first_day();
    let held = filed.iter().filter(|one| one.effective_from <= first);
    held.max_by_key(|one| (one.effective_from, one.revision)).map(|one| &one.terms)
}

/// What is added to each week that has hours.
fn worked_out(
    outfit: &Outfit,
    filed: &[WageTermsFiled],
    hours: &BTreeMap<(Date, WorkerId), WeekHours>,
    earned: &BTreeMap<(Date, WorkerId), WeekEarned>,
) -> Result<BTreeMap<(Date, WorkerId), WeekWages>, Refusal> {
    let nothing = Money::zero(outfit.currency);
    let mut wages = BTreeMap::new();
    for (key, hours) in hours {
        let Some(terms) = terms_of(filed, outfit, key.0) else { continue };
        let earned = earned.get(key);
        let worked = WorkedWeek {
            by_pieces: earned.map_or(nothing, |one| one.by_pieces),
            by_time: earned.map_or(nothing, |one| one.by_time),
            piece_hours: of_a_week(hours.piece_work)?,
            time_hours: of_a_week(hours.paid_by_time)?,
            rest_hours: of_a_week(hours.rest)?,
        };
        wages.insert(*key, settlement::wages(terms, &worked)?);
    }
    Ok(wages)
}

fn of_a_week(hours: Exact) -> Result<Hours, Refusal> {
    let fixed: Fixed = hours.fixed()?;
    Hours::try_from(fixed).map_err(Refusal::internal)
}

fn amounts(wages: &BTreeMap<(Date, WorkerId), WeekWages>) -> BTreeMap<SupplementKey, Money> {
    let mut amounts = BTreeMap::new();
    for ((week, worker), wages) in wages {
        for (supplement, amount) in [
            (Supplement::GuaranteeMakeUp, wages.guarantee_make_up),
            (Supplement::MinimumMakeUp, wages.minimum_make_up),
            (Supplement::RestPay, wages.rest_pay),
            (Supplement::OvertimePremium, wages.overtime_premium),
        ] {
            amounts.insert(SupplementKey { week: *week, worker: *worker, supplement }, amount);
        }
    }
    amounts
}

impl Found {
    /// Those who must be given something back, whether or not they are paid anything.
    fn owed_back(&self) -> impl Iterator<Item = WorkerId> {
        let charges = self.charges.iter().filter(|one| one.outstanding_minor() < 0);
        let advances = self.advances.iter().filter(|one| one.outstanding_minor() < 0);
        charges.map(|one| one.charge.worker).chain(advances.map(|one| one.advance.worker))
    }

    fn purse(&self, pay: &Pay, week: Date, outfit: &Outfit) -> Result<Purse, Refusal> {
        let balance = self.balances.get(&Payee::Worker(pay.worker)).copied().unwrap_or_default();
        let protected = match self.wages.get(&(week, pay.worker)) {
            Some(wages) => wages.minimum.plus(wages.overtime_premium)?,
            None => Money::zero(outfit.currency),
        };
        Ok(Purse {
            pay: pay.earned.plus(pay.added()?)?,
            brought_forward: Money::from_minor(balance, outfit.currency),
            protected,
        })
    }

    /// What is due of a worker, in the order in which it is kept back: holdback, then advances, then charges, the older
    /// ones first.
    fn dues(
        &self,
        pay: &Pay,
        lines: &[Line],
        terms: &TermsById,
        outfit: &Outfit,
    ) -> Result<Vec<Due>, Refusal> {
        let money = |minor| Money::from_minor(minor, outfit.currency);
        let mut dues = self.holdbacks(pay, lines, terms, outfit)?;
        let paid = pay.earned.plus(pay.added()?)?;
        for state in self.advances.iter().filter(|one| one.advance.worker == pay.worker) {
            let outstanding = money(state.outstanding_minor());
            let back = outstanding.minor() < 0;
            let recovery = state.advance.recovery;
            let amount = if back { outstanding } else { recovery_due(recovery, outstanding, paid)? };
            let keeping = Keeping::Advance { advance: state.advance.id };
            dues.push(Due { keeping, amount, cuts_into_minimum: false });
        }
        for state in self.charges.iter().filter(|one| one.charge.worker == pay.worker) {
            let charge = &state.charge;
            let outstanding = state.outstanding_minor();
            let most = charge.most_a_week_minor.unwrap_or(outstanding);
            dues.push(Due {
                keeping: Keeping::Charge { charge: charge.id, kind: charge.kind },
                amount: money(outstanding.min(most)),
                cuts_into_minimum: charge.cuts_into_minimum,
            });
        }
        dues.retain(|due| !due.amount.is_zero());
        Ok(dues)
    }

    /// The holdback of each contract, by the terms that its lines stand under.
    fn holdbacks(
        &self,
        pay: &Pay,
        lines: &[Line],
        terms: &TermsById,
        outfit: &Outfit,
    ) -> Result<Vec<Due>, Refusal> {
        let mut paid = BTreeMap::new();
        for line in lines {
            let mine = line.change.by_payee.iter().filter(|share| share.payee == Payee::Worker(pay.worker));
            for share in mine {
                let key = (line.key.contract, line.key.terms);
                let sum = paid.entry(key).or_insert(Money::zero(outfit.currency));
                *sum = sum.plus(share.amount)?;
            }
        }
        let mut dues = Vec::new();
        let mut held: BTreeMap<ContractId, Money> = BTreeMap::new();
        for ((contract, id), paid) in paid {
            let Some(holdback) = terms.get(&id).and_then(|terms| terms.holdback) else { continue };
            let before = self.held.get(&(pay.worker, contract)).copied().unwrap_or_default();
            let held = held.entry(contract).or_insert(Money::from_minor(before, outfit.currency));
            let amount = holdback_due(&holdback, paid, *held)?;
            *held = held.plus(amount)?;
            dues.push(Due { keeping: Keeping::Holdback { contract }, amount, cuts_into_minimum: false });
        }
        Ok(dues)
    }

    fn view(&self, pay: &Pay, purse: &Purse, week: Date, names: &Names) -> Result<PayView, Refusal> {
        let wages = self.wages.get(&(week, pay.worker));
        let hours = self.hours.get(&(week, pay.worker)).map(|hours| hours_view(hours, wages)).transpose()?;
        Ok(PayView {
            payee: names.payee(Payee::Worker(pay.worker)),
            earned: pay.earned,
            hours,
            regular_rate: wages.and_then(|wages| wages.regular_rate),
            supplements: pay
                .supplements
                .iter()
                .map(|line| SupplementView {
                    kind: line.kind,
                    week_ends_on: line.key.week,
                    supplement: line.key.supplement,
                    amount: line.change,
                    now_amount: line.now,
                    formerly_amount: line.formerly,
                })
                .collect(),
            added: pay.added()?,
            take_offs: pay.take_offs.iter().map(|one| self.take_off_view(one, names)).collect(),
            kept_back: pay.kept_back()?,
            total: pay.total()?,
            protected: purse.protected,
            working: self.working(pay),
        })
    }

    fn take_off_view(&self, one: &settlement::TakeOff, names: &Names) -> TakeOffView {
        let mut view = TakeOffView {
            contract_id: None,
            advance_id: None,
            charge_id: None,
            charge_kind: None,
            dated: None,
            says: String::new(),
            due: one.due,
            taken: one.taken,
            carried: one.carried,
        };
        match one.keeping {
            Keeping::Holdback { contract } => {
                view.contract_id = Some(contract);
                view.says = format!("holdback of {}", names.contract(contract));
            }
            Keeping::Advance { advance } => {
                let state = self.advances.iter().find(|state| state.advance.id == advance);
                view.advance_id = Some(advance);
                view.dated = state.map(|state| state.advance.dated);
                view.says = state.map(|state| state.advance.says.clone()).unwrap_or_default();
            }
            Keeping::Charge { charge, kind } => {
                let state = self.charges.iter().find(|state| state.charge.id == charge);
                view.charge_id = Some(charge);
                view.charge_kind = Some(kind);
                view.dated = state.map(|state| state.charge.dated);
                view.says = state.map(|state| state.charge.says.clone()).unwrap_or_default();
            }
        }
        view
    }

    /// The working of every week of which something is added by this pay.
    fn working(&self, pay: &Pay) -> Vec<String> {
        let weeks: BTreeSet<Date> = pay.supplements.iter().map(|line| line.key.week).collect();
        let mut working = Vec::new();
        for week in weeks {
            if let Some(wages) = self.wages.get(&(week, pay.worker)) {
                working.extend(wages.working.iter().map(|says| format!("week that ended on {week}: {says}")));
            }
        }
        working
    }
}

fn hours_view(hours: &WeekHours, wages: Option<&WeekWages>) -> Result<HoursView, Refusal> {
    Ok(HoursView {
        piece_work: hours.piece_work,
        paid_by_time: hours.paid_by_time,
        rest: hours.rest,
        all: hours.piece_work.plus(hours.paid_by_time)?.plus(hours.rest)?,
        overtime: wages.map_or(Exact::ZERO, |wages| wages.overtime_hours),
    })
}
