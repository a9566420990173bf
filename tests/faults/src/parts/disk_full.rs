//! The disk that the database lies on fills up under load; then room is made.

use std::io::Write;
use std::path::Path;
use std::time::{Duration, Instant};

use crate::chance::Chance;
use crate::checks;
use crate::ground::child::Kind;
use crate::ground::instance::Instance;
use crate::ground::own_mounts::{SmallDisk, have_them};
use crate::ground::place::Place;
use crate::ground::postgres::Postgres;
use crate::report::Report;
use crate::spans::told;
use crate::work::crowd::Crowd;
use crate::work::outfit::Outfit;

/// Room for a cluster, its log of changes, and some tickets.
const MEGABYTES: u32 = 400;

/// Fills the disk, watches, and makes room again.
pub async fn run(report: &mut Report, length: Duration, mut chance: Chance) -> anyhow::Result<()> {
    if !have_them() {
        report.row("left out", "it needs root, and a system that lets it have mounts of its own");
        return Ok(());
    }
    let place = Place::new("disk")?;
    let disk_at = place.path().join("disk");
    let _disk = SmallDisk::mount(&disk_at, MEGABYTES)?;
    let mut postgres = Postgres::start(&disk_at.join("db")).await?;
    let mut service = Instance::new(Kind::Plain, place.path(), "first", postgres.url())?;
    service.start().await?;
    let outfit = Outfit::open(&service).await?;
    let mut crowd = Crowd::of(outfit, &["internal"], chance.split());
    crowd.everybody(&[service.address()])?;
    let rounds = 2_u32;
    for round in 1..=rounds {
        anyhow::ensure!(
            crowd.work.until_acknowledged(40, Duration::from_secs(90)).await,
            "the work does not go on"
        );
        let ballast = disk_at.join("ballast");
        let filled = fill(&ballast)?;
        let full = Instant::now();
        let before = crowd.work.progress().acknowledged;
        let stopped = until_nothing_is_acknowledged(&crowd, length).await;
        let kept = crowd.work.progress().acknowledged - before;
        report
            .row(format!("round {round}: filled with"), format!("{} MB of ballast", filled / (1024 * 1024)));
        let told_stop = if stopped { told(full.elapsed()) } else { "not at all".to_owned() };
        report.row(
            format!("round {round}: nothing more was acknowledged after"),
            format!("{told_stop}, {kept} tickets"),
        );
        let up = postgres.is_up();
        report.row(format!("round {round}: Postgres was then"), if up { "up" } else { "down" });
        report.require(!service.has_ended(), || format!("the service ended: {}", service.last_words()));
        std::fs::remove_file(&ballast)?;
        let room = Instant::now();
        let by_itself = up && crowd.work.until_acknowledged(5, Duration::from_secs(20)).await;
        if !by_itself {
            postgres.start_again().await?;
        }
        let recovered = crowd.work.recovered_since(room).await;
        let how = if by_itself { "by itself" } else { "after Postgres was started again" };
        let after = recovered.map_or("never".to_owned(), told);
        report.require(recovered.is_some(), || "it does not recover once there is room".to_owned());
        report.row(format!("round {round}: with room again, it went on"), format!("{how}, {after}"));
    }
    report.row(
        "Postgres said that the disk is full",
        format!("{} times", postgres.said("No space left on device")),
    );
    crowd.finish(report).await;
    checks::all(report, &crowd.work, &service.address()).await?;
    service.stop().await?;
    postgres.stop().await
}

/// Writes until nothing more can be written, and answers how much that was.
fn fill(at: &Path) -> anyhow::Result<u64> {
    let mut ballast = std::fs::File::create(at)?;
    let block = vec![0x5a; 64 * 1024];
    let mut step = block.len();
    // In ever smaller steps, so that hardly a page is left.
    while step >= 512 {
        match ballast.write_all(block.get(..step).unwrap_or_default()) {
            Ok(()) => {}
            Err(error) if error.kind() == std::io::ErrorKind::StorageFull => step /= 2,
            Err(error) => return Err(error.into()),
        }
    }
    Ok(ballast.metadata()?.len())
}

/// Waits until nothing was acknowledged for a while; not for ever.
async fn until_nothing_is_acknowledged(crowd: &Crowd, at_most: Duration) -> bool {
    let began = Instant::now();
    while began.elapsed() < at_most {
        if !crowd.work.until_acknowledged(1, Duration::from_secs(3)).await {
            return true;
        }
    }
    false
}
