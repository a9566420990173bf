//! Telling how an import goes: a bar on a terminal, a line now and then elsewhere, events for programs.

use std::io::IsTerminal;
use std::path::Path;
use std::time::{Duration, Instant};

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use serde_json::{Value, json};

use super::portion::Taken;
use super::progress::Progress;
use crate::commands::output;

/// How often a line is written where there is no terminal.
const NOW_AND_THEN: Duration = Duration::from_secs(10);

/// What the bar shows, within 60 columns.
const BAR: &str = "{bar:16} {pos}/{len} rows, {msg}";

/// How an import of one file is told of.
pub(super) struct Telling {
    file: String,
    rows: u64,
    json: bool,
    bar: Option<ProgressBar>,
    begun: Instant,
    begun_at: u64,
    told: Instant,
}

/// So many rows a second, and so many seconds that are left at that.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Pace {
    rows_a_second: u64,
    seconds_left: u64,
}

impl Pace {
    fn of(done: u64, left: u64, taken: Duration) -> Self {
        let milliseconds = taken.as_millis().max(1);
        let (done, left) = (u128::from(done), u128::from(left));
        let whole = |number: u128| u64::try_from(number).unwrap_or(u64::MAX);
        Self {
            rows_a_second: whole(done * 1000 / milliseconds),
            seconds_left: whole((left * milliseconds).checked_div(done * 1000).unwrap_or(0)),
        }
    }

    fn told(self) -> String {
        let (minutes, seconds) = (self.seconds_left / 60, self.seconds_left % 60);
        let left =
            if minutes == 0 { format!("{seconds} s") } else { format!("{minutes} min {seconds:02} s") };
        format!("{} a second, {left} left", self.rows_a_second)
    }
}

impl Telling {
    /// Of an import that begins, or goes on.
    pub(super) fn begin(file: &Path, rows: u64, json: bool) -> Self {
        let bar = (!json && std::io::stderr().is_terminal()).then(|| {
            let bar = ProgressBar::with_draw_target(Some(rows), ProgressDrawTarget::stderr());
            let style = ProgressStyle::with_template(BAR).unwrap_or_else(|_| ProgressStyle::default_bar());
            bar.set_style(style.progress_chars("=> "));
            bar
        });
        let now = Instant::now();
        let file = file.display().to_string();
        Self { file, rows, json, bar, begun: now, begun_at: 0, told: now }
    }

    /// That it begins at the beginning, or goes on at a row.
    pub(super) fn begun(&mut self, at: u64) -> std::io::Result<()> {
        self.begun_at = at;
        self.begun = Instant::now();
        let Self { file, rows, .. } = self;
        if self.json {
            return output::json_line(&json!({"event": "begun", "file": file, "rows": rows, "at_row": at}));
        }
        let on = if at == 0 { String::new() } else { format!("; it goes on after row {at}") };
        output::text(&format!("{file}: {rows} rows{on}\n"))
    }

    /// That a portion is done.
    pub(super) fn portion(&mut self, progress: &Progress, taken: &Taken<'_>) -> std::io::Result<()> {
        let done = progress.done.row;
        let left = self.rows.saturating_sub(done);
        let pace = Pace::of(done.saturating_sub(self.begun_at), left, self.begun.elapsed());
        if self.json {
            for one in &taken.refused {
                output::json_line(&json!({"event": "refused", "file": self.file, "row": one.found.row,
                                          "problem": one.problem}))?;
            }
            let mut event = self.sums("portion", progress);
            if let Value::Object(members) = &mut event {
                members.insert("rows_a_second".to_owned(), json!(pace.rows_a_second));
                members.insert("seconds_left".to_owned(), json!(pace.seconds_left));
            }
            return output::json_line(&event);
        }
        if let Some(bar) = &self.bar {
            bar.set_position(done);
            bar.set_message(pace.told());
        } else if self.told.elapsed() >= NOW_AND_THEN {
            self.told = Instant::now();
            output::text(&format!("{}: {done} of {} rows, {}\n", self.file, self.rows, pace.told()))?;
        }
        Ok(())
    }

    fn sums(&self, event: &str, progress: &Progress) -> Value {
        let Progress { done, accepted, replayed, refused, .. } = progress;
        json!({"event": event, "file": self.file, "rows": self.rows, "rows_done": done.row, "accepted": accepted,
               "there_already": replayed, "refused": refused})
    }

    /// That it ended: `finished`, `stopped` or `unreachable`.
    pub(super) fn ended(&self, event: &str, progress: &Progress) -> std::io::Result<()> {
        if let Some(bar) = &self.bar {
            bar.finish_and_clear();
        }
        let mut sums = self.sums(event, progress);
        let Progress { done, accepted, replayed, refused, refused_files, .. } = progress;
        let (rows, reasons) = (refused_files.rows.display(), refused_files.reasons.display());
        if self.json {
            if let (Value::Object(members), true) = (&mut sums, *refused > 0) {
                members.insert("refused_rows".to_owned(), json!(rows.to_string()));
                members.insert("refused_reasons".to_owned(), json!(reasons.to_string()));
            }
            return output::json_line(&sums);
        }
        let mut says = format!(
            "{}: {accepted} tickets accepted, {replayed} there already, {refused} refused\n",
            self.file
        );
        if *refused > 0 {
            says.push_str(&format!(
                "  The refused rows are in {rows}, the reasons in {reasons}.\n  Mend them there, and import {rows}.\n"
            ));
        }
        if event != "finished" {
            says.push_str(&format!(
                "  Stopped after row {} of {}. Import the same file again: it goes on from there.\n",
                done.row, self.rows
            ));
        }
        output::text(&says)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_pace_tells_rate_and_time_left() {
        let pace = Pace::of(500, 1500, Duration::from_secs(10));
        assert_eq!(pace, Pace { rows_a_second: 50, seconds_left: 30 });
        assert_eq!(pace.told(), "50 a second, 30 s left");
        assert_eq!(
            Pace::of(1, 1_000_000, Duration::from_millis(100)).told(),
            "10 a second, 1666 min 40 s left"
        );
        assert_eq!(Pace::of(0, 10, Duration::ZERO), Pace { rows_a_second: 0, seconds_left: 0 });
    }
}
