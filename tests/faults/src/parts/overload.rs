//! Many more callers than the service admits: those on top are told to come back, those who are in are served in time.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};
use std::time::{Duration, Instant};

use tokio::task::JoinSet;

use crate::chance::Chance;
use crate::checks;
use crate::ground::child::Kind;
use crate::ground::world::World;
use crate::report::Report;
use crate::spans::Spans;
use crate::work::answer::{Answer, Sender};
use crate::work::crowd::{Crowd, Work};
use crate::work::sent::name_of;
use crate::work::tickets;

/// Requests that the service works on at once.
const ADMITTED: usize = 16;
/// Callers at once who do not come back when they are told, but at once.
const CALLERS: usize = 160;

/// Measures a few callers, then far too many, then a few again.
pub async fn run(report: &mut Report, length: Duration, mut chance: Chance) -> anyhow::Result<()> {
    let mut world = World::begin("overload", Kind::Plain).await?;
    world.service.stop().await?;
    world.service.set("SKIDWAY_REQUESTS", ADMITTED);
    world.service.set("SKIDWAY_CONNECTIONS", 8);
    world.service.start().await?;
    let mut crowd = Crowd::of(world.outfit.clone(), &[], chance.split());
    let part = length / 4;
    let mut highest = Vec::new();
    for (name, callers, share) in [("Few", 8, 1), ("Many", CALLERS, 2), ("Few again", 8, 1)] {
        let began = Instant::now();
        let crowding = Callers::new(crowd.work.clone(), &world.service.address());
        let mut tasks = JoinSet::new();
        for number in 0..callers {
            tasks.spawn(crowding.clone().call(format!("{name} {number}"), chance.split()));
        }
        let mut memory = 0;
        while began.elapsed() < part * share {
            tokio::time::sleep(Duration::from_millis(200)).await;
            memory = memory.max(world.service.memory_kb().unwrap_or(0));
        }
        crowding.over.store(true, Ordering::Release);
        while let Some(ended) = tasks.join_next().await {
            ended??;
        }
        highest.push(memory);
        let (served, shed) = (crowding.served(), crowding.shed.load(Ordering::Relaxed));
        report.row(
            format!("{name}, {callers} callers: admitted"),
            format!("{}, {shed} told to come back", served.count()),
        );
        report.row(format!("{name}: admitted requests took"), served.told());
        report.row(format!("{name}: memory of the service, at the most"), format!("{memory} kB"));
        if callers > ADMITTED {
            report.require(shed > 0, || "nobody was told to come back".to_owned());
            let recovered = first_answer_after(&crowd, &world.service.address(), &mut chance).await?;
            report.row("load ends; answered again after", crate::spans::told(recovered));
        }
    }
    crowd.finish(report).await;
    checks::all(report, &crowd.work, &world.service.address()).await?;
    world.end().await
}

/// Callers of one kind, and what became of their requests.
#[derive(Clone)]
struct Callers {
    work: Arc<Work>,
    address: String,
    over: Arc<AtomicBool>,
    served: Arc<std::sync::Mutex<Spans>>,
    shed: Arc<AtomicU64>,
}

impl Callers {
    fn new(work: Arc<Work>, address: &str) -> Self {
        let over = Arc::new(AtomicBool::new(false));
        Self { work, address: address.to_owned(), over, served: Arc::default(), shed: Arc::default() }
    }

    fn served(&self) -> Spans {
        self.served.lock().unwrap_or_else(std::sync::PoisonError::into_inner).clone()
    }

    /// Posts one ticket after the other; whoever is told to come back tries again almost at once.
    async fn call(self, book: String, mut chance: Chance) -> anyhow::Result<()> {
        let sender = Sender::new(&self.address, &self.work.outfit.token)?;
        let mut number = 0;
        while !self.over.load(Ordering::Acquire) {
            number += 1;
            let ticket = tickets::ticket(&self.work.outfit, &book, number, 0, &mut chance)?;
            let body = serde_json::to_value(&ticket)?;
            self.work.record(|sent| sent.sending(&ticket, None));
            loop {
                let began = Instant::now();
                let answer = sender.post("/v1/tickets", &body).await;
                if let Answer::Done { status, body } = &answer {
                    let id = body["ticket_id"].as_str().unwrap_or_default().parse()?;
                    self.work.acknowledge(&name_of(&ticket), id, *status == 200, began);
                    let mut served = self.served.lock().unwrap_or_else(std::sync::PoisonError::into_inner);
                    served.add(began.elapsed());
                    break;
                }
                self.shed.fetch_add(1, Ordering::Relaxed);
                anyhow::ensure!(self.work.will_pass(&answer, &book), "refused");
                if self.over.load(Ordering::Acquire) && matches!(answer, Answer::Refused { .. }) {
                    // Each answer said that nothing was kept: the books are held to that.
                    self.work.record(|sent| sent.tickets.remove(&name_of(&ticket)));
                    return Ok(());
                }
                tokio::time::sleep(Duration::from_millis(5 + chance.below(10))).await;
            }
        }
        Ok(())
    }
}

/// How long a single caller waits once all the others are gone.
async fn first_answer_after(crowd: &Crowd, address: &str, chance: &mut Chance) -> anyhow::Result<Duration> {
    let callers = Callers::new(crowd.work.clone(), address);
    let began = Instant::now();
    let one = tokio::spawn(callers.clone().call("After".to_owned(), chance.split()));
    crowd.work.until_acknowledged(1, Duration::from_secs(30)).await;
    let took = began.elapsed();
    callers.over.store(true, Ordering::Release);
    one.await??;
    Ok(took)
}
