//! The program `skid`: scales sticks, posts tickets, settles weeks, prints papers, audits volume against pay.

mod commands;

fn main() -> std::process::ExitCode {
    commands::run()
}
