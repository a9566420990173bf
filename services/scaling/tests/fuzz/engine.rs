//! The engine: any practice with any piece, and any direct request, held to the law.

use std::cell::Cell;

use proptest::prelude::*;
use scaling::{Alternation, DirectRequest, Piece, Practice, direct, scale_in_turn};

use crate::law;
use crate::pieces::piece;
use crate::practices::practice;
use crate::requests::request;
use crate::running::run;

/// Counts how often something was tried and how often it came to something, so that a target whose inputs are all
/// refused does not pass for one that found nothing.
#[derive(Default)]
struct Tally {
    tried: Cell<u64>,
    reached: Cell<u64>,
}

impl Tally {
    fn count(&self, reached: bool) {
        self.tried.set(self.tried.get() + 1);
        self.reached.set(self.reached.get() + u64::from(reached));
    }

    /// At least one in so many came to something.
    fn at_least_one_in(&self, share: u64) {
        let (tried, reached) = (self.tried.get(), self.reached.get());
        println!("{reached} of {tried} were scaled");
        assert!(reached * share >= tried, "{reached} of {tried}");
    }
}

#[test]
fn pieces_under_practices() {
    let inputs = (practice(), prop::collection::vec(piece(), 1..6), 0_u32..3);
    let tally = Tally::default();
    run("pieces_under_practices", 1_500, &inputs, |(practice, pieces, halves)| {
        let Ok(practice) = serde_json::from_value::<Practice>(practice) else {
            tally.count(false);
            return Ok(());
        };
        law::there_and_back(&practice)?;
        let mut place = Alternation::after(halves);
        for piece in pieces {
            let piece = serde_json::from_value::<Piece>(piece);
            let Ok(piece) = piece else {
                tally.count(false);
                continue;
            };
            law::there_and_back(&piece)?;
            law::of_a_piece(&practice, &piece, place)?;
            tally.count(scale_in_turn(&practice, &piece, &mut place).is_ok());
        }
        Ok(())
    });
    tally.at_least_one_in(5);
}

#[test]
fn requests() {
    let tally = Tally::default();
    run("requests", 1_500, &request(), |request| {
        let Ok(request) = serde_json::from_value::<DirectRequest>(request) else {
            tally.count(false);
            return Ok(());
        };
        law::there_and_back(&request)?;
        law::of_a_request(&request)?;
        tally.count(direct(&request).is_ok());
        Ok(())
    });
    tally.at_least_one_in(5);
}
