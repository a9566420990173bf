//! The running scale: what each contract that a ticket touches makes of its sticks so far. Every figure is an answer of the
//! engine that the service scales tickets with, under the practices that the service gave, the sticks taken in their
//! order so that halves which go up and down in turn fall as they will on the ticket.

use std::collections::BTreeSet;

use kernel::{CrewId, Exact, MillId, TermsId};
use scaling::{Alternation, Piece, ScaleProblem, scale_without_working_in_turn};
use serde::Serialize;
use wire::{PracticeView, WorkEntry};

/// What one contract makes of a ticket so far.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct ContractRunning {
    /// Its terms.
    pub terms_id: TermsId,
    /// What people call the contract.
    pub title: String,
    /// The unit of the volumes in words; none while there is no volume, or where there is more than one.
    pub unit: Option<&'static str>,
    /// What the volumes add up to, before and after deductions; none where they are in more than one unit.
    pub gross: Option<Exact>,
    /// The same after deductions.
    pub net: Option<Exact>,
    /// The sticks it scales.
    pub pieces: Vec<PieceRunning>,
}

/// One stick under one contract.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct PieceRunning {
    /// Its place on the ticket, from 1.
    pub piece: u16,
    /// Gross scale; none for what has no volume.
    pub gross: Option<Exact>,
    /// Net scale.
    pub net: Option<Exact>,
    /// Why it is a cull, if it is one.
    pub cull: Option<String>,
    /// Why it cannot be scaled.
    pub cannot: Option<String>,
}

/// The pieces that a contract scales: of a crew what it worked on, of a mill what was delivered to it.
fn touched(
    view: &PracticeView,
    work: &[WorkEntry],
    delivered_to: Option<MillId>,
    count: u16,
) -> BTreeSet<u16> {
    let every = 1..=count;
    match (view.party.crew(), view.party.mill()) {
        (Some(crew), _) => every.filter(|piece| worked(crew, work, *piece)).collect(),
        (None, Some(mill)) if delivered_to == Some(mill) => every.collect(),
        _ => BTreeSet::new(),
    }
}

/// Whether a crew did anything to a piece. An entry that names no pieces is for all that no other entry of its task names.
fn worked(crew: CrewId, work: &[WorkEntry], piece: u16) -> bool {
    let names = |entry: &WorkEntry| entry.pieces.as_ref().is_some_and(|pieces| pieces.contains(&piece));
    let named = |task| work.iter().any(|other| other.task == task && names(other));
    let mine = work.iter().filter(|entry| entry.crew_id == crew);
    mine.into_iter().any(|entry| if entry.pieces.is_some() { names(entry) } else { !named(entry.task) })
}

/// What every contract makes of the sticks of a ticket.
#[must_use]
pub fn scaled(
    pieces: &[Piece],
    work: &[WorkEntry],
    delivered_to: Option<MillId>,
    practices: &[PracticeView],
) -> Vec<ContractRunning> {
    let count = u16::try_from(pieces.len()).unwrap_or(u16::MAX);
    let mut all = Vec::new();
    for view in practices {
        let touched = touched(view, work, delivered_to, count);
        if !touched.is_empty() {
            all.push(by_contract(view, pieces, &touched));
        }
    }
    all
}

fn by_contract(view: &PracticeView, pieces: &[Piece], touched: &BTreeSet<u16>) -> ContractRunning {
    let mut turn = Alternation::default();
    let mut units = BTreeSet::new();
    let (mut gross, mut net) = (Some(Exact::ZERO), Some(Exact::ZERO));
    let mut scaled = Vec::new();
    for (number, piece) in (1..).zip(pieces).filter(|(number, _)| touched.contains(number)) {
        let mut one = PieceRunning { piece: number, gross: None, net: None, cull: None, cannot: None };
        match scale_without_working_in_turn(&view.practice, piece, &mut turn) {
            Ok(answer) => {
                if let Some(volume) = answer.volume {
                    let _is_new = units.insert(volume.unit.words());
                    gross = gross.and_then(|sum| sum.plus(volume.gross).ok());
                    net = net.and_then(|sum| sum.plus(volume.net).ok());
                    (one.gross, one.net) = (Some(volume.gross), Some(volume.net));
                }
                one.cull = answer.cull;
            }
            // A contract that says nothing about such pieces has nothing to do with this one.
            Err(ScaleProblem::NoPractice { .. }) => continue,
            Err(problem) => one.cannot = Some(problem.to_string()),
        }
        scaled.push(one);
    }
    let unit = units.first().copied().filter(|_| units.len() == 1);
    let one_unit = |sum: Option<Exact>| sum.filter(|_| unit.is_some());
    ContractRunning {
        terms_id: view.terms_id,
        title: view.title.clone(),
        unit,
        gross: one_unit(gross),
        net: one_unit(net),
        pieces: scaled,
    }
}
