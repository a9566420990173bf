//! A telephone's terminal: forty columns by twenty lines, with somebody who types and reads.

use std::io::{Read, Write};
use std::path::Path;
use std::sync::{Arc, Mutex};
use std::time::{Duration, Instant};

use portable_pty::{Child, CommandBuilder, MasterPty, PtySize, native_pty_system};

/// As wide and as high as the terminal is.
pub const COLUMNS: u16 = 40;
pub const ROWS: u16 = 20;
/// A paper on which everything fits that is written wider than the terminal.
const WIDE: u16 = 300;

/// A terminal with the program in it.
pub struct Phone {
    written: Arc<Mutex<Vec<u8>>>,
    seen: usize,
    keys: Box<dyn Write + Send>,
    child: Box<dyn Child + Send + Sync>,
    _terminal: Box<dyn MasterPty + Send>,
}

impl Phone {
    /// Starts `skid` with these words.
    pub fn start(words: &[&str], service: &str, token: &str, home: &Path, term: &str) -> Self {
        let size = PtySize { rows: ROWS, cols: COLUMNS, pixel_width: 0, pixel_height: 0 };
        let pair = native_pty_system().openpty(size).expect("a terminal can be had");
        let mut command = CommandBuilder::new(tests::skid());
        command.args(words);
        command.env_clear();
        for (name, value) in [("SKID_SERVICE", service), ("SKID_TOKEN", token), ("TERM", term), ("TZ", "UTC")]
        {
            command.env(name, value);
        }
        command.env("SKID_HOME", home);
        let child = pair.slave.spawn_command(command).expect("skid can be started");
        drop(pair.slave);
        let mut reader = pair.master.try_clone_reader().expect("the terminal can be read");
        let keys = pair.master.take_writer().expect("the terminal has keys");
        let written = Arc::new(Mutex::new(Vec::new()));
        let kept = written.clone();
        std::thread::spawn(move || {
            let mut bytes = [0; 4096];
            while let Ok(count @ 1..) = reader.read(&mut bytes) {
                kept.lock().expect("nobody fails with it").extend_from_slice(&bytes[..count]);
            }
        });
        Self { written, seen: 0, keys, child, _terminal: pair.master }
    }

    fn bytes(&self) -> Vec<u8> {
        self.written.lock().expect("nobody fails with it").clone()
    }

    /// Everything that was written so far, as it would lie on paper.
    pub fn paper(&self) -> String {
        on_paper(&self.bytes())
    }

    /// Waits until this is written behind what was waited for before; answers with what came in between.
    pub fn wait_for(&mut self, text: &str) -> String {
        let since = Instant::now();
        loop {
            let paper = self.paper();
            if let Some(at) = paper[self.seen..].find(text) {
                let between = paper[self.seen..self.seen + at + text.len()].to_owned();
                self.seen += at + text.len();
                return between;
            }
            assert!(since.elapsed() < Duration::from_secs(30), "no {text:?} behind\n{}", &paper[..self.seen]);
            std::thread::sleep(Duration::from_millis(10));
        }
    }

    /// Waits for a prompt, and answers it.
    pub fn answer(&mut self, prompt: &str, line: &str) {
        let _before = self.wait_for(prompt);
        self.keys.write_all(format!("{line}\r").as_bytes()).expect("the terminal takes keys");
        self.keys.flush().expect("the terminal takes keys");
    }

    /// What stands on the screen now, as wide and as high as it is.
    pub fn screen(&self) -> String {
        let mut parser = terminal(ROWS, COLUMNS);
        parser.process(&self.bytes());
        parser.screen().contents()
    }

    /// Kills it, as an empty battery does.
    pub fn kill(&mut self) {
        self.child.kill().expect("it can be killed");
        let _ended = self.child.wait();
    }

    /// Waits for its end; answers the status.
    pub fn end(&mut self) -> u32 {
        self.child.wait().expect("it ends").exit_code()
    }

    /// That nothing was written past the last column.
    pub fn fits(&self) {
        for line in self.paper().lines() {
            assert!(line.chars().count() <= usize::from(COLUMNS), "wider than the terminal: {line:?}");
        }
    }
}

fn terminal(rows: u16, columns: u16) -> vt100::Parser {
    let size = |of: u16| std::num::NonZero::new(of).expect("it has a size");
    vt100::Parser::new(size(rows), size(columns), 0)
}

/// What was written, line under line, on paper so wide that nothing is broken.
fn on_paper(bytes: &[u8]) -> String {
    let mut paper = String::new();
    let mut parser = terminal(1, WIDE);
    for byte in bytes {
        if *byte == b'\n' {
            paper.push_str(parser.screen().contents().trim_end());
            paper.push('\n');
            parser = terminal(1, WIDE);
        } else {
            parser.process(&[*byte]);
        }
    }
    paper.push_str(&parser.screen().contents());
    paper
}
