//! Many tickets: each stands or falls by itself, and a hundred share a transaction.

use storage::{Books, NewTicket, Ticket};
use wire::{AcceptedTicket, BatchEnd, BatchLine, Code, Problem, RefusedTicket, ReplayedTicket, TicketCreate};

use super::accepting::{Acceptor, Overtaken, Taken, take_in};
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
        if care == Care::Together && !self.rehearsal {
            return self.together(tickets).await;
        }
        let work = async |books: &mut Books| self.all(books, tickets, care).await;
        match self.rehearsal {
            true => self.service.rehearse(self.member, work).await,
            false => self.service.write(self.member, work).await,
        }
    }

    /// All of them written by one statement, right before the commit.
    async fn together(&self, tickets: &[SentTicket]) -> Result<Vec<BatchLine>, Refusal> {
        let read = read_ones(tickets);
        let decide = async |books: &mut Books, acceptor: &Acceptor<'_>| {
            let mut answers = Answers::default();
            for (place, ticket) in in_place(tickets) {
                answers.look_at(books, acceptor, place, ticket).await?;
            }
            let new = std::mem::take(&mut answers.waiting);
            Ok((answers, new))
        };
        let (mut answers, new, overtaken) =
            take_in(self.service, self.member, self.mark, &read, decide).await?;
        answers.settle(&new, &overtaken);
        Ok(answers.lines)
    }

    async fn all(
        &self,
        books: &mut Books,
        tickets: &[SentTicket],
        care: Care,
    ) -> Result<Vec<BatchLine>, Refusal> {
        let read = read_ones(tickets);
        let acceptor = Acceptor::open(books, self.service, self.member, self.mark, &read).await?;
        let mut answers = Answers::default();
        for (place, ticket) in in_place(tickets) {
            answers.look_at(books, &acceptor, place, ticket).await?;
            if care == Care::OneByOne {
                answers.write(books, care).await?;
            }
        }
        answers.write(books, care).await?;
        Ok(answers.lines)
    }
}

/// Those that could be read.
fn read_ones(tickets: &[SentTicket]) -> Vec<&TicketCreate> {
    tickets.iter().filter_map(|ticket| ticket.read.as_deref().ok()).collect()
}

/// Each with its place among those that could be read.
fn in_place(tickets: &[SentTicket]) -> impl Iterator<Item = (usize, &SentTicket)> {
    let mut place = 0_usize;
    tickets.iter().map(move |ticket| {
        let own = place;
        place = place.saturating_add(usize::from(ticket.read.is_ok()));
        (own, ticket)
    })
}

/// What is answered, and the new tickets that wait to be written together. Each that waits has its answer foreseen.
#[derive(Default)]
struct Answers<'a> {
    lines: Vec<BatchLine>,
    waiting: Vec<NewTicket>,
    /// Beside each of those what was sent, and the place of its answer.
    sent: Vec<(&'a SentTicket, usize)>,
}

impl<'a> Answers<'a> {
    async fn look_at(
        &mut self,
        books: &mut Books,
        acceptor: &Acceptor<'_>,
        place: usize,
        ticket: &'a SentTicket,
    ) -> Result<(), Refusal> {
        let sent = match &ticket.read {
            Ok(sent) => sent,
            Err(problem) => {
                self.lines.push(refused(ticket, problem));
                return Ok(());
            }
        };
        match acceptor.take(books, place, sent, None, "").await {
            Ok(Taken::New(new)) => self.wait(ticket, *new),
            Ok(Taken::Before(before)) => self.lines.push(replayed(ticket, &before)),
            // What has a cause came from the database, which has given the transaction up.
            Err(refusal) if refusal.cause.is_some() => return Err(refusal),
            Err(refusal) => self.lines.push(refused(ticket, &refusal.problem)),
        }
        Ok(())
    }

    fn wait(&mut self, ticket: &'a SentTicket, new: NewTicket) {
        self.sent.push((ticket, self.lines.len()));
        self.lines.push(accepted(ticket, &new));
        self.waiting.push(new);
    }

    /// Writes what waits, and sets those answers right that turn out otherwise than foreseen.
    async fn write(&mut self, books: &mut Books, care: Care) -> Result<(), Refusal> {
        let waiting = std::mem::take(&mut self.waiting);
        if waiting.is_empty() {
            return Ok(());
        }
        let written = match care {
            Care::Together => Acceptor::write(books, &waiting).await,
            Care::OneByOne => books.attempt(async |books| Acceptor::write(books, &waiting).await).await,
        };
        let overtaken = match written {
            // Without a fault it says something about the one ticket that was written.
            Err(refusal) if care == Care::OneByOne && !is_fault(&refusal) => {
                let sent = std::mem::take(&mut self.sent).into_iter();
                self.set_right(sent.map(|(ticket, place)| (place, refused(ticket, &refusal.problem))));
                return Ok(());
            }
            written => written?,
        };
        self.settle(&waiting, &overtaken);
        Ok(())
    }

    /// What was written is answered as foreseen, but for those that somebody else was faster with.
    fn settle(&mut self, written: &[NewTicket], overtaken: &Overtaken) {
        let sent = std::mem::take(&mut self.sent);
        let otherwise = written.iter().zip(sent).filter_map(|(new, (ticket, place))| {
            Some((
                place,
                match overtaken.get(&new.record.id)? {
                    Ok(before) => replayed(ticket, before),
                    Err(refusal) => refused(ticket, &refusal.problem),
                },
            ))
        });
        self.set_right(otherwise);
    }

    fn set_right(&mut self, otherwise: impl Iterator<Item = (usize, BatchLine)>) {
        for (place, right) in otherwise {
            if let Some(line) = self.lines.get_mut(place) {
                *line = right;
            }
        }
    }
}

/// Whether it says nothing about the ticket.
fn is_fault(refusal: &Refusal) -> bool {
    refusal.problem.status >= 500
}

fn accepted(ticket: &SentTicket, new: &NewTicket) -> BatchLine {
    let unpriced = u32::try_from(new.unpriced.len()).unwrap_or(u32::MAX);
    let (book, number) = named(ticket);
    BatchLine::Accepted(AcceptedTicket {
        line: ticket.line,
        book,
        number,
        ticket_id: new.record.id,
        unpriced,
    })
}

fn replayed(ticket: &SentTicket, before: &Ticket) -> BatchLine {
    let (book, number) = named(ticket);
    BatchLine::Replayed(ReplayedTicket { line: ticket.line, book, number, ticket_id: before.record.id })
}

/// Book and number of a ticket that could be read.
fn named(ticket: &SentTicket) -> (String, u32) {
    let sent = ticket.read.as_ref().ok();
    sent.map(|sent| (sent.book.as_str().to_owned(), sent.number)).unwrap_or_default()
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
