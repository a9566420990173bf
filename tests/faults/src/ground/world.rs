//! What most parts begin with: a Postgres, a service on it, and an outfit in its books.

use anyhow::Context;

use super::child::Kind;
use super::instance::Instance;
use super::place::Place;
use super::postgres::Postgres;
use crate::work::outfit::Outfit;

/// A Postgres, a service and an outfit. What is named first ends first.
#[derive(Debug)]
pub struct World {
    /// The service.
    pub service: Instance,
    /// Its database.
    pub postgres: Postgres,
    /// The outfit whose books these are.
    pub outfit: Outfit,
    /// Where it all lies.
    pub place: Place,
}

impl World {
    /// Starts all of it, in a directory named after the part.
    pub async fn begin(part: &str, kind: Kind) -> anyhow::Result<Self> {
        let place = Place::new(part)?;
        let postgres = Postgres::start(&place.path().join("db")).await?;
        let mut service = Instance::new(kind, place.path(), "first", postgres.url())?;
        service.start().await?;
        let outfit = Outfit::open(&service).await.context("the outfit cannot be opened")?;
        Ok(Self { service, postgres, outfit, place })
    }

    /// Ends it in order: nothing that breaks may keep a service from stopping when it is told to.
    pub async fn end(mut self) -> anyhow::Result<()> {
        self.service.stop().await?;
        self.postgres.stop().await
    }
}
