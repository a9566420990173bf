//! One service after the other is stopped in order and started again as the next version, whose migration is applied while
//! the other one still serves. Nobody is turned away.
//!
//! What is shown: a migration by the project's rules, which only adds, may be applied under load while this version serves,
//! and a service may be stopped and started without a request being lost. What is not shown: that this version's own
//! migrations were such that the version before it could go on; the code of that version is not here.

use std::time::{Duration, Instant};

use crate::chance::Chance;
use crate::checks;
use crate::ground::child::Kind;
use crate::ground::forwarder::{Forwarder, Target};
use crate::ground::instance::Instance;
use crate::ground::world::World;
use crate::report::Report;
use crate::spans::{Spans, told};
use crate::work::crowd::Crowd;
use crate::work::new_migration;

/// Restarts both in turn, again and again.
pub async fn run(report: &mut Report, length: Duration, mut chance: Chance) -> anyhow::Result<()> {
    let mut world = World::begin("rolling", Kind::Plain).await?;
    let mut second = Instance::new(Kind::Plain, world.place.path(), "second", world.postgres.url())?;
    second.start().await?;
    let targets = vec![Target::Port(world.service.port()), Target::Port(second.port())];
    let forwarder = Forwarder::to(targets, chance.split()).await?;
    let mut crowd = Crowd::of(world.outfit.clone(), &[], chance.split());
    crowd.everybody(&[forwarder.address()])?;
    let (mut stopping, mut starting) = (Spans::default(), Spans::default());
    let mut longest = Duration::ZERO;
    let began = Instant::now();
    let mut round = 0_u32;
    while began.elapsed() < length || round == 0 {
        round += 1;
        for (place, service) in [(0, &mut world.service), (1, &mut second)] {
            anyhow::ensure!(
                crowd.work.until_acknowledged(40, Duration::from_secs(90)).await,
                "the work does not go on"
            );
            // As whoever divides the requests does when it is not ready any more.
            forwarder.let_through(place, false);
            let moment = Instant::now();
            service.stop().await?;
            stopping.add(moment.elapsed());
            service.become_kind(Kind::Next);
            let moment = Instant::now();
            service.start().await?;
            starting.add(moment.elapsed());
            forwarder.let_through(place, true);
            let going_on = crowd.work.recovered_since(moment).await;
            longest = longest.max(going_on.unwrap_or(Duration::MAX));
        }
    }
    let applied = new_migration::is_applied(world.postgres.url()).await?;
    report.require(applied, || "the new migration was not applied".to_owned());
    crowd.finish(report).await;
    report.row("rounds of both", round);
    report.row("stopping in order, with a second of draining", stopping.told_short());
    report.row("starting, until it is ready", starting.told_short());
    report.row("longest wait for an acknowledgement from a restart on", told(longest));
    report.row("connections handed to one and the other", forwarder.divided());
    checks::all(report, &crowd.work, &world.service.address()).await?;
    second.stop().await?;
    world.end().await
}
