//! Keys for machines.

use wire::{MachineKeyCreate, MachineKeyMade};

use crate::exchange::Repeat;
use crate::{Client, ClientError};

impl Client {
    /// Makes a key for a machine. It is shown this once.
    ///
    /// # Errors
    ///
    /// [`ClientError`].
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// let key = serde_json::from_str(
    ///     r#"{"name": "yard tablet", "role": "scaler", "scopes": ["tickets:write"],
    ///         "expires_on": "2031-12-31"}"#,
    /// )?;
    /// println!("{}", client.make_machine_key(&key).await?.secret.reveal());
    /// # Ok(()) }
    /// ```
    pub async fn make_machine_key(&self, key: &MachineKeyCreate) -> Result<MachineKeyMade, ClientError> {
        Ok(self.post("/v1/machine-keys", key, Repeat::Keyed).await?.body)
    }
}
