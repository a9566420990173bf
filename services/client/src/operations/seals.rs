//! Seals: everything that was accepted up to a moment, as one signed hash.

use kernel::{SealId, SettlementId, TicketId};
use seal::Seal;
use wire::{Listing, SealCheck, SealConsistency, SealCreate, SealInclusion, SealKeyView};

use crate::exchange::Repeat;
use crate::{Client, ClientError, PageQuery};

/// Which record is to be proven sealed.
///
/// ```no_run
/// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
/// let id = "0197a000-0000-7000-8000-000000000001";
/// let proof = client.show_seal_inclusion(id.parse()?, client::SealedRecord::Ticket(id.parse()?)).await?;
/// println!("record {} of {}", proof.position, proof.seal.statement.tree_size);
/// # Ok(()) }
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SealedRecord {
    /// An accepted ticket.
    Ticket(TicketId),
    /// A posted settlement.
    Settlement(SettlementId),
}

impl Client {
    /// Seals the books; where nothing has come in since the latest seal, answers that one.
    ///
    /// # Errors
    ///
    /// [`ClientError`].
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// println!("{}", client.make_seal(&wire::SealCreate {}).await?.statement.root_hash);
    /// # Ok(()) }
    /// ```
    pub async fn make_seal(&self, asked: &SealCreate) -> Result<Seal, ClientError> {
        Ok(self.post("/v1/seals", asked, Repeat::Keyed).await?.body)
    }

    /// Lists seals, oldest first.
    ///
    /// # Errors
    ///
    /// [`ClientError`].
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// for seal in client.list_seals(&client::PageQuery::default()).await?.items {
    ///     println!("{} records at {}", seal.statement.tree_size, seal.statement.made_at);
    /// }
    /// # Ok(()) }
    /// ```
    pub async fn list_seals(&self, page: &PageQuery) -> Result<Listing<Seal>, ClientError> {
        self.get_with("/v1/seals", page).await
    }

    /// Shows a seal.
    ///
    /// # Errors
    ///
    /// [`ClientError`]; refused when it is not in the books.
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// let id = "0197a000-0000-7000-8000-000000000001".parse()?;
    /// assert!(client.show_seal(id).await?.is_signed());
    /// # Ok(()) }
    /// ```
    pub async fn show_seal(&self, seal: SealId) -> Result<Seal, ClientError> {
        self.get(&format!("/v1/seals/{seal}")).await
    }

    /// Proves that a record is among those a seal covers.
    ///
    /// # Errors
    ///
    /// [`ClientError`]; refused when the record is not in the books or came in after the seal.
    pub async fn show_seal_inclusion(
        &self,
        seal: SealId,
        record: SealedRecord,
    ) -> Result<SealInclusion, ClientError> {
        let query = match record {
            SealedRecord::Ticket(id) => [("ticket_id", id.to_string())],
            SealedRecord::Settlement(id) => [("settlement_id", id.to_string())],
        };
        self.get_with(&format!("/v1/seals/{seal}/inclusion"), &query).await
    }

    /// Proves that one seal covers what another does, and more.
    ///
    /// # Errors
    ///
    /// [`ClientError`]; refused when one of them is not in the books.
    ///
    /// ```no_run
    /// # async fn example(client: client::Client, kept: seal::Seal) -> Result<(), Box<dyn std::error::Error>> {
    /// let id = "0197a000-0000-7000-8000-000000000001".parse()?;
    /// let proof = client.show_seal_consistency(id, kept.statement.seal_id).await?;
    /// // Against the seal that was kept, not against the one that is answered.
    /// seal::verify_consistency(kept.statement.tree(), proof.to.statement.tree(), &proof.path)?;
    /// # Ok(()) }
    /// ```
    pub async fn show_seal_consistency(
        &self,
        seal: SealId,
        from: SealId,
    ) -> Result<SealConsistency, ClientError> {
        self.get_with(&format!("/v1/seals/{seal}/consistency"), &[("from", from)]).await
    }

    /// Hands over the documents of some of the records that a seal covers, one a line: at most 1000, beginning with the
    /// one at `from`.
    ///
    /// # Errors
    ///
    /// [`ClientError`]; refused when the seal is not in the books.
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// let id = "0197a000-0000-7000-8000-000000000001".parse()?;
    /// print!("{}", client.export_sealed_records(id, 0).await?);
    /// # Ok(()) }
    /// ```
    pub async fn export_sealed_records(&self, seal: SealId, from: u64) -> Result<String, ClientError> {
        self.get_text(&format!("/v1/seals/{seal}/records"), &[("from", from)]).await
    }

    /// Has the service hold its books against a seal.
    ///
    /// # Errors
    ///
    /// [`ClientError`]; refused when the seal is not in the books.
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// let id = "0197a000-0000-7000-8000-000000000001".parse()?;
    /// for finding in client.check_seal(id).await?.findings {
    ///     println!("{}", finding.says);
    /// }
    /// # Ok(()) }
    /// ```
    pub async fn check_seal(&self, seal: SealId) -> Result<SealCheck, ClientError> {
        self.get(&format!("/v1/seals/{seal}/check")).await
    }

    /// Lists the keys that seals are signed with, oldest first.
    ///
    /// # Errors
    ///
    /// [`ClientError`].
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// for key in client.list_seal_keys().await? {
    ///     println!("{}", key.public_key);
    /// }
    /// # Ok(()) }
    /// ```
    pub async fn list_seal_keys(&self) -> Result<Vec<SealKeyView>, ClientError> {
        self.get("/v1/seal-keys").await
    }
}
