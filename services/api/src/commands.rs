//! What the program `skidway` can be told to do.

mod check_config;
mod demo;
mod migrate;
mod openapi;
mod ready;
mod roles;
mod serve;
mod set_up;
mod token;

use clap::{Parser, Subcommand};

use crate::config::{Config, ConfigProblems, secret_files};

/// Scaling timber and settling piece-rate pay between mill, contractor and woods crew.
#[derive(Debug, Parser)]
#[command(name = "skidway", version, about, max_term_width = 100)]
pub struct Program {
    #[command(subcommand)]
    command: Command,
}

#[derive(Debug, Subcommand)]
enum Command {
    /// Serve the API until told to stop
    Serve,
    /// Open the books of an outfit and make its manager's account: the first thing to do
    SetUp(set_up::Arguments),
    /// Do the whole job once with an invented outfit, show the papers, and go on serving
    Demo(demo::Arguments),
    /// Bring the database to the shape this version needs
    Migrate,
    /// Print the API document
    Openapi,
    /// Print which role may use which operation
    Roles,
    /// Ask the service on this machine whether it is ready; ends with 0 when it is
    Ready,
    /// Check the environment and say what it means
    CheckConfig,
    /// Print an access token for an operator or an outfit's manager
    Token(token::Arguments),
}

/// Runs the program.
///
/// # Errors
///
/// Whatever kept it from doing what it was told, in words for whoever typed it.
pub fn run(program: Program) -> anyhow::Result<()> {
    match program.command {
        Command::Serve => serve::run(&configuration()?),
        Command::SetUp(arguments) => set_up::run(&configuration()?, &arguments),
        Command::Demo(arguments) => demo::run(&configuration()?, &arguments),
        Command::Migrate => migrate::run(&configuration()?),
        Command::Openapi => openapi::run(),
        Command::Roles => roles::run(),
        Command::Ready => ready::run(&configuration()?),
        Command::CheckConfig => check_config::run(&configuration()?),
        Command::Token(arguments) => token::run(&configuration()?, &arguments),
    }
}

fn configuration() -> Result<Config, ConfigProblems> {
    let variable = |name: &str| std::env::var(name).ok();
    let secrets = secret_files::read(variable, |path| std::fs::read_to_string(path))?;
    Config::read(|name| secrets.get(name).cloned().or_else(|| variable(name)))
}
