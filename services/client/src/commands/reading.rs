//! Reading a file that holds one request.

use std::path::Path;

use anyhow::Context;
use serde::de::DeserializeOwned;

/// What a file of JSON holds.
pub(crate) fn json_file<T: DeserializeOwned>(file: &Path, what: &str) -> anyhow::Result<T> {
    let shown = file.display();
    let text = std::fs::read_to_string(file).with_context(|| format!("{shown} cannot be read"))?;
    serde_json::from_str(text.trim_start_matches('\u{feff}'))
        .with_context(|| format!("{shown} does not hold {what}"))
}
