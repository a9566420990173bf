//! A practice as it is sent when terms are filed: its own table may be named by its id alone.

use std::sync::Arc;

use kernel::LogTableId;
use serde::{Deserialize, Deserializer, Serialize, Serializer};

use super::{Practice, PracticeError, TableTerm};
use crate::FiledTable;

/// A practice on its way into the books. It becomes a [`Practice`] once the table it names is put into it; one that
/// names none is a practice already.
///
/// ```
/// use scaling::{Practice, SentPractice};
/// let named = r#"{"log": {"rule": "own-table", "table": {"table_id": "01977000-0000-7000-8000-000000000001"}}}"#;
/// assert!(serde_json::from_str::<Practice>(named).is_err()); // the cells are not there
/// let sent: SentPractice = serde_json::from_str(named)?;
/// assert!(sent.table_id().is_some());
/// assert!(sent.settled(None).is_err());
/// let plain: SentPractice = serde_json::from_str(r#"{"log": {"rule": "doyle"}}"#)?;
/// assert!(plain.settled(None).is_ok());
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct SentPractice(Practice);

impl SentPractice {
    /// The table it names, whether by its id alone or whole.
    #[must_use]
    pub fn table_id(&self) -> Option<LogTableId> {
        self.term().map(TableTerm::table_id)
    }

    fn term(&self) -> Option<&TableTerm> {
        self.0.log.as_ref().and_then(|log| log.table.as_ref())
    }

    /// The practice, with the table it names as that was filed.
    ///
    /// # Errors
    ///
    /// [`PracticeError`] when `filed` is not the table it names, or when it holds a table whole that differs from the
    /// filed one; when its other terms do not go with that table.
    pub fn settled(&self, filed: Option<FiledTable>) -> Result<Practice, PracticeError> {
        let mut practice = self.0.clone();
        let Some(term) = self.term() else { return Ok(practice) };
        let filed = filed.filter(|filed| filed.table_id == term.table_id());
        let filed = filed.ok_or(PracticeError::OwnTable("table", "no table is filed under this id"))?;
        if term.filed().is_some_and(|written| *written != filed) {
            const DIFFERS: &str =
                "it differs from the table filed under its id; name the table by its table_id alone";
            return Err(PracticeError::OwnTable("table", DIFFERS));
        }
        if let Some(log) = &mut practice.log {
            log.table = Some(TableTerm::Filed(Arc::new(filed)));
            log.check()?;
        }
        Ok(practice)
    }
}

impl From<Practice> for SentPractice {
    fn from(practice: Practice) -> Self {
        Self(practice)
    }
}

impl Serialize for SentPractice {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serde::Serialize::serialize(&self.0, serializer)
    }
}

impl<'de> Deserialize<'de> for SentPractice {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        Practice::as_sent(deserializer).map(Self)
    }
}
