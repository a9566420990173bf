//! Posts a draft for good.

use std::collections::BTreeMap;

use actix_web::http::Method;
use actix_web::web::Data;
use actix_web::{HttpResponse, put};
use jiff::civil::Date;
use kernel::{Money, SettlementId};
use settlement::Line;
use storage::{Books, JournalEntry, Outfit, PostedLine, Posting, SettlementDraft, Statement};
use wire::{Code, FieldProblem, SettlementView};

use super::draft::check_open;
use super::show::whole;
use crate::books::drafting::{Computed, compute};
use crate::books::fingerprint::fingerprint;
use crate::http::caller::Member;
use crate::http::operation::{BOOKKEEPING, Operation};
use crate::http::parameters::InPath;
use crate::http::refusal::Refusal;
use crate::routes::outfits::show::own;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "post_settlement",
    method: Method::PUT,
    path: "/v1/settlements/{settlement_id}/posting",
    access: BOOKKEEPING,
    refusals: &[
        Code::NotFound,
        Code::WeekNotOver,
        Code::WeekPosted,
        Code::EarlierWeekOpen,
        Code::UnpricedPieces,
        Code::UnpricedTime,
        Code::NoShareSet,
        Code::NoHours,
        Code::DraftOutOfDate,
        Code::TooLarge,
    ],
};

/// Post a draft for good
///
/// Writes the statements and the journal. Only what the draft shows is posted: when the books have changed since,
/// it is refused and the week must be drafted again. Posting the same draft again changes nothing.
#[utoipa::path(
    tag = "settlements",
    operation_id = "post_settlement",
    params(("settlement_id" = SettlementId, Path, description = "The draft.")),
    responses(
        (status = 201, description = "Posted.", body = SettlementView),
        (status = 200, description = "It was posted before; nothing has changed.", body = SettlementView,
         headers(("Replayed" = String, description = "Always `true`.")))
    )
)]
#[put("/v1/settlements/{settlement_id}/posting")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    id: InPath<SettlementId>,
) -> Result<HttpResponse, Refusal> {
    let (new, shown) = service
        .store
        .write(member.outfit, async |books| {
            books.close_to_others().await?;
            let outfit = own(books).await?;
            let found = books.settlement(id.0).await?;
            let draft = found.ok_or_else(|| Refusal::not_found("settlement", id.0))?;
            let new = draft.posting.is_none();
            if new {
                post_draft(books, &outfit, &draft, &service, &member).await?;
            }
            let posted = books.settlement(id.0).await?;
            let posted = posted.ok_or_else(|| Refusal::not_found("settlement", id.0))?;
            Ok::<_, Refusal>((new, whole(books, &posted, &outfit).await?))
        })
        .await?;
    Ok(if new {
        HttpResponse::Created().json(shown)
    } else {
        HttpResponse::Ok().insert_header(("Replayed", "true")).json(shown)
    })
}

async fn post_draft(
    books: &mut Books,
    outfit: &Outfit,
    draft: &SettlementDraft,
    service: &Service,
    member: &Member,
) -> Result<(), Refusal> {
    let week = draft.week_ends_on;
    let (now, over) = (service.clock.now(), outfit.cut_off.over(week, &outfit.time_zone));
    if now < over {
        let here = |moment: jiff::Timestamp| moment.to_zoned(outfit.time_zone.clone());
        let detail =
            format!("the week that ends on {week} can be posted from {}; it is {}", here(over), here(now));
        return Err(Refusal::new(Code::WeekNotOver, detail));
    }
    check_open(books, week).await?;
    check_priced(books, week).await?;
    let Computed { lines, views } = compute(books, outfit, week).await?;
    check_earlier_weeks(books, &lines, week).await?;
    if fingerprint(&views)? != draft.fingerprint {
        let detail = format!("tickets, terms or shares have come in since {}", draft.drafted.at);
        return Err(Refusal::new(Code::DraftOutOfDate, detail));
    }
    keep(books, outfit, draft, &lines, service, member).await
}

async fn check_priced(books: &mut Books, week: Date) -> Result<(), Refusal> {
    let open = books.open_unpriced(None, Some(week), 100).await?;
    if open.is_empty() {
        return Ok(());
    }
    let problems = open.iter().map(|one| FieldProblem {
        pointer: match one.piece {
            Some(piece) => format!("/v1/tickets/{}#/ticket/pieces/{}", one.ticket, piece.saturating_sub(1)),
            None => format!("/v1/tickets/{}#/ticket", one.ticket),
        },
        detail: match one.piece {
            Some(piece) => {
                format!("ticket {} {}, piece {piece}, {}: {}", one.book, one.number, one.task, one.reason)
            }
            None => format!("ticket {} {}, {}: {}", one.book, one.number, one.task, one.reason),
        },
    });
    let detail = format!("{} tasks on tickets up to {week} are unpriced", open.len());
    Err(Refusal::new(Code::UnpricedPieces, detail).at(problems.collect()))
}

/// Weeks are posted in order; what comes late for a closed one is an adjustment and may pass.
async fn check_earlier_weeks(books: &mut Books, lines: &[Line], week: Date) -> Result<(), Refusal> {
    let latest = books.latest_posted_week().await?;
    let open = lines
        .iter()
        .map(|line| line.key.week)
        .filter(|earlier| *earlier < week && latest.is_none_or(|latest| *earlier > latest))
        .min();
    match open {
        None => Ok(()),
        Some(earlier) => Err(Refusal::new(
            Code::EarlierWeekOpen,
            format!("the week that ended on {earlier} has pay and was not posted"),
        )),
    }
}

async fn keep(
    books: &mut Books,
    outfit: &Outfit,
    draft: &SettlementDraft,
    lines: &[Line],
    service: &Service,
    member: &Member,
) -> Result<(), Refusal> {
    let stamp = member.stamp(service.clock.as_ref());
    let opening: BTreeMap<_, _> = books
        .balances()
        .await?
        .into_iter()
        .map(|(payee, minor)| (payee, Money::from_minor(minor, outfit.currency)))
        .collect();
    let entry = settlement::journal(lines).map_err(Refusal::internal)?;
    let statements = settlement::statements(lines, &opening).map_err(Refusal::internal)?;
    let entry_id = (!entry.postings().is_empty()).then(|| service.ids.make());
    if let Some(id) = entry_id {
        let postings =
            entry.postings().iter().map(|posting| (posting.account, posting.amount.minor())).collect();
        let says = format!("Settlement of the week that ended on {}", draft.week_ends_on);
        let dated = draft.week_ends_on;
        books.add_journal_entry(&JournalEntry { id, dated, says, postings, made: stamp.clone() }).await?;
    }
    let posting = Posting { entry: entry_id, posted: stamp };
    let posted: Vec<_> =
        (1_i32..).zip(lines).map(|(number, line)| posted_line(draft.id, number, line)).collect();
    books.post_settlement(draft, &posting, &posted).await?;
    let statements: Vec<_> = statements
        .iter()
        .map(|one| Statement {
            id: service.ids.make(),
            settlement: draft.id,
            payee: one.payee,
            opening_minor: one.opening.minor(),
            earned_minor: one.earned.minor(),
            closing_minor: one.closing.minor(),
        })
        .collect();
    books.add_statements(&statements).await?;
    tracing::info!(settlement.week = %draft.week_ends_on, settlement.lines = lines.len(), "week posted");
    Ok(())
}

fn posted_line(settlement: SettlementId, number: i32, line: &Line) -> PostedLine {
    PostedLine {
        settlement,
        number,
        key: line.key,
        quantity: line.change.quantity,
        pieces: line.change.pieces,
        amount_minor: line.change.amount.minor(),
        by_payee: line
            .change
            .by_payee
            .iter()
            .map(|share| (share.payee, share.amount.minor()))
            .collect(),
        entered: line.entered.clone(),
        withdrawn: line.withdrawn.clone(),
    }
}
