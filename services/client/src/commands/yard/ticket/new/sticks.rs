//! Asking for the sticks. Each one is on the disk before the next is asked for.

use client::typing::{Context, read, written};
use scaling::Piece;
use wire::{Remark, TicketCreate};

use super::Ended;
use super::asking::Terminal;
use super::calling::{Call, HELP, call};
use super::draft::{Draft, Drafts};
use super::head::Head;
use super::known::Yard;
use super::showing;
use crate::commands::narrow;

/// How many sticks one ticket has at the most.
const MOST: usize = 2_000;

/// A ticket under way, and how it was before each change.
struct Entry<'a> {
    draft: &'a mut Draft,
    drafts: &'a Drafts,
    yard: &'a Yard,
    before: Vec<TicketCreate>,
}

/// Asks until the ticket is to be posted, or somebody leaves.
pub(crate) fn ask(
    draft: &mut Draft,
    drafts: &Drafts,
    yard: &Yard,
    terminal: &mut Terminal,
) -> anyhow::Result<Ended> {
    terminal.say(&format!(
        "{}, {}. h helps.",
        showing::name(&draft.ticket),
        showing::count(&draft.ticket)
    ))?;
    let mut entry = Entry { draft, drafts, yard, before: Vec::new() };
    loop {
        if let Some(last) = entry.ticket().pieces.last() {
            let like = written(last, entry.is_metric());
            let shown: String = format!("Enter: again {like}").chars().take(narrow::COLUMNS).collect();
            terminal.say(&shown)?;
        }
        let number = entry.ticket().pieces.len().saturating_add(1);
        let Some(line) = terminal.ask(&format!("{number}> "))? else { return Ok(Ended::Left) };
        if let Some(ended) = entry.answer(&line, terminal)? {
            return Ok(ended);
        }
    }
}

impl Entry<'_> {
    fn ticket(&self) -> &TicketCreate {
        &self.draft.ticket
    }

    fn is_metric(&self) -> bool {
        showing::is_metric(self.ticket(), self.yard)
    }

    /// Does what a line asks for.
    fn answer(&mut self, line: &str, terminal: &mut Terminal) -> anyhow::Result<Option<Ended>> {
        let sticks = self.ticket().pieces.len();
        let call = call(line, sticks);
        if let Call::Change(number, _) | Call::Drop(number) | Call::Working(number) = &call
            && !(1..=sticks).contains(number)
        {
            terminal.complain(&format!("There is no stick {number}: there are {sticks}."))?;
            return Ok(None);
        }
        match call {
            Call::Help => HELP.lines().try_for_each(|line| terminal.say(line))?,
            Call::Unclear(example) => terminal.complain(&format!("Type it as in {example}"))?,
            Call::List => self.say_all(showing::list(self.ticket(), self.yard), terminal)?,
            Call::Working(number) => {
                self.say_all(showing::working(self.ticket(), self.yard, number), terminal)?;
            }
            Call::Undo => self.undo(terminal)?,
            Call::Remarks(text) => self.remark(text, terminal)?,
            Call::Head => self.change_head(terminal)?,
            Call::Leave => return Ok(Some(Ended::Left)),
            Call::Post => return self.is_to_be_posted(terminal),
            Call::Repeat(times) => self.repeat(times, terminal)?,
            Call::Drop(number) => {
                let mut ticket = self.ticket().clone();
                let dropped = ticket.pieces.remove(number - 1);
                close_up(&mut ticket, number);
                self.keep(ticket)?;
                terminal.say(&format!(
                    "Dropped {number}. {}; u brings it back.",
                    written(&dropped, self.is_metric())
                ))?;
                self.say_totals(terminal)?;
            }
            Call::Change(number, anew) => self.change(number, anew, terminal)?,
            Call::Stick(line) => {
                let context = Context { before: self.ticket().pieces.last(), metric: self.is_metric() };
                match read(&line, &context) {
                    Ok(piece) => self.add(&piece, 1, terminal)?,
                    Err(misread) => terminal.complain(&misread.to_string())?,
                }
            }
        }
        Ok(None)
    }

    /// Keeps the ticket as it stands now; how it was can be brought back.
    fn keep(&mut self, ticket: TicketCreate) -> anyhow::Result<()> {
        let before = std::mem::replace(&mut self.draft.ticket, ticket);
        if let Err(error) = self.drafts.keep(self.draft) {
            self.draft.ticket = before;
            return Err(error);
        }
        self.before.push(before);
        Ok(())
    }

    fn add(&mut self, piece: &Piece, times: usize, terminal: &mut Terminal) -> anyhow::Result<()> {
        let first = self.ticket().pieces.len();
        if first.saturating_add(times) > MOST {
            return Ok(terminal.complain(&format!("A ticket has {MOST} sticks at the most: post this one."))?);
        }
        let mut ticket = self.ticket().clone();
        ticket.pieces.extend(std::iter::repeat_n(piece.clone(), times));
        self.keep(ticket)?;
        let last = first.saturating_add(times);
        if times > 1 {
            terminal.say(&format!("{} to {last}, all like this:", first.saturating_add(1)))?;
        }
        self.say_stick(last, terminal)?;
        self.say_totals(terminal)
    }

    fn repeat(&mut self, times: usize, terminal: &mut Terminal) -> anyhow::Result<()> {
        let last = self.ticket().pieces.last().cloned();
        match last {
            None => terminal.complain("There is no stick yet: type one, as in pine 14 16; h helps.")?,
            Some(_) if times == 0 => {}
            // A number is for one stick and not for the next.
            Some(piece) if piece.stick_number().is_some() => {
                terminal.complain("The last stick has a number of its own: type the next with its own.")?;
            }
            Some(piece) => self.add(&piece, times, terminal)?,
        }
        Ok(())
    }

    fn change(&mut self, number: usize, anew: Option<String>, terminal: &mut Terminal) -> anyhow::Result<()> {
        let metric = self.is_metric();
        let Some(piece) = self.ticket().pieces.get(number - 1).cloned() else { return Ok(()) };
        let mut typed = anew;
        loop {
            let line = match typed.take() {
                Some(line) => line,
                None => {
                    let begin = written(&piece, metric);
                    terminal.say(&format!("{number}. {begin}"))?;
                    let asked = terminal.ask_about(&format!("{number} (Enter keeps)> "), &begin)?;
                    match asked.filter(|line| !line.is_empty() && *line != begin) {
                        Some(line) => line,
                        None => return Ok(terminal.say("Kept as it was.")?),
                    }
                }
            };
            match read(&line, &Context { before: Some(&piece), metric }) {
                Ok(changed) => {
                    let mut ticket = self.ticket().clone();
                    ticket.pieces.get_mut(number - 1).into_iter().for_each(|place| *place = changed.clone());
                    self.keep(ticket)?;
                    self.say_stick(number, terminal)?;
                    return self.say_totals(terminal);
                }
                Err(misread) => terminal.complain(&misread.to_string())?,
            }
        }
    }

    fn undo(&mut self, terminal: &mut Terminal) -> anyhow::Result<()> {
        let Some(before) = self.before.pop() else {
            return Ok(terminal.complain("Nothing to undo since you began.")?);
        };
        let now = std::mem::replace(&mut self.draft.ticket, before);
        if let Err(error) = self.drafts.keep(self.draft) {
            self.before.push(std::mem::replace(&mut self.draft.ticket, now));
            return Err(error);
        }
        terminal.say("Undone.")?;
        self.say_totals(terminal)
    }

    fn remark(&mut self, text: Option<String>, terminal: &mut Terminal) -> anyhow::Result<()> {
        let known = self.ticket().remarks.as_ref().map_or("", |remarks| remarks.as_str()).to_owned();
        let asked = match text {
            Some(text) => Some(text),
            None => terminal.ask_about("remarks, - none> ", &known)?,
        };
        let Some(text) = asked.filter(|text| !text.is_empty()) else { return Ok(()) };
        let remarks = match text.as_str() {
            "-" => None,
            _ => match Remark::try_from(text) {
                Ok(remark) => Some(remark),
                Err(error) => return Ok(terminal.complain(&error.to_string())?),
            },
        };
        let ticket = TicketCreate { remarks, ..self.ticket().clone() };
        self.keep(ticket)?;
        terminal.say("Noted.")?;
        Ok(())
    }

    fn change_head(&mut self, terminal: &mut Terminal) -> anyhow::Result<()> {
        let mut head = Head::of(self.ticket());
        if !head.ask(self.yard, terminal)? {
            return Ok(terminal.say("The head stays as it was.")?);
        }
        let mut ticket = self.ticket().clone();
        head.put_on(&mut ticket)?;
        if ticket.job_id != self.ticket().job_id || ticket.scaled_on != self.ticket().scaled_on {
            terminal.say(
                "Volumes go by the practices of the job and day it was begun with, until it is posted.",
            )?;
        }
        self.keep(ticket)
    }

    fn is_to_be_posted(&self, terminal: &mut Terminal) -> anyhow::Result<Option<Ended>> {
        if self.ticket().pieces.is_empty() {
            terminal.complain("There is no stick on it yet. q leaves.")?;
            return Ok(None);
        }
        self.say_all(showing::whole(self.ticket(), self.yard), terminal)?;
        let answer = terminal.ask("y: post it; Enter: go on> ")?;
        Ok(answer.is_some_and(|answer| answer.eq_ignore_ascii_case("y")).then_some(Ended::Post))
    }

    fn say_all(&self, lines: Vec<String>, terminal: &mut Terminal) -> anyhow::Result<()> {
        if lines.is_empty() {
            terminal.say("There is no stick yet.")?;
        }
        lines.iter().try_for_each(|line| terminal.say(line))?;
        Ok(())
    }

    fn say_stick(&self, number: usize, terminal: &mut Terminal) -> anyhow::Result<()> {
        let lines = showing::stick(self.ticket(), self.yard, number);
        lines.iter().try_for_each(|line| terminal.say_loud(line))?;
        Ok(())
    }

    fn say_totals(&self, terminal: &mut Terminal) -> anyhow::Result<()> {
        let lines = showing::totals(self.ticket(), self.yard);
        lines.iter().try_for_each(|line| terminal.say(line))?;
        Ok(())
    }
}

/// Numbers the sticks of work that names some of them anew, after one was dropped. Work on that one alone is gone.
fn close_up(ticket: &mut TicketCreate, dropped: usize) {
    for pieces in ticket.work.iter_mut().filter_map(|entry| entry.pieces.as_mut()) {
        pieces.retain(|piece| usize::from(*piece) != dropped);
        for piece in pieces.iter_mut().filter(|piece| usize::from(**piece) > dropped) {
            *piece = piece.saturating_sub(1);
        }
    }
    ticket.work.retain(|entry| entry.pieces.as_ref().is_none_or(|pieces| !pieces.is_empty()));
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn work_on_some_sticks_follows_them() {
        let id = "0197a000-0000-7000-8000-000000000001";
        let mut ticket: TicketCreate = serde_json::from_value(serde_json::json!({
            "book": "A", "number": 1, "job_id": id, "landing_id": id, "scaled_on": "2031-06-03", "scaler": "Ida",
            "pieces": [], "work": [
                {"task": "felling", "crew_id": id, "pieces": [1, 2, 4]}, {"task": "peeling", "crew_id": id, "pieces": [2]},
                {"task": "hauling", "crew_id": id}]
        }))
        .unwrap();
        close_up(&mut ticket, 2);
        let pieces: Vec<_> = ticket.work.iter().map(|entry| entry.pieces.clone()).collect();
        assert_eq!(pieces, [Some(vec![1, 3]), None]);
    }
}
