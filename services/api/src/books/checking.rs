//! Check scales: the sample scaled twice, the lot it stands for, the verdict, and what it comes to in money.
//!
//! Both scales are computed from measured facts each time they are asked for, under the terms that hold for the day of the
//! ticket; nothing of the comparison is kept. The comparison is with the ticket that was checked, also when another has
//! taken its place since: it is the scaler's work on that day that is judged. What would be adjusted is what still
//! stands of it, for a ticket that was corrected has been set right by itself.

pub mod comparing;
pub mod effect;
pub mod explaining;
pub mod lot;
pub mod reading;
pub mod sampling;
pub mod scaler_record;
pub mod showing;
pub mod verdict;

use kernel::ContractId;
use storage::{Books, Contract, Terms};

use crate::http::refusal::Refusal;

/// The contract that both scales go by, with every terms filed for it.
#[derive(Debug)]
pub struct Standard {
    /// The contract.
    pub contract: Contract,
    /// Its terms.
    pub terms: Vec<Terms>,
}

impl Standard {
    /// Reads it.
    ///
    /// # Errors
    ///
    /// [`wire::Code::NotFound`]; whatever the books answer.
    pub async fn read(books: &mut Books, contract: ContractId) -> Result<Self, Refusal> {
        let found = books.contract(contract).await?;
        let contract = found.ok_or_else(|| Refusal::not_found("contract", contract))?;
        let terms = books.terms_of(&[contract.id]).await?;
        Ok(Self { contract, terms })
    }
}
