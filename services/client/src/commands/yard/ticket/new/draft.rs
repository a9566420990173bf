//! Tickets that were begun: on the disk before the next line is asked for.

use anyhow::Context;
use client::outbox::Owner;
use client::shelf::{self, Shelf};
use jiff::Timestamp;
use kernel::Clock;
use serde::{Deserialize, Serialize};
use wire::TicketCreate;

/// A ticket that was begun.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub(crate) struct Draft {
    /// The name of its file.
    pub(crate) name: String,
    /// Whose books it is for, and who began it.
    pub(crate) owner: Owner,
    /// The ticket so far.
    pub(crate) ticket: TicketCreate,
    /// The entry of the outbox that it takes the place of.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(crate) instead_of: Option<u64>,
    /// When it was begun.
    pub(crate) begun_at: Timestamp,
}

/// The user's drafts for one owner.
pub(crate) struct Drafts {
    shelf: Shelf,
    owner: Owner,
}

impl Drafts {
    pub(crate) fn of_user(owner: &Owner) -> anyhow::Result<Self> {
        let place =
            shelf::of_user().context("there is no directory to keep drafts in: set SKID_HOME or HOME")?;
        let shelf = Shelf::at(&place.join("drafts")).context("drafts cannot be kept")?;
        Ok(Self { shelf, owner: owner.clone() })
    }

    /// Every one, in the order they were begun.
    pub(crate) fn all(&self) -> anyhow::Result<Vec<Draft>> {
        let mut drafts = Vec::new();
        for name in self.shelf.names()? {
            let Some(text) = self.shelf.read(&name)? else { continue };
            let path = self.shelf.file(&name);
            let draft: Draft = serde_json::from_slice(&text).with_context(|| {
                format!("{} is no draft that this program wrote: take it away", path.display())
            })?;
            drafts.extend(Some(draft).filter(|draft| draft.owner == self.owner));
        }
        Ok(drafts)
    }

    /// Begins one.
    pub(crate) fn begin(
        &self,
        ticket: TicketCreate,
        instead_of: Option<u64>,
        clock: &dyn Clock,
    ) -> anyhow::Result<Draft> {
        let begun_at = clock.now();
        let name = format!("{:020}-{}", begun_at.as_microsecond(), std::process::id());
        let draft = Draft { name, owner: self.owner.clone(), ticket, instead_of, begun_at };
        self.keep(&draft)?;
        Ok(draft)
    }

    /// Keeps it as it stands.
    pub(crate) fn keep(&self, draft: &Draft) -> anyhow::Result<()> {
        let path = self.shelf.file(&draft.name);
        let written = self.shelf.put(&draft.name, &serde_json::to_vec_pretty(draft)?);
        written
            .with_context(|| format!("{} cannot be written: make room, then type it again", path.display()))
    }

    /// Takes it away, when it is in the outbox.
    pub(crate) fn end(&self, draft: &Draft) -> anyhow::Result<()> {
        Ok(self.shelf.remove(&draft.name)?)
    }
}
