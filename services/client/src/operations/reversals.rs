//! Taking back records of money.

use wire::{ReversalCreate, ReversalView};

use crate::exchange::Repeat;
use crate::{Client, ClientError};

impl Client {
    /// Takes back a charge, an advance, a payment or a release of holdback.
    ///
    /// # Errors
    ///
    /// [`ClientError`]; refused when it was taken back before.
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// let reversal = serde_json::from_str(
    ///     r#"{"record": {"charge_id": "0197a000-0000-7000-8000-000000000001"}, "reason": "charged twice"}"#,
    /// )?;
    /// println!("{}", client.file_reversal(&reversal).await?.reversal_id);
    /// # Ok(()) }
    /// ```
    pub async fn file_reversal(&self, reversal: &ReversalCreate) -> Result<ReversalView, ClientError> {
        Ok(self.post("/v1/reversals", reversal, Repeat::Keyed).await?.body)
    }
}
