//! Posts the scale tickets of a sheet.

use std::collections::HashMap;

use actix_web::http::Method;
use actix_web::web::{Data, Json, Payload};
use actix_web::{HttpMessage, HttpRequest, post};
use wire::{BatchEnd, BatchLine, Code, SheetAnswer};

use crate::books::batch::{Intake, SentTicket, TOGETHER};
use crate::books::sheet::{self, Cells, Places};
use crate::http::body::read_up_to;
use crate::http::caller::Member;
use crate::http::filing::Filing;
use crate::http::operation::{Effect, Operation, RECORDING};
use crate::http::refusal::Refusal;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "post_ticket_sheet",
    method: Method::POST,
    path: "/v1/ticket-sheets",
    access: RECORDING,
    effect: Effect::Named,
    refusals: &[Code::WrongMediaType, Code::BodyTooLarge, Code::SheetUnreadable],
};

/// The largest sheet that is read.
const LARGEST: usize = 8 * 1024 * 1024;

/// Post the scale tickets of a sheet
///
/// Comma-separated values in UTF-8 (RFC 4180), one row a piece, for people with spreadsheets; `ticket_sheet_template`
/// gives a sheet to begin with. Its first row names the columns:
///
/// - `book`, `number`, `job`, `landing`, `scaled_on`, `scaler`, `delivered_to`, `turn.moved_by`,
///   `turn.skid_distance_ft`, `turn.haul_distance_mi`, `remarks`: of the ticket. Job, landing and mill by name or id.
///   Rows of one book and number in a row are one ticket; what the first of them says need not be said again, and a row
///   with neither book nor number goes on with the ticket above.
/// - `crew.felling`, `crew.hewing` and so on for every task: the crew, by name or id, that did it to the piece. Work that
///   crews share by parts is for JSON.
/// - `product`, `species`, `length_ft` and every other member of a piece. What stands within a member comes after a full
///   stop, items of a list by their place from 1: `small_diameter_in.1`, `small_end.width_in`, `defects.1.kind`.
///
/// Columns may come in any order and be left out but for `book`, `number`, `job`, `landing`, `scaled_on`, `scaler` and
/// `product`. An apostrophe before `=`, `+`, `-` or `@` at the beginning of a cell is dropped. Each ticket stands or falls
/// by itself; sending the sheet again does no harm. The sheet may have 8 MiB.
#[utoipa::path(
    tag = "tickets",
    operation_id = "post_ticket_sheet",
    request_body(content = String, content_type = "text/csv", description = "The sheet."),
    responses((status = 200, description = "What became of each ticket.", body = SheetAnswer))
)]
#[post("/v1/ticket-sheets")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    filing: Filing,
    request: HttpRequest,
    payload: Payload,
) -> Result<Json<SheetAnswer>, Refusal> {
    // Each ticket is answered on a line of its own; whoever may not come in at all is told so at once.
    service.let_in(&member).await?;
    if !request.content_type().eq_ignore_ascii_case("text/csv") {
        return Err(Refusal::new(Code::WrongMediaType, "the header Content-Type is not text/csv"));
    }
    let read = sheet::read(&read_up_to(payload.into_inner(), LARGEST, service.running.body_wait).await?)?;
    let places = service.read(&member, async |books| Places::read(books).await).await?;
    let sent: Vec<SentTicket> = read.iter().map(|ticket| places.send(ticket)).collect();
    let cells: HashMap<u64, &Cells> =
        read.iter().map(|ticket| (ticket.cells.first_row(), &ticket.cells)).collect();
    let intake =
        Intake { service: &service, member: &member, mark: filing.mark(), rehearsal: filing.is_rehearsal() };
    let mut end = BatchEnd { dry_run: filing.is_rehearsal(), ..BatchEnd::default() };
    let mut tickets = Vec::with_capacity(sent.len());
    for together in sent.chunks(TOGETHER) {
        for (ticket, mut line) in together.iter().zip(intake.take(together).await) {
            // What was found on the sheet names its cells already.
            if let (BatchLine::Refused(refused), true) = (&mut line, ticket.read.is_ok())
                && let Some(cells) = cells.get(&refused.line)
            {
                refused.problem = cells.name(&refused.problem);
            }
            end.count(&line);
            tickets.push(line);
        }
    }
    let BatchEnd { accepted, replayed, refused, dry_run } = end;
    Ok(Json(SheetAnswer { tickets, accepted, replayed, refused, dry_run }))
}
