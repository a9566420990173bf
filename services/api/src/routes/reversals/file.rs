//! Takes back a record of money.

use actix_web::http::Method;
use actix_web::web::Data;
use actix_web::{HttpResponse, post};
use kernel::{JournalEntryId, Money};
use settlement::Booking;
use storage::{Books, Outfit, Reversal, Reversed, Stamp, Undone};
use wire::{Code, MoneyRecord, ReversalCreate, ReversalView};

use crate::books::money::{book, today};
use crate::http::body::Body;
use crate::http::caller::Member;
use crate::http::filing::{Filing, Kept};
use crate::http::operation::{BOOKKEEPING, Effect, Operation};
use crate::http::refusal::Refusal;
use crate::routes::outfits::show::own;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "file_reversal",
    method: Method::POST,
    path: "/v1/reversals",
    access: BOOKKEEPING,
    effect: Effect::Keyed,
    refusals: &[Code::NamesMissingRecord, Code::ReversedAlready],
};

/// Take back a charge, an advance, a payment or a release of holdback
///
/// The record stays readable and does not count any more. Its entry in the journal is cancelled by one with the signs
/// exchanged; what settlements took of a charge or an advance is given back by the next one.
#[utoipa::path(
    tag = "pay",
    operation_id = "file_reversal",
    request_body = ReversalCreate,
    responses((status = 201, description = "Taken back.", body = ReversalView))
)]
#[post("/v1/reversals")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    filing: Filing,
    body: Body<ReversalCreate>,
) -> Result<HttpResponse, Refusal> {
    let ReversalCreate { record, reason } = body.0;
    filing
        .keep(&service, &member, async |books| {
            books.close_to_others(&service.ids).await?;
            let outfit = own(books).await?;
            let made = member.stamp(service.clock.as_ref());
            let found = find(books, record).await?;
            if let Some(before) = found.reversed {
                return Err(reversed_already(&before));
            }
            let entry = match found.booked {
                Some(booked) => Some(cancel(books, &service, &outfit, booked, reason.as_str(), &made).await?),
                None => None,
            };
            let reversal =
                Reversal { id: service.ids.make(), of: found.of, reason: reason.into(), entry, made };
            books.add_reversal(&reversal).await?;
            let shown = ReversalView {
                reversal_id: reversal.id,
                record,
                reason: reversal.reason,
                journal_entry_id: reversal.entry,
                made_by: reversal.made.by,
                made_at: reversal.made.at,
            };
            Ok(Kept::new(reversal.id, shown))
        })
        .await
}

/// A record that is to be taken back.
struct Found {
    of: Undone,
    reversed: Option<Reversed>,
    /// Its entry in the journal; none for a charge, which has none.
    booked: Option<Booked>,
}

/// How a record was booked.
struct Booked {
    booking: Booking,
    amount_minor: i64,
    says: String,
}

async fn find(books: &mut Books, record: MoneyRecord) -> Result<Found, Refusal> {
    let missing = |kind: &str, id: &dyn std::fmt::Display| {
        Refusal::new(Code::NamesMissingRecord, format!("there is no {kind} {id} in your outfit's books"))
    };
    let found = match record {
        MoneyRecord::ChargeId(id) => {
            let state = books.charge(id).await?.ok_or_else(|| missing("charge", &id))?;
            Found { of: Undone::Charge(id), reversed: state.reversed, booked: None }
        }
        MoneyRecord::AdvanceId(id) => {
            let state = books.advance(id).await?.ok_or_else(|| missing("advance", &id))?;
            let (booking, says) = (Booking::Advance(state.advance.worker), state.advance.says);
            let booked = Some(Booked { booking, amount_minor: state.advance.amount_minor, says });
            Found { of: Undone::Advance(id), reversed: state.reversed, booked }
        }
        MoneyRecord::PaymentId(id) => {
            let state = books.payment(id).await?.ok_or_else(|| missing("payment", &id))?;
            let (booking, says) = (Booking::Payment(state.payment.payee), state.payment.says);
            let booked = Some(Booked { booking, amount_minor: state.payment.amount_minor, says });
            Found { of: Undone::Payment(id), reversed: state.reversed, booked }
        }
        MoneyRecord::ReleaseId(id) => {
            let state = books.release(id).await?.ok_or_else(|| missing("release", &id))?;
            let (booking, says) = (Booking::Release(state.release.worker), state.release.says);
            let booked = Some(Booked { booking, amount_minor: state.release.amount_minor, says });
            Found { of: Undone::Release(id), reversed: state.reversed, booked }
        }
    };
    Ok(found)
}

fn reversed_already(before: &Reversed) -> Refusal {
    let Reversed { reason, made } = before;
    let detail = format!("{} took it back on {}: {reason}", made.by, made.at);
    Refusal::new(Code::ReversedAlready, detail)
}

/// Books the record's entry once more with the signs exchanged, on the day on which it is taken back.
async fn cancel(
    books: &mut Books,
    service: &Service,
    outfit: &Outfit,
    booked: Booked,
    reason: &str,
    made: &Stamp,
) -> Result<JournalEntryId, Refusal> {
    let amount = Money::from_minor(booked.amount_minor, outfit.currency);
    let entry = booked.booking.entry(amount).map_err(Refusal::internal)?;
    let entry = entry.reversed().map_err(Refusal::internal)?;
    let what = match booked.booking {
        Booking::Advance(_) => "Advance",
        Booking::Payment(_) => "Payment",
        Booking::Release(_) => "Holdback let go",
    };
    let says = format!("{what} taken back: {}; {reason}", booked.says);
    book(books, service, &entry, (says, today(outfit, service)), made).await
}
