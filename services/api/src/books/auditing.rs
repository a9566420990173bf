//! Volume held against pay: what is asked about, and the whole answer put together.

pub mod addresses;
pub mod contracts;
pub mod payees;
pub mod stages;
pub mod sums;

use std::collections::{BTreeMap, HashMap};

use jiff::civil::Date;
use kernel::{ContractId, CrewId, JobId, MillId, Money};
use settlement::{Entitlement, Week};
use storage::{
    AccrualScope, Books, Contract, ContractParty, Outfit, Page, StageCell, StageScope, UnpricedFilter,
    WoodScope,
};
use wire::{ContractAudit, Margin, MarginRow, VolumeAgainstPay};

use self::contracts::Found;
use self::payees::payees;
use self::stages::{StageNaming, by_week, rows};
use super::entitling::{TermsById, entitlements, terms_by_id};
use super::margin::{Naming, margin};
use super::names::Names;
use super::paying_time::paid_time;
use super::sharing::Sharing;
use crate::http::caller::Member;
use crate::http::refusal::Refusal;
use crate::routes::contracts::show::sees;
use crate::routes::outfits::show::own;

/// What is asked about.
#[derive(Clone, Copy, Debug)]
pub struct Asked {
    /// The first day; the week it falls in counts whole.
    pub from: Date,
    /// The last day; likewise.
    pub to: Date,
    /// Only this job.
    pub job: Option<JobId>,
    /// Only this contract.
    pub contract: Option<ContractId>,
    /// Only this crew.
    pub crew: Option<CrewId>,
}

/// The same with the weeks whole, and what a contract and the caller make of it.
#[derive(Clone, Copy, Debug)]
pub struct Scope {
    /// The first day of the first week.
    pub from: Date,
    /// The last day of the last week.
    pub to: Date,
    /// Only this job.
    pub job: Option<JobId>,
    /// Only this crew.
    pub crew: Option<CrewId>,
    /// Only this mill's side.
    pub mill: Option<MillId>,
    /// Whether a mill asks: it is told of nothing but its own side.
    pub for_mill: bool,
}

/// An audit, and what it was put together from.
#[derive(Debug)]
pub struct Audited {
    /// The answer.
    pub view: VolumeAgainstPay,
    /// Whose books they are.
    pub outfit: Outfit,
    /// What it is about.
    pub scope: Scope,
    /// What standing tickets hold at each stage.
    pub cells: Vec<StageCell>,
    /// The terms that anything in it refers to.
    pub terms: TermsById,
    /// The names in it.
    pub names: Names,
}

/// Works it out.
///
/// # Errors
///
/// [`wire::Code::NotFound`] for a contract that the caller does not see; [`wire::Code::NoShareSet`],
/// [`wire::Code::NoHours`], [`wire::Code::TooLarge`].
pub async fn audit(books: &mut Books, member: &Member, asked: &Asked) -> Result<Audited, Refusal> {
    let outfit = own(books).await?;
    let names = Names::read(books).await?;
    let scope = scope(member, asked, &outfit, &names)?;
    let asked_for = |one: &Contract| {
        sees(member, one)
            && asked.contract.is_none_or(|contract| one.id == contract)
            && asked.job.is_none_or(|job| one.job == job)
            && asked.crew.is_none_or(|crew| one.party == ContractParty::Crew(crew))
    };
    let contracts: BTreeMap<ContractId, &Contract> =
        names.contracts().into_iter().filter(|one| asked_for(one)).map(|one| (one.id, one)).collect();
    let found = find(books, &outfit, &names, (scope, &contracts)).await?;
    let cells = books.stages(stage_scope(scope)).await?;
    let mut terms = found.terms.clone();
    let scaled = cells.iter().filter_map(|cell| cell.scale).map(|scale| scale.terms);
    terms.extend(terms_by_id(books, scaled.filter(|id| !found.terms.contains_key(id))).await?);
    let stage_naming = StageNaming { names: &names, terms: &terms, scope };
    let mut view = VolumeAgainstPay {
        from: scope.from,
        to: scope.to,
        contracts: found.audits(&contracts, &names, &outfit, scope)?,
        earned_by_crews: None,
        owed_by_mills: Money::zero(outfit.currency),
        unpriced: None,
        stages: rows(&cells, (scope.from, scope.to), &stage_naming)?,
        weeks: by_week(&cells, &outfit, &stage_naming)?,
        stages_say: stages::SAYS.to_owned(),
        payees: Vec::new(),
        margin: None,
    };
    let is_mill = |one: &&ContractAudit| matches!(one.party, wire::Party::MillId(_));
    view.owed_by_mills =
        contracts::sum(view.contracts.iter().filter(is_mill).map(|one| one.earned), &outfit)?;
    if asked.job.is_none() && (scope.mill.is_none() || scope.for_mill) {
        view.payees = payees(books, &found, (scope, &outfit), &names).await?;
    }
    if !scope.for_mill {
        let crews = view.contracts.iter().filter(|one| !is_mill(one)).map(|one| one.earned);
        view.earned_by_crews = Some(contracts::sum(crews, &outfit)?);
        let days = UnpricedFilter { from: Some(scope.from), ..UnpricedFilter::up_to(scope.to) };
        let open = books.open_unpriced(days, Page::first(u16::MAX)).await?;
        view.unpriced = Some(u32::try_from(open.len()).unwrap_or(u32::MAX));
        view.margin = Some(margin_of(books, scope, &outfit, &names, false).await?);
    }
    Ok(Audited { view, outfit, scope, cells, terms, names })
}

/// The scope of what a member asks.
fn scope(member: &Member, asked: &Asked, outfit: &Outfit, names: &Names) -> Result<Scope, Refusal> {
    let mut scope = Scope {
        from: Week::containing(asked.from, outfit.week_ends_on).first_day(),
        to: Week::containing(asked.to, outfit.week_ends_on).last_day(),
        job: asked.job,
        crew: asked.crew,
        mill: member.mill,
        for_mill: member.mill.is_some(),
    };
    if let Some(id) = asked.contract {
        let found = names.contracts().into_iter().find(|one| one.id == id && sees(member, one));
        let contract = found.ok_or_else(|| Refusal::not_found("contract", id))?;
        let of_that = asked.job.is_none_or(|job| contract.job == job)
            && asked.crew.is_none_or(|crew| contract.party == ContractParty::Crew(crew));
        if !of_that {
            return Err(Refusal::not_found("contract of that job and crew", id));
        }
        scope.job = Some(contract.job);
        match contract.party {
            ContractParty::Crew(crew) => scope.crew = Some(crew),
            ContractParty::Mill(mill) => scope.mill = Some(mill),
        }
    }
    Ok(scope)
}

fn stage_scope(scope: Scope) -> StageScope {
    StageScope { from: scope.from, to: scope.to, job: scope.job, crew: scope.crew, mill: scope.mill }
}

/// Reads what the contracts in question come to.
async fn find(
    books: &mut Books,
    outfit: &Outfit,
    names: &Names,
    (scope, contracts): (Scope, &BTreeMap<ContractId, &Contract>),
) -> Result<Found, Refusal> {
    let accruals = AccrualScope { from: Some(scope.from), to: scope.to, job: scope.job, mill: scope.mill };
    let mut days = books.accrued(accruals).await?;
    days.retain(|day| contracts.contains_key(&day.contract));
    let volumes = books.volumes(&days.iter().collect::<Vec<_>>()).await?;
    let mut posted = books.lines_of_weeks((Some(scope.from), scope.to)).await?;
    posted.retain(|line| contracts.contains_key(&line.key.contract));
    let referred = days.iter().map(|day| day.terms).chain(posted.iter().map(|line| line.key.terms));
    let terms = terms_by_id(books, referred).await?;
    let sharing = Sharing::read(books, &[(Some(scope.from), scope.to)]).await?;
    let mut entitled = entitlements(&days, outfit, &sharing, &terms, names)?;
    let time = paid_time(books, outfit, names, &[(Some(scope.from), scope.to)]).await?;
    let visible = |one: &Entitlement| contracts.contains_key(&one.key.contract);
    entitled.extend(time.entitlements.into_iter().filter(visible));
    Ok(Found { entitled, posted, volumes, terms })
}

/// The margin on the wood in question, of all weeks together or of each by itself.
async fn margin_of(
    books: &mut Books,
    scope: Scope,
    outfit: &Outfit,
    names: &Names,
    each_week: bool,
) -> Result<Margin, Refusal> {
    let wood = WoodScope {
        crew: scope.crew,
        mill: scope.mill,
        by_week: each_week.then_some(outfit.week_ends_on),
        ..WoodScope::of_days(scope.from, scope.to, scope.job)
    };
    let wood = books.wood(wood).await?;
    let terms = terms_by_id(books, wood.accrued.iter().map(|one| one.terms)).await?;
    let jobs = books.jobs(Page { after: None, limit: u16::MAX }).await?;
    let jobs: HashMap<_, _> = jobs.into_iter().map(|job| (job.id, job.name)).collect();
    let naming = Naming { names, jobs: &jobs, crew: scope.crew };
    margin((scope.from, scope.to), &wood, &terms, outfit.currency, &naming)
}

/// The margin week by week, oldest first.
///
/// # Errors
///
/// [`wire::Code::TooLarge`]; whatever the books answer.
pub async fn margin_by_week(books: &mut Books, audited: &Audited) -> Result<Vec<MarginRow>, Refusal> {
    let Audited { scope, outfit, names, .. } = audited;
    let mut rows = margin_of(books, *scope, outfit, names, true).await?.rows;
    rows.sort_by_key(|row| (row.week_ends_on, row.job_id, row.mill_id));
    Ok(rows)
}
