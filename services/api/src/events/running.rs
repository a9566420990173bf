//! Delivering for as long as the service runs.

use std::collections::HashSet;
use std::time::Duration;

use futures_util::StreamExt;
use futures_util::stream::FuturesUnordered;
use kernel::OutfitId;
use storage::Session;
use tokio::sync::watch;

use super::courier::Courier;
use crate::http::refusal::Refusal;

/// How often it is looked whether there is something to tell.
const LOOKING: Duration = Duration::from_secs(1);
/// For how many outfits events are delivered at once.
const AT_ONCE: usize = 32;

/// Delivers until told to stop; then finishes what is being sent.
///
/// An outfit whose tools are slow keeps no other one waiting.
pub async fn deliver_until(courier: Courier, stop: watch::Receiver<bool>) {
    let mut told = stop.clone();
    let mut clock = tokio::time::interval(LOOKING);
    clock.set_missed_tick_behavior(tokio::time::MissedTickBehavior::Delay);
    let mut busy: HashSet<OutfitId> = HashSet::new();
    let mut under_way = FuturesUnordered::new();
    let mut session: Option<Session> = None;
    loop {
        tokio::select! {
            // The sender of the order is gone: the service is too.
            _ = told.wait_for(|stop| *stop) => break,
            Some((outfit, outcome)) = under_way.next() => {
                busy.remove(&outfit);
                if let Err(refusal) = outcome {
                    let refusal: Refusal = refusal;
                    refusal.log();
                    session = None;
                }
            }
            _ = clock.tick() => {
                if busy.is_empty() {
                    // What it held is let go of even if letting go failed.
                    session = None;
                }
                let waiting = match look(&courier, &mut session).await {
                    Ok(waiting) => waiting,
                    Err(refusal) => {
                        refusal.log();
                        continue;
                    }
                };
                let Some(session) = &session else { continue };
                for outfit in waiting {
                    if busy.len() < AT_ONCE && busy.insert(outfit) {
                        let (courier, session, stop) = (courier.clone(), session.clone(), stop.clone());
                        under_way.push(async move {
                            let stopping = || *stop.borrow();
                            (outfit, courier.deliver(&session, outfit, &stopping).await)
                        });
                    }
                }
            }
        }
    }
    while under_way.next().await.is_some() {}
}

/// The outfits with something to tell; where there are any, with a connection to hold them.
async fn look(courier: &Courier, session: &mut Option<Session>) -> Result<Vec<OutfitId>, Refusal> {
    let waiting = courier.waiting().await?;
    if !waiting.is_empty() && session.is_none() {
        *session = Some(courier.session().await?);
    }
    Ok(waiting)
}
