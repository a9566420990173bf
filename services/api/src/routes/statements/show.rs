//! Shows a statement with its lines.

use actix_web::get;
use actix_web::http::Method;
use actix_web::web::{Data, Json};
use kernel::{Money, StatementId};
use settlement::Payee;
use storage::{Outfit, SettlementDraft, Statement};
use wire::{Code, LineView, PayeeView, StatementLineView, StatementView};

use crate::books::names::Names;
use crate::http::caller::Member;
use crate::http::operation::{Operation, WHOLE_BOOKS_AND_MILL};
use crate::http::parameters::InPath;
use crate::http::refusal::Refusal;
use crate::routes::outfits::show::own;
use crate::routes::settlements::show::lines;
use crate::service::Service;

/// What every statement says of itself.
const CAUTION: &str = "This is arithmetic from the recorded scale and the contract's rates, not legal advice. Wage \
law, minimum and overtime pay, and the licensing of scalers are for local law and licensed professionals to decide.";

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "show_statement",
    method: Method::GET,
    path: "/v1/statements/{statement_id}",
    access: WHOLE_BOOKS_AND_MILL,
    refusals: &[Code::NotFound],
};

/// Show a statement with its lines
///
/// Opening plus earned is closing, to the cent. A mill sees its own statements only.
#[utoipa::path(
    tag = "settlements",
    operation_id = "show_statement",
    params(("statement_id" = StatementId, Path, description = "The statement.")),
    responses((status = 200, description = "The statement.", body = StatementView))
)]
#[get("/v1/statements/{statement_id}")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    id: InPath<StatementId>,
) -> Result<Json<StatementView>, Refusal> {
    let shown = service
        .store
        .read(member.outfit, async |books| {
            let missing = || Refusal::not_found("statement", id.0);
            let found = books.statement(id.0).await?;
            let statement = found.filter(|one| sees(&member, one)).ok_or_else(missing)?;
            let outfit = own(books).await?;
            let draft = books.settlement(statement.settlement).await?.ok_or_else(missing)?;
            let names = Names::read(books).await?;
            view(&statement, &draft, &outfit, &names)
        })
        .await?;
    Ok(Json(shown))
}

/// Whether a caller may see a statement: a mill sees its own.
fn sees(member: &Member, statement: &Statement) -> bool {
    member.mill.is_none_or(|mill| statement.payee == Payee::Mill(mill))
}

/// A statement as it is shown.
///
/// # Errors
///
/// [`Code::Internal`] when the settlement's lines cannot be read back.
pub fn view(
    statement: &Statement,
    draft: &SettlementDraft,
    outfit: &Outfit,
    names: &Names,
) -> Result<StatementView, Refusal> {
    let money = |minor: i64| Money::from_minor(minor, outfit.currency);
    let payee = names.payee(statement.payee);
    let lines = lines(draft)?.into_iter().filter_map(|line| part_of(line, &payee)).collect();
    Ok(StatementView {
        statement_id: statement.id,
        settlement_id: statement.settlement,
        week_ends_on: draft.week_ends_on,
        payee,
        opening: money(statement.opening_minor),
        earned: money(statement.earned_minor),
        closing: money(statement.closing_minor),
        lines,
        caution: CAUTION.to_owned(),
    })
}

/// The payee's part of a line, if there is one.
fn part_of(line: LineView, payee: &PayeeView) -> Option<StatementLineView> {
    let part = line.by_payee.iter().find(|share| share.payee == *payee)?.amount;
    Some(StatementLineView {
        line_number: line.number,
        kind: line.kind,
        week_ends_on: line.week_ends_on,
        contract_title: line.contract_title,
        party_name: line.party_name,
        task: line.task,
        rate_name: line.rate_name,
        unit: line.unit,
        basis: line.basis,
        price: line.price,
        quantity: line.quantity,
        pieces: line.pieces,
        line_amount: line.amount,
        amount: part,
        entered: line.entered,
        withdrawn: line.withdrawn,
    })
}
