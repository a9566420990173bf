//! Steps that settle: weeks cleared, drafted, posted, and the end of every history.

use std::collections::{BTreeMap, BTreeSet};

use serde_json::json;

use crate::facts::calendar::Day;
use crate::facts::record::{SetAside, ShareBy, ShareSet, Ticket};
use crate::histories::carrying_out::{EARLIEST, LATEST, next_number, turn_of};
use crate::histories::history::{Checked, History, same};
use crate::histories::step::Settling;
use crate::reckoning::earning::Payee;
use crate::reckoning::ledger::{earned_up_to, without_zeros};
use crate::service::outfit::{CREWS, WORKERS, list, text};
use crate::service::reading;

impl History {
    /// Carries out a step that settles.
    pub fn settle(&mut self, step: &Settling) -> Checked {
        match step {
            Settling::Promptly => {
                let week = self.cleared_week()?;
                self.press(week)
            }
            Settling::Skip => {
                let second = Day(self.earliest_open_week().0 + 7);
                let over = (second.0 + 1).min(LATEST.0) * 24;
                self.move_clock(self.hour.max(over));
                self.set_all_aside(second)?;
                self.have_everybody_share(second)?;
                self.have_hours(second)?;
                self.press(second)
            }
            Settling::Interrupt(scaling) => {
                let week = self.cleared_week()?;
                let draft = self.draft(week)?;
                let late = scaling.ticket(next_number(self), self.today());
                self.ticket(&Ticket { day: week.min(self.today()), ..late }, false)?;
                draft.map_or(Ok(()), |draft| self.post(draft).map(|_| ()))
            }
            Settling::Press { weeks_on, cleared } => {
                let week = Day(self.earliest_open_week().0 + weeks_on * 7);
                if *cleared {
                    self.set_all_aside(week)?;
                }
                self.press(week)
            }
            Settling::PostOld { which } => {
                let today = self.today();
                let over = (0..self.drafts.len()).filter(|draft| self.drafts[*draft].week < today);
                let over: Vec<usize> = over.collect();
                match turn_of(*which, over.len()) {
                    Some(which) => self.post(over[which]).map(|_| ()),
                    None => Ok(()),
                }
            }
        }
    }

    /// The week after the latest posted one, or the first.
    pub fn earliest_open_week(&self) -> Day {
        self.ledger.latest.map_or(Day(EARLIEST).week_end(), |latest| Day(latest.0 + 7))
    }

    /// The earliest open week, with nothing in the way of its posting if it is over.
    fn cleared_week(&mut self) -> Checked<Day> {
        let week = self.earliest_open_week();
        if week < self.today() {
            self.set_all_aside(week)?;
            self.have_everybody_share(week)?;
            self.have_hours(week)?;
        }
        Ok(week)
    }

    fn set_all_aside(&mut self, week: Day) -> Checked {
        // Crews that worked together lack a price together, and one decision is for both.
        let mut decided = BTreeSet::new();
        for one in self.reckoning().unpriced.into_iter().filter(|one| one.day <= week) {
            if decided.insert((one.ticket, one.task, one.stick)) {
                self.set_aside(&SetAside { ticket: one.ticket, task: one.task, stick: one.stick })?;
            }
        }
        Ok(())
    }

    /// Files shares for crews that have none for the first days; later ones go on holding for theirs.
    fn have_everybody_share(&mut self, week: Day) -> Checked {
        if self.reckoning().unshared.iter().any(|day| *day <= week) {
            for crew in 0..CREWS {
                if self.record.shares_on(crew, Day(EARLIEST)).is_none() {
                    let shares = vec![(crew % WORKERS, 1000), (0, 500)];
                    let shares = if crew == 0 { vec![(0, 1000)] } else { shares };
                    self.share_set(&ShareSet { crew, from: Day(EARLIEST), by: ShareBy::Parts, shares })?;
                }
            }
        }
        Ok(())
    }

    /// Drafts a week and posts it, whatever may come of it; twice if it can be posted.
    fn press(&mut self, week: Day) -> Checked {
        if let Some(draft) = self.draft(week)?
            && self.post(draft)?
        {
            self.post(draft)?;
        }
        Ok(())
    }

    /// Clears and posts every week, after which nothing may be left to pay.
    pub fn finish(&mut self) -> Checked {
        const LAST: Day = Day(40);
        self.move_clock(LAST.0 * 24);
        while self.earliest_open_week() < LAST {
            let open = self.earliest_open_week();
            self.settle(&Settling::Promptly)?;
            if self.earliest_open_week() == open {
                return Err(format!("the week that ends on {open} cannot be closed"));
            }
        }
        self.compare(0)?;
        same("what is left to pay", &Vec::new(), &self.ledger.lines(&self.reckoning(), LAST))?;
        let nothing = self.pays(&self.reckoning(), &[], LAST);
        same("what is left to add", &Vec::new(), &nothing)?;
        self.computed_again()?;
        tests::pieces_sum_to_lines(&self.outfit.bookkeeper);
        self.statements_chain()
    }

    /// Every posted week, computed again from the measured facts with the editions of its time, is what was posted,
    /// whatever was filed and corrected since.
    pub fn computed_again(&mut self) -> Checked {
        let listed = self.outfit.bookkeeper.get("/v1/settlements?posted=true&limit=500").expect(200);
        for settlement in list(&listed, "items") {
            let path = format!("/v1/settlements/{}/rederivation", text(settlement, "settlement_id"));
            let again = self.outfit.bookkeeper.get(&path).expect(200);
            same(
                "differences of a week computed again",
                &Vec::new().as_slice(),
                &list(&again, "differences"),
            )?;
            same("a week computed again", &json!(true), &again["agrees"])?;
            self.meet("computed again");
        }
        Ok(())
    }

    /// Every payee's statements, one after the other: each opens with what the last one closed with, and together they
    /// pay what the record comes to.
    fn statements_chain(&mut self) -> Checked {
        let listed = self.outfit.bookkeeper.get("/v1/statements?limit=500").expect(200);
        let mut closed = BTreeMap::new();
        let mut paid: BTreeMap<Payee, i64> = BTreeMap::new();
        for statement in reading::statements(&self.outfit, &listed) {
            let opening = closed.insert(statement.payee, statement.closing).unwrap_or(0);
            same("a statement opens as the last one closed", &opening, &statement.opening)?;
            *paid.entry(statement.payee).or_default() += statement.earned + statement.added;
            same(
                "a statement foots",
                &statement.closing,
                &(statement.opening + statement.moved + statement.earned + statement.added
                    - statement.kept_back),
            )?;
        }
        let earned = earned_up_to(&self.record, &self.reckoning(), self.today());
        same("what all statements pay", &earned, &without_zeros(paid))
    }
}
