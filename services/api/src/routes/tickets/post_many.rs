//! Posts many scale tickets, one on a line.

use std::convert::Infallible;

use actix_web::http::Method;
use actix_web::web::{Bytes, Data};
use actix_web::{HttpMessage, HttpRequest, HttpResponse, post, web};
use futures_util::stream;
use tokio::sync::mpsc::{UnboundedSender, unbounded_channel};
use wire::{BatchEnd, BatchLine, Code, TicketCreate};

use crate::books::batch::{Intake, SentTicket, TOGETHER};
use crate::http::body::{BODY_LIMIT, parse};
use crate::http::caller::Member;
use crate::http::filing::{AuditMark, Filing};
use crate::http::lines::{Line, Lines};
use crate::http::operation::{Effect, Operation, RECORDING};
use crate::http::refusal::Refusal;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "post_tickets",
    method: Method::POST,
    path: "/v1/ticket-batches",
    access: RECORDING,
    effect: Effect::Named,
    refusals: &[Code::WrongMediaType],
};

/// The media type of newline-delimited JSON.
pub const LINES: &str = "application/x-ndjson";

/// Post many scale tickets, one on a line
///
/// Newline-delimited JSON: each line is a ticket as `post_ticket` takes it, as many as you like. The answer has a line
/// for each, in the same order, as they are dealt with: a good ticket is kept, a bad one is explained and does not keep
/// the others back. The last line counts them all; where it is missing, the answer was cut off. Sending all of it
/// again does no harm: what was kept is then answered as replayed. In a dry run a ticket is not held against those of the
/// same request that are more than a hundred lines before it.
#[utoipa::path(
    tag = "tickets",
    operation_id = "post_tickets",
    request_body(content = TicketCreate, content_type = "application/x-ndjson",
                 description = "One ticket on a line."),
    responses((status = 200, description = "A line for each ticket, and one at the end.", body = BatchLine,
               content_type = "application/x-ndjson"))
)]
#[post("/v1/ticket-batches")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    filing: Filing,
    request: HttpRequest,
    payload: web::Payload,
) -> Result<HttpResponse, Refusal> {
    // Each ticket is answered on a line of its own; whoever may not come in at all is told so at once.
    service.let_in(&member).await?;
    if !request.content_type().eq_ignore_ascii_case(LINES) {
        let detail = format!("the header Content-Type is not {LINES}");
        return Err(Refusal::new(Code::WrongMediaType, detail));
    }
    let (answers, answered) = unbounded_channel();
    let batch = Batch {
        service: service.clone(),
        member,
        mark: filing.mark(),
        rehearsal: filing.is_rehearsal(),
        answers,
    };
    // Reading goes on by itself, so that a caller may write everything before reading anything.
    let lines = Lines::of(payload.into_inner(), service.running.body_wait);
    actix_web::rt::spawn(batch.run(lines));
    let lines = stream::unfold(answered, async |mut answered| {
        let line: Bytes = answered.recv().await?;
        Some((Ok::<_, Infallible>(line), answered))
    });
    Ok(HttpResponse::Ok().insert_header(("Cache-Control", "no-store")).content_type(LINES).streaming(lines))
}

/// A request while it is being worked on.
struct Batch {
    service: Data<Service>,
    member: Member,
    mark: AuditMark,
    rehearsal: bool,
    answers: UnboundedSender<Bytes>,
}

impl Batch {
    async fn run(self, mut lines: Lines) {
        let mut end = BatchEnd { dry_run: self.rehearsal, ..BatchEnd::default() };
        let mut waiting = Vec::with_capacity(TOGETHER);
        loop {
            let next = match lines.next().await {
                Ok(next) => next,
                // Whoever sent it is gone; what was read to the end is kept all the same.
                Err(refusal) => {
                    refusal.log();
                    self.take(&mut waiting, &mut end).await;
                    return;
                }
            };
            let last = next.is_none();
            waiting.extend(next.map(|(number, line)| read(number, line)));
            if (last || waiting.len() >= TOGETHER) && !self.take(&mut waiting, &mut end).await {
                return;
            }
            if last {
                self.answer(&[BatchLine::Finished(end)]);
                return;
            }
        }
    }

    /// Takes in what has been read; false when nobody listens any more.
    async fn take(&self, waiting: &mut Vec<SentTicket>, end: &mut BatchEnd) -> bool {
        let tickets = std::mem::take(waiting);
        if tickets.is_empty() {
            return true;
        }
        let Self { service, member, mark, rehearsal, .. } = self;
        let intake = Intake { service, member, mark: *mark, rehearsal: *rehearsal };
        let answers = intake.take(&tickets).await;
        answers.iter().for_each(|line| end.count(line));
        self.answer(&answers)
    }

    fn answer(&self, lines: &[BatchLine]) -> bool {
        let mut text = Vec::new();
        for line in lines {
            if serde_json::to_writer(&mut text, line).is_err() {
                return false;
            }
            text.push(b'\n');
        }
        self.answers.send(text.into()).is_ok()
    }
}

fn read(line: u64, content: Line) -> SentTicket {
    let read = match content {
        Line::Text(text) => parse::<TicketCreate>(&text),
        Line::TooLong => {
            let detail = format!("a line may have {BODY_LIMIT} bytes; this one has more");
            Err(Refusal::new(Code::BodyTooLarge, detail))
        }
    };
    SentTicket { line, read: read.map(Box::new).map_err(|refusal| refusal.problem) }
}
