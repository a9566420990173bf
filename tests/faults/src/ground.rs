//! What is broken: databases, services, the connections between them, the disk, the clock.

pub mod child;
pub mod forwarder;
pub mod instance;
pub mod moved_clock;
pub mod own_mounts;
pub mod place;
pub mod postgres;
pub mod world;

/// Tells a process something by a signal; answers whether there was such a process.
pub fn signal(signal: &str, process: u32) -> bool {
    let told = std::process::Command::new("kill")
        .args([signal, &process.to_string()])
        .stderr(std::process::Stdio::null())
        .status();
    told.is_ok_and(|status| status.success())
}
