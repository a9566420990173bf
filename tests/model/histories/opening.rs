//! What every history opens with: a few steps that bring about what chance rarely does.

use crate::facts::calendar::Day;
use crate::facts::hours::TimeUse;
use crate::facts::money::{Advance, Charge, Holdback, Recovery};
use crate::facts::record::{Party, ShareBy, Species, Stick, Task};
use crate::histories::carrying_out::first_knobs;
use crate::histories::hours::Worked;
use crate::histories::money::MoneyStep;
use crate::histories::step::{Correction, Scaling, Settling, Step, Together};
use crate::histories::terms::Knobs;
use crate::reckoning::volume::TOO_THIN;

/// A short log, felled by one crew and skidded by two, and nothing else.
fn a_log(felled_by: usize, mill: usize) -> Scaling {
    Scaling {
        days_ago: 0,
        sticks: vec![Stick::Log {
            species: Species::Pine,
            diameter: 12,
            length: 8,
            cut: 0,
            grade: Some("1"),
        }],
        felled_by: (felled_by, None),
        bucked: false,
        peeled: false,
        turn: Some(Some(300)),
        skidded: true,
        helped: Some(Together::AtAll(1000, 2000)),
        mill: Some(mill),
    }
}

/// What most rates cannot price: a log too thin for the rule, a tie of no class, and no turn to skid it by.
fn misfits() -> Scaling {
    let thin = Stick::Log { species: Species::Pine, diameter: TOO_THIN, length: 16, cut: 0, grade: None };
    let small = Stick::Tie { species: Species::Hemlock, width: 7, thickness: 6, refused: false };
    Scaling { sticks: vec![thin, small], bucked: true, turn: None, helped: None, ..a_log(1, 0) }
}

fn worked(worker: usize, hundredths: i64, what_for: TimeUse) -> Step {
    Step::Time(Worked { days_ago: 0, worker, hundredths, what_for, apart: None })
}

fn charge(worker: usize, cents: i64) -> Step {
    let (dated, is_board, most_a_week) = (Day(0), false, None);
    let charge = Charge { worker, dated, is_board, cents, most_a_week, cuts_into_minimum: false };
    Step::Money(MoneyStep::Charge { days_ago: 0, charge })
}

fn board(worker: usize, cents: i64) -> Step {
    let (dated, is_board, most_a_week) = (Day(0), true, None);
    let charge = Charge { worker, dated, is_board, cents, most_a_week, cuts_into_minimum: true };
    Step::Money(MoneyStep::Charge { days_ago: 0, charge })
}

fn advance(worker: usize, cents: i64, recovery: Recovery) -> Step {
    let advance = Advance { worker, dated: Day(0), cents, recovery };
    Step::Money(MoneyStep::Advance { days_ago: 0, advance })
}

/// Work that is not paid yet, and money that is to be kept back.
fn what_is_filed() -> Vec<Step> {
    let holdback = Some(Holdback { percent: 2_000, cap: Some(20) });
    vec![
        // A crew and a mill without contracts, and a turn of no known distance that counts for more than is on it.
        Step::Scale(Scaling { turn: Some(None), ..a_log(4, 1) }),
        // A contract that does not pay for time, with a crew that does not yet share.
        Step::Contract {
            party: Party::Crew(4),
            days_off: 0,
            knobs: Knobs { by_time: None, ..first_knobs() },
        },
        Step::Share { crew: 4, days_off: 0, by: ShareBy::Equally, shares: vec![(4, 1000), (2, 1000)] },
        worked(0, 900, TimeUse::Paid { crew: 4, task: Task::Felling }),
        Step::CorrectTime { which: 0, by: None, copied: false },
        Step::CorrectTime { which: 0, by: None, copied: false },
        worked(3, 400, TimeUse::Rest),
        worked(3, 2400, TimeUse::PieceWork),
        Step::Scale(misfits()),
        Step::Amend { contract: 0, days_off: -20, knobs: Knobs { holdback, ..first_knobs() } },
        charge(0, 200),
        charge(1, 50),
        charge(2, 200),
        // Board cuts into what the minimum protects of a day's wage, and leaves nothing above it for tools.
        worked(0, 800, TimeUse::Paid { crew: 0, task: Task::Felling }),
        board(0, 400),
        charge(0, 300),
        advance(0, 3, Recovery::Whole),
        advance(1, 300, Recovery::MostAWeek(200)),
    ]
}

/// The first week is posted, and what it paid and kept back is taken back.
fn what_is_taken_back() -> Vec<Step> {
    vec![
        Step::Settle(Settling::Promptly),
        Step::Money(MoneyStep::Reverse { which: 0 }),
        Step::Money(MoneyStep::Reverse { which: 5 }),
        Step::Money(MoneyStep::Reverse { which: 0 }),
        Step::Money(MoneyStep::Release { which: 0, hundredths: 300 }),
        Step::Correct { which: 2, how: Correction::Void },
    ]
}

pub fn opening() -> Vec<Step> {
    let between = vec![
        Step::MoveClock { hours: 124 },
        Step::Settle(Settling::Press { weeks_on: 0, cleared: false }),
        Step::Settle(Settling::Interrupt(a_log(0, 0))),
    ];
    [what_is_filed(), between, what_is_taken_back()].concat()
}
