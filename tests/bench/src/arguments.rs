//! What is measured, and how much of it.

use clap::ValueEnum;

/// Measure how fast the work is done, beside yardsticks of the same run.
#[derive(Debug, clap::Parser)]
#[command(name = "bench", max_term_width = 100)]
pub struct Arguments {
    /// Only these; all of them when none is named
    #[arg(value_enum)]
    parts: Vec<Part>,
    /// Tickets in the week that is settled, of 40 logs each
    #[arg(long, default_value_t = 25_000)]
    pub tickets: u32,
    /// Weeks of the same size that lie behind it
    #[arg(long, default_value_t = 10)]
    pub history: u8,
    /// Tickets in the one request that memory and disk are measured with
    #[arg(long, default_value_t = 100_000)]
    pub many: u32,
    /// Rounds of each measurement; the median counts
    #[arg(long, default_value_t = 5, value_parser = clap::value_parser!(u8).range(1..=99))]
    pub rounds: u8,
    /// How long a round of posting lasts, in seconds
    #[arg(long, default_value_t = 6, value_parser = clap::value_parser!(u8).range(1..=120))]
    pub seconds: u8,
}

/// Something that is measured.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Part {
    /// Logs scaled a second, without any service
    Scaling,
    /// One ticket of 40 logs posted over HTTP, 8 connections at once
    Posting,
    /// Many tickets in one request, a line each
    Bulk,
    /// Settling and re-deriving a week, with and without history; memory and disk
    Week,
    /// The same week by what people use instead
    Beside,
}

impl Arguments {
    /// Whether a part is to be measured.
    pub fn asks_for(&self, part: Part) -> bool {
        self.parts.is_empty() || self.parts.contains(&part)
    }
}
