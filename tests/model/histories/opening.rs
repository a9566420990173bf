//! What every history opens with: a few steps that bring about what chance rarely does.

use crate::facts::hours::TimeUse;
use crate::facts::record::{Party, ShareBy, Species, Stick, Task};
use crate::histories::carrying_out::first_knobs;
use crate::histories::hours::Worked;
use crate::histories::step::{Scaling, Settling, Step, Together};
use crate::histories::terms::Knobs;

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

pub fn opening() -> Vec<Step> {
    vec![
        // A crew and a mill without contracts, and a turn that counts for more than is on it.
        Step::Scale(a_log(4, 1)),
        // A contract that does not pay for time, with a crew that does not yet share.
        Step::Contract {
            party: Party::Crew(4),
            days_off: 0,
            knobs: Knobs { by_time: None, ..first_knobs() },
        },
        Step::Share { crew: 4, days_off: 0, by: ShareBy::Equally, shares: vec![(4, 1000), (2, 1000)] },
        Step::Time(Worked {
            days_ago: 0,
            worker: 0,
            hundredths: 900,
            what_for: TimeUse::Paid { crew: 4, task: Task::Felling },
            apart: None,
        }),
        Step::CorrectTime { which: 0, by: None, copied: false },
        Step::MoveClock { hours: 124 },
        Step::Settle(Settling::Press { weeks_on: 0, cleared: false }),
        Step::Settle(Settling::Interrupt(a_log(0, 0))),
    ]
}
