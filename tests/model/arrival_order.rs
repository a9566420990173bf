//! The same facts in another order of arrival: everybody ends with the same pay.

use std::collections::{BTreeMap, BTreeSet};

use proptest::collection::vec;
use proptest::prelude::*;

use crate::facts::calendar::Day;
use crate::facts::hours::{TimeEntry, TimeUse};
use crate::facts::record::{Party, ShareBy, ShareSet, Task, Ticket};
use crate::facts::wage_terms::WageTerms;
use crate::histories::history::{Checked, History, same};
use crate::histories::hours::{Worked, wage_terms, worked};
use crate::histories::seed::Runs;
use crate::histories::step::{Scaling, Settling, scaling, share_by, shares};
use crate::histories::terms::{Knobs, knobs, terms};
use crate::reckoning::earning::Payee;
use crate::service::outfit::CREWS;

/// Something that becomes known some day. A ticket's number is its place among the facts, from 1.
#[derive(Clone, Debug)]
enum Fact {
    /// A ticket of a day; one that corrects an earlier fact, if that is a ticket, and perhaps voids it.
    Ticket {
        day: i64,
        scaling: Scaling,
        corrects: Option<usize>,
        is_void: bool,
    },
    Share {
        crew: usize,
        from: i64,
        by: ShareBy,
        shares: Vec<(usize, i64)>,
    },
    Time {
        day: i64,
        worked: Worked,
    },
    Wages {
        from: i64,
        terms: WageTerms,
    },
    Amend {
        contract: usize,
        from: i64,
        knobs: Knobs,
    },
    Contract {
        party: Party,
        from: i64,
        knobs: Knobs,
    },
}

/// A fact, and two numbers that say when it may arrive.
type Arriving = (Fact, i64, i64);

/// The last day that anything is scaled or arrives.
const LAST: i64 = 20;

fn fact() -> BoxedStrategy<Fact> {
    let days = || 2..=LAST;
    let corrects = prop::option::weighted(0.35, 0..100_usize);
    let party = prop_oneof![Just(Party::Crew(4)), Just(Party::Mill(1))];
    prop_oneof![
        12 => (0..=LAST, scaling(), corrects, prop::bool::weighted(0.2))
            .prop_map(|(day, scaling, corrects, is_void)| Fact::Ticket { day, scaling, corrects, is_void }),
        3 => (0..CREWS, days(), share_by(), shares()).prop_map(|(crew, from, by, shares)| share(crew, from, by, shares)),
        6 => (0..=LAST, worked()).prop_map(|(day, worked)| time(day, worked)),
        1 => (days(), wage_terms()).prop_map(|(from, terms)| Fact::Wages { from, terms }),
        3 => (0..5_usize, days(), knobs()).prop_map(|(contract, from, knobs)| Fact::Amend { contract, from, knobs }),
        1 => (party, days(), knobs()).prop_map(|(party, from, knobs)| Fact::Contract { party, from, knobs }),
    ]
    .boxed()
}

/// The first worker has hours every day and belongs to the first crew whatever else is filed. So that crew alone may
/// share by hours, and he alone is paid for time: otherwise what is filed first would by right decide what is refused.
fn share(crew: usize, from: i64, by: ShareBy, mut shares: Vec<(usize, i64)>) -> Fact {
    if crew == 0 && shares.iter().all(|(worker, _)| *worker != 0) {
        shares.push((0, 1000));
    }
    let by = if by == ShareBy::Hours && crew != 0 { ShareBy::Equally } else { by };
    Fact::Share { crew, from, by, shares }
}

fn time(day: i64, worked: Worked) -> Fact {
    let what_for = match (worked.worker, worked.what_for) {
        (0, _) => TimeUse::Paid { crew: 0, task: Task::Bucking },
        (_, TimeUse::Paid { .. }) => TimeUse::PieceWork,
        (_, other) => other,
    };
    Fact::Time { day, worked: Worked { what_for, hundredths: worked.hundredths.min(1600), ..worked } }
}

fn arriving() -> impl Strategy<Value = Vec<Arriving>> {
    vec((fact(), 0..=LAST, 0..=LAST), 25..36)
}

/// Which ticket each fact corrects, by place: none is corrected twice. Of two filings for one day the later one holds,
/// and a party has one contract; so facts that would depend on the order by right are left out.
fn untangled(facts: &[Arriving]) -> Vec<(usize, Arriving, Option<usize>)> {
    let mut filed: BTreeSet<(char, usize, i64)> = BTreeSet::new();
    let mut corrected: BTreeSet<usize> = BTreeSet::new();
    let mut kept: Vec<(usize, Arriving, Option<usize>)> = Vec::new();
    for (place, arriving) in facts.iter().enumerate() {
        let mut target = None;
        let stays = match &arriving.0 {
            Fact::Ticket { corrects: None, .. } => true,
            Fact::Ticket { corrects: Some(which), .. } => {
                let open = kept.iter().filter(|(place, (fact, ..), _)| {
                    matches!(fact, Fact::Ticket { .. }) && !corrected.contains(place)
                });
                let open: Vec<usize> = open.map(|(place, ..)| *place).collect();
                target = (!open.is_empty()).then(|| open[which % open.len()]);
                target.is_some_and(|target| corrected.insert(target))
            }
            Fact::Share { crew, from, .. } => filed.insert(('s', *crew, *from)),
            Fact::Wages { from, .. } => filed.insert(('w', 0, *from)),
            Fact::Time { day, worked } => filed.insert(('h', worked.worker, *day)),
            Fact::Amend { contract, from, .. } => filed.insert(('t', *contract, *from)),
            Fact::Contract { party: Party::Crew(crew), .. } => filed.insert(('c', *crew, 0)),
            Fact::Contract { party: Party::Mill(mill), .. } => filed.insert(('m', *mill, 0)),
        };
        if stays {
            kept.push((place, arriving.clone(), target));
        }
    }
    kept
}

/// In which way the facts arrive.
#[derive(Clone, Copy, Debug)]
enum Arrival {
    /// On their own day, each week posted as soon as it is over.
    Prompt,
    /// Some days late, in any order, each week posted as soon as it is over.
    Late,
    /// All on the last day, in any order, and only then is anything posted.
    Last,
}

/// The day on which each fact arrives, and the order within the day.
fn schedule(kept: &[(usize, Arriving, Option<usize>)], arrival: Arrival) -> Vec<(i64, i64, usize)> {
    let mut schedule: Vec<(i64, i64, usize)> = Vec::new();
    for (fact, delay, order) in kept.iter().map(|(_, arriving, _)| arriving) {
        let own = match fact {
            Fact::Ticket { day, .. } | Fact::Time { day, .. } => *day,
            Fact::Share { .. } | Fact::Wages { .. } | Fact::Amend { .. } | Fact::Contract { .. } => 0,
        };
        let (day, order) = match arrival {
            Arrival::Prompt => (own, 0),
            Arrival::Late => (own.max(*delay), *order),
            Arrival::Last => (LAST, LAST - *order),
        };
        schedule.push((day, order, schedule.len()));
    }
    // A correction comes after what it corrects.
    for (at, (.., target)) in kept.iter().enumerate() {
        if let Some(target) = target.and_then(|target| kept.iter().position(|(place, ..)| *place == target)) {
            let (day, order, _) = schedule[target];
            let own = schedule[at];
            schedule[at] = if (own.0, own.1) <= (day, order) { (own.0.max(day), order + 1, at) } else { own };
        }
    }
    schedule.sort_unstable();
    schedule
}

fn arrive(history: &mut History, place: usize, fact: &Fact, target: Option<usize>) -> Checked {
    let number = |place: usize| u32::try_from(place + 1).expect("a ticket's number");
    match fact {
        Fact::Ticket { day, scaling, is_void, .. } => {
            let mut ticket = scaling.ticket(number(place), Day(*day));
            ticket.day = Day(*day);
            ticket.corrects = target.map(number);
            if *is_void && target.is_some() {
                ticket = Ticket { work: Vec::new(), turn: None, sticks: Vec::new(), ..ticket };
            }
            history.ticket(&ticket, false)
        }
        Fact::Share { crew, from, by, shares } => {
            history.share_set(&ShareSet { crew: *crew, from: Day(*from), by: *by, shares: shares.clone() })
        }
        Fact::Wages { from, terms } => history.wage_terms(&WageTerms { from: Day(*from), ..terms.clone() }),
        Fact::Time { day, worked } => {
            history.time(&TimeEntry { day: Day(*day), ..worked.entry(history.today()) })
        }
        Fact::Amend { contract, from, knobs } => {
            let party = history.record.contracts[*contract];
            let (by_time, holdback) = (knobs.by_time.or(Some(true)), None);
            history.terms(&terms(*contract, party, Day(*from), Knobs { by_time, holdback, ..*knobs }))
        }
        Fact::Contract { party, from, knobs } => {
            let contract = history.record.contracts.len();
            let knobs = Knobs { holdback: None, ..*knobs };
            history.contract(*party, &terms(contract, *party, Day(*from), knobs))
        }
    }
}

/// The first worker's day.
fn file_hours(history: &mut History, day: Day) -> Checked {
    let (hundredths, what_for) = (Some(800), TimeUse::PieceWork);
    history.time(&TimeEntry { worker: 0, day, hundredths, what_for, corrects: None })
}

/// Lets the facts arrive, settles everything, and answers with what everybody was settled by the journal.
fn settled(facts: &[Arriving], arrival: Arrival) -> Checked<BTreeMap<Payee, i64>> {
    let kept = untangled(facts);
    let mut history = History::new(12);
    history.furnish()?;
    history.share_set(&ShareSet {
        crew: 4,
        from: Day(-1),
        by: ShareBy::Equally,
        shares: vec![(1, 1000), (4, 1000)],
    })?;
    // Who shares by hours of others that come in late is asked of random histories.
    let by_parts = history.record.share_sets[1].clone();
    history.share_set(&ShareSet { by: ShareBy::Parts, ..by_parts })?;
    for day in [Day(-1), Day(0)] {
        file_hours(&mut history, day)?;
    }
    for (day, _, at) in schedule(&kept, arrival) {
        while history.today() < Day(day) {
            history.move_clock(history.hour + 24);
            let today = history.today();
            file_hours(&mut history, today)?;
            let weeks_end = history.earliest_open_week() < history.today();
            if weeks_end && !matches!(arrival, Arrival::Last) {
                history.settle(&Settling::Promptly)?;
            }
        }
        let (place, (fact, ..), target) = &kept[at];
        arrive(&mut history, *place, fact, *target)?;
    }
    history.finish()?;
    Ok(history.journal.balances(&history.outfit))
}

/// Everything on its day, everything late and out of order, everything on the last day: the same pay.
#[test]
fn the_order_of_arrival_does_not_change_the_pay() {
    let runs = Runs::asked_for("the_order_of_arrival_does_not_change_the_pay", 2, 1);
    runs.hold(&arriving(), |facts| {
        let prompt = settled(facts, Arrival::Prompt).map_err(|what| format!("promptly: {what}"))?;
        let late = settled(facts, Arrival::Late).map_err(|what| format!("late: {what}"))?;
        let last = settled(facts, Arrival::Last).map_err(|what| format!("on the last day: {what}"))?;
        same("settled, having come late instead of promptly", &prompt, &late)?;
        same("settled, having come on the last day instead of promptly", &prompt, &last)?;
        if prompt.is_empty() && facts.len() > 20 {
            return Err("nobody earned anything".to_owned());
        }
        Ok(())
    });
}
