//! Posts a draft for good.

use std::collections::BTreeMap;

use actix_web::http::Method;
use actix_web::web::Data;
use actix_web::{HttpResponse, put};
use jiff::civil::Date;
use kernel::{Money, SettlementId};
use settlement::{Forward, Keeping, Line, Pay, Payee, TakeOff};
use storage::{
    Books, JournalEntry, Outfit, Page, PostedLine, PostedPay, PostedTakeOff, Posting, SettlementDraft,
    Statement, UnpricedFilter,
};
use wire::{Code, FieldProblem, SettlementView};

use super::draft::check_open;
use super::show::whole;
use crate::books::drafting::{Computed, compute};
use crate::books::restating::Reach;
use crate::books::sealing::seal_books;
use crate::http::caller::Member;
use crate::http::filing::{Filing, Kept};
use crate::http::operation::{BOOKKEEPING, Effect, Operation};
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
    effect: Effect::Named,
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
    filing: Filing,
    id: InPath<SettlementId>,
) -> Result<HttpResponse, Refusal> {
    filing
        .keep(&service, &member, async |books| {
            books.close_to_others(&service.ids).await?;
            let outfit = own(books).await?;
            let found = books.settlement(id.0).await?;
            let draft = found.ok_or_else(|| Refusal::not_found("settlement", id.0))?;
            let new = draft.posting.is_none();
            if new {
                post_draft(books, &outfit, &draft, &service, &member).await?;
            }
            let posted = books.settlement(id.0).await?;
            let posted = posted.ok_or_else(|| Refusal::not_found("settlement", id.0))?;
            Ok(Kept::new_if(new, id.0, whole(books, &posted, &outfit).await?))
        })
        .await
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
    let Computed { lines, pays, shown } = compute(books, outfit, week, Reach::Changed).await?;
    check_earlier_weeks(books, (&lines, &pays), week).await?;
    if shown.fingerprint()? != draft.fingerprint {
        let detail =
            format!("tickets, terms, shares, hours or charges have come in since {}", draft.drafted.at);
        return Err(Refusal::new(Code::DraftOutOfDate, detail));
    }
    keep(books, outfit, draft, (&lines, &pays), service, member).await?;
    let stamp = member.stamp(service.clock.as_ref());
    let _sealed = seal_books(books, service, stamp, Some(draft.id)).await?;
    Ok(())
}

async fn check_priced(books: &mut Books, week: Date) -> Result<(), Refusal> {
    let open = books.open_unpriced(UnpricedFilter::up_to(week), Page::first(100)).await?;
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
async fn check_earlier_weeks(
    books: &mut Books,
    (lines, pays): (&[Line], &[Pay]),
    week: Date,
) -> Result<(), Refusal> {
    let latest = books.latest_posted_week().await?;
    let added = pays.iter().flat_map(|pay| &pay.supplements).map(|line| line.key.week);
    let open = lines
        .iter()
        .map(|line| line.key.week)
        .chain(added)
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
    (lines, pays): (&[Line], &[Pay]),
    service: &Service,
    member: &Member,
) -> Result<(), Refusal> {
    let stamp = member.stamp(service.clock.as_ref());
    let forward = brought_forward(books, outfit).await?;
    let entry = settlement::journal(lines, pays).map_err(Refusal::internal)?;
    let statements = settlement::statements(lines, pays, &forward).map_err(Refusal::internal)?;
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
    books.add_pays(draft.id, &pays.iter().map(posted_pay).collect::<Vec<_>>()).await?;
    let statements: Vec<_> = statements
        .iter()
        .map(|one| Statement {
            id: service.ids.make(),
            settlement: draft.id,
            payee: one.payee,
            opening_minor: one.opening.minor(),
            moved_minor: one.moved.minor(),
            earned_minor: one.earned.minor(),
            added_minor: one.added.minor(),
            kept_back_minor: one.kept_back.minor(),
            closing_minor: one.closing.minor(),
        })
        .collect();
    books.add_statements(&statements).await?;
    tracing::info!(settlement.week = %draft.week_ends_on, settlement.lines = lines.len(), "week posted");
    Ok(())
}

/// What each payee's last statement closed with, and what came and went since.
async fn brought_forward(books: &mut Books, outfit: &Outfit) -> Result<BTreeMap<Payee, Forward>, Refusal> {
    let money = |minor| Money::from_minor(minor, outfit.currency);
    let closings = books.last_closings().await?;
    let mut forward = BTreeMap::new();
    for (payee, balance) in books.balances().await? {
        let opening = money(closings.get(&payee).copied().unwrap_or_default());
        forward.insert(payee, Forward { opening, moved: money(balance).minus(opening)? });
    }
    Ok(forward)
}

fn posted_pay(pay: &Pay) -> PostedPay {
    let take_off = |one: &TakeOff| {
        let (due_minor, taken_minor) = (one.due.minor(), one.taken.minor());
        let kept = PostedTakeOff { due_minor, taken_minor, ..PostedTakeOff::default() };
        match one.keeping {
            Keeping::Holdback { contract } => PostedTakeOff { contract: Some(contract), ..kept },
            Keeping::Advance { advance } => PostedTakeOff { advance: Some(advance), ..kept },
            Keeping::Charge { charge, .. } => PostedTakeOff { charge: Some(charge), ..kept },
        }
    };
    PostedPay {
        worker: pay.worker,
        supplements: pay.supplements.iter().map(|line| (line.key, line.change.minor())).collect(),
        take_offs: pay.take_offs.iter().map(take_off).collect(),
    }
}

fn posted_line(settlement: SettlementId, number: i32, line: &Line) -> PostedLine {
    PostedLine {
        settlement,
        number,
        key: line.key,
        quantity: line.change.quantity,
        pieces: line.change.pieces,
        amount_minor: line.change.amount.minor(),
        by_payee: line.change.by_payee.iter().map(|share| (share.payee, share.amount.minor())).collect(),
        entered: line.entered.clone(),
        withdrawn: line.withdrawn.clone(),
    }
}
