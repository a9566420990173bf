//! The process between this one and the server, which ends the server when this one is gone.

use std::ffi::OsString;
use std::fs::File;
use std::io::Write;
use std::os::unix::process::CommandExt;
use std::path::{Path, PathBuf};
use std::process::{Child, ChildStdin, Command, Stdio};
use std::thread;
use std::time::{Duration, Instant};

use crate::Error;
use crate::account::Account;
use crate::programs::Programs;

const SCRIPT: &str = include_str!("guardian.sh");
const FAST: Duration = Duration::from_secs(60);
const IMMEDIATE: Duration = Duration::from_secs(15);
const PAUSE: Duration = Duration::from_millis(5);

/// How a server is ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Ending {
    /// Transactions are broken off and everything is written out.
    Fast,
    /// At once, since nobody wants the data.
    Immediate,
}

impl Ending {
    /// The signal by which PostgreSQL knows it.
    fn signal(self) -> &'static str {
        match self {
            Self::Fast => "INT",
            Self::Immediate => "QUIT",
        }
    }
}

/// What a guardian needs to know.
#[derive(Debug)]
pub(crate) struct Duty<'a> {
    /// The server to start, and its arguments.
    pub(crate) programs: &'a Programs,
    pub(crate) arguments: Vec<OsString>,
    pub(crate) account: &'a Account,
    /// How the server is to end.
    pub(crate) ending: Ending,
    /// Directories to remove afterwards.
    pub(crate) scratch: Option<&'a Path>,
    pub(crate) socket: Option<&'a Path>,
    /// Inherited by the server, to be free only when all of it is gone.
    pub(crate) lock: File,
    pub(crate) log: File,
}

/// A running guardian.
#[derive(Debug)]
pub(crate) struct Guardian {
    process: Child,
    /// Our end of its standard input.
    orders: Option<ChildStdin>,
    ending: Ending,
}

impl Guardian {
    /// Starts a guardian, which starts the server.
    pub(crate) fn start(duty: Duty<'_>) -> Result<Self, Error> {
        let shell = Path::new("/bin/sh");
        let mut command = Command::new(shell);
        duty.programs.settle(&mut command, Some(duty.account));
        let place = |path: Option<&Path>| path.map(PathBuf::from).unwrap_or_default();
        command.args(["-c", SCRIPT, "skidway-guardian", duty.ending.signal()]);
        command.args([place(duty.scratch), place(duty.socket)]);
        command.arg(duty.programs.path_of("postgres")).args(duty.arguments);
        command.stdin(Stdio::piped()).stdout(duty.lock).stderr(duty.log);
        // Out of reach of Ctrl-C, which goes to the whole process group of the terminal.
        command.process_group(0);
        let mut process = command.spawn().map_err(Error::io("run", shell))?;
        let orders = process.stdin.take();
        Ok(Self { process, orders, ending: duty.ending })
    }

    /// Whether the guardian, and so the server, is still there.
    pub(crate) fn is_alive(&mut self) -> bool {
        matches!(self.process.try_wait(), Ok(None))
    }

    /// Ends the server and waits until all is done. Says whether that succeeded.
    pub(crate) fn stop(mut self) -> bool {
        if self.order(self.ending) && self.is_gone_within(FAST) {
            return true;
        }
        self.order(Ending::Immediate);
        drop(self.orders.take());
        self.is_gone_within(IMMEDIATE)
    }

    fn order(&mut self, ending: Ending) -> bool {
        // Writing fails only when the guardian is gone, and then there is nothing left to order.
        self.orders.as_mut().is_some_and(|orders| writeln!(orders, "{}", ending.signal()).is_ok())
    }

    fn is_gone_within(&mut self, limit: Duration) -> bool {
        let started = Instant::now();
        while self.is_alive() {
            if started.elapsed() > limit {
                return false;
            }
            thread::sleep(PAUSE);
        }
        true
    }
}
