//! What is measured: a private PostgreSQL that waits for the disk as one in earnest does, and the service in a process of
//! its own beside it.

pub mod connection;
pub mod database;
pub mod process;
pub mod service;

use anyhow::Result;

use self::database::Database;
use self::service::Service;
use crate::books::Books;

/// A running service with one outfit's books.
pub struct Frame {
    /// The service.
    pub service: Service,
    /// The books that were opened in it.
    pub books: Books,
    /// Last, so that it is stopped last.
    pub database: Database,
}

impl Frame {
    /// Starts both, and opens books.
    pub async fn start() -> Result<Self> {
        let database = Database::start()?;
        let service = Service::start(&database).await?;
        let books = Books::open(&service).await?;
        Ok(Self { service, books, database })
    }
}
