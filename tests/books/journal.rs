//! The journal balances, shares sum to their lines, statements foot: what the database refuses by itself.

use kernel::OutfitId;

use crate::history::History;
use crate::session::{CHECK, RECORD_STANDS, Refused, Session, TAKEN};

/// An entry with these postings, each a column list's worth of account, task, worker, mill, amount and, where it has
/// one, detail.
fn entry(outfit: OutfitId, postings: &[String]) -> String {
    let id = "11111111-1111-7111-8111-111111111111";
    let rows: Vec<_> = (1..)
        .zip(postings)
        .map(|(place, posting)| format!("('{outfit}', '{id}', {place}, {posting})"))
        .collect();
    format!(
        "INSERT INTO journal_entry VALUES ('{outfit}', '{id}', '2026-06-06', 'A try', now(), 'somebody');
         INSERT INTO journal_posting VALUES {}",
        rows.join(", ")
    )
}

fn income(amount: i64) -> String {
    format!("'timber_income', NULL, NULL, NULL, {amount}")
}

fn expense(amount: i64) -> String {
    format!("'work_expense', 'felling', NULL, NULL, {amount}")
}

fn code(outcome: Result<(), Refused>) -> Option<String> {
    outcome.err().map(|refused| refused.code)
}

#[test]
fn an_entry_that_does_not_balance_is_refused_at_the_commit() {
    let history = History::new();
    let outfit = history.own.outfit;
    for session in [history.service(), history.owner()] {
        let entries = session.number_of(outfit, "SELECT count(*) FROM journal_entry");
        for amounts in [&[1][..], &[-1], &[100, -99], &[100, -50, -51], &[i64::MAX, i64::MAX, 2]] {
            let postings: Vec<_> = amounts.iter().map(|amount| income(*amount)).collect();
            let unbalanced = entry(outfit, &postings);
            session.ask(outfit, &unbalanced).expect("within the transaction it may still be completed");
            let refused = session.keep(outfit, &unbalanced).expect_err("the commit counts");
            assert_eq!(refused.code, CHECK, "{}", refused.message);
            let difference: i128 = amounts.iter().copied().map(i128::from).sum();
            assert!(
                refused.message.ends_with(&format!("out of balance by {difference}")),
                "{}",
                refused.message
            );
        }
        assert_eq!(session.number_of(outfit, "SELECT count(*) FROM journal_entry"), entries);
    }
    let balanced = entry(outfit, &[expense(100), income(-99), income(-1)]);
    assert_eq!(code(history.service().keep(outfit, &balanced)), None);
}

/// The outfit that is set when the transaction ends has no part in it.
#[test]
fn an_entry_cannot_hide_behind_another_outfit() {
    let history = History::new();
    let (own, other) = (history.own.outfit, history.other.outfit);
    let service = history.service();
    for setting in [other.to_string(), String::new()] {
        let hidden = format!("{}; SET LOCAL skidway.outfit = '{setting}'", entry(own, &[income(1)]));
        assert_eq!(code(service.keep(own, &hidden)).as_deref(), Some(CHECK), "outfit set to `{setting}`");
    }
}

/// Nor behind a table of the same name that only this connection sees.
#[test]
fn an_entry_cannot_hide_behind_a_temporary_table() {
    let history = History::new();
    let own = history.own.outfit;
    let hidden = entry(own, &[income(1)]).replace("INTO journal_posting", "INTO public.journal_posting");
    let hidden = format!("CREATE TEMPORARY TABLE journal_posting (LIKE public.journal_posting); {hidden}");
    assert_eq!(code(history.service().keep(own, &hidden)).as_deref(), Some(CHECK));
}

/// An entry that was committed stays balanced: one more posting is refused like any other that does not balance.
#[test]
fn an_entry_stays_balanced() {
    let history = History::new();
    let outfit = history.own.outfit;
    let service = history.service();
    let more = format!(
        "INSERT INTO journal_posting
         SELECT '{outfit}', journal_entry_id, 99, {} FROM journal_entry LIMIT 1",
        income(1)
    );
    assert_eq!(code(service.keep(outfit, &more)).as_deref(), Some(CHECK));
}

/// Every account with every choice of what it may be about: each has exactly one right form.
#[test]
fn an_account_is_about_its_own_kind_of_thing() {
    let history = History::shared();
    let outfit = history.own.outfit;
    let service = history.service();
    let id = |table: &str| {
        let query = format!("SELECT {table}_id FROM {table} LIMIT 1");
        service.ask(outfit, &query).expect("reading is allowed").remove(0).remove(0).expect("an id")
    };
    let (worker, mill) = (id("worker"), id("mill"));
    let right = [
        ("work_expense", (true, false, false, false)),
        ("wage_expense", (false, false, false, true)),
        ("payable_to_worker", (false, true, false, false)),
        ("holdback_payable", (false, true, false, false)),
        ("advance_to_worker", (false, true, false, false)),
        ("charges_recovered", (false, false, false, true)),
        ("receivable_from_mill", (false, false, true, false)),
        ("timber_income", (false, false, false, false)),
        ("cash", (false, false, false, false)),
    ];
    let quoted = |given: bool, text: &str| if given { format!("'{text}'") } else { "NULL".to_owned() };
    for (account, form) in right {
        for bits in 0..16 {
            let tried = (bits & 1 != 0, bits & 2 != 0, bits & 4 != 0, bits & 8 != 0);
            let posting = |amount: i64| {
                format!(
                    "'{account}', {}, {}, {}, {amount}, {}",
                    quoted(tried.0, "felling"),
                    quoted(tried.1, &worker),
                    quoted(tried.2, &mill),
                    quoted(tried.3, "tools")
                )
            };
            let both = entry(outfit, &[posting(5), posting(-5)]);
            let outcome = service.ask(outfit, &both).map(drop);
            let expected = (tried != form).then(|| CHECK.to_owned());
            assert_eq!(code(outcome), expected, "{account} {tried:?}");
        }
    }
    assert_eq!(code(service.keep(outfit, &entry(outfit, &[income(0)]))).as_deref(), Some(CHECK));
    let unknown = entry(outfit, &["'till', NULL, NULL, NULL, 5".to_owned(), income(-5)]);
    assert_eq!(code(service.keep(outfit, &unknown)).as_deref(), Some(CHECK));
}

/// A copy of a draft, posted by hand with one line whose shares are these.
fn posted_by_hand(session: &Session, outfit: OutfitId, line: i64, shares: &[i64]) -> Result<(), Refused> {
    let id = "22222222-2222-7222-8222-222222222222";
    let share = |(place, amount): (i32, &i64)| {
        format!(
            "INSERT INTO settlement_share
             SELECT outfit_id, '{id}', 1, {place}, worker_id, NULL, {amount} FROM worker LIMIT 1;"
        )
    };
    let shares: String = (1..).zip(shares).map(share).collect();
    session.ask(
        outfit,
        &format!(
            "INSERT INTO settlement
             SELECT outfit_id, '{id}', '2030-01-05', lines, fingerprint, drafted_at, drafted_by FROM settlement LIMIT 1;
             INSERT INTO settlement_posting VALUES ('{outfit}', '{id}', '2030-01-05', NULL, now(), 'somebody');
             INSERT INTO settlement_line
             SELECT outfit_id, '{id}', 1, '2030-01-05', contract_id, terms_id, rate_number, crew_id, share_set_id,
                    mill_id, quantity, pieces, {line}, entered, withdrawn
             FROM settlement_line WHERE crew_id IS NOT NULL LIMIT 1;
             {shares}
             SET CONSTRAINTS ALL IMMEDIATE"
        ),
    )
    .map(drop)
}

#[test]
fn shares_that_do_not_sum_to_their_line_are_refused() {
    let history = History::shared();
    let outfit = history.own.outfit;
    for session in [history.service(), history.owner()] {
        let tried = |line, shares: &[i64]| code(posted_by_hand(&session, outfit, line, shares));
        for (line, shares) in [(841, &[421, 420][..]), (0, &[]), (0, &[5, -5]), (-3, &[-1, -2])] {
            assert_eq!(tried(line, shares), None, "{line} as {shares:?}");
        }
        for (line, shares) in [(841, &[421, 421][..]), (841, &[841, 1]), (841, &[]), (0, &[1]), (1, &[-1])] {
            assert_eq!(tried(line, shares).as_deref(), Some(CHECK), "{line} as {shares:?}");
        }
    }
}

/// A share that is added to a posted line later breaks the sum as well.
#[test]
fn a_posted_line_stays_shared_out_evenly() {
    let history = History::new();
    let outfit = history.own.outfit;
    let later = "INSERT INTO settlement_share
                 SELECT outfit_id, settlement_id, line_number, 99, worker_id, mill_id, 1
                 FROM settlement_share ORDER BY settlement_id, line_number LIMIT 1";
    assert_eq!(code(history.service().keep(outfit, later)).as_deref(), Some(CHECK));
}

#[test]
fn a_statement_foots_and_a_week_is_posted_once() {
    let history = History::shared();
    let outfit = history.own.outfit;
    let service = history.service();
    // The payee has his statement already; what the sums say comes before that.
    let statement = |opening, earned, closing| {
        let insert = format!(
            "INSERT INTO statement
             SELECT outfit_id, gen_random_uuid(), settlement_id, worker_id, mill_id, {opening}, {earned}, {closing}
             FROM statement LIMIT 1"
        );
        code(service.ask(outfit, &insert).map(drop))
    };
    assert_eq!(statement(5, -7, -3).as_deref(), Some(CHECK));
    assert_eq!(statement(0, 1, 0).as_deref(), Some(CHECK));
    assert_eq!(statement(5, -7, -2).as_deref(), Some(TAKEN));
    let again = "INSERT INTO settlement_posting
                 SELECT outfit_id, settlement_id, week_ends_on, NULL, now(), 'somebody' FROM settlement_posting LIMIT 1";
    let refused = service.keep(outfit, again).expect_err("the week is posted");
    assert_eq!(refused.code, TAKEN, "{}", refused.message);
    let rewritten = "UPDATE settlement_posting SET posted_by = 'nobody'";
    assert_eq!(code(history.owner().keep(outfit, rewritten)).as_deref(), Some(RECORD_STANDS));
}
