//! What a part did and found.

/// What one part did and found.
#[derive(Debug)]
pub struct Report {
    /// The part, in words.
    pub title: &'static str,
    /// What was done and measured: what, and how much.
    pub rows: Vec<(String, String)>,
    /// What was lost, doubled, out of balance, or answered as it should not be. Empty is good.
    pub faults: Vec<String>,
}

impl Report {
    /// Nothing yet.
    pub const fn of(title: &'static str) -> Self {
        Self { title, rows: Vec::new(), faults: Vec::new() }
    }

    /// Something that was done or measured.
    pub fn row(&mut self, what: impl Into<String>, much: impl std::fmt::Display) {
        self.rows.push((what.into(), much.to_string()));
    }

    /// Something that must not be.
    pub fn fault(&mut self, says: impl Into<String>) {
        self.faults.push(says.into());
    }

    /// A fault unless it holds.
    pub fn require(&mut self, holds: bool, says: impl FnOnce() -> String) {
        if !holds {
            self.fault(says());
        }
    }

    /// As it is printed.
    pub fn print(&self) {
        /// More of one kind tell nothing new.
        const SHOWN: usize = 20;
        let verdict = match self.faults.len() {
            0 => "nothing lost, nothing doubled, in balance".to_owned(),
            count => format!("{count} FAULTS"),
        };
        println!("\n── {} ──\n", self.title);
        let width = self.rows.iter().map(|(what, _)| what.chars().count()).max().unwrap_or(0);
        for (what, much) in &self.rows {
            println!("  {what:<width$}  {much}");
        }
        println!("  {:<width$}  {verdict}", "found");
        for fault in self.faults.iter().take(SHOWN) {
            println!("    FAULT: {fault}");
        }
        if self.faults.len() > SHOWN {
            println!("    and {} more", self.faults.len() - SHOWN);
        }
    }
}
