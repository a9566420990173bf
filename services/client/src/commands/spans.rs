//! Of whom, and of which days: what several lists can be narrowed by.

use clap::Args;
use jiff::civil::Date;

/// Of whom, and of which days.
#[derive(Debug, Args)]
pub(crate) struct SpanOptions {
    /// Of this worker; a name or an id.
    #[arg(long, value_name = "NAME")]
    pub(crate) worker: Option<String>,
    /// Of this day or later.
    #[arg(long, value_name = "YYYY-MM-DD")]
    pub(crate) from: Option<Date>,
    /// Of this day or earlier.
    #[arg(long, value_name = "YYYY-MM-DD")]
    pub(crate) to: Option<Date>,
}
