//! Records as they are sealed: what goes into the document of each kind, and in which form.
//!
//! A document must come out the same, byte for byte, years later. So it is made of the columns as they lie in the
//! database, not of what a later version reads into them; amounts are whole numbers of the smallest unit, written as
//! text; days and moments are written as RFC 3339 has them, moments in UTC. What is absent is left out.
//!
//! A document says its `form`. A member may only be added with a new form; the old ones stay, since records sealed in
//! them must be made again in them.

mod settlement;
mod ticket;

pub use settlement::{
    SealedDraft, SealedEntry, SealedLine, SealedPosting, SealedSettlement, SealedShare, SealedStatement,
    SealedSupplement, SealedTakeOff,
};
pub use ticket::SealedTicket;

use serde::{Deserialize, Serialize, Serializer};

use crate::canonical::canonical;
use crate::{CanonicalError, Hash};

/// What kind of record a document is of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum RecordKind {
    /// An accepted ticket.
    Ticket,
    /// A posted settlement.
    Settlement,
}

/// The form in which tickets are sealed now.
pub const TICKET_FORM: i16 = 1;
/// The form in which settlements are sealed now.
pub const SETTLEMENT_FORM: i16 = 1;

/// A record in canonical form, and the hash of the leaf that it is in the tree.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Document {
    bytes: Vec<u8>,
    hash: Hash,
}

impl Document {
    /// The document of a record.
    ///
    /// # Errors
    ///
    /// [`CanonicalError`] for what is no JSON.
    ///
    /// ```
    /// use seal::{Document, Hash};
    /// let document = Document::of(&serde_json::json!({"number": 12, "book": "A"}))?;
    /// assert_eq!(document.bytes(), br#"{"book":"A","number":12}"#);
    /// assert_eq!(document.hash(), Hash::of_leaf(document.bytes()));
    /// # Ok::<(), seal::CanonicalError>(())
    /// ```
    pub fn of(record: &impl Serialize) -> Result<Self, CanonicalError> {
        let bytes = canonical(record)?;
        let hash = Hash::of_leaf(&bytes);
        Ok(Self { bytes, hash })
    }

    /// Its canonical form: one line, in UTF-8.
    #[must_use]
    pub fn bytes(&self) -> &[u8] {
        &self.bytes
    }

    /// The hash of its leaf.
    #[must_use]
    pub const fn hash(&self) -> Hash {
        self.hash
    }
}

/// Writes a whole number as text: canonical form keeps numbers up to 2^53 only.
fn as_text<S: Serializer>(number: &i64, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.collect_str(number)
}

#[cfg(test)]
mod tests {
    use serde::Serialize;

    use super::*;

    #[test]
    fn amounts_keep_every_digit() {
        #[derive(Serialize)]
        struct Amount {
            #[serde(serialize_with = "as_text")]
            minor: i64,
        }
        let text = |minor| String::from_utf8(canonical(&Amount { minor }).unwrap()).unwrap();
        assert_eq!(text(i64::MIN), r#"{"minor":"-9223372036854775808"}"#);
        assert_ne!(text(9_007_199_254_740_993), text(9_007_199_254_740_992));
    }
}
