//! What a mill owes for wood, what crews earn on the same wood, and what is left between the two.

use std::collections::{BTreeMap, HashMap};

use jiff::Span;
use jiff::civil::Date;
use kernel::{CrewId, Currency, Exact, JobId, MillId, Money, VolumeUnit};
use settlement::{Payee, Task};
use storage::{Wood, WoodAccrued, WoodOf, WoodTickets};
use wire::{MadeOf, Margin, MarginPerUnit, MarginRow, MarginTask, MarginVolume, NotDelivered};

use super::auditing::addresses::TicketsOf;
use super::entitling::TermsById;
use super::names::Names;
use crate::http::refusal::Refusal;

/// What every margin says of itself.
const LEAVES_OUT: &str = "Counted is what the tickets' rates bring, on both sides. Make-up to a guarantee or a minimum, \
premiums for overtime, pay for rest, hours and days that are tied to no ticket, charges kept back of pay, and \
adjustments of volume after check scales are not in it; nor is anything that no rate covers yet.";

/// The names that a margin shows.
#[derive(Clone, Copy, Debug)]
pub struct Naming<'a> {
    /// Of mills.
    pub names: &'a Names,
    /// Of jobs.
    pub jobs: &'a HashMap<JobId, String>,
    /// The crew whose tickets the wood is on, where only those are asked about.
    pub crew: Option<CrewId>,
}

impl Naming<'_> {
    fn job(&self, job: JobId) -> String {
        self.jobs.get(&job).cloned().unwrap_or_default()
    }
}

/// The margin on the wood of some days, both of them included.
///
/// # Errors
///
/// [`wire::Code::TooLarge`]; [`wire::Code::Internal`] when an accrual refers to terms that are not there.
pub fn margin(
    (from, to): (Date, Date),
    wood: &Wood,
    terms: &TermsById,
    currency: Currency,
    naming: &Naming<'_>,
) -> Result<Margin, Refusal> {
    let nothing = Money::zero(currency);
    let mut shown = Margin {
        from,
        to,
        rows: Vec::new(),
        owed: nothing,
        cost: nothing,
        margin: nothing,
        not_delivered: Vec::new(),
        leaves_out: LEAVES_OUT.to_owned(),
    };
    for tickets in &wood.tickets {
        let sides = Sides::of(tickets.of, &wood.accrued, terms, currency)?;
        match tickets.of.mill {
            Some(mill) => {
                let row = row(tickets, mill, sides, (wood, (from, to)), naming)?;
                shown.owed = shown.owed.plus(row.owed)?;
                shown.cost = shown.cost.plus(row.cost)?;
                shown.rows.push(row);
            }
            None => shown.not_delivered.extend(not_delivered(tickets, &sides, naming)),
        }
    }
    shown.margin = shown.owed.minus(shown.cost)?;
    Ok(shown)
}

/// What both sides of some wood come to.
struct Sides {
    owed_exact: Exact,
    owed: Money,
    tasks: Vec<MarginTask>,
    cost: Money,
}

impl Sides {
    fn of(
        wood: WoodOf,
        accrued: &[WoodAccrued],
        terms: &TermsById,
        currency: Currency,
    ) -> Result<Self, Refusal> {
        let mut owed_exact = Exact::ZERO;
        let mut by_task: BTreeMap<Task, Exact> = BTreeMap::new();
        for one in accrued.iter().filter(|one| one.of == wood) {
            let (task, worth) = worth(one, terms, currency)?;
            let sum =
                if one.owed_by_mill { &mut owed_exact } else { by_task.entry(task).or_insert(Exact::ZERO) };
            *sum = sum.plus(worth)?;
        }
        let mut cost = Money::zero(currency);
        let mut tasks = Vec::with_capacity(by_task.len());
        for (task, exact) in by_task {
            let rounded = Money::from_exact(exact, currency)?;
            let one = MarginTask { task, exact, cost: rounded, per_unit: None };
            cost = cost.plus(one.cost)?;
            tasks.push(one);
        }
        Ok(Self { owed_exact, owed: Money::from_exact(owed_exact, currency)?, tasks, cost })
    }
}

/// The task that a rate pays, and what its quantity is worth, exactly.
fn worth(one: &WoodAccrued, terms: &TermsById, currency: Currency) -> Result<(Task, Exact), Refusal> {
    let missing = || Refusal::internal(format!("terms {} have no rate {}", one.terms, one.rate_number));
    let place = one.rate_number.checked_sub(1).map(usize::from).ok_or_else(missing)?;
    let rate =
        terms.get(&one.terms).and_then(|terms| terms.rates.as_slice().get(place)).ok_or_else(missing)?;
    let working = settlement::explain_amount(one.quantity, rate.signed_price(), rate.unit(), currency)?;
    Ok((rate.task(), working.exact))
}

fn row(
    tickets: &WoodTickets,
    mill: MillId,
    mut sides: Sides,
    (wood, days): (&Wood, (Date, Date)),
    naming: &Naming<'_>,
) -> Result<MarginRow, Refusal> {
    let of = tickets.of;
    let volumes: Vec<_> = wood
        .volumes
        .iter()
        .filter(|volume| volume.of == of)
        .map(|volume| MarginVolume {
            unit: volume.unit,
            pieces: volume.pieces,
            culls: volume.culls,
            gross: volume.gross,
            net: volume.net,
        })
        .collect();
    let margin = sides.owed.minus(sides.cost)?;
    let per_unit = match volumes.as_slice() {
        [MarginVolume { unit: Some(unit), net, .. }] if !net.is_zero() => {
            for task in &mut sides.tasks {
                task.per_unit = Some(on_unit(*unit, net.exact(), task.cost)?);
            }
            Some(per_unit(*unit, net.exact(), (sides.owed, sides.cost, margin))?)
        }
        _ => None,
    };
    Ok(MarginRow {
        job_id: of.job,
        job_name: naming.job(of.job),
        mill_id: mill,
        mill_name: naming.names.payee(Payee::Mill(mill)).name,
        tickets: tickets.tickets,
        tickets_without_crew_cost: tickets.without_crews,
        tickets_without_price: tickets.without_mill,
        volumes,
        owed_exact: sides.owed_exact,
        owed: sides.owed,
        tasks: sides.tasks,
        cost: sides.cost,
        margin,
        per_unit,
        week_ends_on: of.week,
        made_of: vec![followed(of, days, naming)],
    })
}

/// How many units of net scale the trade speaks of at once (common practice, no source).
const fn natural_size(unit: VolumeUnit) -> u16 {
    match unit {
        VolumeUnit::BoardFoot => 1_000,
        VolumeUnit::CubicFoot => 100,
        VolumeUnit::CubicMetre | VolumeUnit::Cord | VolumeUnit::StackedCubicMetre => 1,
    }
}

/// An amount on that much of the net scale, rounded once.
fn on_unit(unit: VolumeUnit, net: Exact, amount: Money) -> Result<Money, Refusal> {
    let whole: Exact = amount.amount_text().parse().map_err(Refusal::internal)?;
    let of_size = whole.times(Exact::of(natural_size(unit).into()))?.over(net)?;
    Ok(Money::from_exact(of_size, amount.currency())?)
}

/// The figures for a unit of net scale.
fn per_unit(unit: VolumeUnit, net: Exact, figures: (Money, Money, Money)) -> Result<MarginPerUnit, Refusal> {
    let (owed, cost, margin) = figures;
    Ok(MarginPerUnit {
        unit,
        per: natural_size(unit),
        owed: on_unit(unit, net, owed)?,
        cost: on_unit(unit, net, cost)?,
        margin: on_unit(unit, net, margin)?,
    })
}

/// The tickets of the wood: of its own week, or of all the days.
fn followed(of: WoodOf, days: (Date, Date), naming: &Naming<'_>) -> MadeOf {
    let (from, to) = match of.week {
        // A week of seven days ends on its last.
        Some(last) => (last.checked_sub(Span::new().days(6)).unwrap_or(days.0), last),
        None => days,
    };
    let tickets =
        TicketsOf { job: Some(of.job), mill: of.mill, crew: naming.crew, ..TicketsOf::days(from, to) };
    tickets.made_of()
}

/// Wood that no mill got, where crews earn anything on it.
fn not_delivered(tickets: &WoodTickets, sides: &Sides, naming: &Naming<'_>) -> Option<NotDelivered> {
    let earning = tickets.tickets.saturating_sub(tickets.without_crews);
    (earning > 0).then(|| NotDelivered {
        job_id: tickets.of.job,
        job_name: naming.job(tickets.of.job),
        tickets: earning,
        cost: sides.cost,
    })
}
