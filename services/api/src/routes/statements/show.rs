//! Shows a statement with its lines.

use std::collections::BTreeSet;

use actix_web::http::Method;
use actix_web::web::Data;
use actix_web::{HttpResponse, get};
use kernel::{Money, StatementId};
use serde::Deserialize;
use settlement::{Payee, Week};
use storage::{Books, Outfit, SettlementDraft, Statement};
use utoipa::IntoParams;
use wire::{
    Code, LineView, MovementView, PaperFormat, PaperSize, PayeeView, StatementLineView, StatementView,
    YearToDate,
};

use crate::books::caution::CAUTION;
use crate::books::names::Names;
use crate::http::caller::Member;
use crate::http::on_paper::OnPaper;
use crate::http::operation::{Effect, Operation, WHOLE_BOOKS_AND_MILL};
use crate::http::parameters::{InPath, InQuery};
use crate::http::refusal::Refusal;
use crate::routes::outfits::show::own;
use crate::routes::settlements::show::{lines, pays, volumes};
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "show_statement",
    method: Method::GET,
    path: "/v1/statements/{statement_id}",
    access: WHOLE_BOOKS_AND_MILL,
    effect: Effect::None,
    refusals: &[Code::NotFound],
};

/// In which form.
#[derive(Debug, Deserialize, IntoParams)]
#[serde(deny_unknown_fields)]
#[into_params(parameter_in = Query)]
pub struct FormQuery {
    /// In which form: `json` when it is left out, `html`, or `pdf`.
    #[param(inline)]
    format: Option<PaperFormat>,
    /// With `pdf`: on which paper, `letter` when it is left out, or `a4`.
    #[param(inline)]
    paper: Option<PaperSize>,
}

/// Show a statement with its lines
///
/// It foots to the cent: opening, moved, earned and added, less what is kept back, is closing. A mill sees its own
/// statements only. As `html` or `pdf` it is the statement on paper, with the same figures.
#[utoipa::path(
    tag = "settlements",
    operation_id = "show_statement",
    params(("statement_id" = StatementId, Path, description = "The statement."), FormQuery),
    responses((status = 200, description = "The statement, in the form that was asked for.",
               content((StatementView = "application/json"), (String = "text/html"), (String = "application/pdf"))))
)]
#[get("/v1/statements/{statement_id}")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    id: InPath<StatementId>,
    query: InQuery<FormQuery>,
) -> Result<HttpResponse, Refusal> {
    let asked = OnPaper::asked(query.0.format, query.0.paper)?;
    let shown = service
        .read(&member, async |books| {
            let missing = || Refusal::not_found("statement", id.0);
            let found = books.statement(id.0).await?;
            let statement = found.filter(|one| sees(&member, one)).ok_or_else(missing)?;
            let outfit = own(books).await?;
            let draft = books.settlement(statement.settlement).await?.ok_or_else(missing)?;
            let names = Names::read(books).await?;
            whole(books, &statement, &draft, &outfit, &names).await
        })
        .await?;
    asked.answer(&shown, papers::statement).await
}

/// Whether a caller may see a statement: a mill sees its own.
#[must_use]
pub fn sees(member: &Member, statement: &Statement) -> bool {
    member.mill.is_none_or(|mill| statement.payee == Payee::Mill(mill))
}

/// A statement as a list shows it.
pub fn head(statement: &Statement, draft: &SettlementDraft, outfit: &Outfit, names: &Names) -> StatementView {
    let money = |minor: i64| Money::from_minor(minor, outfit.currency);
    StatementView {
        statement_id: statement.id,
        settlement_id: statement.settlement,
        week_ends_on: draft.week_ends_on,
        week_begins_on: Week::containing(draft.week_ends_on, outfit.week_ends_on).first_day(),
        payee: names.payee(statement.payee),
        outfit_name: outfit.name.clone(),
        opening: money(statement.opening_minor),
        moved: money(statement.moved_minor),
        earned: money(statement.earned_minor),
        added: money(statement.added_minor),
        kept_back: money(statement.kept_back_minor),
        closing: money(statement.closing_minor),
        lines: Vec::new(),
        pay: None,
        movements: Vec::new(),
        volumes: Vec::new(),
        year_to_date: None,
        caution: CAUTION.to_owned(),
    }
}

/// A statement with everything on it.
async fn whole(
    books: &mut Books,
    statement: &Statement,
    draft: &SettlementDraft,
    outfit: &Outfit,
    names: &Names,
) -> Result<StatementView, Refusal> {
    let money = |minor: i64| Money::from_minor(minor, outfit.currency);
    let mut shown = head(statement, draft, outfit, names);
    let mut contracts = BTreeSet::new();
    for line in lines(draft)? {
        let contract = line.contract_id;
        if let Some(part) = part_of(line, &shown.payee) {
            contracts.insert(contract);
            shown.lines.push(part);
        }
    }
    shown.pay = pays(draft)?.into_iter().find(|pay| pay.payee == shown.payee);
    shown.volumes = volumes(draft)?.into_iter().filter(|one| contracts.contains(&one.contract_id)).collect();
    for movement in books.movements(statement).await? {
        shown.movements.push(MovementView {
            journal_entry_id: movement.entry,
            dated: movement.dated,
            says: movement.says,
            amount: money(movement.amount_minor),
        });
    }
    let year = draft.week_ends_on.first_of_year();
    let sums = books.statement_sums(statement.payee, year, draft.week_ends_on).await?;
    shown.year_to_date = Some(YearToDate {
        year: year.year(),
        earned: money(sums.earned_minor),
        added: money(sums.added_minor),
        kept_back: money(sums.kept_back_minor),
        moved: money(sums.moved_minor),
    });
    Ok(shown)
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
        entered_adjustments: line.entered_adjustments,
        withdrawn_adjustments: line.withdrawn_adjustments,
    })
}
