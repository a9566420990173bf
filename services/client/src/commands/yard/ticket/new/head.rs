//! The head of a ticket: proposed from the last one, taken with one Enter, changed line by line.

use anyhow::Context;
use jiff::Timestamp;
use jiff::civil::Date;
use kernel::{CrewId, Fixed, JobId, LandingId, MillId};
use settlement::Task;
use wire::{Name, TicketCreate, TurnFacts, WorkEntry};

use super::asking::{Chosen, Terminal};
use super::known::Yard;

/// The head as far as it is known.
#[derive(Clone, Debug)]
pub(crate) struct Head {
    book: Option<Name>,
    number: Option<u32>,
    job: Option<JobId>,
    landing: Option<LandingId>,
    day: Date,
    scaler: Option<Name>,
    work: Option<Vec<WorkEntry>>,
    turn: Option<TurnFacts>,
    delivered_to: Option<MillId>,
}

/// How many lines of the head can be changed.
const LINES: usize = 8;

impl Head {
    /// As the last ticket, with the next number of its book, on this day.
    pub(crate) fn proposed(yard: &Yard, today: Date) -> Self {
        let Some(last) = &yard.last else {
            return Self {
                book: None,
                number: None,
                job: None,
                landing: None,
                day: today,
                scaler: None,
                work: None,
                turn: None,
                delivered_to: None,
            };
        };
        let number = yard.last_number(last.book.as_str()).checked_add(1);
        Self { number, day: today, ..Self::of(last) }
    }

    /// The head of a ticket.
    pub(crate) fn of(ticket: &TicketCreate) -> Self {
        Self {
            book: Some(ticket.book.clone()),
            number: Some(ticket.number),
            job: Some(ticket.job_id),
            landing: Some(ticket.landing_id),
            day: ticket.scaled_on,
            scaler: Some(ticket.scaler.clone()),
            work: Some(ticket.work.clone()),
            turn: ticket.turn.clone(),
            delivered_to: ticket.delivered_to,
        }
    }

    /// A ticket with this head and no sticks.
    pub(crate) fn ticket(&self, measured_at: Timestamp) -> anyhow::Result<TicketCreate> {
        let missing = "a line of the head is missing";
        Ok(TicketCreate {
            book: self.book.clone().context(missing)?,
            number: self.number.context(missing)?,
            job_id: self.job.context(missing)?,
            landing_id: self.landing.context(missing)?,
            scaled_on: self.day,
            scaler: self.scaler.clone().context(missing)?,
            work: self.work.clone().unwrap_or_default(),
            turn: self.turn.clone(),
            delivered_to: self.delivered_to,
            pieces: Vec::new(),
            remarks: None,
            measured_at: Some(measured_at),
            sent_at: None,
        })
    }

    /// Puts this head on a ticket.
    pub(crate) fn put_on(&self, ticket: &mut TicketCreate) -> anyhow::Result<()> {
        let measured_at = ticket.measured_at;
        let pieces = std::mem::take(&mut ticket.pieces);
        let remarks = ticket.remarks.take();
        *ticket = TicketCreate { pieces, remarks, measured_at, ..self.ticket(Timestamp::UNIX_EPOCH)? };
        Ok(())
    }

    /// What each line is called, and what it says.
    pub(crate) fn lines(&self, yard: &Yard) -> Vec<(&'static str, String)> {
        let or_none = |text: Option<String>| text.unwrap_or_else(|| "none".to_owned());
        let book = self.book.as_ref().map(Name::as_str).unwrap_or_default();
        let number = self.number.map(|number| number.to_string()).unwrap_or_default();
        vec![
            ("book", format!("{book} {number}")),
            ("job", or_none(self.job.map(|job| yard.job_name(job)))),
            ("landing", or_none(self.landing.map(|landing| yard.landing_name(landing)))),
            ("day", self.day.to_string()),
            ("scaler", or_none(self.scaler.as_ref().map(|name| name.as_str().to_owned()))),
            (
                "work",
                or_none(self.work.as_ref().filter(|work| !work.is_empty()).map(|work| of_work(work, yard))),
            ),
            ("turn", or_none(self.turn.as_ref().map(of_turn))),
            ("delivered to", or_none(self.delivered_to.map(|mill| yard.mill_name(mill)))),
        ]
    }

    /// Asks for what is missing, and then whether all of it is right. False when somebody leaves.
    pub(crate) fn ask(&mut self, yard: &Yard, terminal: &mut Terminal) -> anyhow::Result<bool> {
        let first_time = self.work.is_none();
        for line in 0..LINES {
            if self.is_missing(line, first_time) && !self.change(line, yard, terminal)? {
                return Ok(false);
            }
        }
        loop {
            for (number, (what, says)) in (1..).zip(self.lines(yard)) {
                terminal.say(&format!("{number} {what}: {says}"))?;
            }
            let Some(answer) = terminal.ask("Enter: right; a number: change it> ")? else { return Ok(false) };
            match answer.as_str() {
                "" => return Ok(true),
                "q" => return Ok(false),
                number => match number.parse::<usize>().ok().filter(|line| (1..=LINES).contains(line)) {
                    Some(line) => {
                        if !self.change(line - 1, yard, terminal)? {
                            return Ok(false);
                        }
                    }
                    None => terminal.complain("Type Enter, or a number from 1 to 8; q leaves.")?,
                },
            }
        }
    }

    /// Whether a line has to be asked for: what is not known, and the first time all that can be said.
    fn is_missing(&self, line: usize, first_time: bool) -> bool {
        match line {
            0 => self.book.is_none() || self.number.is_none(),
            1 => self.job.is_none(),
            2 => self.landing.is_none(),
            4 => self.scaler.is_none(),
            _ => first_time,
        }
    }

    /// Asks for one line anew. False when somebody leaves.
    fn change(&mut self, line: usize, yard: &Yard, terminal: &mut Terminal) -> anyhow::Result<bool> {
        match line {
            0 => self.ask_book(yard, terminal),
            1 => {
                let names: Vec<_> = yard.jobs().iter().map(|job| job.name.as_str()).collect();
                anyhow::ensure!(!names.is_empty(), "the outfit has no job yet: the office files one");
                let known = self.job.and_then(|job| yard.jobs().iter().position(|known| known.job_id == job));
                let Some(Chosen::One(at)) = terminal.choose("job", &names, known.or(Some(0)), false)? else {
                    return Ok(false);
                };
                let job = yard.jobs().get(at);
                if job.map(|job| job.job_id) != self.job {
                    self.landing = None;
                }
                self.job = job.map(|job| job.job_id);
                if self.landing.is_none() { self.ask_landing(yard, terminal) } else { Ok(true) }
            }
            2 => self.ask_landing(yard, terminal),
            3 => self.ask_day(terminal),
            4 => ask_name("scaler", self.scaler.as_ref(), terminal).map(|name| {
                let given = name.is_some();
                self.scaler = name.or_else(|| self.scaler.take());
                given
            }),
            5 => self.ask_work(yard, terminal),
            6 => self.ask_turn(terminal),
            _ => {
                let names: Vec<_> = yard.mills().iter().map(|mill| mill.name.as_str()).collect();
                let is_known = |mill: MillId| yard.mills().iter().position(|known| known.mill_id == mill);
                let known = self.delivered_to.and_then(is_known);
                if names.is_empty() {
                    return Ok(true);
                }
                let Some(chosen) = terminal.choose("delivered to", &names, known, true)? else {
                    return Ok(false);
                };
                self.delivered_to = match chosen {
                    Chosen::One(at) => yard.mills().get(at).map(|mill| mill.mill_id),
                    Chosen::None => None,
                };
                Ok(true)
            }
        }
    }

    fn ask_book(&mut self, yard: &Yard, terminal: &mut Terminal) -> anyhow::Result<bool> {
        let Some(book) = ask_name("book", self.book.as_ref(), terminal)? else { return Ok(false) };
        let same = self.book.as_ref() == Some(&book);
        let next = yard.last_number(book.as_str()).checked_add(1);
        let proposed = self.number.filter(|_| same).or(next).unwrap_or(1);
        self.book = Some(book);
        loop {
            let Some(answer) = terminal.ask(&format!("number [{proposed}]> "))? else { return Ok(false) };
            match if answer.is_empty() { Ok(proposed) } else { answer.parse() } {
                Ok(number) if number > 0 => {
                    self.number = Some(number);
                    return Ok(true);
                }
                _ => terminal.complain("Type the number on the sheet, from 1.")?,
            }
        }
    }

    fn ask_landing(&mut self, yard: &Yard, terminal: &mut Terminal) -> anyhow::Result<bool> {
        let job = yard.jobs().iter().find(|job| Some(job.job_id) == self.job);
        let landings = job.map(|job| job.landings.as_slice()).unwrap_or_default();
        anyhow::ensure!(!landings.is_empty(), "the job has no landing yet: the office files one");
        let names: Vec<_> = landings.iter().map(|landing| landing.name.as_str()).collect();
        let known = landings.iter().position(|known| Some(known.landing_id) == self.landing);
        let Some(Chosen::One(at)) = terminal.choose("landing", &names, known.or(Some(0)), false)? else {
            return Ok(false);
        };
        self.landing = landings.get(at).map(|landing| landing.landing_id);
        Ok(true)
    }

    fn ask_day(&mut self, terminal: &mut Terminal) -> anyhow::Result<bool> {
        loop {
            let Some(answer) = terminal.ask(&format!("day [{}]> ", self.day))? else { return Ok(false) };
            if answer.is_empty() {
                return Ok(true);
            }
            match answer.parse() {
                Ok(day) => {
                    self.day = day;
                    return Ok(true);
                }
                Err(_) => terminal.complain("Type year, month and day, as in 2031-06-09.")?,
            }
        }
    }

    fn ask_work(&mut self, yard: &Yard, terminal: &mut Terminal) -> anyhow::Result<bool> {
        let names: Vec<_> = yard.crews().iter().map(|crew| crew.name.as_str()).collect();
        let mut work = Vec::new();
        for task in Task::ALL.into_iter().filter(|task| *task != Task::Delivery && !names.is_empty()) {
            let before =
                self.work.iter().flatten().find(|entry| entry.task == task).map(|entry| entry.crew_id);
            let is_known = |crew: CrewId| yard.crews().iter().position(|known| known.crew_id == crew);
            let known = before.and_then(is_known);
            match terminal.choose(&format!("{} by", task.name()), &names, known, true)? {
                None => return Ok(false),
                Some(Chosen::None) => {}
                Some(Chosen::One(at)) => work.extend(yard.crews().get(at).map(|crew| WorkEntry {
                    task,
                    crew_id: crew.crew_id,
                    pieces: None,
                    parts: None,
                })),
            }
        }
        self.work = Some(work);
        Ok(true)
    }

    fn ask_turn(&mut self, terminal: &mut Terminal) -> anyhow::Result<bool> {
        let known = self.turn.clone();
        let by = known.as_ref().and_then(|turn| turn.moved_by.as_ref()).map_or("", |by| by.as_str());
        let Some(moved_by) = ask_text("moved by, - no turn", by, terminal)? else { return Ok(false) };
        if moved_by == "-" || (moved_by.is_empty() && by.is_empty()) {
            self.turn = None;
            return Ok(true);
        }
        let skidded = known.as_ref().and_then(|turn| turn.skid_distance_ft);
        let Some(skid_distance_ft) = ask_distance("feet skidded", skidded, terminal)? else {
            return Ok(false);
        };
        let hauled = known.as_ref().and_then(|turn| turn.haul_distance_mi);
        let Some(haul_distance_mi) = ask_distance("miles hauled", hauled, terminal)? else {
            return Ok(false);
        };
        let moved_by = Name::try_from(moved_by).ok();
        self.turn = Some(TurnFacts { moved_by, skid_distance_ft, haul_distance_mi });
        Ok(true)
    }
}

fn of_work(work: &[WorkEntry], yard: &Yard) -> String {
    let entry = |entry: &WorkEntry| {
        let some =
            entry.pieces.as_ref().map(|pieces| format!(" ({} sticks)", pieces.len())).unwrap_or_default();
        format!("{} {}{some}", entry.task.name(), yard.crew_name(entry.crew_id))
    };
    work.iter().map(entry).collect::<Vec<_>>().join("; ")
}

fn of_turn(turn: &TurnFacts) -> String {
    let mut said: Vec<_> = turn.moved_by.iter().map(|by| by.as_str().to_owned()).collect();
    said.extend(turn.skid_distance_ft.map(|feet| format!("{feet} ft skidded")));
    said.extend(turn.haul_distance_mi.map(|miles| format!("{miles} miles hauled")));
    if said.is_empty() { "yes".to_owned() } else { said.join(", ") }
}

/// Asks for a text; Enter takes the one in brackets.
fn ask_text(what: &str, known: &str, terminal: &mut Terminal) -> anyhow::Result<Option<String>> {
    let brackets = if known.is_empty() { String::new() } else { format!(" [{known}]") };
    let answer = terminal.ask(&format!("{what}{brackets}> "))?;
    Ok(answer.map(|answer| if answer.is_empty() { known.to_owned() } else { answer }))
}

fn ask_name(what: &str, known: Option<&Name>, terminal: &mut Terminal) -> anyhow::Result<Option<Name>> {
    loop {
        let Some(answer) = ask_text(what, known.map_or("", Name::as_str), terminal)? else { return Ok(None) };
        match Name::try_from(answer) {
            Ok(name) => return Ok(Some(name)),
            Err(error) => terminal.complain(&format!("{what}: {error}"))?,
        }
    }
}

fn ask_distance(
    what: &str,
    known: Option<Fixed>,
    terminal: &mut Terminal,
) -> anyhow::Result<Option<Option<Fixed>>> {
    let shown = known.map(|known| known.to_string()).unwrap_or_default();
    loop {
        let Some(answer) = ask_text(&format!("{what}, - none"), &shown, terminal)? else { return Ok(None) };
        if answer.is_empty() || answer == "-" {
            return Ok(Some(None));
        }
        match answer.parse::<Fixed>() {
            Ok(distance) if !distance.is_negative() => return Ok(Some(Some(distance))),
            _ => terminal.complain("Type a number, as in 300 or 2.5, or - for none.")?,
        }
    }
}
