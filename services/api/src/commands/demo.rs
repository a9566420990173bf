//! `skidway demo`: does the whole job once with an invented outfit, shows the papers, and goes on serving.

use crate::config::Config;

#[derive(Debug, clap::Args)]
pub(super) struct Arguments {
    /// Stop after the report instead of going on serving
    #[arg(long)]
    exit: bool,
}

pub(super) fn run(config: &Config, arguments: &Arguments) -> anyhow::Result<()> {
    crate::demo::run(config, arguments.exit)
}
