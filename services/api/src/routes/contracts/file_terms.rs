//! Files new terms for a contract.

use actix_web::http::Method;
use actix_web::web::Data;
use actix_web::{HttpResponse, post};
use audit::CheckTolerance;
use jiff::civil::Date;
use kernel::{ContractId, Product};
use scaling::{Practice, RankedPilePractice};
use settlement::{HoldbackTerms, Rate, RateUnit, Rates};
use storage::{Books, Contract, ContractParty, Terms};
use wire::{Code, FieldProblem, TermsCreate, TermsFiled};

use super::show::terms_view;
use crate::books::adjusting::work_out_again;
use crate::books::money::not_an_amount;
use crate::books::own_tables;
use crate::http::body::Body;
use crate::http::caller::Member;
use crate::http::filing::{Filing, Kept};
use crate::http::operation::{BOOKKEEPING, Effect, Operation};
use crate::http::parameters::InPath;
use crate::http::refusal::Refusal;
use crate::routes::outfits::show::own;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "file_terms",
    method: Method::POST,
    path: "/v1/contracts/{contract_id}/terms",
    access: BOOKKEEPING,
    effect: Effect::Keyed,
    refusals: &[Code::NamesMissingRecord, Code::NotFound, Code::TermsClash, Code::TooLarge],
};

/// File new terms for a contract
///
/// Old terms stay readable. Tickets already accepted that fall under the new terms are worked out again.
#[utoipa::path(
    tag = "contracts",
    operation_id = "file_terms",
    params(("contract_id" = ContractId, Path, description = "The contract.")),
    request_body = TermsCreate,
    responses((status = 201, description = "Filed.", body = TermsFiled))
)]
#[post("/v1/contracts/{contract_id}/terms")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    filing: Filing,
    contract: InPath<ContractId>,
    body: Body<TermsCreate>,
) -> Result<HttpResponse, Refusal> {
    let sent = body.0;
    filing
        .keep(&service, &member, async |books| {
            books.close_to_others(&service.ids).await?;
            let found = books.contract(contract.0).await?;
            let contract = found.ok_or_else(|| Refusal::not_found("contract", contract.0))?;
            let settled = settle_terms(books, &sent, contract.party, "").await?;
            let (terms, tickets_worked_out_again) =
                file_terms(books, &contract, settled, &service, &member).await?;
            let gaps = terms.rates.gaps().iter().map(ToString::to_string).collect();
            let filed = TermsFiled { terms: terms_view(&terms), gaps, tickets_worked_out_again };
            Ok(Kept::new(terms.id, filed))
        })
        .await
}

/// Terms whose parts fit each other.
#[derive(Debug)]
pub struct SettledTerms {
    effective_from: Date,
    practice: Practice,
    rates: Rates,
    holdback: Option<HoldbackTerms>,
    check_tolerance: Option<CheckTolerance>,
}

impl SettledTerms {
    /// The terms of a contract, still without a revision.
    pub fn into_terms(self, contract: ContractId, service: &Service, member: &Member) -> Terms {
        let Self { effective_from, practice, rates, holdback, check_tolerance } = self;
        Terms {
            id: service.ids.make(),
            contract,
            effective_from,
            revision: 0,
            practice,
            rates,
            holdback,
            check_tolerance,
            filed: member.stamp(service.clock.as_ref()),
        }
    }
}

/// Checks terms as a whole against each other and the contract's party, with the table they name if they name one.
/// `prefix` points to them in what was sent.
///
/// # Errors
///
/// [`Code::NamesMissingRecord`] for a table that is not there; [`Code::TermsClash`].
pub async fn settle_terms(
    books: &mut Books,
    sent: &TermsCreate,
    party: ContractParty,
    prefix: &str,
) -> Result<SettledTerms, Refusal> {
    if let Some(holdback) = &sent.holdback {
        check_holdback(books, holdback, party, prefix).await?;
    }
    let practice = own_tables::practice(books, &sent.practice, prefix).await?;
    let rates = check_terms(&sent.rates, &practice, prefix)?;
    Ok(SettledTerms {
        effective_from: sent.effective_from,
        practice,
        rates,
        holdback: sent.holdback,
        check_tolerance: sent.check_tolerance,
    })
}

/// Holdback is kept of crews' pay, with a cap in the outfit's currency.
async fn check_holdback(
    books: &mut Books,
    holdback: &HoldbackTerms,
    party: ContractParty,
    prefix: &str,
) -> Result<(), Refusal> {
    let outfit = own(books).await?;
    let problem = match (party, holdback.cap) {
        (ContractParty::Mill(_), _) => FieldProblem {
            pointer: format!("#{prefix}/holdback"),
            detail: "holdback is kept of a crew's pay, and this contract is with a mill: leave it out"
                .to_owned(),
        },
        (ContractParty::Crew(_), Some(cap)) if cap.in_currency(outfit.currency).is_err() => {
            not_an_amount(cap, &outfit, &format!("#{prefix}/holdback/cap"))
        }
        (ContractParty::Crew(_), _) => return Ok(()),
    };
    Err(Refusal::new(Code::TermsClash, "the holdback does not fit the contract").at(vec![problem]))
}

/// Keeps terms and works out again the tickets that fall under them. The books must be closed to others.
///
/// # Errors
///
/// [`Code::TooLarge`]; whatever the books answer.
pub async fn file_terms(
    books: &mut Books,
    contract: &Contract,
    settled: SettledTerms,
    service: &Service,
    member: &Member,
) -> Result<(Terms, u32), Refusal> {
    let mut terms = settled.into_terms(contract.id, service, member);
    terms.revision = books.add_terms(&terms).await?;
    let count = work_out_again(books, contract, &terms, &service.ids, service.clock.as_ref()).await?;
    Ok((terms, count))
}

/// The rates of terms, checked as a whole: against each other, and against what the practice gives.
fn check_terms(sent: &[Rate], practice: &Practice, prefix: &str) -> Result<Rates, Refusal> {
    let mut problems = Vec::new();
    for (place, rate) in sent.iter().enumerate() {
        let Some(product) = rate.product() else { continue };
        if lacks_practice(practice, product, rate) {
            problems.push(FieldProblem {
                pointer: format!("#{prefix}/rates/{place}"),
                detail: format!(
                    "\"{}\" pays for a {} by {}, and the practice does not say how a {} is scaled",
                    rate.name(),
                    product.name(),
                    rate.unit().name(),
                    product.name(),
                ),
            });
        }
    }
    problems.extend(piles_in_the_other_unit(sent, practice, prefix));
    if practice.log.as_ref().is_some_and(|log| !log.names_its_roundings()) {
        problems.push(FieldProblem {
            pointer: format!("#{prefix}/practice/log"),
            detail: "this rule has no rounding of its own: name volume_rounding and deduction_rounding, each with \
                     a step of at most six decimals"
                .to_owned(),
        });
    }
    match Rates::new(sent.to_vec()) {
        Ok(rates) if problems.is_empty() => return Ok(rates),
        Ok(_) => {}
        Err(clashes) => problems.extend(
            clashes
                .iter()
                .map(|clash| FieldProblem { pointer: format!("#{prefix}/rates"), detail: clash.to_string() }),
        ),
    }
    Err(Refusal::new(Code::TermsClash, "the rates do not fit each other, or the practice").at(problems))
}

/// The rates that pay for ranked piles by the stacked unit that the practice does not measure them in.
fn piles_in_the_other_unit(sent: &[Rate], practice: &Practice, prefix: &str) -> Vec<FieldProblem> {
    let Some(measured) = practice.ranked_pile.as_ref().map(RankedPilePractice::unit) else {
        return Vec::new();
    };
    let paid_otherwise = |rate: &Rate| {
        rate.product() == Some(Product::RankedPile)
            && rate.unit().volume_unit().is_some_and(|paid| paid != measured)
    };
    let rates = sent.iter().enumerate().filter(|(_, rate)| paid_otherwise(rate));
    rates
        .map(|(place, rate)| FieldProblem {
            pointer: format!("#{prefix}/rates/{place}"),
            detail: format!(
                "\"{}\" pays for ranked piles by the {}, and the practice measures them by the {}: nothing converts \
                 between the two",
                rate.name(),
                rate.unit().name(),
                measured.name(),
            ),
        })
        .collect()
}

/// A pole needs no practice for its length; everything else that is paid by its size, or for being sound, does.
fn lacks_practice(practice: &Practice, product: Product, rate: &Rate) -> bool {
    let unit = rate.unit();
    let by_length = matches!(unit, RateUnit::LinearFoot | RateUnit::LinearMetre);
    if unit.volume_unit().is_none() && !by_length && rate.covers().soundness.is_none() {
        return false;
    }
    match product {
        Product::Log => practice.log.is_none(),
        Product::HewnTimber => practice.hewn_timber.is_none(),
        Product::Tie => practice.tie.is_none(),
        Product::Pole => unit.volume_unit().is_some(),
        Product::RankedPile => practice.ranked_pile.is_none(),
    }
}
