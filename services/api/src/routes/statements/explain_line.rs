//! Follows a line of one payee's statement down to the sticks.

use actix_web::http::Method;
use actix_web::web::Data;
use actix_web::{HttpResponse, get};
use kernel::{Money, StatementId};
use settlement::Payee;
use storage::{Books, Statement};
use wire::{Code, LineExplanation, PayeeView, SplitStep, StatementLineExplanation};

use super::show::sees;
use crate::books::names::Names;
use crate::http::caller::Member;
use crate::http::explaining::FormatQuery;
use crate::http::operation::{Effect, Operation, WHOLE_BOOKS_AND_MILL};
use crate::http::parameters::{InPath, InQuery};
use crate::http::refusal::Refusal;
use crate::routes::settlements::explain::explain;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "explain_statement_line",
    method: Method::GET,
    path: "/v1/statements/{statement_id}/lines/{line_number}",
    access: WHOLE_BOOKS_AND_MILL,
    effect: Effect::None,
    refusals: &[Code::NotFound, Code::TooLarge],
};

/// Follow a line of a statement down to the sticks
///
/// The payee's part, how the crew's amount was divided, the line and the arithmetic of its amount, and every ticket with
/// its sticks and their working. A mill sees the lines of its own statements only.
#[utoipa::path(
    tag = "settlements",
    operation_id = "explain_statement_line",
    params(
        ("statement_id" = StatementId, Path, description = "The statement."),
        ("line_number" = i32, Path, description = "The line's number, as it stands on the statement."),
        FormatQuery
    ),
    responses((status = 200, description = "The explanation.",
               content((StatementLineExplanation = "application/json"), (String = "text/plain"))))
)]
#[get("/v1/statements/{statement_id}/lines/{line_number}")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    place: InPath<(StatementId, i32)>,
    query: InQuery<FormatQuery>,
) -> Result<HttpResponse, Refusal> {
    let (statement, number) = place.0;
    let explained = service
        .read(&member, async |books| {
            let missing = || Refusal::not_found("line", format!("{number} of statement {statement}"));
            let found = books.statement(statement).await?;
            let found = found.filter(|one| sees(&member, one)).ok_or_else(missing)?;
            of_statement(books, &found, number).await?.ok_or_else(missing)
        })
        .await?;
    Ok(query.0.answer(&explained, client::text::statement_line))
}

/// A payee's line; none where the settlement's line pays him nothing, or there is no such line.
async fn of_statement(
    books: &mut Books,
    statement: &Statement,
    number: i32,
) -> Result<Option<StatementLineExplanation>, Refusal> {
    let posted = books.posted_lines(Some(statement.settlement), None).await?;
    let his = |payee: &Payee| *payee == statement.payee;
    let line = posted.iter().find(|line| line.number == number);
    if !line.is_some_and(|line| line.by_payee.iter().any(|(payee, _)| his(payee))) {
        return Ok(None);
    }
    let explained = explain(books, statement.settlement, number).await?;
    let payee = Names::read(books).await?.payee(statement.payee);
    let part = explained.line.by_payee.iter().find(|share| share.payee == payee).map(|share| share.amount);
    let Some(amount) = part else { return Ok(None) };
    let step = explained.split.iter().find(|step| step.payee == payee);
    let now_amount = step.map_or(explained.line.now_amount, |step| step.amount);
    let formerly_amount = now_amount.minus(amount)?;
    Ok(Some(StatementLineExplanation {
        statement_id: statement.id,
        settlement_id: statement.settlement,
        week_ends_on: settled_week(books, statement).await?,
        says: part_in_words(&payee, &explained, step, (amount, now_amount, formerly_amount)),
        payee,
        amount,
        now_amount,
        formerly_amount,
        explained,
    }))
}

async fn settled_week(books: &mut Books, statement: &Statement) -> Result<jiff::civil::Date, Refusal> {
    let draft = books.settlement(statement.settlement).await?;
    let missing = || Refusal::internal("a statement names a settlement that is not there");
    Ok(draft.ok_or_else(missing)?.week_ends_on)
}

fn part_in_words(
    payee: &PayeeView,
    explained: &LineExplanation,
    step: Option<&SplitStep>,
    (amount, now, formerly): (Money, Money, Money),
) -> String {
    let name = &payee.name;
    let mut says = match step {
        None if payee.mill_id.is_some() => format!("All of the line is owed by {name}: {now}"),
        None => format!("All of the line is for the time of {name}: {now}"),
        Some(step) => {
            let whole = explained.line.now_amount;
            let extra = if step.by_remainder { ", and one of the units left over" } else { "" };
            let (parts, quota) = (step.parts, step.quota);
            format!(
                "{name} has {parts} of the crew's parts in {whole}: exactly {quota} of the smallest unit, rounded \
                     down{extra}: {now}"
            )
        }
    };
    if !formerly.is_zero() {
        says.push_str(&format!(
            "; {formerly} had been posted before, so this line brings the difference: {amount}"
        ));
    }
    says
}
