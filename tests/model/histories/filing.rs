//! What is filed, on both sides at once: predicted, sent, and taken into the record when it was accepted.

use serde_json::json;
use wire::Code;

use crate::facts::hours::{TimeEntry, TimeUse};
use crate::facts::record::{Party, SetAside, ShareSet, Terms, Ticket};
use crate::facts::wage_terms::WageTerms;
use crate::histories::history::{Checked, History, same};
use crate::service::forms;
use crate::service::outfit::text;

/// The hours of a day, in hundredths.
pub const DAY: i64 = 2400;

impl History {
    /// Posts a ticket, or corrects another by it.
    pub fn ticket(&mut self, ticket: &Ticket, spelled_out: bool) -> Checked {
        let predicted = self.predicted_for(ticket);
        let form = forms::ticket(&self.outfit, ticket, spelled_out);
        let reply = match ticket.corrects {
            None => self.outfit.bookkeeper.post("/v1/tickets", &form),
            Some(wrong) => {
                let path = format!("/v1/tickets/{}/corrections", self.outfit.tickets[&wrong]);
                let reason = format!("{wrong} was read wrong");
                self.outfit.bookkeeper.post(&path, &json!({"reason": reason, "ticket": form}))
            }
        };
        if self.answered(&reply, predicted)? {
            self.outfit.tickets.insert(ticket.number, text(&reply.body, "ticket_id"));
            self.record.tickets.push(ticket.clone());
        }
        Ok(())
    }

    fn predicted_for(&self, ticket: &Ticket) -> Result<u16, Code> {
        if ticket.day > self.today() || (ticket.sticks.is_empty() && ticket.corrects.is_none()) {
            return Err(Code::TicketInconsistent);
        }
        match self.record.ticket(ticket.number) {
            Some(accepted) if accepted == ticket => Ok(200),
            Some(_) => Err(Code::TicketDiffers),
            None if ticket.corrects.is_some_and(|wrong| self.record.is_corrected(wrong)) => {
                Err(Code::TicketCorrected)
            }
            None => Ok(201),
        }
    }

    pub fn share_set(&mut self, set: &ShareSet) -> Checked {
        let form = forms::share_set(&self.outfit, set);
        let path = format!("/v1/crews/{}/share-sets", self.outfit.crews[set.crew]);
        let reply = self.outfit.bookkeeper.post(&path, &form);
        self.answered(&reply, Ok(201))?;
        self.outfit.share_sets.push(text(&reply.body, "share_set_id"));
        self.record.share_sets.push(set.clone());
        Ok(())
    }

    /// Files a contract with its first terms; the terms' place for the contract is its own.
    pub fn contract(&mut self, party: Party, first: &Terms) -> Checked {
        let form = forms::contract(&self.outfit, party, first);
        let reply = self.outfit.bookkeeper.post("/v1/contracts", &form);
        let known = self.record.contract_with(party).is_some();
        let predicted = if known { Err(Code::PartyHasContract) } else { Ok(201) };
        if self.answered(&reply, predicted)? {
            self.outfit.contracts.push(text(&reply.body, "contract_id"));
            self.outfit.terms.push(text(&reply.body["terms"][0], "terms_id"));
            self.record.contracts.push(party);
            self.record.terms.push(first.clone());
        }
        Ok(())
    }

    pub fn terms(&mut self, terms: &Terms) -> Checked {
        let form = forms::terms(terms);
        let path = format!("/v1/contracts/{}/terms", self.outfit.contracts[terms.contract]);
        let reply = self.outfit.bookkeeper.post(&path, &form);
        self.answered(&reply, Ok(201))?;
        self.outfit.terms.push(text(&reply.body["terms"], "terms_id"));
        self.record.terms.push(terms.clone());
        let place = self.record.terms.len() - 1;
        let party = self.record.contracts[terms.contract];
        let falls_under = |ticket: &&Ticket| {
            let works = match party {
                Party::Crew(crew) => ticket.work.iter().any(|work| work.crew == crew),
                Party::Mill(mill) => ticket.mill == Some(mill) && !ticket.sticks.is_empty(),
            };
            works
                && !self.record.is_corrected(ticket.number)
                && self.record.terms_on(terms.contract, ticket.day) == Some(place)
        };
        let again = self.record.tickets.iter().filter(falls_under).count();
        same("tickets worked out again", &json!(again), &reply.body["tickets_worked_out_again"])
    }

    pub fn set_aside(&mut self, aside: &SetAside) -> Checked {
        let form = forms::set_aside(aside);
        let path = format!("/v1/tickets/{}/set-asides", self.outfit.tickets[&aside.ticket]);
        let reply = self.outfit.bookkeeper.post(&path, &form);
        self.answered(&reply, Ok(201))?;
        self.record.set_asides.push(aside.clone());
        Ok(())
    }

    pub fn wage_terms(&mut self, terms: &WageTerms) -> Checked {
        let reply = self.outfit.bookkeeper.post("/v1/wage-terms", &forms::wage_terms(terms));
        self.answered(&reply, Ok(201))?;
        self.record.wage_terms.push(terms.clone());
        Ok(())
    }

    /// Files hours, or corrects others by them.
    pub fn time(&mut self, entry: &TimeEntry) -> Checked {
        let predicted = self.predicted_for_time(entry);
        let form = forms::time(&self.outfit, entry);
        let reply = self.outfit.bookkeeper.post("/v1/time-entries", &form);
        if self.answered(&reply, predicted)? {
            self.outfit.time.push(text(&reply.body, "time_entry_id"));
            self.record.time.push(entry.clone());
        }
        Ok(())
    }

    fn predicted_for_time(&self, entry: &TimeEntry) -> Result<u16, Code> {
        if entry.day > self.today() {
            return Err(Code::TimeInconsistent);
        }
        if entry.corrects.is_some_and(|wrong| self.record.time_corrected_by(wrong).is_some()) {
            return Err(Code::TimeCorrected);
        }
        let Some(hundredths) = entry.hundredths else { return Ok(201) };
        if let TimeUse::Paid { crew, .. } = entry.what_for {
            let set = self.record.shares_on(crew, entry.day).map(|set| &self.record.share_sets[set]);
            if !set.is_some_and(|set| set.shares.iter().any(|(worker, _)| *worker == entry.worker)) {
                return Err(Code::TimeInconsistent);
            }
        }
        let mut on_day = self.record.hours(entry.worker, entry.day, entry.day).all() + hundredths;
        for (place, other, replaced) in self.record.standing_time() {
            if Some(place) == entry.corrects && (other.worker, other.day) == (entry.worker, entry.day) {
                on_day -= replaced;
            }
        }
        if on_day > DAY { Err(Code::TimeInconsistent) } else { Ok(201) }
    }
}
