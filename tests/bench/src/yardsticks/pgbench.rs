//! pgbench, which comes with PostgreSQL: statements sent to the server by a program that does nothing else.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use anyhow::{Context as _, Result, ensure};
use tempfile::TempDir;

/// Transactions in a thousand seconds.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct Pace(pub u64);

/// A script that pgbench runs, with variables that count.
pub struct Script {
    place: TempDir,
    rounds: u32,
}

impl Script {
    /// Writes it down. `:n` in it is another number of twelve digits in every transaction.
    pub fn new(transaction: &str) -> Result<Self> {
        let place = TempDir::new()?;
        let counting = "\\set m :m + 1\n\\set n :base + :client_id * 10000000 + :m\n";
        fs::write(place.path().join("transaction.sql"), format!("{counting}{transaction}"))?;
        Ok(Self { place, rounds: 0 })
    }

    /// Runs it as the service's own role for some seconds with so many connections at once.
    pub fn run(&mut self, url: &str, connections: u8, seconds: u8) -> Result<Pace> {
        self.rounds += 1;
        // A hundred million numbers for each round: ten million for each connection.
        let base = 100_000_000_000 + u64::from(self.rounds) * 100_000_000;
        let script = self.place.path().join("transaction.sql");
        let ran = Command::new(program()?)
            .env("PGOPTIONS", "-c role=skidway_service -c timezone=UTC")
            .args(["-n", "-M", "prepared", "-D", "m=0", "-D", &format!("base={base}")])
            .args(["-c", &connections.to_string(), "-j", "2", "-T", &seconds.to_string()])
            .arg("-f")
            .arg(script)
            .arg(url)
            .output()?;
        let said = String::from_utf8_lossy(&ran.stdout);
        let wrong = String::from_utf8_lossy(&ran.stderr);
        ensure!(ran.status.success() && !said.contains("aborted"), "pgbench: {wrong}");
        pace(&said).context("pgbench does not say how fast it was")
    }
}

/// How many transactions a second it says there were, with three decimals.
fn pace(said: &str) -> Option<Pace> {
    let number = said.lines().find_map(|line| line.strip_prefix("tps = "))?.split(' ').next()?;
    let (whole, decimals) = number.split_once('.').unwrap_or((number, ""));
    let thousandths: String = decimals.chars().chain("000".chars()).take(3).collect();
    Some(Pace(whole.parse::<u64>().ok()? * 1_000 + thousandths.parse::<u64>().ok()?))
}

/// Where it is: in the PATH, or where Debian keeps it.
fn program() -> Result<PathBuf> {
    let in_path = std::env::var_os("PATH").unwrap_or_default();
    let mut places: Vec<PathBuf> = std::env::split_paths(&in_path).collect();
    if let Ok(versions) = fs::read_dir("/usr/lib/postgresql") {
        places.extend(versions.flatten().map(|version| version.path().join("bin")));
    }
    let found = places.iter().map(|place| place.join("pgbench")).find(|path| Path::is_file(path));
    found.context("there is no pgbench here; it comes with PostgreSQL's server or its contrib package")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_pace_is_read_exactly() {
        let said = "latency average = 12.259 ms\ntps = 652.596907 (without initial connection time)\n";
        assert_eq!(pace(said), Some(Pace(652_596)));
        assert_eq!(pace("tps = 7 (without)"), Some(Pace(7_000)));
        assert_eq!(pace("nothing"), None);
    }
}
