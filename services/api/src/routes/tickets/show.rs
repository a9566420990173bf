//! Shows a ticket, and what became of it.

use actix_web::http::Method;
use actix_web::web::Data;
use actix_web::{HttpResponse, get};
use kernel::{Id, MillId, TicketId, UnpricedId};
use serde::Deserialize;
use storage::{
    Books, ContractParty, Derivation, NewTicket, OpenUnpriced, Page, SetAside, Terms, Ticket, UnpricedFilter,
};
use utoipa::IntoParams;
use wire::{
    AccrualView, Code, ContractScale, PaperFormat, PaperSize, PieceScaleView, PiecesShown, ScaleTotalView,
    SetAsideView, TicketCreate, TicketState, TicketView, UnpricedView,
};

use crate::books::accepting::Acceptor;
use crate::books::entitling::terms_by_id;
use crate::books::names::party_view;
use crate::books::reading_ticket::content;
use crate::books::ticket_names::named;
use crate::http::caller::Member;
use crate::http::on_paper::OnPaper;
use crate::http::operation::{Access, Effect, Operation};
use crate::http::parameters::{InPath, InQuery};
use crate::http::refusal::Refusal;
use crate::service::Service;

/// Who sees tickets: everybody, and a mill those that were delivered to it.
pub const READERS: Access = crate::http::operation::EVERYONE;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "show_ticket",
    method: Method::GET,
    path: "/v1/tickets/{ticket_id}",
    access: READERS,
    effect: Effect::None,
    refusals: &[Code::NotFound],
};

/// How much of its pieces.
#[derive(Debug, Deserialize, IntoParams)]
#[serde(deny_unknown_fields)]
#[into_params(parameter_in = Query)]
pub struct PiecesQuery {
    /// How much of the pieces is shown: `none`, `measured`, or `scaled` when it is left out.
    #[param(inline)]
    pieces: Option<PiecesShown>,
    /// In which form: `json` when it is left out, `html`, or `pdf`.
    #[param(inline)]
    format: Option<PaperFormat>,
    /// With `pdf`: on which paper, `letter` when it is left out, or `a4`.
    #[param(inline)]
    paper: Option<PaperSize>,
}

/// Show a ticket, and what became of it
///
/// A mill sees what was delivered to it, scaled under its own contract only. As `html` or `pdf` it is the scale ticket on
/// paper, with the same figures; a ticket that was corrected or is void says so on every page.
#[utoipa::path(
    tag = "tickets",
    operation_id = "show_ticket",
    params(("ticket_id" = TicketId, Path, description = "The ticket."), PiecesQuery),
    responses((status = 200, description = "The ticket, in the form that was asked for.",
               content((TicketView = "application/json"), (String = "text/html"), (String = "application/pdf"))))
)]
#[get("/v1/tickets/{ticket_id}")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    id: InPath<TicketId>,
    query: InQuery<PiecesQuery>,
) -> Result<HttpResponse, Refusal> {
    let PiecesQuery { pieces, format, paper } = query.0;
    let asked = OnPaper::asked(format, paper)?;
    let shown = pieces.unwrap_or(PiecesShown::Scaled);
    let view = service
        .read(&member, async |books| {
            let ticket = find(books, &member, id.0).await?;
            let mut view = view(books, &ticket, member.mill, shown).await?;
            if shown == PiecesShown::Scaled {
                view.named = Some(named(books, &member, &ticket).await?);
            }
            Ok(view)
        })
        .await?;
    asked.answer(&view, papers::ticket).await
}

/// The ticket with this id, if the caller may see it.
///
/// # Errors
///
/// [`Code::NotFound`].
pub async fn find(books: &mut Books, member: &Member, id: TicketId) -> Result<Ticket, Refusal> {
    let found = books.ticket(id).await?;
    found
        .filter(|ticket| member.mill.is_none_or(|mill| ticket.record.delivered_to == Some(mill)))
        .ok_or_else(|| Refusal::not_found("ticket", id))
}

/// A ticket with as much of its pieces as is asked for.
///
/// # Errors
///
/// Whatever the books answer.
pub async fn view(
    books: &mut Books,
    ticket: &Ticket,
    mill: Option<MillId>,
    shown: PiecesShown,
) -> Result<TicketView, Refusal> {
    match shown {
        PiecesShown::Scaled => whole_view(books, ticket, mill).await,
        PiecesShown::Measured => short_view(ticket),
        PiecesShown::None => short_view(ticket).map(without_pieces),
    }
}

/// A ticket that tells how many pieces it has and nothing else of them.
fn without_pieces(mut view: TicketView) -> TicketView {
    view.pieces_shown = PiecesShown::None;
    view.ticket.pieces.clear();
    for work in &mut view.ticket.work {
        work.pieces = None;
    }
    view
}

/// A ticket with everything that was made of it; for a mill, only what its own contract made of it.
///
/// # Errors
///
/// Whatever the books answer.
pub async fn whole_view(
    books: &mut Books,
    ticket: &Ticket,
    mill: Option<MillId>,
) -> Result<TicketView, Refusal> {
    let mut view = short_view(ticket)?;
    view.pieces_shown = PiecesShown::Scaled;
    let id = ticket.record.id;
    let derivations = books.derivations_of(id).await?;
    let terms = terms_by_id(books, derivations.iter().map(|derivation| derivation.terms)).await?;
    for derivation in &derivations {
        let contract = books.contract(derivation.contract).await?;
        let contract = contract.ok_or_else(|| Refusal::not_found("contract", derivation.contract))?;
        if mill.is_some_and(|mill| contract.party != ContractParty::Mill(mill)) {
            continue;
        }
        let terms = terms.get(&derivation.terms);
        let terms = terms.ok_or_else(|| Refusal::internal("a derivation names terms that are not there"))?;
        view.scaled.push(scaled_view(derivation, contract.title, terms)?);
    }
    if mill.is_none() {
        let of_it = UnpricedFilter { ticket: Some(id), ..UnpricedFilter::default() };
        let open = books.open_unpriced(of_it, Page::first(u16::MAX)).await?;
        view.unpriced = open.into_iter().map(unpriced_view).collect();
        view.set_aside = books.set_asides(id).await?.into_iter().map(set_aside_view).collect();
    }
    Ok(view)
}

/// A ticket that was written a moment ago with everything that was made of it, from what was written.
///
/// # Errors
///
/// [`Code::Internal`] for a record that could not have been sent.
pub fn new_view(new: &NewTicket, acceptor: &Acceptor<'_>) -> Result<TicketView, Refusal> {
    let record = &new.record;
    let ticket =
        Ticket { record: record.clone(), corrected_by: None, scaler_certificate: new.scaler_certificate };
    let mut view = short_view(&ticket)?;
    view.pieces_shown = PiecesShown::Scaled;
    for derivation in &new.derivations {
        let (title, terms) = acceptor
            .terms_of(derivation.contract)
            .ok_or_else(|| Refusal::internal("a derivation names terms that are not there"))?;
        view.scaled.push(scaled_view(derivation, title.to_owned(), terms)?);
    }
    // In the order in which they are read back.
    view.scaled.sort_by_key(|scaled| scaled.contract_id);
    let open = new.unpriced.iter().map(|unpriced| OpenUnpriced {
        id: UnpricedId::from_uuid(unpriced.id),
        ticket: record.id,
        book: record.book.clone(),
        number: record.number,
        scaled_on: record.scaled_on,
        task: unpriced.task,
        piece: unpriced.piece,
        party: unpriced.party,
        reason: unpriced.reason.clone(),
    });
    view.unpriced = open.map(unpriced_view).collect();
    Ok(view)
}

/// A ticket by itself, as lists show it.
///
/// # Errors
///
/// [`Code::Internal`] for a record that could not have been sent.
pub fn short_view(ticket: &Ticket) -> Result<TicketView, Refusal> {
    let record = &ticket.record;
    Ok(TicketView {
        ticket_id: record.id,
        state: match ticket.corrected_by {
            Some(_) => TicketState::Corrected,
            None if ticket.is_void() => TicketState::Void,
            None => TicketState::Standing,
        },
        ticket: TicketCreate { sent_at: record.arrival.sent, ..content(record)? },
        piece_count: record.pieces.len(),
        pieces_shown: PiecesShown::Measured,
        corrects: record.corrects.as_ref().map(|correction| correction.of),
        correction_reason: record.corrects.as_ref().map(|correction| correction.reason.clone()),
        corrected_by: ticket.corrected_by,
        accepted_by: record.accepted.by.clone(),
        accepted_at: record.accepted.at,
        device_clock_ahead_seconds: record.arrival.clock_ahead_seconds,
        late: record.arrival.late_for.is_some(),
        scaler_certificate_id: ticket.scaler_certificate,
        scaled: Vec::new(),
        named: None,
        unpriced: Vec::new(),
        set_aside: Vec::new(),
    })
}

fn scaled_view(
    derivation: &Derivation,
    contract_title: String,
    terms: &Terms,
) -> Result<ContractScale, Refusal> {
    let pieces = (1_u16..).zip(&derivation.volumes).map(|(piece, stored)| {
        let volume = stored.volume;
        PieceScaleView {
            piece,
            unit: volume.map(|(unit, ..)| unit),
            gross: volume.map(|(_, gross, _)| gross),
            net: volume.map(|(.., net)| net),
            cull: stored.cull.clone(),
        }
    });
    let accruals = derivation.accruals.iter().filter_map(|accrual| {
        let rate = terms.rates.as_slice().get(usize::from(accrual.rate_number).checked_sub(1)?)?;
        Some(AccrualView {
            rate_number: accrual.rate_number,
            rate_name: rate.name().as_str().to_owned(),
            task: rate.task(),
            quantity: accrual.quantity,
            pieces: accrual.pieces.clone(),
        })
    });
    let pieces: Vec<_> = pieces.collect();
    Ok(ContractScale {
        contract_id: derivation.contract,
        contract_title,
        terms_id: derivation.terms,
        totals: totals(&pieces)?,
        pieces,
        accruals: accruals.collect(),
    })
}

/// The volumes of pieces by unit, in the order in which the units come.
fn totals(pieces: &[PieceScaleView]) -> Result<Vec<ScaleTotalView>, Refusal> {
    let mut totals: Vec<ScaleTotalView> = Vec::new();
    for piece in pieces {
        let (Some(unit), Some(gross), Some(net)) = (piece.unit, piece.gross, piece.net) else { continue };
        let culls = usize::from(piece.cull.is_some());
        match totals.iter_mut().find(|total| total.unit == unit) {
            Some(total) => {
                total.pieces = total.pieces.saturating_add(1);
                total.culls = total.culls.saturating_add(culls);
                total.gross = total.gross.plus(gross)?;
                total.net = total.net.plus(net)?;
            }
            None => totals.push(ScaleTotalView { unit, pieces: 1, culls, gross, net }),
        }
    }
    Ok(totals)
}

/// Something unpriced as it is shown.
pub fn unpriced_view(open: OpenUnpriced) -> UnpricedView {
    UnpricedView {
        ticket_id: open.ticket,
        book: open.book,
        number: open.number,
        scaled_on: open.scaled_on,
        task: open.task,
        piece: open.piece,
        party: party_view(open.party),
        says: open.reason.to_string(),
        reason: open.reason,
    }
}

/// A decision to set something aside as it is shown.
pub fn set_aside_view(made: SetAside) -> SetAsideView {
    SetAsideView {
        set_aside_id: made.id,
        ticket_id: made.ticket,
        task: made.task,
        piece: made.piece,
        reason: made.reason,
        made_by: made.made.by,
        made_at: made.made.at,
    }
}
