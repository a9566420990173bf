//! Stands between a caller and whoever is called: divides connections among several, and spoils them when told to.

use std::path::PathBuf;
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};
use std::sync::{Arc, Mutex, PoisonError};
use std::time::Duration;

use tokio::io::{AsyncRead, AsyncReadExt, AsyncWrite, AsyncWriteExt};
use tokio::net::{TcpListener, TcpStream, UnixStream};
use tokio::sync::watch;

use crate::chance::Chance;

/// Who is called.
#[derive(Clone, Debug)]
pub enum Target {
    /// A port of this machine.
    Port(u16),
    /// A socket among the files.
    Socket(PathBuf),
}

/// What is done to what passes.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Weather {
    /// Everything waits for so long.
    pub delay: Duration,
    /// Everything passes byte by byte, this long between two.
    pub trickle: Option<Duration>,
    /// One in so many passages is cut in its midst.
    pub cut_one_in: Option<u64>,
    /// Nothing passes, and nothing is said of it.
    pub silent: bool,
    /// Nothing passes on the connections up to this one, counted from 1.
    pub silent_up_to: u64,
}

/// What was passed on and spoilt.
#[derive(Debug, Default)]
pub struct Counts {
    /// Connections.
    pub connections: AtomicU64,
    /// Connections that were cut.
    pub cuts: AtomicU64,
    /// Connections to each target, in their order.
    pub by_target: Mutex<Vec<u64>>,
}

/// A forwarder. Ends with the value.
#[derive(Debug)]
pub struct Forwarder {
    port: u16,
    weather: watch::Sender<Weather>,
    open: Arc<Mutex<Vec<bool>>>,
    /// Moved on to cut every connection that is there.
    round: watch::Sender<u64>,
    counts: Arc<Counts>,
    accepting: tokio::task::JoinHandle<()>,
    over: Arc<AtomicBool>,
}

#[derive(Clone)]
struct Route {
    targets: Vec<Target>,
    open: Arc<Mutex<Vec<bool>>>,
    weather: watch::Receiver<Weather>,
    round: watch::Receiver<u64>,
    counts: Arc<Counts>,
    over: Arc<AtomicBool>,
}

trait Stream: AsyncRead + AsyncWrite + Send + Unpin {}
impl<T: AsyncRead + AsyncWrite + Send + Unpin> Stream for T {}

impl Forwarder {
    /// Listens on a port of its own, and hands connections to the targets in turn.
    pub async fn to(targets: Vec<Target>, chance: Chance) -> anyhow::Result<Self> {
        let listener = TcpListener::bind("127.0.0.1:0").await?;
        let port = listener.local_addr()?.port();
        let open = Arc::new(Mutex::new(vec![true; targets.len()]));
        let counts = Arc::new(Counts::default());
        let (weather, seen) = watch::channel(Weather::default());
        let (round, rounds) = watch::channel(0);
        let over = Arc::new(AtomicBool::new(false));
        let (open_here, counted, ended) = (open.clone(), counts.clone(), over.clone());
        let route =
            Route { targets, open: open_here, weather: seen, round: rounds, counts: counted, over: ended };
        let accepting = tokio::spawn(accept(listener, route, chance));
        Ok(Self { port, weather, open, round, counts, accepting, over })
    }

    /// Where callers come in over HTTP.
    pub fn address(&self) -> String {
        format!("http://127.0.0.1:{}", self.port)
    }

    /// Its port.
    pub const fn port(&self) -> u16 {
        self.port
    }

    /// Changes what is done to what passes, on all connections.
    pub fn set(&self, weather: Weather) {
        self.weather.send_replace(weather);
    }

    /// Hands no new connections to a target, or does so again.
    pub fn let_through(&self, target: usize, open: bool) {
        let mut all = self.open.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(one) = all.get_mut(target) {
            *one = open;
        }
    }

    /// Cuts every connection that is there.
    pub fn cut_all(&self) {
        self.round.send_modify(|round| *round += 1);
    }

    /// Nothing passes any more on the connections that are there; new ones are not concerned.
    pub fn silence_those_there(&self) {
        let up_to = self.counts.connections.load(Ordering::Acquire);
        self.weather.send_modify(|weather| weather.silent_up_to = up_to);
    }

    /// What was passed on and spoilt so far.
    pub fn counts(&self) -> &Counts {
        &self.counts
    }

    /// Connections to each target, in words.
    pub fn divided(&self) -> String {
        let counts = self.counts.by_target.lock().unwrap_or_else(PoisonError::into_inner);
        counts.iter().map(u64::to_string).collect::<Vec<_>>().join(" and ")
    }
}

impl Drop for Forwarder {
    fn drop(&mut self) {
        self.over.store(true, Ordering::Release);
        self.accepting.abort();
        self.cut_all();
    }
}

async fn accept(listener: TcpListener, route: Route, mut chance: Chance) {
    let mut turn = 0_usize;
    while let Ok((caller, _)) = listener.accept().await {
        turn = turn.wrapping_add(1);
        tokio::spawn(forward(caller, route.clone(), turn, chance.split()));
    }
}

impl Route {
    /// The next target in turn that connections are handed to and that takes them.
    async fn connect(&self, turn: usize) -> Option<Box<dyn Stream>> {
        let count = self.targets.len();
        for further in 0..count {
            let place = turn.wrapping_add(further).checked_rem(count)?;
            let open = self.open.lock().unwrap_or_else(PoisonError::into_inner).get(place).copied();
            if open != Some(true) {
                continue;
            }
            let connected: Option<Box<dyn Stream>> = match self.targets.get(place)? {
                Target::Port(port) => match TcpStream::connect(("127.0.0.1", *port)).await {
                    Ok(stream) => {
                        let _slower = stream.set_nodelay(true);
                        Some(Box::new(stream))
                    }
                    Err(_) => None,
                },
                Target::Socket(path) => match UnixStream::connect(path).await {
                    Ok(stream) => Some(Box::new(stream)),
                    Err(_) => None,
                },
            };
            if let Some(stream) = connected {
                let mut counts = self.counts.by_target.lock().unwrap_or_else(PoisonError::into_inner);
                counts.resize(count, 0);
                if let Some(one) = counts.get_mut(place) {
                    *one += 1;
                }
                return Some(stream);
            }
        }
        None
    }
}

async fn forward(caller: TcpStream, mut route: Route, turn: usize, mut chance: Chance) {
    let number = route.counts.connections.fetch_add(1, Ordering::AcqRel) + 1;
    let _slower = caller.set_nodelay(true);
    // Cuts before now were not meant for this connection.
    route.round.mark_unchanged();
    // Where nobody takes the connection, the caller's ends.
    let Some(called) = route.connect(turn).await else { return };
    let (from_caller, to_caller) = tokio::io::split(caller);
    let (from_called, to_called) = tokio::io::split(called);
    let (weather, back_weather) = (route.weather.clone(), route.weather.clone());
    let (there, back) = (chance.split(), chance.split());
    let passing = async {
        tokio::try_join!(
            carry((from_caller, to_called), number, weather, there),
            carry((from_called, to_caller), number, back_weather, back)
        )
    };
    tokio::select! {
        passed = passing => {
            if passed.is_err_and(|error| error.kind() == std::io::ErrorKind::Interrupted) {
                route.counts.cuts.fetch_add(1, Ordering::Relaxed);
            }
        }
        _ = route.round.changed() => {
            if !route.over.load(Ordering::Acquire) {
                route.counts.cuts.fetch_add(1, Ordering::Relaxed);
            }
        }
    }
}

/// Carries what comes from one side to the other, through the weather, until either ends.
async fn carry(
    (mut from, mut to): (impl AsyncRead + Unpin, impl AsyncWrite + Unpin),
    number: u64,
    mut weather: watch::Receiver<Weather>,
    mut chance: Chance,
) -> std::io::Result<()> {
    let mut buffer = vec![0; 16 * 1024];
    loop {
        let read = from.read(&mut buffer).await?;
        let passage = buffer.get(..read).unwrap_or_default();
        if passage.is_empty() {
            return to.shutdown().await;
        }
        // Silence lasts until the weather turns; what was sent in it arrives then.
        if weather.wait_for(|now| !now.silent && number > now.silent_up_to).await.is_err() {
            return Ok(());
        }
        let now = *weather.borrow();
        tokio::time::sleep(now.delay).await;
        if now.cut_one_in.is_some_and(|times| chance.one_in(times)) {
            to.write_all(passage.get(..read / 2).unwrap_or_default()).await?;
            return Err(std::io::ErrorKind::Interrupted.into());
        }
        match now.trickle {
            None => to.write_all(passage).await?,
            Some(pause) => trickle(passage, &mut to, pause).await?,
        }
    }
}

async fn trickle(passage: &[u8], to: &mut (impl AsyncWrite + Unpin), pause: Duration) -> std::io::Result<()> {
    for byte in passage {
        to.write_all(std::slice::from_ref(byte)).await?;
        to.flush().await?;
        tokio::time::sleep(pause).await;
    }
    Ok(())
}
