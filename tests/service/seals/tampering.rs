//! Somebody who owns the tables, with every trigger and key off, changes what was accepted. Either the service's own check
//! finds it, or whoever kept a seal does.

use client::verify::{Given, RecordsRead, verify};

use super::{Sealed, everything, inclusion, latest, make, records, refuted};

/// Clean books are found clean before anything is done to them.
fn sealed() -> Sealed {
    let sealed = Sealed::new();
    let check = sealed.check(&sealed.kept);
    assert!(check.sound && check.findings.is_empty(), "{check:#?}");
    sealed
}

#[test]
fn a_changed_stick_is_found() {
    let sealed = sealed();
    let changed = &sealed.tickets[1];
    sealed.tamper(&format!(
        "UPDATE ticket SET pieces = jsonb_set(pieces, '{{0,length_ft}}', '\"14\"') WHERE ticket_id = '{changed}'"
    ));
    let check = sealed.check(&sealed.kept);
    assert_eq!(check.findings.len(), 1, "{check:#?}");
    let finding = &check.findings[0];
    assert_eq!((finding.fault.name(), finding.position), ("record_changed", Some(1)));
    assert_eq!(finding.ticket_id.map(|id| id.to_string()).as_ref(), Some(changed));
    assert!(finding.says.contains("ticket A 2"), "{}", finding.says);
    // And by whoever holds the papers, without believing the service.
    let report =
        everything(&sealed.outfit.contractor, &sealed.kept, &sealed.kept, &format!("ticket_id={changed}"));
    let wrong = refuted(&report);
    assert!(wrong.iter().any(|says| says.contains("ticket A 2 is not what was sealed")), "{wrong:#?}");
    assert!(wrong.iter().any(|says| says.contains("make up another root")), "{wrong:#?}");
}

/// Each column of a ticket is part of what was sealed, and so is the way a number is written.
#[test]
fn every_part_of_a_ticket_is_sealed() {
    let sealed = sealed();
    let parts = [
        "book = 'B'",
        "number = 77",
        "job_id = ticket_id",
        "landing_id = ticket_id",
        "scaled_on = scaled_on + 1",
        "scaler = 'Another scaler'",
        "work = jsonb_set(work, '{0,crew}', to_jsonb(ticket_id))",
        "turn = NULL",
        "delivered_to = NULL",
        "pieces = jsonb_set(pieces, '{0,small_diameter_in,0}', '\"17\"')",
        "pieces = pieces || pieces",
        "work = jsonb_set(work, '{0,pieces,0}', '1.0')",
        "remarks = 'seen'",
        "corrects = ticket_id, correction_reason = 'why'",
        "fingerprint = sha256('x')",
        "device_time_measured = accepted_at",
        "device_time_sent = accepted_at, device_clock_ahead_seconds = 0",
        "late_for = ticket_id",
        "accepted_at = accepted_at + interval '1 microsecond'",
        "accepted_by = 'somebody else'",
    ];
    let ticket = &sealed.tickets[0];
    let owner = tests::Inspector::connect(&sealed.app.database.url());
    super::tamper(
        &owner,
        "CREATE TABLE before AS TABLE ticket; ALTER TABLE ticket DROP CONSTRAINT ticket_check1",
    );
    for part in parts {
        super::tamper(&owner, &format!("UPDATE ticket SET {part} WHERE ticket_id = '{ticket}'"));
        let faults = sealed.faults(&sealed.kept);
        assert!(
            !faults.is_empty() && faults.iter().all(|fault| fault.starts_with("record_")),
            "{part}: {faults:?}"
        );
        super::tamper(
            &owner,
            &format!(
                "DELETE FROM ticket WHERE ticket_id = '{ticket}';
                 INSERT INTO ticket SELECT * FROM before WHERE ticket_id = '{ticket}'"
            ),
        );
        assert_eq!(sealed.faults(&sealed.kept), Vec::<&str>::new(), "{part}: put back");
    }
}

#[test]
fn a_deleted_ticket_is_found() {
    let sealed = sealed();
    let gone = &sealed.tickets[4];
    sealed.tamper(&format!("DELETE FROM ticket WHERE ticket_id = '{gone}'"));
    assert_eq!(sealed.faults(&sealed.kept), ["record_gone"]);
    let lines = records(&sealed.outfit.contractor, &sealed.kept);
    assert_eq!(lines.lines().nth(4), Some("null"));
    let read = RecordsRead::read(lines.as_bytes(), Some(&sealed.kept)).expect("lines");
    let report = verify(&Given { records: Some(read), ..Given::of(sealed.kept.clone()) });
    assert!(refuted(&report).iter().any(|says| says.contains("line 5: the service has lost")), "{report:#?}");
    // Its leaf as well: then the leaves are too few.
    sealed.tamper(&format!("DELETE FROM seal_leaf WHERE ticket_id = '{gone}'"));
    assert_eq!(sealed.faults(&sealed.kept), ["leaves_gone"]);
    // The next week can be posted all the same, and what is missing is not forgotten.
    let later = sealed.another_week();
    assert!(!sealed.check(&later).sound);
}

/// Whatever a payee was told is part of what was sealed.
#[test]
fn a_changed_figure_of_a_posted_week_is_found() {
    let figures = [
        "UPDATE settlement_line SET amount_minor = amount_minor + 1 WHERE line_number = 1;
         UPDATE settlement_share SET amount_minor = amount_minor + 1 WHERE line_number = 1 AND position = 1",
        "UPDATE settlement_line SET quantity = quantity + 1 WHERE line_number = 2",
        "UPDATE settlement_share SET position = position + 7",
        "UPDATE statement SET closing_minor = closing_minor + 1, moved_minor = moved_minor + 1",
        "UPDATE journal_posting SET amount_minor = 2 * amount_minor",
        "UPDATE journal_entry SET dated = dated - 1",
        "UPDATE settlement SET lines = lines || lines",
        "UPDATE settlement SET volumes = '[]'",
        "UPDATE settlement_posting SET posted_by = 'somebody else'",
        "UPDATE outfit SET currency = 'CAD'",
        "INSERT INTO settlement_supplement SELECT outfit_id, settlement_id, worker_id, week_ends_on, 'rest_pay', 5
         FROM statement JOIN settlement USING (outfit_id, settlement_id) WHERE worker_id IS NOT NULL LIMIT 1",
        "INSERT INTO settlement_take_off SELECT outfit_id, settlement_id, worker_id, 9, settlement_id, NULL, NULL, 5, 5
         FROM statement WHERE worker_id IS NOT NULL LIMIT 1",
    ];
    let sealed = sealed();
    let owner = tests::Inspector::connect(&sealed.app.database.url());
    let mut before = None;
    for figure in figures {
        super::tamper(&owner, figure);
        let check = sealed.check(&sealed.kept);
        assert_eq!(check.findings.len(), 1, "{figure}: {check:#?}");
        let finding = &check.findings[0];
        assert_eq!(finding.fault.name(), "record_changed", "{figure}");
        assert!(finding.says.contains("the week that ended on 2026-06-06"), "{}", finding.says);
        // One on top of the other: each must make another document than the one before.
        let lines = records(&sealed.outfit.contractor, &sealed.kept);
        let last = lines.lines().last().map(str::to_owned);
        assert_ne!(last, before, "{figure}");
        before = last;
    }
    let week = format!("settlement_id={}", sealed.settlement);
    assert!(!everything(&sealed.outfit.contractor, &sealed.kept, &sealed.kept, &week).holds());
}

#[test]
fn a_ticket_that_was_slipped_in_is_found() {
    let sealed = sealed();
    // Between the tickets of the week, by its id and by its date.
    let slipped = "INSERT INTO ticket
        SELECT (jsonb_populate_record(ticket, jsonb_build_object(
            'ticket_id', overlay(ticket_id::text PLACING '000000000000' FROM 25), 'number', 900))).*
        FROM ticket WHERE number = 3";
    sealed.tamper(slipped);
    let check = sealed.check(&sealed.kept);
    // The clock of the tests stood still while the tickets were accepted and sealed.
    assert!(check.sound, "as old as the seal itself, it may have come a moment later: {check:#?}");
    sealed.tamper("UPDATE ticket SET accepted_at = accepted_at - interval '1 day' WHERE number = 900");
    let check = sealed.check(&sealed.kept);
    assert_eq!(check.findings.len(), 1, "{check:#?}");
    assert_eq!(check.findings[0].fault.name(), "record_slipped_in");
    assert!(check.findings[0].says.contains("ticket A 900"), "{}", check.findings[0].says);
    // Sealed later, it does not become one of the old ones.
    let later = sealed.another_week();
    assert_eq!(sealed.faults(&later), ["record_slipped_in"]);
    let record = format!("ticket_id={}", sealed.tickets[0]);
    let report = everything(&sealed.outfit.contractor, &sealed.kept, &later, &record);
    let wrong = refuted(&report);
    assert_eq!(wrong.len(), 1, "{wrong:#?}");
    assert!(wrong[0].contains("ticket A 900") && wrong[0].contains("does not cover it"), "{wrong:#?}");
}

#[test]
fn a_leaf_that_was_changed_with_its_record_is_found_by_the_root() {
    let sealed = sealed();
    let changed = &sealed.tickets[3];
    sealed.tamper(&format!("UPDATE ticket SET scaler = 'Another' WHERE ticket_id = '{changed}'"));
    let lines = records(&sealed.outfit.contractor, &sealed.kept);
    let hash = seal::Hash::of_leaf(lines.lines().nth(3).expect("a line").as_bytes());
    sealed.tamper(&format!("UPDATE seal_leaf SET leaf_hash = '\\x{hash}' WHERE ticket_id = '{changed}'"));
    assert_eq!(sealed.faults(&sealed.kept), ["root_differs"]);
    // The root as well: then the signature does not belong to it.
    let leaves: Vec<_> = lines.lines().map(|line| seal::Hash::of_leaf(line.as_bytes())).collect();
    let root = seal::root(&leaves);
    sealed.tamper(&format!("UPDATE seal SET root_hash = '\\x{root}'"));
    assert_eq!(sealed.faults(&sealed.kept), ["signature_wrong"]);
    // Whoever kept the seal does not even need the check.
    let record = format!("ticket_id={changed}");
    let now = latest(&sealed.outfit.contractor);
    assert!(!now.is_signed());
    assert!(!everything(&sealed.outfit.contractor, &sealed.kept, &now, &record).holds());
    let proof = inclusion(&sealed.outfit.contractor, &now, &record);
    let inclusions = vec![("proof.json".to_owned(), proof)];
    assert!(!verify(&Given { inclusions, ..Given::of(sealed.kept.clone()) }).holds());
}

/// Peaks are not signed: when somebody spoils them, the tree is made again from its leaves, and books that are good stay
/// good.
#[test]
fn spoilt_peaks_do_no_harm() {
    let sealed = sealed();
    sealed.tamper("UPDATE seal SET peaks = array_fill(sha256('x'), ARRAY[cardinality(peaks)])");
    let later = sealed.another_week();
    let record = format!("ticket_id={}", sealed.tickets[0]);
    let report = everything(&sealed.outfit.contractor, &sealed.kept, &later, &record);
    assert!(report.holds(), "{report:#?}");
    assert_eq!(sealed.faults(&later), Vec::<&str>::new());
}

/// Whoever has the database and the service's key can make new seals over new books, and the check is content. Only a seal
/// that was kept elsewhere tells.
#[test]
fn seals_that_were_all_made_anew_do_not_go_on_from_the_kept_one() {
    let sealed = sealed();
    let week = "UPDATE ticket SET pieces = jsonb_set(pieces, '{0,length_ft}', '\"14\"') WHERE number = 2";
    sealed.tamper(&format!("DELETE FROM seal_leaf; DELETE FROM seal; {week}"));
    let first = make(&sealed.outfit.bookkeeper);
    let later = sealed.another_week();
    assert!(first.is_signed() && later.is_signed());
    assert_eq!(first.statement.public_key, sealed.kept.statement.public_key, "with the outfit's own key");
    assert_eq!(sealed.faults(&later), Vec::<&str>::new(), "the service itself sees nothing");
    let contractor = &sealed.outfit.contractor;
    let honest = everything(contractor, &first, &later, &format!("ticket_id={}", sealed.tickets[1]));
    assert!(honest.holds(), "and the new seals go on from each other: {honest:#?}");
    // But not from the one that was kept, whatever is handed out.
    let proof = super::consistency(contractor, &first, &later);
    let kept = || Given { kept: Some(sealed.kept.clone()), ..Given::of(later.clone()) };
    let report = verify(&Given { consistency: Some(proof), ..kept() });
    assert!(refuted(&report)[0].contains("is not the beginning of it"), "{report:#?}");
    let lines = records(contractor, &later);
    let read = RecordsRead::read(lines.as_bytes(), Some(&sealed.kept)).expect("lines");
    let report = verify(&Given { records: Some(read), ..kept() });
    assert!(refuted(&report)[0].contains("is not the beginning of it"), "{report:#?}");
    // The kept seal itself is gone from the service.
    let gone = contractor.get(&format!("/v1/seals/{}", sealed.kept.statement.seal_id));
    let _gone = gone.refuses(wire::Code::NotFound);
}
