//! Posting a ticket that was typed: into the outbox, and on its way.

use client::outbox::{Entry, Outcome, Place};
use kernel::SystemClock;
use serde_json::{Value, json};
use wire::TicketView;

use super::asking::Terminal;
use super::draft::{Draft, Drafts};
use super::known::Yard;
use crate::commands::ending::Ending;
use crate::commands::filing::{self, Filer};
use crate::commands::output;
use crate::commands::yard::outbox::send;
use crate::commands::yard::ticket::post;

/// Keeps the ticket in the outbox, ends the draft, and sends. Whatever ends the program in between, the ticket is a draft
/// or in the outbox, or both: posting it again is the same ticket.
pub(crate) async fn post(
    filer: &Filer<'_>,
    drafts: &Drafts,
    draft: &Draft,
    yard: &Yard,
    terminal: &mut Terminal,
    now: bool,
    json: bool,
) -> anyhow::Result<Ending> {
    if let Some(old) = draft.instead_of {
        let (place, _) = filer.outbox.find(old)?;
        if matches!(place, Place::Waiting | Place::Refused) {
            let _aside = filer.outbox.set_aside(old, "amended and posted anew", &SystemClock)?;
        }
    }
    let kept = filer.outbox.keep(post::filing(&draft.ticket)?, &filer.owner, &SystemClock)?;
    let number = kept.entry().number;
    yard.remember(&draft.ticket)?;
    drafts.end(draft)?;
    terminal.say(&format!("{}: kept on this machine, entry {number}.", kept.entry().filing.says))?;
    let mut told: Vec<(bool, String)> = Vec::new();
    let sent =
        filer.send(&mut |entry, outcome| told.push((entry.number == number, says(entry, outcome)))).await?;
    for (_, line) in &told {
        terminal.say(line.trim_end())?;
    }
    let rest = filing::rest(&sent);
    if !rest.is_empty() {
        terminal.say(rest.trim_end())?;
    }
    if json {
        output::json_line(&outcome(filer, number)?)?;
    }
    Ok(sent.as_ref().map_or(Ending::Done, |sending| filing::ending(sending, now)))
}

fn says(entry: &Entry, outcome: &Outcome) -> String {
    let view = entry.answer.as_ref().filter(|_| matches!(outcome, Outcome::Answered));
    let view = view.and_then(|answer| serde_json::from_value::<TicketView>(answer.reply.clone()).ok());
    let open = view.map_or(0, |view| view.unpriced.len());
    let mut says = send::for_people(entry, outcome);
    if open > 0 {
        says.push_str(&format!("Nothing pays yet for {open} of its tasks; the office sees to it.\n"));
    }
    says
}

/// What became of the ticket, for programs.
fn outcome(filer: &Filer<'_>, number: u64) -> anyhow::Result<Value> {
    let (place, entry) = filer.outbox.find(number)?;
    let reply = entry.answer.as_ref().map(|answer| &answer.reply);
    Ok(json!({"entry": number, "place": place, "says": entry.filing.says,
              "ticket_id": reply.and_then(|reply| reply.get("ticket_id")),
              "problem": entry.refusal.as_ref().map(|refusal| &refusal.problem)}))
}
