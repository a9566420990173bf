//! `skid import`: many tickets from files, in portions; it can be stopped at any time, and goes on where it stopped.

mod one_file;
mod portion;
mod progress;
mod refused;
mod sheet;
mod source;
mod telling;
mod ticket_lines;

use std::path::PathBuf;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use clap::Args;

use crate::commands::ending::Ending;
use crate::commands::service::ServiceOptions;

/// Which files, and how.
#[derive(Debug, Args)]
pub(crate) struct ImportOptions {
    /// Files of tickets: one JSON object a line; or, where the name ends in .csv, sheets with one row a piece.
    #[arg(required = true, value_name = "FILE")]
    files: Vec<PathBuf>,
    /// How many tickets are sent together.
    #[arg(long, value_name = "COUNT", default_value_t = 500, value_parser = clap::value_parser!(u16).range(1..=5000))]
    portion: u16,
    /// Begin at the beginning, although an import of the same file was stopped half way. It does no harm.
    #[arg(long)]
    anew: bool,
}

/// Imports the files one after the other.
pub(crate) async fn run(
    options: &ImportOptions,
    service: &ServiceOptions,
    json: bool,
) -> anyhow::Result<Ending> {
    // All of them are opened before anything is sent, so that a wrong file name leaves nothing half done.
    for file in &options.files {
        source::openable(file)?;
    }
    let stopping = Arc::new(AtomicBool::new(false));
    let listener = tokio::spawn(listen(Arc::clone(&stopping)));
    let mut ending = Ending::Done;
    for file in &options.files {
        let one = one_file::import(file, options, service, (&stopping, json)).await?;
        if one != Ending::Done {
            ending = one;
        }
        if matches!(one, Ending::Unreachable | Ending::Stopped) {
            break;
        }
    }
    listener.abort();
    Ok(ending)
}

/// Waits for somebody to stop it: the first time it ends after the portion that is under way, the second time at once.
async fn listen(stopping: Arc<AtomicBool>) {
    while tokio::signal::ctrl_c().await.is_ok() {
        if stopping.swap(true, Ordering::Relaxed) {
            // Nothing is lost by it: what was sent is known when it is sent again.
            std::process::exit(i32::from(Ending::Stopped.number()));
        }
    }
}
