//! `skid ticket new`: asks for a ticket stick by stick, a line at a time.

mod asking;
mod calling;
mod draft;
mod head;
mod known;
mod posting;
mod reckoning;
mod showing;
mod sticks;

use anyhow::Context;
use clap::Args;
use client::outbox::Entry;
use jiff::tz::TimeZone;
use kernel::{Clock, SystemClock};
use wire::TicketCreate;

use self::asking::Terminal;
use self::draft::{Draft, Drafts};
use self::head::Head;
use self::known::Yard;
use super::read::tickets;
use crate::commands::ending::Ending;
use crate::commands::filing::{self, Filer};
use crate::commands::output;
use crate::commands::service::ServiceOptions;

/// What to begin with.
#[derive(Debug, Args)]
pub(crate) struct NewOptions {
    /// Begin with the ticket in this file, as `skid ticket post` takes it, to look at it and mend it before posting.
    #[arg(long, value_name = "FILE")]
    from: Option<String>,
    /// End with status 4 when there is no signal, for scripts that have to know. What is kept is kept all the same.
    #[arg(long)]
    now: bool,
}

/// How the dialogue ended.
enum Ended {
    /// The ticket is to be posted.
    Post,
    /// Somebody left; the draft is kept.
    Left,
}

/// Asks for a ticket, and posts it.
pub(crate) async fn run(
    options: &NewOptions,
    service: &ServiceOptions,
    json: bool,
) -> anyhow::Result<Ending> {
    let filer = Filer::open(service)?;
    let begun = options.from.as_deref().map(from_file).transpose()?;
    dialogue(&filer, service, Begin { ticket: begun, instead_of: None }, options.now, json).await
}

/// Asks about a ticket of the outbox again, to be posted in its place.
pub(crate) async fn amend(entry: &Entry, service: &ServiceOptions, json: bool) -> anyhow::Result<Ending> {
    let filer = Filer::open(service)?;
    let ticket = filing::ticket(entry)?;
    dialogue(&filer, service, Begin { ticket: Some(ticket), instead_of: Some(entry.number) }, false, json)
        .await
}

/// What the dialogue begins with.
struct Begin {
    ticket: Option<TicketCreate>,
    instead_of: Option<u64>,
}

fn from_file(file: &str) -> anyhow::Result<TicketCreate> {
    let text = std::fs::read_to_string(file).with_context(|| format!("{file} cannot be read"))?;
    let mut found = tickets(file, &text);
    anyhow::ensure!(found.len() == 1, "{file} has {} tickets: `skid ticket post` takes many", found.len());
    let one = found.pop().context("there is a ticket")?;
    one.ticket.map_err(|problem| anyhow::anyhow!("{}: {}", one.place, output::problem_told(&problem)))
}

async fn dialogue(
    filer: &Filer<'_>,
    service: &ServiceOptions,
    begin: Begin,
    now: bool,
    json: bool,
) -> anyhow::Result<Ending> {
    let mut terminal = Terminal::open(json)?;
    let mut yard = Yard::of_user(&filer.owner)?;
    yard.fetch(service, &mut terminal).await?;
    let drafts = Drafts::of_user(&filer.owner)?;
    let picked = match begin.ticket {
        Some(ticket) => Some(drafts.begin(ticket, begin.instead_of, &SystemClock)?),
        None => match pick_draft(&drafts, &mut terminal)? {
            Some(draft) => Some(draft),
            None => first_head(&drafts, &yard, &mut terminal)?,
        },
    };
    let Some(mut draft) = picked else {
        terminal.say("Left; nothing was begun.")?;
        return Ok(Ending::Done);
    };
    yard.fetch_practices(service, &draft.ticket, &mut terminal).await?;
    match sticks::ask(&mut draft, &drafts, &yard, &mut terminal)? {
        Ended::Left => {
            let name = showing::name(&draft.ticket);
            terminal.say(&format!("Left. {name} is kept as a draft; skid ticket new goes on with it."))?;
            Ok(Ending::Done)
        }
        Ended::Post => posting::post(filer, &drafts, &draft, &yard, &mut terminal, now, json).await,
    }
}

/// Offers to go on with what was begun.
fn pick_draft(drafts: &Drafts, terminal: &mut Terminal) -> anyhow::Result<Option<Draft>> {
    let mut kept = drafts.all()?;
    if kept.is_empty() {
        return Ok(None);
    }
    terminal.say("Not posted yet:")?;
    for (number, draft) in (1..).zip(&kept) {
        terminal.say(&format!(
            " {number} {}, {}",
            showing::name(&draft.ticket),
            showing::count(&draft.ticket)
        ))?;
    }
    loop {
        let Some(answer) = terminal.ask("Enter or number: go on; n: new one> ")? else { return Ok(None) };
        let chosen = match answer.as_str() {
            "n" => return Ok(None),
            "" => kept.len(),
            number => number.parse().unwrap_or(0),
        };
        if (1..=kept.len()).contains(&chosen) {
            return Ok(Some(kept.swap_remove(chosen - 1)));
        }
        terminal.complain("Type Enter, a number of the list, or n.")?;
    }
}

/// The head of a new ticket; none when somebody left.
fn first_head(drafts: &Drafts, yard: &Yard, terminal: &mut Terminal) -> anyhow::Result<Option<Draft>> {
    let today = SystemClock.now().to_zoned(TimeZone::system()).date();
    let mut head = Head::proposed(yard, today);
    if !head.ask(yard, terminal)? {
        return Ok(None);
    }
    let ticket = head.ticket(SystemClock.now())?;
    Ok(Some(drafts.begin(ticket, None, &SystemClock)?))
}
