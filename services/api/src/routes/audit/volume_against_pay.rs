//! Holds volume against pay, contract by contract.

use std::collections::{BTreeMap, BTreeSet};

use actix_web::get;
use actix_web::http::Method;
use actix_web::web::{Data, Json};
use jiff::civil::Date;
use kernel::{ContractId, JobId, Money, TermsId};
use serde::Deserialize;
use settlement::{Entitlement, Week};
use storage::{AccrualScope, Books, Contract, ContractVolume, Outfit, Page, PostedLine, UnpricedFilter};
use utoipa::IntoParams;
use wire::{AuditPayRow, Code, ContractAudit, VolumeAgainstPay};

use crate::books::drafting::volume_row;
use crate::books::entitling::{TermsById, entitlements, rate_summary, terms_by_id};
use crate::books::names::{Names, party_view};
use crate::books::paying_time::paid_time;
use crate::books::sharing::Sharing;
use crate::http::caller::Member;
use crate::http::operation::{Effect, Operation, WHOLE_BOOKS_AND_MILL};
use crate::http::parameters::InQuery;
use crate::http::refusal::Refusal;
use crate::routes::contracts::show::sees;
use crate::routes::outfits::show::own;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "audit_volume_against_pay",
    method: Method::GET,
    path: "/v1/audit/volume-against-pay",
    access: WHOLE_BOOKS_AND_MILL,
    effect: Effect::None,
    refusals: &[Code::NotFound, Code::NoShareSet, Code::NoHours, Code::TooLarge],
};

/// Which days, and which job.
#[derive(Debug, Deserialize, IntoParams)]
#[serde(deny_unknown_fields)]
#[into_params(parameter_in = Query)]
pub struct AuditQuery {
    /// The first day; the week it falls in counts whole.
    #[param(value_type = String, format = Date)]
    #[serde(deserialize_with = "wire::deserialize_day")]
    from: Date,
    /// The last day; the week it falls in counts whole.
    #[param(value_type = String, format = Date)]
    #[serde(deserialize_with = "wire::deserialize_day")]
    to: Date,
    /// Only contracts of this job.
    #[param(value_type = Option<String>, format = Uuid)]
    job_id: Option<JobId>,
}

/// Hold volume against pay
///
/// For every contract that tickets of these days touch: the volume by product and species as that contract scales
/// it, and by rate what was earned, what was posted and what is still open. A mill sees its own contracts only.
#[utoipa::path(
    tag = "audit",
    operation_id = "audit_volume_against_pay",
    params(AuditQuery),
    responses((status = 200, description = "Volume against pay.", body = VolumeAgainstPay))
)]
#[get("/v1/audit/volume-against-pay")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    query: InQuery<AuditQuery>,
) -> Result<Json<VolumeAgainstPay>, Refusal> {
    let query = query.0;
    if query.from > query.to {
        return Err(Refusal::new(Code::WrongAddress, "`from` is later than `to`"));
    }
    let audit = service.read(&member, async |books| audit(books, &member, &query).await);
    Ok(Json(audit.await?))
}

async fn audit(
    books: &mut Books,
    member: &Member,
    query: &AuditQuery,
) -> Result<VolumeAgainstPay, Refusal> {
    let outfit = own(books).await?;
    let first = Week::containing(query.from, outfit.week_ends_on);
    let last = Week::containing(query.to, outfit.week_ends_on);
    let (from, to) = (first.first_day(), last.last_day());
    let scope = AccrualScope { from: Some(from), to, job: query.job_id, mill: member.mill };
    let days = books.accrued(scope).await?;
    let volumes = books.volumes(scope).await?;
    let names = Names::read(books).await?;
    let contracts: BTreeMap<ContractId, &Contract> = names
        .contracts()
        .into_iter()
        .filter(|one| sees(member, one) && query.job_id.is_none_or(|job| one.job == job))
        .map(|one| (one.id, one))
        .collect();
    let mut posted = books.posted_lines(None, Some(to)).await?;
    posted.retain(|line| line.key.week >= from && contracts.contains_key(&line.key.contract));
    let referred = days.iter().map(|day| day.terms).chain(posted.iter().map(|line| line.key.terms));
    let terms = terms_by_id(books, referred).await?;
    let sharing = Sharing::read(books, (Some(from), to)).await?;
    let mut entitled = entitlements(&days, &outfit, &sharing, &terms, &names)?;
    let time = paid_time(books, &outfit, &names, (Some(from), to)).await?;
    let visible = |one: &Entitlement| contracts.contains_key(&one.key.contract);
    entitled.extend(time.entitlements.into_iter().filter(visible));
    let found = Found { entitled, posted, volumes, terms };
    let touched: BTreeSet<ContractId> = found.contracts();
    let mut audits = Vec::new();
    for id in touched {
        if let Some(contract) = contracts.get(&id) {
            audits.push(one_contract(contract, &found, &names, &outfit)?);
        }
    }
    let unpriced = if member.mill.is_none() {
        let days = UnpricedFilter { from: Some(from), ..UnpricedFilter::up_to(to) };
        let open = books.open_unpriced(days, Page::first(u16::MAX)).await?;
        Some(u32::try_from(open.len()).unwrap_or(u32::MAX))
    } else {
        None
    };
    let is_mill = |one: &&ContractAudit| matches!(one.party, wire::Party::MillId(_));
    let owed_by_mills = sum(audits.iter().filter(is_mill).map(|one| one.earned), &outfit)?;
    let earned_by_crews = match member.mill {
        Some(_) => None,
        None => {
            Some(sum(audits.iter().filter(|one| !is_mill(one)).map(|one| one.earned), &outfit)?)
        }
    };
    Ok(VolumeAgainstPay { from, to, contracts: audits, earned_by_crews, owed_by_mills, unpriced })
}

/// Everything that was read for the audit.
struct Found {
    entitled: Vec<Entitlement>,
    posted: Vec<PostedLine>,
    volumes: Vec<ContractVolume>,
    terms: TermsById,
}

impl Found {
    fn contracts(&self) -> BTreeSet<ContractId> {
        let entitled = self.entitled.iter().map(|one| one.key.contract);
        let posted = self.posted.iter().map(|line| line.key.contract);
        entitled.chain(posted).chain(self.volumes.iter().map(|volume| volume.contract)).collect()
    }
}

fn sum(amounts: impl Iterator<Item = Money>, outfit: &Outfit) -> Result<Money, Refusal> {
    let mut sum = Money::zero(outfit.currency);
    for amount in amounts {
        sum = sum.plus(amount)?;
    }
    Ok(sum)
}

fn one_contract(
    contract: &Contract,
    found: &Found,
    names: &Names,
    outfit: &Outfit,
) -> Result<ContractAudit, Refusal> {
    let mut rows: BTreeMap<(TermsId, u16), AuditPayRow> = BTreeMap::new();
    for one in found.entitled.iter().filter(|one| one.key.contract == contract.id) {
        let row = row(&mut rows, &one.key, found, outfit)?;
        let earned = settlement::amount(one.quantity, one.rate.price, one.rate.unit, outfit.currency)?;
        row.quantity = row.quantity.plus(one.quantity)?;
        row.pieces = row.pieces.saturating_add(one.pieces);
        row.earned = row.earned.plus(earned)?;
    }
    for line in found.posted.iter().filter(|line| line.key.contract == contract.id) {
        let row = row(&mut rows, &line.key, found, outfit)?;
        row.posted = row.posted.plus(Money::from_minor(line.amount_minor, outfit.currency))?;
    }
    for row in rows.values_mut() {
        row.open = row.earned.minus(row.posted)?;
    }
    let pay: Vec<_> = rows.into_values().collect();
    Ok(ContractAudit {
        contract_id: contract.id,
        contract_title: contract.title.clone(),
        party: party_view(contract.party),
        party_name: names.party(contract.party),
        volumes: found
            .volumes
            .iter()
            .filter(|volume| volume.contract == contract.id)
            .map(volume_row)
            .collect::<Result<_, _>>()?,
        earned: sum(pay.iter().map(|row| row.earned), outfit)?,
        posted: sum(pay.iter().map(|row| row.posted), outfit)?,
        open: sum(pay.iter().map(|row| row.open), outfit)?,
        pay,
    })
}

fn row<'a>(
    rows: &'a mut BTreeMap<(TermsId, u16), AuditPayRow>,
    key: &settlement::LineKey,
    found: &Found,
    outfit: &Outfit,
) -> Result<&'a mut AuditPayRow, Refusal> {
    let entitled = found.entitled.iter().find(|one| one.key == *key);
    let rate = match entitled {
        Some(one) => one.rate.clone(),
        None => rate_summary(&found.terms, key)?,
    };
    let nothing = Money::zero(outfit.currency);
    Ok(rows.entry((key.terms, key.rate)).or_insert_with(|| AuditPayRow {
        rate_number: key.rate.saturating_add(1),
        rate_name: rate.name.as_str().to_owned(),
        task: rate.task,
        unit: rate.unit,
        basis: rate.basis,
        price: rate.price,
        quantity: kernel::Fixed::ZERO,
        pieces: 0,
        earned: nothing,
        posted: nothing,
        open: nothing,
    }))
}
