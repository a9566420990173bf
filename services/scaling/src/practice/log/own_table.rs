//! The outfit's own table as a contract holds it: named by its id on the way into the books, whole ever after.

use std::sync::Arc;

use kernel::LogTableId;
use serde::{Deserialize, Serialize};

use crate::{FiledTable, LogTable, member};

/// Which of the outfit's tables a contract scales by.
///
/// A table that was filed is written whole, with its id and version, so that a week can be worked out again from the
/// terms alone. Where terms are filed, the id alone will do: the service puts the table in its place.
///
/// ```
/// use scaling::TableTerm;
/// let named: TableTerm = serde_json::from_str(r#"{"table_id": "01977000-0000-7000-8000-000000000001"}"#)?;
/// assert!(named.filed().is_none());
/// let half = r#"{"table_id": "01977000-0000-7000-8000-000000000001", "version": 2}"#;
/// assert!(serde_json::from_str::<TableTerm>(half).is_err());
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(try_from = "TableTermForm", into = "TableTermForm")]
pub enum TableTerm {
    /// By its id alone.
    Named(LogTableId),
    /// Whole.
    Filed(Arc<FiledTable>),
}

/// Which of the outfit's own tables: where terms are filed its id will do, and the service adds version and document.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub(crate) struct TableTermForm {
    /// The id the table is filed under.
    table_id: LogTableId,
    /// Which version of the tables of its title it is.
    #[serde(default, deserialize_with = "member::version", skip_serializing_if = "Option::is_none")]
    version: Option<u32>,
    /// The table itself.
    #[serde(default, deserialize_with = "member::document", skip_serializing_if = "Option::is_none")]
    document: Option<LogTable>,
}

/// A table written by halves.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error("version and document go together: write both as the table was filed, or the table_id alone")]
pub struct TableByHalves;

impl TableTerm {
    /// The id of the table.
    #[must_use]
    pub fn table_id(&self) -> LogTableId {
        match self {
            Self::Named(id) => *id,
            Self::Filed(filed) => filed.table_id,
        }
    }

    /// The table, if it is here.
    #[must_use]
    pub fn filed(&self) -> Option<&FiledTable> {
        match self {
            Self::Named(_) => None,
            Self::Filed(filed) => Some(filed),
        }
    }
}

impl TryFrom<TableTermForm> for TableTerm {
    type Error = TableByHalves;

    fn try_from(form: TableTermForm) -> Result<Self, TableByHalves> {
        let TableTermForm { table_id, version, document } = form;
        match (version, document) {
            (None, None) => Ok(Self::Named(table_id)),
            (Some(version), Some(table)) => {
                Ok(Self::Filed(Arc::new(FiledTable { table_id, version, table })))
            }
            _ => Err(TableByHalves),
        }
    }
}

impl From<TableTerm> for TableTermForm {
    fn from(term: TableTerm) -> Self {
        let filed = term.filed();
        Self {
            table_id: term.table_id(),
            version: filed.map(|filed| filed.version),
            document: filed.map(|filed| filed.table.clone()),
        }
    }
}

#[cfg(feature = "openapi")]
impl utoipa::PartialSchema for TableTerm {
    fn schema() -> utoipa::openapi::RefOr<utoipa::openapi::schema::Schema> {
        TableTermForm::schema()
    }
}

#[cfg(feature = "openapi")]
impl utoipa::ToSchema for TableTerm {
    fn schemas(schemas: &mut Vec<(String, utoipa::openapi::RefOr<utoipa::openapi::schema::Schema>)>) {
        TableTermForm::schemas(schemas);
    }
}
