//! Services and databases are killed and restarted at random moments, while everybody works.

use std::time::{Duration, Instant};

use crate::chance::Chance;
use crate::checks;
use crate::ground::child::Kind;
use crate::ground::world::World;
use crate::report::Report;
use crate::spans::Spans;
use crate::work::crowd::Crowd;

/// Acknowledgements between two faults: a machine that is slow to recover is given the time.
const BETWEEN: u64 = 25;

/// What is done to it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Blow {
    KillService,
    KillPostgres,
    StopPostgresImmediately,
    KillBackend,
    RestartPostgres,
}

const BLOWS: [(Blow, &str); 5] = [
    (Blow::KillService, "service killed"),
    (Blow::KillPostgres, "Postgres killed, and started again"),
    (Blow::StopPostgresImmediately, "Postgres stopped with nothing written back, and started again"),
    (Blow::KillBackend, "one process of Postgres killed; it recovers by itself"),
    (Blow::RestartPostgres, "Postgres restarted in order"),
];

async fn strike(world: &mut World, blow: Blow) -> anyhow::Result<bool> {
    match blow {
        Blow::KillService => {
            world.service.kill();
            world.service.spawn()?;
            Ok(true)
        }
        Blow::KillPostgres => {
            let struck = world.postgres.kill();
            world.postgres.start_again().await?;
            Ok(struck)
        }
        Blow::StopPostgresImmediately => {
            let struck = world.postgres.stop_immediately();
            world.postgres.start_again().await?;
            Ok(struck)
        }
        Blow::KillBackend => Ok(world.postgres.kill_backend()),
        Blow::RestartPostgres => {
            world.postgres.stop().await?;
            world.postgres.start_again().await?;
            Ok(true)
        }
    }
}

/// Strikes until the time is over and every kind has come.
pub async fn run(report: &mut Report, length: Duration, mut chance: Chance) -> anyhow::Result<()> {
    let mut world = World::begin("soak", Kind::Plain).await?;
    let mut crowd = Crowd::of(world.outfit.clone(), &[], chance.split());
    crowd.everybody(&[world.service.address()])?;
    let began = Instant::now();
    let mut recoveries: Vec<Spans> = BLOWS.iter().map(|_| Spans::default()).collect();
    while began.elapsed() < length || recoveries.iter().any(|spans| spans.count() == 0) {
        if !crowd.work.until_acknowledged(BETWEEN, Duration::from_secs(90)).await {
            report.fault(format!("the work does not go on; Postgres: {}", world.postgres.last_words()));
            break;
        }
        tokio::time::sleep(Duration::from_millis(chance.below(700))).await;
        // Each kind comes, and then chance decides.
        let missing = recoveries.iter().position(|spans| spans.count() == 0);
        let place = missing.unwrap_or_else(|| chance.place(BLOWS.len()));
        let Some(((blow, _), spans)) = BLOWS.get(place).zip(recoveries.get_mut(place)) else { break };
        let moment = Instant::now();
        if !strike(&mut world, *blow).await? {
            continue;
        }
        if world.service.has_ended() {
            let says = format!("the service ended by itself: {}", world.service.last_words());
            report.fault(says);
            world.service.spawn()?;
        }
        match crowd.work.recovered_since(moment).await {
            Some(span) => spans.add(span),
            None => {
                report.fault(format!("it does not recover from {blow:?}"));
                break;
            }
        }
    }
    world.service.until_ready().await?;
    crowd.finish(report).await;
    for ((_, told), spans) in BLOWS.iter().zip(&recoveries) {
        report.row(format!("recovered: {told}"), spans.told_short());
    }
    checks::all(report, &crowd.work, &world.service.address()).await?;
    world.end().await
}
