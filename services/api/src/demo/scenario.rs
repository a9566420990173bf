//! The invented scenario, read from the files beside this one. People, crews and places go by their names there.

use std::collections::BTreeMap;

use jiff::civil::Date;
use kernel::Fixed;
use scaling::{Piece, Practice};
use serde::Deserialize;
use settlement::{Rate, Rates, Task};
use wire::{Name, OutfitCreate, Remark, TurnFacts};

/// The outfit with everything it files before the first ticket.
#[derive(Debug, Deserialize)]
pub(super) struct Scenario {
    pub(super) note: String,
    pub(super) outfit: OutfitCreate,
    pub(super) job: Name,
    pub(super) landings: Vec<Name>,
    pub(super) mill: Name,
    pub(super) workers: Vec<Name>,
    pub(super) crews: Vec<Crew>,
    pub(super) effective_from: Date,
    pub(super) contracts: Vec<Contract>,
    pub(super) better_terms: BetterTerms,
}

/// A crew and how it divides its pay.
#[derive(Debug, Deserialize)]
pub(super) struct Crew {
    pub(super) name: Name,
    pub(super) shares: Vec<(Name, Fixed)>,
}

/// A contract with a crew or the mill.
#[derive(Debug, Deserialize)]
pub(super) struct Contract {
    pub(super) title: Name,
    pub(super) party: Name,
    pub(super) practice: Practice,
    pub(super) rates: Rates,
}

/// A rate that was forgotten at first.
#[derive(Debug, Deserialize)]
pub(super) struct BetterTerms {
    pub(super) party: Name,
    pub(super) rate: Rate,
}

/// A ticket.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Ticket {
    pub(super) book: Name,
    pub(super) number: u32,
    pub(super) scaled_on: Date,
    pub(super) landing: Name,
    pub(super) work: BTreeMap<Task, Name>,
    pub(super) turn: TurnFacts,
    #[serde(default)]
    pub(super) delivered: bool,
    #[serde(default)]
    pub(super) remarks: Option<Remark>,
    pub(super) pieces: Vec<Piece>,
}

/// A correction of an earlier ticket.
#[derive(Debug, Deserialize)]
pub(super) struct Correction {
    pub(super) reason: Remark,
    pub(super) of: Place,
    pub(super) ticket: Ticket,
}

/// A ticket's place in the scale books.
#[derive(Debug, Deserialize)]
pub(super) struct Place {
    pub(super) book: Name,
    pub(super) number: u32,
}

/// Reads the outfit.
pub(super) fn outfit() -> anyhow::Result<Scenario> {
    Ok(serde_json::from_str(include_str!("outfit.json"))?)
}

/// Reads the tickets of the first week.
pub(super) fn first_week() -> anyhow::Result<Vec<Ticket>> {
    tickets(include_str!("first_week.jsonl"))
}

/// Reads the tickets of the second week; the last one belongs to the first and is late.
pub(super) fn second_week() -> anyhow::Result<Vec<Ticket>> {
    tickets(include_str!("second_week.jsonl"))
}

/// Reads the correction.
pub(super) fn correction() -> anyhow::Result<Correction> {
    Ok(serde_json::from_str(include_str!("correction.json"))?)
}

fn tickets(lines: &str) -> anyhow::Result<Vec<Ticket>> {
    lines.lines().map(|line| Ok(serde_json::from_str(line)?)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_scenario_says_that_it_is_invented_and_holds_what_it_promises() {
        let scenario = outfit().unwrap();
        assert!(scenario.note.contains("invented") && scenario.outfit.name.as_str().contains("invented"));
        assert_eq!(scenario.crews.len(), 5);
        let tickets = first_week().unwrap().len() + second_week().unwrap().len() + 1;
        assert_eq!(tickets, 30);
        assert_eq!(correction().unwrap().of.number, 103);
    }
}
