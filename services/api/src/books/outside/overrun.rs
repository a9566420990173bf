//! Mill tallies held against the scale of their logs.

use std::collections::{BTreeMap, BTreeSet, HashMap};

use audit::{LogScale, LumberState, Overrun, ScaleBase, Tally, overrun};
use jiff::civil::Date;
use kernel::{Fixed, JobId, MillTallyId};
use scaling::Species;
use storage::{Books, MillTally, MillTallyFilter, MillTallyState, Page, TalliedTickets, TallyScope};
use wire::{Lumber, MillTallyView, OverrunAudit, OverrunRow, OverrunScale, SpeciesOverrun};

use super::logs_by_rule::{LogsByRule, Side};
use super::withdrawn_view;
use crate::books::entitling::terms_by_id;
use crate::books::names::Names;
use crate::http::refusal::Refusal;

/// What every overrun says of itself.
const CAUTION: &str = "Overrun is arithmetic from a tally that the mill or its tallyman made, and from the scale in these \
books. It hangs on the log rule, on what was taken off for defect, on the saw and on what was sawn, and on whether the \
lumber was green, dry or dressed: a figure stands for its own base, rule and lumber only, and is no proof that a log was \
scaled wrongly. Logs are counted by the day they were scaled. What follows from it is for the contract, local law and \
licensed scalers to decide.";

/// The mill's own scale.
const MILLS_SIDE: Side = Side { scale: "the mill's contract", delivered_only: true };

/// The names that tallies show.
#[derive(Debug)]
pub struct TallyNames {
    names: Names,
    jobs: HashMap<JobId, String>,
}

impl TallyNames {
    /// Reads them.
    ///
    /// # Errors
    ///
    /// Whatever the books answer.
    pub async fn read(books: &mut Books) -> Result<Self, Refusal> {
        let jobs = books.jobs(Page::first(u16::MAX)).await?;
        let jobs = jobs.into_iter().map(|job| (job.id, job.name)).collect();
        Ok(Self { names: Names::read(books).await?, jobs })
    }

    /// The name of a job.
    #[must_use]
    pub fn job(&self, job: JobId) -> String {
        self.jobs.get(&job).cloned().unwrap_or_default()
    }
}

/// A tally as it is shown.
///
/// # Errors
///
/// [`wire::Code::Internal`] when its lumber cannot be read.
pub fn view(state: MillTallyState, names: &TallyNames) -> Result<MillTallyView, Refusal> {
    let MillTallyState { tally, withdrawn } = state;
    let lumber = lumber(&tally)?;
    Ok(MillTallyView {
        mill_tally_id: tally.id,
        mill_id: tally.mill,
        mill_name: names.names.party(storage::ContractParty::Mill(tally.mill)),
        job_id: tally.job,
        job_name: tally.job.map(|job| names.job(job)),
        from: tally.first_day,
        to: tally.last_day,
        board_feet: lumber.total(),
        lumber,
        lumber_state: tally.lumber_state,
        tallied_by: tally.tallied_by,
        remarks: tally.remarks,
        made_by: tally.made.by,
        made_at: tally.made.at,
        withdrawn: withdrawn.map(withdrawn_view),
    })
}

fn lumber(tally: &MillTally) -> Result<Lumber, Refusal> {
    let line = |(species, board_feet): &(Option<String>, Fixed)| {
        let species = species.clone().map(Species::try_from).transpose().map_err(Refusal::internal)?;
        Ok((species, *board_feet))
    };
    let lines = tally.lumber.iter().map(line).collect::<Result<Vec<_>, Refusal>>()?;
    Lumber::of_lines(lines).map_err(Refusal::internal)
}

/// Holds every standing tally of a scope against the scale.
///
/// # Errors
///
/// Whatever the books answer; [`wire::Code::TooLarge`].
pub async fn audit(books: &mut Books, scope: TallyScope) -> Result<OverrunAudit, Refusal> {
    let TallyScope { from, to, mill, job } = scope;
    let filter = MillTallyFilter { mill, job, from: Some(from), to: Some(to), standing: true };
    let tallies = books.mill_tallies(filter, Page::first(u16::MAX)).await?;
    let tickets: HashMap<_, _> = books.tallied_tickets(scope).await?.into_iter().collect();
    let wood = books.tallied_wood(scope).await?;
    let terms = terms_by_id(books, wood.iter().filter_map(|(_, wood)| wood.terms)).await?;
    let names = TallyNames::read(books).await?;
    let others = overlaps(&tallies);
    let mut rows = Vec::with_capacity(tallies.len());
    for state in tallies {
        let id = state.tally.id;
        let of_tally = wood.iter().filter(|(tally, _)| *tally == id).map(|(_, wood)| wood);
        let logs = LogsByRule::sort(of_tally, &terms, MILLS_SIDE)?;
        let mut row = one_tally(view(state, &names)?, &logs, tickets.get(&id).copied())?;
        row.overlaps = others.get(&id).cloned().unwrap_or_default();
        rows.push(row);
    }
    Ok(OverrunAudit { from, to, rows, caution: CAUTION.to_owned() })
}

/// Tallies of one mill that claim logs of the same days, and not of different jobs.
fn overlaps(tallies: &[MillTallyState]) -> HashMap<MillTallyId, Vec<MillTallyId>> {
    let days = |one: &MillTally| -> (Date, Date) { (one.first_day, one.last_day) };
    let claims_the_same = |one: &MillTally, other: &MillTally| {
        let ((from, to), (other_from, other_to)) = (days(one), days(other));
        let same_job = one.job.is_none() || other.job.is_none() || one.job == other.job;
        one.id != other.id && one.mill == other.mill && same_job && from <= other_to && other_from <= to
    };
    let with_others = |state: &MillTallyState| {
        let one = &state.tally;
        let others = tallies.iter().map(|other| &other.tally).filter(|other| claims_the_same(one, other));
        (one.id, others.map(|other| other.id).collect())
    };
    tallies.iter().map(with_others).collect()
}

fn one_tally(
    tally: MillTallyView,
    logs: &LogsByRule,
    tickets: Option<TalliedTickets>,
) -> Result<OverrunRow, Refusal> {
    let tickets = tickets.unwrap_or_default();
    let scales = logs.of_all()?;
    let (figures, not_comparable) = held(tally.board_feet, tally.lumber_state, &scales);
    Ok(OverrunRow {
        species: by_species(&tally, logs),
        tally,
        tickets: tickets.tickets,
        scales,
        figures,
        not_comparable,
        left_out: logs.left_out(),
        entered_since: tickets.entered_since,
        corrected_since: tickets.corrected_since,
        overlaps: Vec::new(),
    })
}

/// Each species by itself, where the tally was made so.
fn by_species(tally: &MillTallyView, logs: &LogsByRule) -> Vec<SpeciesOverrun> {
    let tallied: BTreeMap<String, Fixed> = tally
        .lumber
        .lines()
        .into_iter()
        .filter_map(|(species, board_feet)| Some((species?.as_str().to_lowercase(), board_feet)))
        .collect();
    if tallied.is_empty() {
        return Vec::new();
    }
    let species: BTreeSet<&str> = tallied.keys().map(String::as_str).chain(logs.species()).collect();
    let one = |species: &str| {
        let scales = logs.of_species(species);
        let lumber = tallied.get(species).copied();
        let (figures, not_comparable) = match lumber {
            Some(lumber) => held(lumber, tally.lumber_state, &scales),
            None => (Vec::new(), vec!["no lumber of it was tallied".to_owned()]),
        };
        SpeciesOverrun { species: species.to_owned(), tally: lumber, scales, figures, not_comparable }
    };
    species.into_iter().map(one).collect()
}

/// The figures on both bases, as far as there are any, and why there are not more.
fn held(board_feet: Fixed, state: LumberState, scales: &[OverrunScale]) -> (Vec<Overrun>, Vec<String>) {
    let scale = match scales {
        [] => return (Vec::new(), vec!["no logs of it were scaled on these days".to_owned()]),
        [one] => one,
        several => {
            let rules: Vec<_> = several.iter().map(|scale| scale.rule.as_str()).collect();
            let says = format!("the logs were scaled in {} ways: {}", several.len(), rules.join("; "));
            return (Vec::new(), vec![says]);
        }
    };
    let scale = LogScale { rule: scale.rule.clone(), unit: scale.unit, gross: scale.gross, net: scale.net };
    let tally = Tally { board_feet, state };
    let (mut figures, mut not_comparable) = (Vec::new(), Vec::new());
    for base in [ScaleBase::Gross, ScaleBase::Net] {
        match overrun(tally, &scale, base) {
            Ok(figure) => figures.push(figure),
            Err(reason) => {
                let says = reason.to_string();
                if !not_comparable.contains(&says) {
                    not_comparable.push(says);
                }
            }
        }
    }
    (figures, not_comparable)
}
