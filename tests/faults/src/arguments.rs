//! What the program is told on its command line.

use std::time::Duration;

use clap::Parser;

use crate::chance::Chance;
use crate::parts::Part;

/// Breaks things around the service under load, and checks the books afterwards.
#[derive(Debug, Parser)]
#[command(name = "faults", max_term_width = 100)]
pub struct Arguments {
    /// How long each part goes on, in seconds
    #[arg(long, default_value_t = 40, value_parser = clap::value_parser!(u64).range(3..=86_400))]
    pub seconds: u64,
    /// What chance begins with: the same seed makes the same plan, though not the same moments
    #[arg(long, default_value_t = 2026)]
    pub seed: u64,
    /// Parts to run; all when none is named
    #[arg(value_enum)]
    only: Vec<Part>,
}

impl Arguments {
    /// The parts to run, in their order.
    pub fn parts(&self) -> Vec<Part> {
        let wanted = |part: &Part| self.only.is_empty() || self.only.contains(part);
        Part::all().into_iter().filter(wanted).collect()
    }

    /// How long a part goes on.
    pub const fn length(&self) -> Duration {
        Duration::from_secs(self.seconds)
    }

    /// Where chance begins for a part: parts do not disturb each other's plans.
    pub fn chance(&self, part: Part) -> Chance {
        let number: u64 =
            (0..).zip(Part::all()).find(|(_, one)| *one == part).map_or(0, |(number, _)| number);
        Chance::of(self.seed.wrapping_mul(31).wrapping_add(number))
    }
}
