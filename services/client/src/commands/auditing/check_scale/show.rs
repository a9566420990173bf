//! `skid check-scale show`: both scales side by side, the verdict, and what it comes to.

use clap::Args;
use client::{Client, ComparisonQuery, text};
use kernel::{CheckScaleId, Fixed};

use crate::commands::ending::Ending;
use crate::commands::output;

/// Which check scale, and how sure one wants to be.
#[derive(Debug, Args)]
pub(crate) struct ShowOptions {
    /// The check scale.
    check_scale: CheckScaleId,
    /// The confidence of every interval, in percent.
    #[arg(long, value_parser = ["90", "95", "99"], default_value = "95")]
    confidence: String,
    /// The error that the advice on the size of the sample allows, in percent.
    #[arg(long)]
    allowed_error: Option<Fixed>,
    /// Show every step from the readings to the net scale, on both sides.
    #[arg(long)]
    working: bool,
}

/// Prints it.
pub(crate) async fn run(options: &ShowOptions, client: &Client, json: bool) -> anyhow::Result<Ending> {
    let query = ComparisonQuery {
        confidence: Some(options.confidence.clone()),
        allowed_error: options.allowed_error,
        working: options.working.then_some(true),
    };
    let shown = client.show_check_scale(options.check_scale, &query).await?;
    output::paper(&shown, json, text::check_scale)?;
    Ok(Ending::Done)
}
