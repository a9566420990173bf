//! A terminal with a program in it: what is typed goes in, and what is on the screen can be read.

use std::ffi::OsString;
use std::io::{Read, Write};
use std::num::NonZero;
use std::path::Path;
use std::sync::{Arc, Mutex};
use std::time::{Duration, Instant};

use portable_pty::{Child, CommandBuilder, MasterPty, PtySize, native_pty_system};

/// How long anything may take to come to the screen.
const PATIENCE: Duration = Duration::from_secs(20);

/// A terminal.
pub struct Terminal {
    child: Box<dyn Child + Send + Sync>,
    keyboard: Box<dyn Write + Send>,
    written: Arc<Mutex<Vec<u8>>>,
    size: PtySize,
    _master: Box<dyn MasterPty + Send>,
}

impl Terminal {
    /// Starts a program in it.
    pub fn start(
        program: &Path,
        arguments: &[&str],
        environment: &[(OsString, OsString)],
        (directory, columns): (&Path, u16),
    ) -> Self {
        let size = PtySize { rows: 200, cols: columns, pixel_width: 0, pixel_height: 0 };
        let pair = native_pty_system().openpty(size).expect("there are terminals");
        let mut command = CommandBuilder::new(program);
        command.args(arguments);
        command.env_clear();
        for (name, value) in environment {
            command.env(name, value);
        }
        command.cwd(directory);
        let child = pair.slave.spawn_command(command).expect("it starts");
        drop(pair.slave);
        let mut reader = pair.master.try_clone_reader().expect("it can be read");
        let keyboard = pair.master.take_writer().expect("it can be typed into");
        let written = Arc::new(Mutex::new(Vec::new()));
        let seen = Arc::clone(&written);
        std::thread::spawn(move || {
            let mut piece = [0; 4096];
            // It ends with an error when the program is gone.
            while let Ok(read) = reader.read(&mut piece) {
                if read == 0 {
                    break;
                }
                seen.lock().expect("nobody panicked").extend_from_slice(&piece[..read]);
            }
        });
        Self { child, keyboard, written, size, _master: pair.master }
    }

    /// Everything that was ever written to it.
    pub fn everything(&self) -> String {
        String::from_utf8_lossy(&self.written.lock().expect("nobody panicked")).into_owned()
    }

    /// What stands on the screen, without blanks at the ends of lines.
    pub fn screen(&self) -> String {
        let at_least_one = |size: u16| NonZero::new(size).expect("a terminal has a size");
        let mut parser = vt100::Parser::new(at_least_one(self.size.rows), at_least_one(self.size.cols), 0);
        parser.process(&self.written.lock().expect("nobody panicked"));
        let rows = parser.screen().rows(0, self.size.cols);
        rows.map(|row| row.trim_end().to_owned() + "\n").collect()
    }

    /// Waits until a text is on the screen.
    pub fn wait_for(&mut self, text: &str) {
        let begun = Instant::now();
        while !self.screen().contains(text) {
            let screen = self.screen();
            assert!(begun.elapsed() < PATIENCE, "no \"{text}\" on the screen:\n{}", screen.trim_end());
            std::thread::sleep(Duration::from_millis(20));
        }
    }

    /// Types a line.
    pub fn type_line(&mut self, line: &str) {
        self.keyboard.write_all(format!("{line}\r").as_bytes()).expect("it can be typed into");
        self.keyboard.flush().expect("it can be typed into");
    }

    /// Waits for the program to end; answers its status.
    pub fn end(&mut self) -> u32 {
        let begun = Instant::now();
        loop {
            if let Some(status) = self.child.try_wait().expect("it can be waited for") {
                // What it wrote last may be on its way still.
                std::thread::sleep(Duration::from_millis(100));
                return status.exit_code();
            }
            assert!(begun.elapsed() < PATIENCE, "it does not end:\n{}", self.screen().trim_end());
            std::thread::sleep(Duration::from_millis(20));
        }
    }
}

impl Drop for Terminal {
    fn drop(&mut self) {
        // Gone already, if all went well.
        let _gone = self.child.kill();
    }
}
