//! What a posted history comes to: totals that are kept apart and must agree.

use crate::history::History;

/// What has to hold, and a query for what does not.
const DISAGREEMENTS: [(&str, &str); 11] = [
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
        "a payee's posting in the journal is what his statement says of the week",
        "SELECT statement_id FROM statement JOIN settlement_posting USING (outfit_id, settlement_id)
         WHERE earned_minor + added_minor - kept_back_minor
               <> (SELECT coalesce(sum(CASE account WHEN 'payable_to_worker' THEN -amount_minor
                                                    ELSE amount_minor END), 0)
                                FROM journal_posting AS posting
                                WHERE posting.journal_entry_id = settlement_posting.journal_entry_id
                                AND account IN ('payable_to_worker', 'receivable_from_mill')
                                AND coalesce(posting.worker_id, posting.mill_id)
                                    = coalesce(statement.worker_id, statement.mill_id))",
    ),
    (
        "an account stood at what each statement closes with",
        "SELECT statement_id FROM statement
         WHERE closing_minor <> (SELECT coalesce(sum(CASE account WHEN 'payable_to_worker' THEN -amount_minor
                                                     ELSE amount_minor END), 0)
                                 FROM journal_posting AS posting
                                 WHERE account IN ('payable_to_worker', 'receivable_from_mill')
                                 AND coalesce(posting.worker_id, posting.mill_id)
                                     = coalesce(statement.worker_id, statement.mill_id)
                                 AND posting.journal_entry_id < statement.statement_id)",
    ),
    (
        "a statement says what was kept back",
        "SELECT statement_id FROM statement
         WHERE kept_back_minor <> (SELECT coalesce(sum(taken_minor), 0) FROM settlement_take_off AS taken
                                   WHERE taken.settlement_id = statement.settlement_id
                                   AND taken.worker_id IS NOT DISTINCT FROM statement.worker_id)",
    ),
    (
        "the journal holds what is held back",
        "SELECT worker_id FROM (
             SELECT worker_id, -amount_minor AS minor FROM journal_posting WHERE account = 'holdback_payable'
             UNION ALL
             SELECT worker_id, -taken_minor FROM settlement_take_off WHERE contract_id IS NOT NULL
             UNION ALL
             SELECT worker_id, amount_minor FROM holdback_release
             WHERE NOT EXISTS (SELECT FROM reversal WHERE reversal.release_id = holdback_release.release_id)
         ) AS both_ways GROUP BY worker_id HAVING sum(minor) <> 0",
    ),
    (
        "the journal knows what of the advances is to be recovered",
        "SELECT worker_id FROM (
             SELECT worker_id, amount_minor AS minor FROM journal_posting WHERE account = 'advance_to_worker'
             UNION ALL
             SELECT worker_id, taken_minor FROM settlement_take_off WHERE advance_id IS NOT NULL
             UNION ALL
             SELECT worker_id, -amount_minor FROM advance
             WHERE NOT EXISTS (SELECT FROM reversal WHERE reversal.advance_id = advance.advance_id)
         ) AS both_ways GROUP BY worker_id HAVING sum(minor) <> 0",
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
        let paid =
            "SELECT count(*) FROM journal_posting JOIN settlement_posting USING (outfit_id, journal_entry_id)
                    WHERE account = 'payable_to_worker'";
        assert_eq!((weeks, service.number_of(outfit, paid)), (2, 6), "three people in two weeks");
        for (says, query) in DISAGREEMENTS {
            let found = service.ask(outfit, query).expect("reading is allowed");
            assert!(found.is_empty(), "not so: {says}: {found:?}");
        }
    }
}
