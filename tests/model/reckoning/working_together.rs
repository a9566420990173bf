//! Who did what to which sticks, and how much of it where crews worked together.

use std::collections::BTreeSet;

use crate::facts::record::{Party, Task, Ticket, Work};
use crate::reckoning::division::{Fraction, fraction};

/// What a party did of one task.
#[derive(Clone, Debug)]
pub struct Done {
    pub task: Task,
    /// Sticks, numbered from 1, and the party's part of each.
    pub sticks: Vec<(usize, Fraction)>,
    /// Its part of the turn as a whole.
    pub of_turn: Fraction,
}

/// What every party did; delivering everything is the mill's.
pub fn parties(ticket: &Ticket) -> Vec<(Party, Vec<Done>)> {
    let mut parties: Vec<(Party, Vec<Done>)> = Vec::new();
    for crew in crews(&ticket.work) {
        let mut done = Vec::new();
        for task in Task::ALL {
            done.extend(done_by(&ticket.work, crew, task));
        }
        parties.push((Party::Crew(crew), done));
    }
    if let Some(mill) = ticket.mill.filter(|_| !ticket.sticks.is_empty()) {
        let sticks = (1..=ticket.sticks.len()).map(|stick| (stick, whole())).collect();
        parties.push((Party::Mill(mill), vec![Done { task: Task::Delivery, sticks, of_turn: whole() }]));
    }
    parties
}

fn whole() -> Fraction {
    fraction(1, 1)
}

fn crews(work: &[Work]) -> BTreeSet<usize> {
    work.iter().filter(|work| !work.sticks.is_empty()).map(|work| work.crew).collect()
}

/// What a crew did of a task, if it did.
fn done_by(work: &[Work], crew: usize, task: Task) -> Option<Done> {
    let of_task: Vec<&Work> = work.iter().filter(|work| work.task == task).collect();
    let all: BTreeSet<usize> = of_task.iter().flat_map(|work| work.sticks.iter().copied()).collect();
    let mut sticks = Vec::new();
    for stick in &all {
        let parts = |of_crew: Option<usize>| -> i128 {
            let at_it = of_task.iter().filter(|work| work.sticks.contains(stick));
            let counted = at_it.filter(|work| of_crew.is_none_or(|crew| work.crew == crew));
            counted.map(|work| i128::from(work.parts.unwrap_or(1000))).sum()
        };
        let own = fraction(parts(Some(crew)), parts(None));
        if own > fraction(0, 1) {
            sticks.push((*stick, own));
        }
    }
    if sticks.is_empty() {
        return None;
    }
    // The turn falls to crews as the sticks on it do, each stick alike.
    let sum: Fraction = sticks.iter().map(|(_, own)| own).sum();
    let count = i128::try_from(all.len()).expect("sticks can be counted");
    Some(Done { task, sticks, of_turn: sum / fraction(count, 1) })
}

#[test]
fn a_stick_and_a_turn_fall_to_crews_by_their_parts() {
    let work = |crew, sticks: &[usize], parts| Work {
        task: Task::Skidding,
        crew,
        sticks: sticks.to_vec(),
        is_rest: false,
        parts,
    };
    let together = [work(0, &[1], Some(1000)), work(1, &[1], Some(2000)), work(1, &[2], None)];
    let one = done_by(&together, 0, Task::Skidding).expect("it did");
    let other = done_by(&together, 1, Task::Skidding).expect("it did");
    assert_eq!(one.sticks, [(1, fraction(1, 3))]);
    assert_eq!(other.sticks, [(1, fraction(2, 3)), (2, whole())]);
    assert_eq!((one.of_turn, other.of_turn), (fraction(1, 6), fraction(5, 6)));
    assert!(done_by(&together, 1, Task::Felling).is_none());
}
