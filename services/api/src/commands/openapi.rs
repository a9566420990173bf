//! `skidway openapi`: prints the API document.

use std::io::Write;

pub(super) fn run() -> anyhow::Result<()> {
    let text = crate::http::openapi::document_text()?;
    std::io::stdout().write_all(text.as_bytes())?;
    Ok(())
}
