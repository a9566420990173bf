//! Measures how fast the work is done and prints it: `cargo run --release -p bench`.
//!
//! Figures are medians of several rounds on the machine at hand. None is held against a limit: a busy machine is
//! not a fault of the program.

#[cfg(test)]
mod allocations;
mod chance;
mod logs;
mod measuring;
mod other_pieces;
mod scaling;
mod table;

fn main() -> anyhow::Result<()> {
    scaling::run()
}
