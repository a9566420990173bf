//! The service's clock jumps, forward and back by hours, while tickets are posted and weeks settled.

use std::time::Duration;

use client::{Client, ClientError, Patience};
use serde_json::json;
use wire::{Secret, SignedIn};

use crate::chance::Chance;
use crate::checks;
use crate::ground::child::Kind;
use crate::ground::world::World;
use crate::report::Report;
use crate::work::crowd::Crowd;
use crate::work::outfit::form;

const HOUR: i64 = 3_600;
const DAY: i64 = 24 * HOUR;

/// Where the clock is put, hours ahead of the machine's, and whether the service is killed and started again then.
const JUMPS: [(i64, bool); 8] =
    [(2, false), (0, false), (-3, false), (5, false), (0, true), (-6, true), (1, false), (0, false)];

/// Tokens first, with nobody else there; then jumps while everybody works.
pub async fn run(report: &mut Report, length: Duration, mut chance: Chance) -> anyhow::Result<()> {
    let mut world = World::begin("clock", Kind::Moved).await?;
    tokens(report, &mut world).await?;
    let mut crowd = Crowd::of(world.outfit.clone(), &[], chance.split());
    crowd.everybody(&[world.service.address()])?;
    let mut jumps = 0_u32;
    let began = std::time::Instant::now();
    while began.elapsed() < length || jumps == 0 {
        for (hours, start_again) in JUMPS {
            if start_again {
                // What it remembers of the times that it gave out goes with it.
                world.service.kill();
                world.service.spawn()?;
            }
            world.service.set_clock_ahead(hours * HOUR)?;
            world.service.until_ready().await?;
            jumps += 1;
            let went_on = crowd.work.until_acknowledged(90, Duration::from_secs(90)).await;
            anyhow::ensure!(went_on, "the work does not go on with the clock {hours} hours ahead");
        }
    }
    world.service.set_clock_ahead(0)?;
    crowd.finish(report).await;
    report.row("jumps of the clock, by 1 to 8 hours", jumps);
    checks::all(report, &crowd.work, &world.service.address()).await?;
    world.end().await
}

/// What a token is worth when the clock is elsewhere.
async fn tokens(report: &mut Report, world: &mut World) -> anyhow::Result<()> {
    let nobody = Client::new(&world.service.address(), None)?.with_patience(Patience::NONE);
    let signed_in = sign_in(world, &nobody).await?;
    let refresh = |token: &Secret| json!({"refresh_token": token.reveal()});
    let mut expect = |what: &str, wanted: &str, found: &str| {
        report.require(wanted == found, || format!("{what}: {found}, not {wanted}"));
        report.row(what, found);
    };
    expect("a token as it was given", "good", use_of(&nobody, &signed_in).await);
    world.service.set_clock_ahead(2 * HOUR)?;
    settle().await;
    expect("two hours on, the token", "token-expired", use_of(&nobody, &signed_in).await);
    let next = nobody.refresh_sign_in(&form(refresh(&signed_in.refresh_token))?).await?;
    expect("two hours on, the one that it was exchanged for", "good", use_of(&nobody, &next).await);
    world.service.set_clock_ahead(0)?;
    settle().await;
    expect("back again, a token that was given later than now", "good", use_of(&nobody, &next).await);
    world.service.set_clock_ahead(20 * DAY)?;
    settle().await;
    let refused = nobody.refresh_sign_in(&form(refresh(&next.refresh_token))?).await;
    let refused = refused.err().map_or("good", |error| error.code());
    expect("20 days on, staying signed in without having been there", "refresh-refused", refused);
    world.service.set_clock_ahead(0)?;
    settle().await;
    Ok(())
}

/// The service hears of it in a moment.
async fn settle() {
    tokio::time::sleep(Duration::from_millis(100)).await;
}

async fn use_of(nobody: &Client, signed_in: &SignedIn) -> &'static str {
    let somebody = nobody.clone().with_token(signed_in.access_token.reveal());
    match somebody {
        Ok(somebody) => somebody.show_outfit().await.err().map_or("good", |error: ClientError| error.code()),
        Err(error) => error.code(),
    }
}

/// Somebody who has an account and signs in.
async fn sign_in(world: &World, nobody: &Client) -> anyhow::Result<SignedIn> {
    let manager = nobody.clone().with_token(&world.outfit.token)?;
    let account = json!({"name": "yard-scaler", "role": "scaler"});
    let account = manager.register_account(&form(account)?).await?;
    let password = "an invented pass phrase for the yard";
    let outfit = world.outfit.id.to_string();
    let enrolled = json!({"outfit_id": outfit, "enrolment_code": account.enrolment.enrolment_code.reveal(),
                          "password": password});
    nobody.set_password(account.account.account_id, &form(enrolled)?).await?;
    Ok(nobody
        .sign_in(&form(json!({"outfit_id": outfit, "name": "yard-scaler", "password": password}))?)
        .await?)
}
