//! Load and faults: writers post, correct and import tickets, a bookkeeper posts weeks and an auditor reads, while
//! services and databases are killed, cut off, slowed down, filled up and restarted around them. Then the books are checked.
//!
//! ```text
//! cargo run --release -p faults                                  every part, some minutes
//! cargo run --release -p faults -- --seconds 600 --seed 7 soak   one part, longer, with other chances
//! ```
//!
//! Everything is real: durable private Postgres clusters, and services in processes of their own, which are this very
//! program started again. All of it lies in one directory among the temporary files, is reached by 127.0.0.1 only, and ends
//! when this program ends, however that comes about. It ends with 1 when anything was lost, doubled or out of balance.
//! Times are printed and never judged: a busy machine is not a fault of the program.

mod arguments;
mod chance;
mod checks;
mod ground;
mod parts;
mod report;
mod spans;
mod work;

use std::process::ExitCode;
use std::time::Instant;

use clap::Parser;

use arguments::Arguments;
use ground::child;
use ground::own_mounts;

fn main() -> ExitCode {
    if let Some(ended) = child::run_if_one() {
        return ended;
    }
    let arguments = Arguments::parse();
    if let Some(ended) = own_mounts::run_with_them(&arguments) {
        return ended;
    }
    match run(&arguments) {
        Ok(0) => ExitCode::SUCCESS,
        Ok(_) => ExitCode::FAILURE,
        Err(error) => {
            eprintln!("faults: {error:#}");
            ExitCode::FAILURE
        }
    }
}

/// Runs the parts, prints what each found, and answers how many faults there were.
fn run(arguments: &Arguments) -> anyhow::Result<usize> {
    let runtime = tokio::runtime::Builder::new_multi_thread().enable_all().build()?;
    println!("Load and faults, {} seconds a part, seed {}.", arguments.seconds, arguments.seed);
    let mut found = Vec::new();
    for part in arguments.parts() {
        let began = Instant::now();
        let mut report = runtime.block_on(part.run(arguments));
        report.row("took", spans::told(began.elapsed()));
        report.print();
        found.push((report.title, report.faults.len()));
    }
    println!("\n── Altogether ──\n");
    for (title, faults) in &found {
        println!(
            "  {title:<66}  {}",
            if *faults == 0 { "good".to_owned() } else { format!("{faults} FAULTS") }
        );
    }
    Ok(found.iter().map(|(_, faults)| faults).sum())
}
