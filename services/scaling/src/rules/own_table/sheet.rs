//! A table as it was written down: texts in rows, not yet looked at.

use serde::{Deserialize, Serialize};

/// The figures of a table as texts, before anything is known of them.
///
/// A cell that was left empty is an empty text. Numbers are plain decimals: `5`, `0.5`, no grouping, no exponent.
///
/// ```
/// use scaling::TableSheet;
/// let sheet: TableSheet = serde_json::from_str(
///     r#"{"lengths": ["8", "10"], "rows": [{"diameter": "6", "volumes": ["5", "10"]}]}"#,
/// )?;
/// assert_eq!(sheet.rows.len(), 1);
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct TableSheet {
    /// The lengths of the columns, in feet or metres, shortest first: at most 100.
    pub lengths: Vec<String>,
    /// The rows, thinnest first: at most 200.
    pub rows: Vec<SheetRow>,
}

/// One row of a table as texts.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct SheetRow {
    /// The diameter, in inches or centimetres.
    pub diameter: String,
    /// The volumes, one for each length, in the order of the lengths.
    pub volumes: Vec<String>,
}

impl TableSheet {
    /// The sheet of a block of cells as a spreadsheet writes it: the first row holds the lengths, the first cell of
    /// every other row its diameter. The very first cell is a caption and means nothing.
    ///
    /// ```
    /// use scaling::TableSheet;
    /// let block = [vec!["inches", "8", "10"], vec!["6", "5", "10"]].map(|row| row.map_to_texts());
    /// # trait Texts { fn map_to_texts(self) -> Vec<String>; }
    /// # impl Texts for Vec<&str> {
    /// #     fn map_to_texts(self) -> Vec<String> { self.into_iter().map(str::to_owned).collect() }
    /// # }
    /// let sheet = TableSheet::from_block(block);
    /// assert_eq!(sheet.lengths, ["8", "10"]);
    /// assert_eq!(sheet.rows[0].diameter, "6");
    /// ```
    pub fn from_block(block: impl IntoIterator<Item = Vec<String>>) -> Self {
        let mut block = block.into_iter().map(|row| {
            let mut cells = row.into_iter();
            (cells.next().unwrap_or_default(), cells.collect::<Vec<_>>())
        });
        let lengths = block.next().map(|(_caption, lengths)| lengths).unwrap_or_default();
        let rows = block.map(|(diameter, volumes)| SheetRow { diameter, volumes }).collect();
        Self { lengths, rows }
    }
}
