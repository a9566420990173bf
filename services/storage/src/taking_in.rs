//! Taking new tickets in with two round trips to the database: one begins and reads what they stand on, the other writes and
//! commits.
//!
//! What is sent together is answered in the order in which it was sent, so it is polled in that order, and without the limit
//! that would have a busy task leave off between two of them.

use std::collections::HashSet;
use std::sync::atomic::{AtomicBool, Ordering};

use diesel::QueryResult;
use diesel_async::pooled_connection::deadpool::Object;
use diesel_async::{AsyncPgConnection, RunQueryDsl, SimpleAsyncConnection};
use kernel::TicketId;
use tokio::task::unconstrained;

use crate::books::{Unfinished, WRITING, beginning, gone, undo};
use crate::ground::{GroundRow, asked};
use crate::new_ticket::{AddedRow, adding};
use crate::patience::patiently;
use crate::ticket_names::TicketNames;
use crate::{Access, AskedParty, AskedTicket, Books, Ground, NewTicket, StorageError, Store};

/// What became of tickets that were to be taken in.
#[derive(Debug)]
pub struct TakenIn<T> {
    /// What was decided besides.
    pub decided: T,
    /// The tickets that were to be added.
    pub new: Vec<NewTicket>,
    /// Those of them that were; the book and number of the others had been taken by somebody else meanwhile.
    pub added: HashSet<TicketId>,
}

impl Store {
    /// Takes tickets in, in one transaction of a caller whose access must stand. Joins those who add tickets, reads what
    /// these ones stand on, has `decide` say which are to be added, adds and commits them.
    ///
    /// # Errors
    ///
    /// What `decide` answers, as [`Books::add_tickets`], and [`StorageError::Refused`] with `AccessRevoked`: nothing was
    /// kept then. [`StorageError::Unanswered`] when it is not known.
    pub async fn take_in<T, E: From<StorageError>>(
        &self,
        access: Access,
        (tickets, parties): (&[AskedTicket<'_>], &[AskedParty]),
        decide: impl AsyncFnOnce(&mut Books, Ground) -> Result<(T, Vec<NewTicket>), E>,
    ) -> Result<TakenIn<T>, E> {
        patiently(self.connections.patience, async |committing: &AtomicBool| {
            self.taken_in(access, (tickets, parties), decide, committing).await
        })
        .await
    }

    async fn taken_in<T, E: From<StorageError>>(
        &self,
        access: Access,
        asked: (&[AskedTicket<'_>], &[AskedParty]),
        decide: impl AsyncFnOnce(&mut Books, Ground) -> Result<(T, Vec<NewTicket>), E>,
        committing: &AtomicBool,
    ) -> Result<TakenIn<T>, E> {
        if self.connections.only_read {
            return Err(StorageError::only_read().into());
        }
        let connection = self.connections.get().await.map_err(E::from)?;
        let mut unfinished = Unfinished(Some(self.books(connection, access.outfit)));
        let books = unfinished.0.as_mut().ok_or_else(gone).map_err(E::from)?;
        let outcome = take_in(books, access, asked, decide, committing).await;
        match outcome {
            Ok(taken) => {
                self.is_kept(unfinished);
                Ok(taken)
            }
            Err(error) => {
                if let Some(books) = unfinished.0.take() {
                    undo(books.connection).await;
                }
                Err(error)
            }
        }
    }
}

async fn take_in<T, E: From<StorageError>>(
    books: &mut Books,
    access: Access,
    (tickets, parties): (&[AskedTicket<'_>], &[AskedParty]),
    decide: impl AsyncFnOnce(&mut Books, Ground) -> Result<(T, Vec<NewTicket>), E>,
    committing: &AtomicBool,
) -> Result<TakenIn<T>, E> {
    let ground = begin(books, access, tickets, parties).await?;
    let prepared = ground.adding_is_prepared;
    let (decided, new) = decide(books, ground).await?;
    committing.store(true, Ordering::Relaxed);
    let added = add_and_commit(books, &new, prepared).await?;
    Ok(TakenIn { decided, new, added })
}

/// Begins, joins the others who add tickets, and reads what these stand on. Who and what they name is remembered, but for the
/// first time. The library's count of open transactions is left out of it: it would wait for the first answer before it
/// asked anything else.
async fn begin(
    books: &mut Books,
    access: Access,
    tickets: &[AskedTicket<'_>],
    parties: &[AskedParty],
) -> Result<Ground, StorageError> {
    let joining = Books::joining_tickets(access.outfit);
    let begin = format!("{}; {joining}", beginning(WRITING, access));
    let names = TicketNames::remembered(&books.known, access.outfit, tickets, parties);
    if !names.is_whole() {
        books.connection.batch_execute(&begin).await?;
        return books.ground_under(names, tickets, parties).await;
    }
    let asked = asked(access.outfit, &names, tickets, parties);
    let connection: &AsyncPgConnection = &books.connection;
    let (mut first, mut second) = (connection, connection);
    let (begun, rows): (QueryResult<()>, QueryResult<Vec<GroundRow>>) =
        unconstrained(async { tokio::join!(biased; first.batch_execute(&begin), asked.load(&mut second)) })
            .await;
    // Where that was refused, the other was too, only because of it.
    begun?;
    books.ground_read(&names, tickets, parties, rows?).await
}

/// Adds tickets and commits. A connection that has the statement is sent the commit right behind it: a statement that
/// fails has the transaction undone by it.
async fn add_and_commit(
    books: &mut Books,
    new: &[NewTicket],
    prepared: bool,
) -> Result<HashSet<TicketId>, StorageError> {
    let plain = new.iter().all(|one| one.unpriced.is_empty());
    if new.is_empty() {
        commit(&mut books.connection, "COMMIT").await?;
        return Ok(HashSet::new());
    }
    if !(plain && prepared) {
        let added = books.add_tickets(new).await?;
        // From now on this connection can be sent the commit along with the tickets.
        commit(&mut books.connection, "COMMIT; SET skidway.adds_tickets = 'on'").await?;
        return Ok(added);
    }
    let statement = adding(books.outfit(), new)?;
    let connection: &AsyncPgConnection = &books.connection;
    let (mut first, mut second) = (connection, connection);
    let (rows, committed): (QueryResult<Vec<AddedRow>>, QueryResult<()>) = unconstrained(async {
        tokio::join!(biased; statement.load(&mut first), second.batch_execute("COMMIT"))
    })
    .await;
    // What the database answers to the statement says that nothing was kept. Where it was lost, the commit may have come
    // before that.
    let rows = rows.map_err(StorageError::at_commit)?;
    committed.map_err(StorageError::at_commit)?;
    Ok(books.count_added(new, rows))
}

async fn commit(connection: &mut Object<AsyncPgConnection>, how: &str) -> Result<(), StorageError> {
    connection.batch_execute(how).await.map_err(StorageError::at_commit)
}
