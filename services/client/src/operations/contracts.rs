//! Contracts and their terms.

use kernel::ContractId;
use wire::{
    ContractCreate, ContractView, Listing, TermsCreate, TermsFiled, TermsPreview, TermsPreviewRequest,
};

use crate::exchange::Repeat;
use crate::{Client, ClientError, PageQuery};

impl Client {
    /// Files a contract with its first terms.
    ///
    /// # Errors
    ///
    /// [`ClientError`]; refused when the party has a contract on the job, or two rates could cover one piece.
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// # let written = "";
    /// let contract: wire::ContractCreate = serde_json::from_str(written)?;
    /// let filed = client.file_contract(&contract).await?;
    /// println!("{}", filed.terms.len());
    /// # Ok(()) }
    /// ```
    pub async fn file_contract(&self, contract: &ContractCreate) -> Result<ContractView, ClientError> {
        Ok(self.post("/v1/contracts", contract, Repeat::Keyed).await?.body)
    }

    /// Lists the contracts with their terms, oldest first. A mill sees its own.
    ///
    /// # Errors
    ///
    /// [`ClientError`].
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// let page = client.list_contracts(&client::PageQuery::default()).await?;
    /// println!("{} on this page", page.items.len());
    /// # Ok(()) }
    /// ```
    pub async fn list_contracts(&self, page: &PageQuery) -> Result<Listing<ContractView>, ClientError> {
        self.get_with("/v1/contracts", page).await
    }

    /// Shows a contract with every terms filed for it.
    ///
    /// # Errors
    ///
    /// [`ClientError`]; refused when it is not in the books.
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// let id = "0197a000-0000-7000-8000-000000000001".parse()?;
    /// println!("{}", client.show_contract(id).await?.title);
    /// # Ok(()) }
    /// ```
    pub async fn show_contract(&self, contract: ContractId) -> Result<ContractView, ClientError> {
        self.get(&format!("/v1/contracts/{contract}")).await
    }

    /// Files new terms for a contract. Old terms stay readable.
    ///
    /// # Errors
    ///
    /// [`ClientError`]; refused when two rates could cover one piece.
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// # let written = "";
    /// let id = "0197a000-0000-7000-8000-000000000001".parse()?;
    /// let terms: wire::TermsCreate = serde_json::from_str(written)?;
    /// for gap in client.file_terms(id, &terms).await?.gaps {
    ///     println!("{gap}");
    /// }
    /// # Ok(()) }
    /// ```
    pub async fn file_terms(
        &self,
        contract: ContractId,
        terms: &TermsCreate,
    ) -> Result<TermsFiled, ClientError> {
        Ok(self.post(&format!("/v1/contracts/{contract}/terms"), terms, Repeat::Keyed).await?.body)
    }

    /// Shows what terms would pay for days past; nothing is kept.
    ///
    /// # Errors
    ///
    /// [`ClientError`]; refused for the same reasons as terms that are filed.
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// # let written = "";
    /// let id = "0197a000-0000-7000-8000-000000000001".parse()?;
    /// let proposal: wire::TermsPreviewRequest = serde_json::from_str(written)?;
    /// println!("{}", client.preview_terms(id, &proposal).await?.difference);
    /// # Ok(()) }
    /// ```
    pub async fn preview_terms(
        &self,
        contract: ContractId,
        proposal: &TermsPreviewRequest,
    ) -> Result<TermsPreview, ClientError> {
        let path = format!("/v1/contracts/{contract}/terms/preview");
        Ok(self.post(&path, proposal, Repeat::Harmless).await?.body)
    }
}
