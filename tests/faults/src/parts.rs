//! The parts: what breaks, and in which order.

mod clock_jumps;
mod connections;
mod disk_full;
mod overload;
mod pair;
mod rolling_restart;
mod soak;

use clap::ValueEnum;

use crate::arguments::Arguments;
use crate::report::Report;

/// A part.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Part {
    /// Services and databases are killed while everybody works
    Soak,
    /// Two services behind a round-robin, on one database
    Pair,
    /// One service after the other is restarted, with a new migration, while writers go on
    RollingRestart,
    /// The database's disk fills up
    DiskFull,
    /// Connections are slow, trickle, and are cut
    Connections,
    /// The service's clock jumps
    ClockJumps,
    /// Many more callers than the service admits
    Overload,
}

impl Part {
    /// All of them, in their order.
    pub fn all() -> Vec<Self> {
        Self::value_variants().to_vec()
    }

    const fn title(self) -> &'static str {
        match self {
            Self::Soak => "Soak: services and databases are killed while everybody works",
            Self::Pair => "Pair: two services behind a round-robin",
            Self::RollingRestart => "Rolling restart with a new migration, under load",
            Self::DiskFull => "Disk full",
            Self::Connections => "Slow, trickling and cut connections",
            Self::ClockJumps => "Clock jumps",
            Self::Overload => "Overload",
        }
    }

    /// Runs it. What keeps it from being run is a fault like any other.
    pub async fn run(self, arguments: &Arguments) -> Report {
        let mut report = Report::of(self.title());
        let chance = arguments.chance(self);
        let length = arguments.length();
        let ran = match self {
            Self::Soak => soak::run(&mut report, length, chance).await,
            Self::Pair => pair::run(&mut report, length, chance).await,
            Self::RollingRestart => rolling_restart::run(&mut report, length, chance).await,
            Self::DiskFull => disk_full::run(&mut report, length, chance).await,
            Self::Connections => connections::run(&mut report, length, chance).await,
            Self::ClockJumps => clock_jumps::run(&mut report, length, chance).await,
            Self::Overload => overload::run(&mut report, length, chance).await,
        };
        if let Err(error) = ran {
            report.fault(format!("the part could not be run to its end: {error:#}"));
        }
        report
    }
}
