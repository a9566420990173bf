//! The steps of a history. They speak of what is there by its turn ("the third ticket, counting round"), so that any
//! step makes sense after any other and a failing history can be made shorter.

use proptest::prelude::*;

use crate::facts::calendar::Day;
use crate::facts::record::{Party, ShareBy, Species, Stick, Task, Ticket, Work};
use crate::facts::wage_terms::WageTerms;
use crate::histories::hours::{Worked, wage_terms, worked};
use crate::histories::money::{MoneyStep, money};
use crate::histories::terms::{Knobs, knobs};
use crate::reckoning::volume::{DIAMETERS, LENGTHS, TOO_THIN};
use crate::service::outfit::{CREWS, WORKERS};

/// A ticket without its number; the day is so many days ago.
#[derive(Clone, Debug)]
pub struct Scaling {
    pub days_ago: i64,
    pub sticks: Vec<Stick>,
    /// Who felled: one crew, or two.
    pub felled_by: (usize, Option<(usize, Together)>),
    pub bucked: bool,
    /// Every second stick, or none.
    pub peeled: bool,
    pub turn: Option<Option<i64>>,
    pub skidded: bool,
    /// How the peelers helped to skid it, if they did.
    pub helped: Option<Together>,
    pub mill: Option<usize>,
}

/// How two crews divide a task.
#[derive(Clone, Copy, Debug)]
pub enum Together {
    /// The first does the first sticks, the second the rest.
    Apart,
    /// Both do all of it, in parts, in thousandths.
    AtAll(i64, i64),
    /// Both do the first sticks, in parts; the second does the rest alone.
    AtFirst(i64, i64),
}

/// How a ticket is corrected.
#[derive(Clone, Debug)]
pub enum Correction {
    /// By another.
    By(Scaling),
    /// By the same facts under another number: nothing changes but the paper.
    Copied,
    /// By another day, so many days away.
    Moved(i64),
    /// By nothing: it is void.
    Void,
}

#[derive(Clone, Debug)]
pub enum Step {
    Scale(Scaling),
    Correct {
        which: usize,
        how: Correction,
    },
    /// The same ticket is sent again, spelled otherwise.
    Repeat {
        which: usize,
    },
    /// Another ticket is sent under a number that is taken.
    Reuse {
        which: usize,
    },
    /// Shares are filed for a day so many days from today.
    Share {
        crew: usize,
        days_off: i64,
        by: ShareBy,
        shares: Vec<(usize, i64)>,
    },
    /// The crew's latest shares are filed again.
    ShareAgain {
        crew: usize,
    },
    Amend {
        contract: usize,
        days_off: i64,
        knobs: Knobs,
    },
    /// The contract's latest terms are filed again.
    AmendAgain {
        contract: usize,
    },
    Contract {
        party: Party,
        days_off: i64,
        knobs: Knobs,
    },
    SetAside {
        which: usize,
        whole: bool,
    },
    Time(Worked),
    /// Hours are corrected by others, by the same, or taken back.
    CorrectTime {
        which: usize,
        by: Option<Worked>,
        copied: bool,
    },
    /// Wage terms are filed for a day so many days from today.
    Wages {
        days_off: i64,
        terms: WageTerms,
    },
    Money(MoneyStep),
    MoveClock {
        hours: i64,
    },
    Settle(Settling),
}

/// A step that settles.
#[derive(Clone, Debug)]
pub enum Settling {
    /// The earliest open week is cleared of what is unpriced, drafted and posted.
    Promptly,
    /// A week is drafted and posted, whatever stands in the way; so many weeks past the earliest open one, and perhaps
    /// cleared of what is unpriced.
    Press { weeks_on: i64, cleared: bool },
    /// Two weeks go by, both are cleared, and the second is drafted and posted before the first.
    Skip,
    /// The earliest open week is cleared and drafted; then a ticket of its last day comes in; then the draft is posted.
    Interrupt(Scaling),
    /// A draft made some time ago, of a week that is over by now, is posted.
    PostOld { which: usize },
}

fn stick() -> impl Strategy<Value = Stick> {
    let species = || prop_oneof![3 => Just(Species::Pine), 1 => Just(Species::Hemlock)];
    let diameter = prop_oneof![30 => prop::sample::select(&DIAMETERS[..]), 2 => Just(TOO_THIN)];
    let cut = prop_oneof![6 => Just(0), 2 => 1..=6_i64, 1 => 7..=8_i64];
    let grade = prop_oneof![3 => Just(None), 3 => Just(Some("1")), 1 => Just(Some("2"))];
    let log = (species(), diameter, prop::sample::select(&LENGTHS[..]), cut, grade).prop_map(
        |(species, diameter, length, cut, grade)| Stick::Log { species, diameter, length, cut, grade },
    );
    let pole = (species(), 40..90_i64).prop_map(|(species, half_feet)| Stick::Pole { species, half_feet });
    let tie = (species(), 7..=10_i64, 6..=7_i64, prop::bool::weighted(0.2))
        .prop_map(|(species, width, thickness, refused)| Stick::Tie { species, width, thickness, refused });
    prop_oneof![8 => log, 1 => pole, 2 => tie]
}

pub fn scaling() -> BoxedStrategy<Scaling> {
    let felling_crew = || prop_oneof![4 => Just(0_usize), 4 => Just(1), 1 => Just(4)];
    let feet = prop_oneof![8 => (100..800_i64).prop_map(Some), 1 => Just(None)];
    let turn = prop_oneof![9 => feet.prop_map(Some), 1 => Just(None)];
    let mill = prop_oneof![2 => Just(None), 6 => Just(Some(0)), 1 => Just(Some(1))];
    let days_ago = prop_oneof![1 => Just(-1_i64), 12 => 0..=4_i64, 6 => 5..=18_i64];
    let sticks = prop::collection::vec(stick(), 1..5);
    let with = (felling_crew(), prop::option::weighted(0.4, (felling_crew(), together())));
    let done = (any::<bool>(), any::<bool>(), prop::bool::weighted(0.8));
    (days_ago, sticks, with, done, prop::option::weighted(0.3, together()), turn, mill)
        .prop_map(|(days_ago, sticks, felled_by, (bucked, peeled, skidded), helped, turn, mill)| Scaling {
            days_ago,
            sticks,
            felled_by,
            bucked,
            peeled,
            turn,
            skidded,
            helped,
            mill,
        })
        .boxed()
}

fn together() -> impl Strategy<Value = Together> {
    let parts = || prop_oneof![3 => Just(1000), 1 => Just(2000), 1 => Just(500), 2 => 1..3000_i64];
    prop_oneof![
        2 => Just(Together::Apart),
        2 => (parts(), parts()).prop_map(|(one, other)| Together::AtAll(one, other)),
        1 => (parts(), parts()).prop_map(|(one, other)| Together::AtFirst(one, other)),
    ]
}

pub fn share_by() -> impl Strategy<Value = ShareBy> {
    prop_oneof![3 => Just(ShareBy::Parts), 1 => Just(ShareBy::Equally), 2 => Just(ShareBy::Hours)]
}

/// Two or three of the workers, in any order, with parts of whole, half or odd size.
pub fn shares() -> impl Strategy<Value = Vec<(usize, i64)>> {
    let workers = prop::sample::subsequence((0..WORKERS).collect::<Vec<_>>(), 1..4).prop_shuffle();
    let parts = prop_oneof![Just(1000), Just(1000), Just(2000), Just(1500), Just(333), 1..4000_i64];
    (workers, prop::collection::vec(parts, 3))
        .prop_map(|(workers, parts)| workers.into_iter().zip(parts).collect())
}

/// A day in the last three weeks or, sometimes, in the next.
fn days_off() -> impl Strategy<Value = i64> {
    prop_oneof![3 => -20..=0_i64, 1 => 1..=7_i64]
}

fn settling() -> impl Strategy<Value = Settling> {
    prop_oneof![
        5 => Just(Settling::Promptly),
        5 => (0..=2_i64, any::<bool>()).prop_map(|(weeks_on, cleared)| Settling::Press { weeks_on, cleared }),
        2 => Just(Settling::Skip),
        2 => scaling().prop_map(Settling::Interrupt),
        4 => (0..1000_usize).prop_map(|which| Settling::PostOld { which }),
    ]
}

pub fn step() -> BoxedStrategy<Step> {
    let which = || 0..1000_usize;
    let party = prop_oneof![4 => Just(Party::Crew(4)), 4 => Just(Party::Mill(1)), 1 => Just(Party::Crew(0))];
    let how = prop_oneof![
        5 => scaling().prop_map(Correction::By),
        2 => Just(Correction::Copied),
        3 => (-9..=9_i64).prop_map(Correction::Moved),
        2 => Just(Correction::Void),
    ];
    prop_oneof![
        14 => scaling().prop_map(Step::Scale),
        7 => (which(), how).prop_map(|(which, how)| Step::Correct { which, how }),
        2 => which().prop_map(|which| Step::Repeat { which }),
        2 => which().prop_map(|which| Step::Reuse { which }),
        4 => (prop_oneof![0..CREWS, Just(4)], days_off(), share_by(), shares())
            .prop_map(|(crew, days_off, by, shares)| Step::Share { crew, days_off, by, shares }),
        1 => (0..CREWS).prop_map(|crew| Step::ShareAgain { crew }),
        3 => (which(), days_off(), knobs())
            .prop_map(|(contract, days_off, knobs)| Step::Amend { contract, days_off, knobs }),
        1 => which().prop_map(|contract| Step::AmendAgain { contract }),
        1 => (party, days_off(), knobs())
            .prop_map(|(party, days_off, knobs)| Step::Contract { party, days_off, knobs }),
        4 => (which(), any::<bool>()).prop_map(|(which, whole)| Step::SetAside { which, whole }),
        12 => worked().prop_map(Step::Time),
        6 => (which(), prop::option::weighted(0.7, worked()), prop::bool::weighted(0.2))
            .prop_map(|(which, by, copied)| Step::CorrectTime { which, by, copied }),
        3 => (days_off(), wage_terms()).prop_map(|(days_off, terms)| Step::Wages { days_off, terms }),
        28 => money().prop_map(Step::Money),
        8 => (10..=130_i64).prop_map(|hours| Step::MoveClock { hours }),
        18 => settling().prop_map(Step::Settle),
    ]
    .boxed()
}

impl Scaling {
    /// The ticket under a number, written today. No defect is longer than its log.
    pub fn ticket(&self, number: u32, today: Day) -> Ticket {
        let all: Vec<usize> = (1..=self.sticks.len()).collect();
        let mut done = match self.felled_by {
            (one, Some((other, how))) if one != other => how.work(Task::Felling, (one, other), &all),
            (one, _) => vec![alone(Task::Felling, one, &all, true)],
        };
        if self.bucked {
            done.push(alone(Task::Bucking, self.felled_by.0, &all, true));
        }
        if self.peeled {
            let seconds: Vec<usize> = all.iter().copied().step_by(2).collect();
            done.push(alone(Task::Peeling, 3, &seconds, false));
        }
        match self.helped {
            Some(how) if self.skidded => done.extend(how.work(Task::Skidding, (2, 3), &all)),
            _ if self.skidded => done.push(alone(Task::Skidding, 2, &all, true)),
            _ => {}
        }
        let day = Day((today.0 - self.days_ago).max(-1));
        let (turn, mill, sticks) = (self.turn, self.mill, self.sticks.clone());
        Ticket { number, day, work: done, turn, mill, sticks, corrects: None }
    }
}

/// Work without parts.
fn alone(task: Task, crew: usize, sticks: &[usize], is_rest: bool) -> Work {
    Work { task, crew, sticks: sticks.to_vec(), is_rest, parts: None }
}

impl Together {
    /// What two crews did of a task to all of these sticks.
    fn work(self, task: Task, (one, other): (usize, usize), all: &[usize]) -> Vec<Work> {
        let in_parts = |work: Work, parts| Work { parts: Some(parts), ..work };
        let (first, rest) = all.split_at(all.len() / 2);
        match self {
            Self::Apart if first.is_empty() => vec![alone(task, one, all, true)],
            Self::Apart => vec![alone(task, one, first, false), alone(task, other, rest, true)],
            Self::AtFirst(own, others) if !first.is_empty() => vec![
                in_parts(alone(task, one, first, false), own),
                in_parts(alone(task, other, first, false), others),
                alone(task, other, rest, true),
            ],
            Self::AtAll(own, others) | Self::AtFirst(own, others) => vec![
                in_parts(alone(task, one, all, true), own),
                in_parts(alone(task, other, all, true), others),
            ],
        }
    }
}
