//! What a posted history comes to: totals that are kept apart and must agree.

use crate::history::History;

/// What has to hold, and a query for what does not.
const DISAGREEMENTS: [(&str, &str); 8] = [
    ("entries sum to zero", "SELECT journal_entry_id FROM journal_posting GROUP BY 1 HAVING sum(amount_minor) <> 0"),
    (
        "lines sum to their shares",
        "SELECT line_number FROM settlement_line AS line
         WHERE amount_minor <> (SELECT coalesce(sum(amount_minor), 0) FROM settlement_share AS share
                                WHERE (share.settlement_id, share.line_number)
                                      = (line.settlement_id, line.line_number))",
    ),
    (
        "statements say what the shares of their settlement come to",
        "SELECT statement_id FROM statement
         WHERE earned_minor <> (SELECT coalesce(sum(amount_minor), 0) FROM settlement_share AS share
                                WHERE share.settlement_id = statement.settlement_id
                                AND coalesce(share.worker_id, share.mill_id)
                                    = coalesce(statement.worker_id, statement.mill_id))",
    ),
    (
        "whoever has a share has a statement",
        "SELECT settlement_id FROM settlement_share AS share
         WHERE NOT EXISTS (SELECT FROM statement WHERE statement.settlement_id = share.settlement_id
                           AND coalesce(share.worker_id, share.mill_id)
                               = coalesce(statement.worker_id, statement.mill_id))",
    ),
    (
        "a payee's posting in the journal is what his statement says he earned",
        "SELECT statement_id FROM statement JOIN settlement_posting USING (outfit_id, settlement_id)
         WHERE earned_minor <> (SELECT coalesce(sum(CASE account WHEN 'payable_to_worker' THEN -amount_minor
                                                    ELSE amount_minor END), 0)
                                FROM journal_posting AS posting
                                WHERE posting.journal_entry_id = settlement_posting.journal_entry_id
                                AND account IN ('payable_to_worker', 'receivable_from_mill')
                                AND coalesce(posting.worker_id, posting.mill_id)
                                    = coalesce(statement.worker_id, statement.mill_id))",
    ),
    (
        "an account stands at what the payee's latest statement closes with",
        "SELECT payee FROM (
             SELECT coalesce(worker_id, mill_id) AS payee,
                    sum(CASE account WHEN 'payable_to_worker' THEN -amount_minor ELSE amount_minor END) AS balance
             FROM journal_posting WHERE account IN ('payable_to_worker', 'receivable_from_mill') GROUP BY 1
         ) AS balances FULL JOIN (
             SELECT DISTINCT ON (payee) coalesce(worker_id, mill_id) AS payee, closing_minor
             FROM statement JOIN settlement_posting USING (outfit_id, settlement_id)
             ORDER BY payee, settlement_posting.week_ends_on DESC
         ) AS closings USING (payee) WHERE balance IS DISTINCT FROM closing_minor",
    ),
    (
        "an opening is the closing before",
        "SELECT statement_id FROM (
             SELECT statement_id, opening_minor,
                    lag(closing_minor, 1, 0::bigint) OVER (PARTITION BY coalesce(worker_id, mill_id)
                                                           ORDER BY settlement_posting.week_ends_on) AS before
             FROM statement JOIN settlement_posting USING (outfit_id, settlement_id)
         ) AS ordered WHERE opening_minor <> before",
    ),
    (
        "the cost of a task is what its lines come to",
        "SELECT settlement_id FROM settlement_posting JOIN journal_posting USING (outfit_id, journal_entry_id)
         WHERE account IN ('work_expense', 'timber_income') GROUP BY settlement_id
         HAVING sum(amount_minor) <> (SELECT sum(CASE WHEN crew_id IS NULL THEN -amount_minor ELSE amount_minor END)
                                      FROM settlement_line AS line
                                      WHERE line.settlement_id = settlement_posting.settlement_id)",
    ),
];

#[test]
fn a_posted_history_adds_up() {
    let history = History::shared();
    let service = history.service();
    for outfit in history.outfits().map(|one| one.outfit) {
        let weeks = service.number_of(outfit, "SELECT count(*) FROM settlement_posting");
        let paid = "SELECT count(*) FROM journal_posting WHERE account = 'payable_to_worker'";
        assert_eq!((weeks, service.number_of(outfit, paid)), (2, 6), "three people in two weeks");
        for (says, query) in DISAGREEMENTS {
            let found = service.ask(outfit, query).expect("reading is allowed");
            assert!(found.is_empty(), "not so: {says}: {found:?}");
        }
    }
}
