//! Measures how fast the work is done and prints it: `cargo run --release -p bench`.
//!
//! Figures are medians of several rounds on the machine at hand, and ratios to a yardstick of the same run. None is
//! held against a limit here: a busy machine is not a fault of the program.

#[cfg(test)]
mod allocations;
mod arguments;
mod beside;
mod books;
mod bulk;
mod chance;
mod frame;
mod logs;
mod measuring;
mod other_pieces;
mod posting;
mod rederiving;
mod report;
mod scaling;
mod table;
mod tickets;
mod week;
mod yardsticks;

use std::process::ExitCode;

use clap::Parser as _;

use crate::arguments::{Arguments, Part};
use crate::frame::{Frame, service};
use crate::report::Report;

// The tests count what is asked for with an allocator of their own.
#[cfg(not(test))]
#[global_allocator]
static ALLOCATOR: api::Allocator = api::Allocator;

fn main() -> ExitCode {
    // The service that is measured is this same program in a process of its own.
    if service::is_asked_for() {
        return service::serve();
    }
    match run(&Arguments::parse()) {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("bench: {error:#}");
            ExitCode::FAILURE
        }
    }
}

fn run(arguments: &Arguments) -> anyhow::Result<()> {
    if arguments.asks_for(Part::Scaling) {
        scaling::run()?;
    }
    let mut report = Report::new();
    let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build()?;
    runtime.block_on(measure(arguments, &mut report))?;
    report.print();
    Ok(())
}

/// Everything that needs a running service.
async fn measure(arguments: &Arguments, report: &mut Report) -> anyhow::Result<()> {
    if arguments.asks_for(Part::Posting) {
        posting::measure(&Frame::start().await?, arguments, report).await?;
    }
    if arguments.asks_for(Part::Bulk) {
        bulk::measure(&Frame::start().await?, arguments, report).await?;
    }
    if arguments.asks_for(Part::Week) {
        let frame = Frame::start().await?;
        for posted in week::measure(&frame, arguments, report).await? {
            rederiving::measure(&frame, &posted, arguments, report).await?;
        }
    }
    if arguments.asks_for(Part::Beside) {
        beside::measure(arguments).await?;
    }
    Ok(())
}
