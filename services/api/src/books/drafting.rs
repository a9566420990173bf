//! Computing a week's settlement from the books as they stand, and showing it.

use std::collections::{BTreeMap, HashMap};

use jiff::civil::Date;
use kernel::{DerivationId, Money, TimeEntryId};
use serde::Serialize;
use settlement::{Line, LineKind, Pay, Side, Week};
use storage::{AccrualScope, AccruedDay, Books, ContractVolume, Days, Outfit, PostedLine};
use wire::{
    AuditVolumeRow, Code, ContractVolumes, LineView, PartsByHours, PayView, PayeeAmount, TicketReference,
};

use super::checking::explaining::Adjustments;
use super::entitling::{entitlements, settled, terms_by_id};
use super::fingerprint::fingerprint;
use super::names::Names;
use super::paying::pays;
use super::paying_time::{entry_of, paid_time};
use super::restating::{Reach, days_to_state};
use super::sharing::Sharing;
use crate::http::refusal::Refusal;

/// A computed settlement.
#[derive(Debug)]
pub struct Computed {
    /// The lines.
    pub lines: Vec<Line>,
    /// Each worker's pay beside them.
    pub pays: Vec<Pay>,
    /// All of it as it is shown.
    pub shown: Shown,
}

/// A computed settlement as it is shown: what a draft keeps, and what is held to its fingerprint before it is posted.
#[derive(Debug, Serialize)]
pub struct Shown {
    /// The lines.
    pub lines: Vec<LineView>,
    /// Each worker's pay.
    pub pays: Vec<PayView>,
    /// What was scaled in the week.
    pub volumes: Vec<ContractVolumes>,
}

impl Shown {
    /// The fingerprint of everything that is shown.
    ///
    /// # Errors
    ///
    /// [`Code::Internal`] when it has no JSON form.
    pub fn fingerprint(&self) -> Result<[u8; 32], Refusal> {
        fingerprint(self)
    }
}

/// Computes the settlement of the week that ends on `week`, without keeping anything. It states again the weeks that the
/// books say have changed, or the whole history when asked; both come to the same.
///
/// # Errors
///
/// [`Code::NoShareSet`], [`Code::NoHours`], [`Code::UnpricedTime`], [`Code::TooLarge`]; whatever the books answer.
pub async fn compute(
    books: &mut Books,
    outfit: &Outfit,
    week: Date,
    reach: Reach,
) -> Result<Computed, Refusal> {
    let stated = days_to_state(books, outfit, week, reach).await?;
    let (days, posted) = worked_and_posted(books, &stated).await?;
    let sharing = Sharing::read(books, &stated).await?;
    let names = Names::read(books).await?;
    let referred = days.iter().map(|day| day.terms).chain(posted.iter().map(|line| line.key.terms));
    let terms = terms_by_id(books, referred).await?;
    let mut entitlements = entitlements(&days, outfit, &sharing, &terms, &names)?;
    entitlements.extend(paid_time(books, outfit, &names, &stated).await?.all_priced(&names)?);
    let settled = settled(&posted, outfit.currency, &terms)?;
    let lines = settlement::settle(week, outfit.currency, &entitlements, &settled).map_err(settle_refusal)?;
    let tickets = tickets_of_adjustments(books, &lines).await?;
    let adjustments = Adjustments::read(books).await?;
    let terms = terms_by_id(books, lines.iter().map(|line| line.key.terms)).await?;
    let worked = (lines.as_slice(), entitlements.as_slice());
    let (pays, pay_views) = pays(books, outfit, (week, &stated), worked, &terms, &names).await?;
    let shown = Shown {
        lines: (1_i32..)
            .zip(&lines)
            .map(|(number, line)| LineView {
                parts_by_hours: parts_by_hours(line, &sharing),
                entered_adjustments: adjustments.among(&line.entered),
                withdrawn_adjustments: adjustments.among(&line.withdrawn),
                ..view(number, line, &names, &tickets)
            })
            .collect(),
        pays: pay_views,
        volumes: volumes_of(books, outfit, (week, &days), &names).await?,
    };
    Ok(Computed { lines, pays, shown })
}

/// What was worked on some days, and what was posted of it. Days that lie apart are asked for one after the other: the
/// database plans best for days that it is told.
async fn worked_and_posted(
    books: &mut Books,
    stated: &[Days],
) -> Result<(Vec<AccruedDay>, Vec<PostedLine>), Refusal> {
    let (mut worked, mut posted) = (Vec::new(), Vec::new());
    for (from, to) in stated.iter().copied() {
        worked.extend(books.accrued(AccrualScope { from, to, job: None, mill: None }).await?);
        posted.extend(books.lines_of_weeks((from, to)).await?);
    }
    Ok((worked, posted))
}

/// What was scaled in one week under each contract.
async fn volumes_of(
    books: &mut Books,
    outfit: &Outfit,
    (week, days): (Date, &[AccruedDay]),
    names: &Names,
) -> Result<Vec<ContractVolumes>, Refusal> {
    let week = Week::containing(week, outfit.week_ends_on);
    let of_it: Vec<&AccruedDay> = days.iter().filter(|day| week.contains(day.scaled_on)).collect();
    let found = books.volumes(&of_it).await?;
    let mut volumes = Vec::new();
    for contract in names.contracts() {
        let of_it = found.iter().filter(|volume| volume.contract == contract.id);
        let rows = of_it.map(volume_row).collect::<Result<Vec<_>, _>>()?;
        if !rows.is_empty() {
            volumes.push(ContractVolumes {
                contract_id: contract.id,
                contract_title: contract.title.clone(),
                party_name: names.party(contract.party),
                rows,
            });
        }
    }
    Ok(volumes)
}

/// The volume of one kind of timber as it is shown.
///
/// # Errors
///
/// [`Code::TooLarge`].
pub fn volume_row(volume: &ContractVolume) -> Result<AuditVolumeRow, Refusal> {
    let gross = volume.gross.exact();
    let defect = gross.minus(volume.net.exact())?;
    Ok(AuditVolumeRow {
        product: volume.product,
        species: volume.species.clone(),
        pieces: volume.pieces,
        culls: volume.culls,
        unit: volume.unit,
        gross: volume.gross,
        net: volume.net,
        defect_share: if gross.is_zero() { None } else { Some(defect.over(gross)?) },
        made_of: Vec::new(),
    })
}

fn settle_refusal(error: settlement::SettleError) -> Refusal {
    match error {
        settlement::SettleError::Number(error) => error.into(),
        other => Refusal::internal(other),
    }
}

type TicketsByDerivation = HashMap<DerivationId, TicketReference>;

/// The tickets that adjustments are about. Regular lines name theirs when they are asked to explain themselves.
async fn tickets_of_adjustments(books: &mut Books, lines: &[Line]) -> Result<TicketsByDerivation, Refusal> {
    let changed: Vec<DerivationId> = lines
        .iter()
        .filter(|line| line.kind == LineKind::Adjustment)
        .flat_map(|line| line.entered.iter().chain(&line.withdrawn))
        .copied()
        .collect();
    if changed.is_empty() {
        return Ok(HashMap::new());
    }
    let derivations = books.derivations_by_id(&changed).await?;
    let ids: Vec<_> = derivations.iter().map(|derivation| derivation.ticket).collect();
    let tickets: BTreeMap<_, _> = books
        .tickets_by_id(&ids)
        .await?
        .into_iter()
        .map(|ticket| {
            let record = ticket.record;
            (record.id, TicketReference { ticket_id: record.id, book: record.book, number: record.number })
        })
        .collect();
    Ok(derivations
        .into_iter()
        .filter_map(|derivation| Some((derivation.id, tickets.get(&derivation.ticket)?.clone())))
        .collect())
}

/// The members' parts of a line that is shared by hours, kept with it since hours can be corrected.
fn parts_by_hours(line: &Line, sharing: &Sharing) -> Vec<PartsByHours> {
    match line.key.side {
        Side::Crew { share_set, .. } if sharing.is_by_hours(share_set) => {
            line.shares.iter().map(|one| PartsByHours { worker_id: one.worker, parts: one.parts }).collect()
        }
        _ => Vec::new(),
    }
}

fn view(number: i32, line: &Line, names: &Names, tickets: &TicketsByDerivation) -> LineView {
    let (crew_id, share_set_id, worker_id, mill_id) = match line.key.side {
        Side::Crew { crew, share_set } => (Some(crew), Some(share_set), None, None),
        Side::Member { crew, worker } => (Some(crew), None, Some(worker), None),
        Side::Mill { mill } => (None, None, None, Some(mill)),
    };
    let time = |counted: &[DerivationId]| -> Vec<TimeEntryId> {
        let named = worker_id.is_some() && line.kind == LineKind::Adjustment;
        counted.iter().filter(|_| named).map(|entry| entry_of(*entry)).collect()
    };
    let named = |derivations: &[DerivationId]| -> Vec<TicketReference> {
        let mut named: Vec<_> =
            derivations.iter().filter_map(|derivation| tickets.get(derivation).cloned()).collect();
        named.sort_by(|left, right| (&left.book, left.number).cmp(&(&right.book, right.number)));
        named
    };
    LineView {
        number,
        kind: line.kind,
        week_ends_on: line.key.week,
        contract_id: line.key.contract,
        contract_title: names.contract(line.key.contract),
        terms_id: line.key.terms,
        rate_number: line.key.rate.saturating_add(1),
        rate_name: line.rate.name.as_str().to_owned(),
        task: line.rate.task,
        unit: line.rate.unit,
        basis: line.rate.basis,
        price: line.rate.price,
        crew_id,
        share_set_id,
        worker_id,
        mill_id,
        party_name: names.side(line.key.side),
        quantity: line.change.quantity,
        pieces: line.change.pieces,
        amount: line.change.amount,
        now_quantity: line.now.quantity,
        now_amount: line.now.amount,
        formerly_quantity: line.formerly.quantity,
        formerly_amount: line.formerly.amount,
        by_payee: line
            .change
            .by_payee
            .iter()
            .map(|share| PayeeAmount { payee: names.payee(share.payee), amount: share.amount })
            .collect(),
        parts_by_hours: Vec::new(),
        entered: named(&line.entered),
        withdrawn: named(&line.withdrawn),
        entered_time: time(&line.entered),
        withdrawn_time: time(&line.withdrawn),
        entered_adjustments: Vec::new(),
        withdrawn_adjustments: Vec::new(),
    }
}

/// What the lines pay to crews, and what they have mills owe.
///
/// # Errors
///
/// [`Code::TooLarge`].
pub fn totals(lines: &[LineView], outfit: &Outfit) -> Result<(Money, Money), Refusal> {
    let mut crews = Money::zero(outfit.currency);
    let mut mills = Money::zero(outfit.currency);
    for line in lines {
        let sum = if line.mill_id.is_some() { &mut mills } else { &mut crews };
        *sum = sum.plus(line.amount)?;
    }
    Ok((crews, mills))
}

/// What is added to all pay beside the lines, and what is kept back of it.
///
/// # Errors
///
/// [`Code::TooLarge`].
pub fn beside_the_lines(pays: &[PayView], outfit: &Outfit) -> Result<(Money, Money), Refusal> {
    let mut added = Money::zero(outfit.currency);
    let mut kept_back = Money::zero(outfit.currency);
    for pay in pays {
        added = added.plus(pay.added)?;
        kept_back = kept_back.plus(pay.kept_back)?;
    }
    Ok((added, kept_back))
}

/// Refuses a date that is not the last day of one of the outfit's weeks.
///
/// # Errors
///
/// [`Code::NotAWeekEnd`].
pub fn check_week_end(outfit: &Outfit, date: Date) -> Result<(), Refusal> {
    let end = settlement::week_ending(date, outfit.week_ends_on);
    if end == date {
        return Ok(());
    }
    Err(Refusal::new(Code::NotAWeekEnd, format!("{date} is within the week that ends on {end}")))
}
