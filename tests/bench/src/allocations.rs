//! Scaling without the working asks for no memory: counted, not timed.

use std::hint::black_box;

use allocation_counter::measure;
use scaling::{Piece, Practice, scale, scale_without_working};

use crate::logs::{RULES, Wood, logs, practice};

/// The reason why a log is cull is a text, and so is a grade: whoever gets one gets memory. All other logs are scaled
/// without.
#[test]
fn scaling_without_the_working_asks_for_no_memory() {
    for rule in RULES {
        let practice = practice(rule).unwrap();
        for wood in [Wood::Sound, Wood::Defective] {
            let mut scaled = 0;
            for log in logs(wood).unwrap() {
                let mut cull = true;
                let asked = measure(|| cull = is_cull(&practice, &log));
                if !cull {
                    assert_eq!(asked.count_total, 0, "{rule}: {log:?}");
                    scaled += 1;
                }
            }
            assert!(scaled > crate::logs::COUNT * 9 / 10, "{rule}: only {scaled} logs were not cull");
        }
    }
}

fn is_cull(practice: &Practice, log: &Piece) -> bool {
    scale_without_working(practice, log).unwrap().cull.is_some()
}

/// That the counter counts at all.
#[test]
fn the_working_is_made_of_memory() {
    let practice = practice(RULES[0]).unwrap();
    let log = logs(Wood::Sound).unwrap().remove(0);
    assert!(measure(|| drop(scale(&practice, &log))).count_total > 10);
}

/// The words of the working wait until they are read: each line is written then and once.
#[test]
fn a_line_is_written_when_it_is_read() {
    for rule in RULES {
        let practice = practice(rule).unwrap();
        for log in logs(Wood::Sound).unwrap() {
            let scaled = scale(&practice, &log).unwrap();
            let read = || scaled.working.iter().map(|step| step.says.len()).sum::<usize>();
            let first = measure(|| {
                black_box(read());
            });
            let steps = u64::try_from(scaled.working.len()).unwrap();
            assert!(first.count_total >= steps, "{rule}: {log:?}");
            let again = measure(|| {
                black_box(read());
            });
            assert_eq!(again.count_total, 0, "{rule}: {log:?}");
        }
    }
}
