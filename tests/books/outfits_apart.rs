//! An outfit sees its own books only: what row-level security does, past the service.

use kernel::OutfitId;

use crate::history::History;
use crate::session::{NO_SUCH, NOT_ALLOWED, Session};

/// How many rows there are in truth: counted with the guard lifted, in a transaction that is taken back.
fn rows_of_all(owner: &Session, table: &str) -> i64 {
    owner.number(&format!(
        "BEGIN; ALTER TABLE {table} NO FORCE ROW LEVEL SECURITY; SELECT count(*) FROM {table}; ROLLBACK"
    ))
}

fn relations(session: &Session) -> Vec<String> {
    [session.tables(), session.views()].concat()
}

/// The tests here walk the tables and views of one schema; whatever holds an outfit's rows must be among them.
#[test]
fn nothing_of_an_outfit_lies_where_nobody_looks() {
    let history = History::shared();
    let owner = history.owner();
    let holding = owner.column(
        "SELECT relation.relname FROM pg_class AS relation JOIN pg_attribute ON attrelid = relation.oid
         WHERE attname = 'outfit_id' AND NOT attisdropped AND relation.relkind IN ('r', 'p', 'v', 'm', 'f')
         ORDER BY 1",
    );
    let mut walked = relations(&owner);
    walked.sort_unstable();
    assert_eq!(holding, walked);
}

#[test]
fn each_sees_its_own_rows_and_only_those() {
    let history = History::shared();
    let (owner, service) = (history.owner(), history.service());
    let count = |outfit: OutfitId, relation: &str, filter: &str| {
        service.number_of(outfit, &format!("SELECT count(*) FROM {relation} {filter}"))
    };
    for relation in relations(&owner) {
        let mut seen = 0;
        for outfit in history.outfits().map(|one| one.outfit) {
            let own = count(outfit, &relation, "");
            assert!(own > 0, "the history leaves no row in {relation}");
            let foreign = count(outfit, &relation, &format!("WHERE outfit_id <> '{outfit}'"));
            assert_eq!(foreign, 0, "{outfit} sees rows of another in {relation}");
            seen += own;
        }
        if owner.tables().contains(&relation) {
            assert_eq!(seen, rows_of_all(&owner, &relation), "rows of {relation} that nobody sees");
        }
    }
}

/// Both lived through the same; so each view shows both the same number of rows, and not the sum.
#[test]
fn the_same_history_looks_the_same() {
    let history = History::shared();
    let service = history.service();
    for relation in relations(&service) {
        let counts = history
            .outfits()
            .map(|one| service.number_of(one.outfit, &format!("SELECT count(*) FROM {relation}")));
        assert_eq!(counts[0], counts[1], "{relation}");
    }
}

#[test]
fn without_an_outfit_there_is_nothing() {
    let history = History::shared();
    // The owner is under the same rule.
    for session in [history.service(), history.owner()] {
        for setting in ["", "SET skidway.outfit = '';", "RESET skidway.outfit;"] {
            for relation in relations(&session) {
                let count = format!("{setting} SELECT count(*) FROM {relation}");
                assert_eq!(session.number(&count), 0, "{count}");
            }
        }
        let nobody = "00000000-0000-7000-8000-000000000000".parse().expect("an id");
        assert_eq!(session.number_of(nobody, "SELECT count(*) FROM outfit"), 0);
        // What is no id at all is refused: it opens nothing.
        let wild = session.run("SET skidway.outfit = 'any'; SELECT count(*) FROM outfit");
        assert_eq!(wild.expect_err("it is no id").code, "22P02");
        session.run("RESET skidway.outfit").expect("a setting can be reset");
    }
}

/// The outfit of a transaction ends with it; the next one on the connection starts with none.
#[test]
fn the_outfit_ends_with_the_transaction() {
    let history = History::shared();
    let service = history.service();
    let outfit = history.own.outfit;
    assert!(service.number_of(outfit, "SELECT count(*) FROM ticket") > 0);
    assert_eq!(service.number("SELECT count(*) FROM ticket"), 0);
    service.keep(outfit, "SELECT count(*) FROM ticket").expect("reading is allowed");
    assert_eq!(service.number("SELECT count(*) FROM ticket"), 0);
}

#[test]
fn a_row_for_another_outfit_is_refused() {
    let history = History::shared();
    let (own, other) = (history.own.outfit, history.other.outfit);
    for session in [history.service(), history.owner()] {
        for table in session.tables() {
            let foreign = format!(
                "INSERT INTO {table} SELECT (jsonb_populate_record(one, jsonb_build_object('outfit_id', '{other}'))).*
                 FROM {table} AS one LIMIT 1"
            );
            let refused = session.ask(own, &foreign).expect_err(&foreign);
            assert_eq!(refused.code, NOT_ALLOWED, "{table}: {}", refused.message);
            assert!(refused.message.contains("row-level security"), "{table}: {}", refused.message);
        }
    }
}

/// A row of one's own that names a record of another outfit finds none there, as if it did not exist.
#[test]
fn a_row_that_names_another_outfits_record_is_refused() {
    let history = History::shared();
    let service = history.service();
    let own = history.own.outfit;
    let made = "now(), 'somebody'";
    let (job, crew, mill) = (&history.other.job, &history.other.felling_crew, &history.other.mill_id);
    let own_job = &history.own.job;
    for insert in [
        format!("landing VALUES ('{own}', gen_random_uuid(), '{job}', 'Far landing', {made})"),
        format!("share_set VALUES ('{own}', gen_random_uuid(), '{crew}', '2026-06-01', 9, {made}, 'parts')"),
        format!("contract VALUES ('{own}', gen_random_uuid(), 'A', '{job}', '{crew}', NULL, {made})"),
        format!("contract VALUES ('{own}', gen_random_uuid(), 'A', '{own_job}', '{crew}', NULL, {made})"),
        format!("contract VALUES ('{own}', gen_random_uuid(), 'A', '{own_job}', NULL, '{mill}', {made})"),
    ] {
        let insert = format!("INSERT INTO {insert}");
        let refused = service.keep(own, &insert).expect_err(&insert);
        assert_eq!(refused.code, NO_SUCH, "{insert}: {}", refused.message);
    }
}

/// Names, ticket numbers and weeks are each outfit's own: both have used the same ones.
#[test]
fn outfits_do_not_stand_in_each_others_way() {
    let history = History::shared();
    let service = history.service();
    let used = |outfit: OutfitId| {
        service
            .ask(
                outfit,
                "SELECT name FROM worker UNION ALL SELECT book || number FROM ticket
                 UNION ALL SELECT week_ends_on::text FROM settlement_posting ORDER BY 1",
            )
            .expect("reading is allowed")
    };
    assert_eq!(used(history.own.outfit), used(history.other.outfit));
}
