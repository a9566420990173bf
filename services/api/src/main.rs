//! The program `skidway`: the service and what belongs to running it.

use std::process::ExitCode;

use api::commands::{self, Program};
use clap::Parser;

#[global_allocator]
static ALLOCATOR: api::Allocator = api::Allocator;

fn main() -> ExitCode {
    match commands::run(Program::parse()) {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("skidway: {error:#}");
            ExitCode::FAILURE
        }
    }
}
