//! What the system says of a running process.

use std::fs;

use anyhow::{Context as _, Result};

/// Memory of a process that lies in the machine's, in bytes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Memory {
    /// Now.
    pub now: u64,
    /// At the most since it was last forgotten.
    pub most: u64,
}

/// How much memory a process holds.
pub fn memory(process: u32) -> Result<Memory> {
    let status = fs::read_to_string(format!("/proc/{process}/status"))?;
    Ok(Memory { now: kibibytes(&status, "VmRSS:")? * 1024, most: kibibytes(&status, "VmHWM:")? * 1024 })
}

/// Forgets how much it held at the most, so that what comes next is measured by itself.
pub fn forget_most(process: u32) -> Result<()> {
    Ok(fs::write(format!("/proc/{process}/clear_refs"), "5")?)
}

/// Processor time that a process has used, in milliseconds.
pub fn processor_milliseconds(process: u32) -> Result<u64> {
    let stat = fs::read_to_string(format!("/proc/{process}/stat"))?;
    // The program's name stands in parentheses and may hold anything; after it come the fields from the third on.
    let fields = stat.rsplit_once(") ").context("no process")?.1;
    let ticks = fields.split(' ').skip(11).take(2).map(str::parse::<u64>).sum::<Result<u64, _>>()?;
    // Linux counts a hundredth of a second a tick wherever it runs.
    Ok(ticks * 10)
}

fn kibibytes(status: &str, name: &str) -> Result<u64> {
    let line = status.lines().find_map(|line| line.strip_prefix(name));
    let number = line.and_then(|line| line.trim().strip_suffix(" kB"));
    Ok(number.with_context(|| format!("the system does not tell {name}"))?.trim().parse()?)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn this_process_has_memory_and_uses_time() {
        let this = std::process::id();
        let memory = memory(this).expect("the system tells");
        assert!(memory.now > 0 && memory.most >= memory.now, "{memory:?}");
        let before = processor_milliseconds(this).expect("the system tells");
        while processor_milliseconds(this).expect("the system tells") == before {}
    }
}
