//! Steps carried out: each is turned into facts by what is there at the time.

use crate::facts::calendar::Day;
use crate::facts::record::{Party, SetAside, ShareBy, ShareSet, Species, Stick, Ticket};
use crate::facts::wage_terms::WageTerms;
use crate::histories::history::{Checked, History};
use crate::histories::step::{Correction, Step};
use crate::histories::terms::{Knobs, terms};
use crate::reckoning::earning::Unpriced;

/// The earliest day that anything is filed for.
pub const EARLIEST: i64 = -1;

/// The clock of a history stops here, four weeks on; what comes after is for clearing up.
pub const LATEST: Day = Day(27);

/// One of so many, counting round; none of none.
pub fn turn_of(which: usize, count: usize) -> Option<usize> {
    (count > 0).then(|| which % count)
}

/// The number after the highest in the book.
pub fn next_number(history: &History) -> u32 {
    history.record.tickets.iter().map(|ticket| ticket.number).max().unwrap_or(0) + 1
}

/// What the first terms are made from.
pub fn first_knobs() -> Knobs {
    Knobs {
        price: 100_100,
        other_price: 87_500,
        net: false,
        cut: Some(12),
        gap: false,
        others: true,
        says_of_cull: None,
        on_top: (true, false, true),
        by_time: Some(true),
        holdback: None,
    }
}

impl History {
    /// What every history begins with: five contracts and their crews' shares, not all of them from the first day.
    pub fn furnish(&mut self) -> Checked {
        let knobs = first_knobs();
        let parties = [Party::Crew(0), Party::Crew(1), Party::Crew(2), Party::Crew(3), Party::Mill(0)];
        for (contract, party) in parties.into_iter().enumerate() {
            let from = Day(if party == Party::Crew(3) { 1 } else { EARLIEST });
            let knobs = match party {
                Party::Crew(1) => Knobs { gap: true, by_time: Some(false), ..knobs },
                Party::Crew(3) => Knobs { net: true, cut: None, ..knobs },
                _ => knobs,
            };
            self.contract(party, &terms(contract, party, from, knobs))?;
        }
        self.wage_terms(&WageTerms {
            from: Day(EARLIEST),
            guarantee: Some(6_000),
            minimum: Some(7_250),
            rest_apart: true,
            overtime_after: Some(800),
            to_the_cent: false,
        })?;
        let members: [&[(usize, i64)]; 4] = [
            &[(0, 1000), (1, 1000), (2, 1000)],
            &[(3, 2000), (0, 1000)],
            &[(2, 1000)],
            &[(4, 1500), (1, 333)],
        ];
        for (crew, shares) in members.into_iter().enumerate() {
            self.share_set(&ShareSet {
                crew,
                from: Day(EARLIEST),
                by: if crew == 1 { ShareBy::Hours } else { ShareBy::Parts },
                shares: shares.to_vec(),
            })?;
        }
        Ok(())
    }

    /// Carries a step out; one that has nothing to work on does nothing.
    pub fn carry_out(&mut self, step: &Step) -> Checked {
        match step {
            Step::Scale(scaling) => {
                let ticket = scaling.ticket(next_number(self), self.today());
                self.ticket(&ticket, false)?;
                // Mostly the hours of its day are known by then.
                if ticket.number.is_multiple_of(6) { Ok(()) } else { self.have_piece_hours(LATEST) }
            }
            Step::Correct { which, how } => {
                self.correct(*which, how)?;
                if which.is_multiple_of(4) { Ok(()) } else { self.have_piece_hours(LATEST) }
            }
            Step::Repeat { which } => match turn_of(*which, self.record.tickets.len()) {
                Some(which) => self.ticket(&self.record.tickets[which].clone(), true),
                None => Ok(()),
            },
            Step::Reuse { which } => self.reuse(*which),
            Step::Share { crew, days_off, by, shares } => {
                let from = self.day_off(*days_off);
                self.share_set(&ShareSet { crew: *crew, from, by: *by, shares: shares.clone() })
            }
            Step::ShareAgain { crew } => {
                let latest = self.record.share_sets.iter().rfind(|set| set.crew == *crew).cloned();
                latest.map_or(Ok(()), |set| self.share_set(&set))
            }
            Step::Amend { contract, days_off, knobs } => {
                match turn_of(*contract, self.record.contracts.len()) {
                    Some(contract) => {
                        let party = self.record.contracts[contract];
                        self.terms(&terms(contract, party, self.day_off(*days_off), *knobs))
                    }
                    None => Ok(()),
                }
            }
            Step::AmendAgain { contract } => {
                let latest = turn_of(*contract, self.record.contracts.len()).and_then(|contract| {
                    self.record.terms.iter().rfind(|terms| terms.contract == contract).cloned()
                });
                latest.map_or(Ok(()), |terms| self.terms(&terms))
            }
            Step::Contract { party, days_off, knobs } => {
                let place = self.record.contracts.len();
                self.contract(*party, &terms(place, *party, self.day_off(*days_off), *knobs))
            }
            Step::SetAside { which, whole } => self.set_one_aside(*which, *whole),
            Step::Time(worked) => self.work(worked),
            Step::CorrectTime { which, by, copied } => self.correct_time(*which, by.as_ref(), *copied),
            Step::Wages { days_off, terms } => {
                self.wage_terms(&WageTerms { from: self.day_off(*days_off), ..terms.clone() })
            }
            Step::Money(step) => self.move_money(step),
            Step::MoveClock { hours } => {
                self.move_clock((self.hour + hours).min(LATEST.0 * 24));
                Ok(())
            }
            Step::Settle(settling) => self.settle(settling),
        }
    }

    fn day_off(&self, days_off: i64) -> Day {
        Day((self.today().0 + days_off).max(EARLIEST))
    }

    fn correct(&mut self, which: usize, how: &Correction) -> Checked {
        let Some(which) = turn_of(which, self.record.tickets.len()) else { return Ok(()) };
        let (wrong, number) = (self.record.tickets[which].clone(), next_number(self));
        let right = match how {
            Correction::By(scaling) => scaling.ticket(number, self.today()),
            Correction::Copied => wrong.clone(),
            Correction::Moved(days) => {
                Ticket { day: Day((wrong.day.0 + days).max(EARLIEST)), ..wrong.clone() }
            }
            Correction::Void => Ticket { work: Vec::new(), turn: None, sticks: Vec::new(), ..wrong.clone() },
        };
        self.ticket(&Ticket { number, corrects: Some(wrong.number), ..right }, false)
    }

    /// Another ticket under a number that is taken: with one more stick, or as a correction of something else.
    fn reuse(&mut self, which: usize) -> Checked {
        let Some(place) = turn_of(which, self.record.tickets.len()) else { return Ok(()) };
        let mut other = self.record.tickets[place].clone();
        if which.is_multiple_of(2) {
            other.sticks.push(Stick::Pole { species: Species::Hemlock, half_feet: 60 });
        } else if other.corrects.take().is_none() {
            other.corrects = self.record.tickets.first().map(|ticket| ticket.number);
        }
        self.ticket(&other, true)
    }

    /// Sets a task aside whole, or for one stick: rather one of several, so that the others stay in the way.
    fn set_one_aside(&mut self, which: usize, whole: bool) -> Checked {
        let unpriced: Vec<Unpriced> = self.reckoning().unpriced.into_iter().collect();
        let same_task =
            |one: &Unpriced, other: &Unpriced| one.ticket == other.ticket && one.task == other.task;
        let several = |one: &&Unpriced| unpriced.iter().filter(|other| same_task(one, other)).count() > 1;
        let rather: Vec<&Unpriced> = unpriced.iter().filter(several).collect();
        let among = if whole || rather.is_empty() { unpriced.iter().collect() } else { rather };
        let Some(which) = turn_of(which, among.len()) else { return Ok(()) };
        let one = among[which];
        let stick = if whole { None } else { one.stick };
        self.set_aside(&SetAside { ticket: one.ticket, task: one.task, stick })
    }
}

/// Where a history goes wrong, and by what.
pub fn run(steps: &[Step], start: i64) -> Checked<History> {
    let mut history = History::new(start);
    history.furnish()?;
    for (at, step) in steps.iter().enumerate() {
        let told = |what: String| format!("at step {}, {step:?}:\n  {what}", at + 1);
        history.carry_out(step).map_err(told)?;
        history.compare(at).map_err(told)?;
    }
    history.finish().map_err(|what| format!("at the end:\n  {what}"))?;
    Ok(history)
}
