//! The first run: an outfit and its manager, without any password that somebody else made up.

use anyhow::anyhow;
use kernel::OutfitId;
use storage::Stamp;
use wire::{AccountCreate, AccountName, EnrolmentView, OutfitCreate, Role};

use super::accounts::{enrol, register};
use super::audit::{self, Author};
use crate::http::refusal::Refusal;
use crate::routes::accounts;
use crate::routes::outfits::open::{self, opened};
use crate::service::Service;

/// What came of setting up.
#[derive(Debug)]
pub enum SetUp {
    /// The books are open, and the manager can set a password.
    Opened(EnrolmentView),
    /// An outfit of this name is there; nothing was changed.
    ThereAlready(OutfitId),
}

/// Opens the books of an outfit and registers its manager, or finds that an outfit of this name is there. `url` leads to
/// the service's database as the owner of its tables.
///
/// # Errors
///
/// When the database fails, or the outfit names a time zone that is none.
pub async fn set_up(
    service: &Service,
    url: &str,
    outfit: OutfitCreate,
    manager: AccountName,
) -> anyhow::Result<SetUp> {
    if let Some(there) = storage::outfit_named(url, outfit.name.as_str()).await? {
        return Ok(SetUp::ThereAlready(there));
    }
    let made = Stamp { at: service.clock.now(), by: "set-up".to_owned() };
    let outfit = opened(outfit, service.ids.make(), made.clone()).map_err(|refusal| anyhow!("{refusal}"))?;
    let account =
        AccountCreate { name: manager, says: None, role: Role::Manager, mill_id: None, external: None };
    let enrolment = service.store.write(outfit.id, async |books| {
        books.open_outfit(&outfit).await?;
        let id = register(books, service, &account, &made).await?;
        let author = Author { name: &made.by, role: Role::Operator.name() };
        audit::enter(books, service, author, &open::OPERATION, outfit.id, None).await?;
        audit::enter(books, service, author, &accounts::register::OPERATION, id, None).await?;
        enrol(books, service, id, "set-up", &made).await
    });
    enrolment.await.map(SetUp::Opened).map_err(|refusal: Refusal| anyhow!("{refusal}"))
}
