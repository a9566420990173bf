//! Two services on one database, behind a round-robin that hands connections to one and the other in turn.

use std::time::{Duration, Instant};

use crate::chance::Chance;
use crate::checks;
use crate::ground::child::Kind;
use crate::ground::forwarder::{Forwarder, Target};
use crate::ground::instance::Instance;
use crate::ground::place::Place;
use crate::ground::postgres::Postgres;
use crate::report::Report;
use crate::spans::{Spans, told};
use crate::work::crowd::Crowd;
use crate::work::outfit::Outfit;

/// Starts two at once on an empty database, works through both, and kills one and the other.
pub async fn run(report: &mut Report, length: Duration, mut chance: Chance) -> anyhow::Result<()> {
    let place = Place::new("pair")?;
    let mut postgres = Postgres::start(&place.path().join("db")).await?;
    let mut services = [
        Instance::new(Kind::Plain, place.path(), "first", postgres.url())?,
        Instance::new(Kind::Plain, place.path(), "second", postgres.url())?,
    ];
    // Both find an empty database and want to migrate it.
    let starting = Instant::now();
    for service in &mut services {
        service.spawn()?;
    }
    for service in &mut services {
        service.until_ready().await?;
    }
    report.row("two start at once on an empty database", told(starting.elapsed()));
    let [first, second] = &services;
    let outfit = Outfit::open(first).await?;
    let targets = vec![Target::Port(first.port()), Target::Port(second.port())];
    let forwarder = Forwarder::to(targets, chance.split()).await?;
    let mut crowd = Crowd::of(outfit, &[], chance.split());
    crowd.everybody(&[forwarder.address()])?;
    // The same work over both at once, without anything in between.
    crowd.writers("Direct", 2, &[first.address(), second.address()])?;
    let began = Instant::now();
    let mut recoveries = Spans::default();
    let mut kills = 0_u32;
    while began.elapsed() < length || kills < 2 {
        anyhow::ensure!(
            crowd.work.until_acknowledged(60, Duration::from_secs(90)).await,
            "the work does not go on"
        );
        tokio::time::sleep(Duration::from_millis(chance.below(1_500))).await;
        let moment = Instant::now();
        let place = usize::from(!kills.is_multiple_of(2));
        if let Some(service) = services.get_mut(place) {
            service.kill();
            kills += 1;
            // Whoever comes meanwhile is handed to the other.
            if let Some(span) = crowd.work.recovered_since(moment).await {
                recoveries.add(span);
            }
            service.spawn()?;
            service.until_ready().await?;
        }
    }
    crowd.finish(report).await;
    report.row("connections handed to one and the other", forwarder.divided());
    report.row("one killed, the other goes on", recoveries.told_short());
    let [mut first, mut second] = services;
    checks::all(report, &crowd.work, &second.address()).await?;
    first.stop().await?;
    second.stop().await?;
    postgres.stop().await
}
