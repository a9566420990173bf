//! `skidway roles`: prints which role may use which operation.

use std::io::Write;

pub(super) fn run() -> anyhow::Result<()> {
    std::io::stdout().write_all(crate::http::roles::table().as_bytes())?;
    Ok(())
}
