//! Many tickets: each stands or falls by itself, and a hundred share a transaction.

use storage::Books;
use wire::{AcceptedTicket, BatchEnd, BatchLine, Code, Problem, RefusedTicket, ReplayedTicket, TicketCreate};

use super::accepting::{Accepted, Acceptor};
use crate::http::caller::Member;
use crate::http::filing::AuditMark;
use crate::http::refusal::Refusal;
use crate::running::metrics::NotKept;
use crate::service::Service;

/// How many tickets share a transaction.
pub const TOGETHER: usize = 100;

/// A ticket of many, as far as it could be read.
#[derive(Debug)]
pub struct SentTicket {
    /// The line or row it came on.
    pub line: u64,
    /// The ticket, or why it is none.
    pub read: Result<Box<TicketCreate>, Box<Problem>>,
}

/// How tickets are taken in.
#[derive(Debug)]
pub struct Intake<'a> {
    /// The service.
    pub service: &'a Service,
    /// Who sends them.
    pub member: &'a Member,
    /// What their audit entries carry.
    pub mark: AuditMark,
    /// Whether nothing is kept.
    pub rehearsal: bool,
}

/// How far a ticket that the database refuses reaches.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Care {
    /// The whole transaction: it is quick, and nearly always goes well.
    Together,
    /// Only itself.
    OneByOne,
}

impl Intake<'_> {
    /// Takes tickets in, in one transaction; answers what became of each, in the order they came. When the transaction
    /// fails as a whole, all of them are refused and may be sent again.
    pub async fn take(&self, tickets: &[SentTicket]) -> Vec<BatchLine> {
        let mut outcome = self.attempt(tickets, Care::Together).await;
        if outcome.as_ref().is_err_and(|refusal| refusal.problem.code != Code::Unavailable) {
            outcome = self.attempt(tickets, Care::OneByOne).await;
        }
        let lines = outcome.unwrap_or_else(|refusal| {
            refusal.log();
            tickets.iter().map(|ticket| refused(ticket, &refusal.problem)).collect()
        });
        if !self.rehearsal {
            self.count_not_kept(&lines);
        }
        lines
    }

    fn count_not_kept(&self, lines: &[BatchLine]) {
        let mut end = BatchEnd::default();
        lines.iter().for_each(|line| end.count(line));
        let metrics = &self.service.running.metrics;
        metrics.tickets_not_kept(NotKept::Replayed, end.replayed);
        metrics.tickets_not_kept(NotKept::Refused, end.refused);
    }

    async fn attempt(&self, tickets: &[SentTicket], care: Care) -> Result<Vec<BatchLine>, Refusal> {
        let work = async |books: &mut Books| self.all(books, tickets, care).await;
        match self.rehearsal {
            true => self.service.rehearse(self.member, work).await,
            false => self.service.write(self.member, work).await,
        }
    }

    async fn all(
        &self,
        books: &mut Books,
        tickets: &[SentTicket],
        care: Care,
    ) -> Result<Vec<BatchLine>, Refusal> {
        let mut acceptor = Acceptor::open(books, self.service, self.member).await?;
        let mut lines = Vec::with_capacity(tickets.len());
        for ticket in tickets {
            let sent = match &ticket.read {
                Ok(sent) => sent,
                Err(problem) => {
                    lines.push(refused(ticket, problem));
                    continue;
                }
            };
            let outcome = match care {
                Care::Together => self.one(books, &mut acceptor, sent).await,
                Care::OneByOne => {
                    books.attempt(async |books| self.one(books, &mut acceptor, sent).await).await
                }
            };
            lines.push(match outcome {
                Ok(accepted) => taken(ticket.line, sent, accepted),
                // What has a cause came from the database, which has given the transaction up.
                Err(refusal) if refusal.cause.is_some() && (care == Care::Together || is_fault(&refusal)) => {
                    return Err(refusal);
                }
                Err(refusal) => refused(ticket, &refusal.problem),
            });
        }
        Ok(lines)
    }

    async fn one(
        &self,
        books: &mut Books,
        acceptor: &mut Acceptor<'_>,
        sent: &TicketCreate,
    ) -> Result<Accepted, Refusal> {
        let accepted = acceptor.accept(books, sent, None, "").await?;
        if let Accepted::New { ticket, .. } = &accepted {
            self.mark.enter(books, self.service, self.member, *ticket).await?;
        }
        Ok(accepted)
    }
}

/// Whether it says nothing about the ticket.
fn is_fault(refusal: &Refusal) -> bool {
    refusal.problem.status >= 500
}

fn taken(line: u64, sent: &TicketCreate, accepted: Accepted) -> BatchLine {
    let (book, number) = (sent.book.as_str().to_owned(), sent.number);
    match accepted {
        Accepted::New { ticket: ticket_id, unpriced } => {
            let unpriced = u32::try_from(unpriced).unwrap_or(u32::MAX);
            BatchLine::Accepted(AcceptedTicket { line, book, number, ticket_id, unpriced })
        }
        Accepted::Before(before) => {
            BatchLine::Replayed(ReplayedTicket { line, book, number, ticket_id: before.record.id })
        }
    }
}

fn refused(ticket: &SentTicket, problem: &Problem) -> BatchLine {
    let sent = ticket.read.as_ref().ok();
    BatchLine::Refused(RefusedTicket {
        line: ticket.line,
        book: sent.map(|sent| sent.book.as_str().to_owned()),
        number: sent.map(|sent| sent.number),
        problem: problem.clone(),
    })
}
