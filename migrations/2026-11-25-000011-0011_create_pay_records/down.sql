DROP TABLE reversal;
DROP TABLE holdback_release;
DROP TABLE payment;
DROP TABLE advance;
DROP TABLE charge;
ALTER TABLE terms DROP COLUMN holdback;
ALTER TABLE journal_posting
    DROP CONSTRAINT journal_posting_detail_named,
    DROP CONSTRAINT journal_posting_mill_named,
    DROP CONSTRAINT journal_posting_worker_named,
    DROP CONSTRAINT journal_posting_task_named,
    DROP CONSTRAINT journal_posting_account_known,
    DROP COLUMN detail,
    ADD CONSTRAINT journal_posting_account_check CHECK (account IN ('work_expense', 'payable_to_worker', 'receivable_from_mill',
                                             'timber_income')),
    ADD CONSTRAINT journal_posting_check CHECK ((account = 'work_expense') = (task IS NOT NULL)),
    ADD CONSTRAINT journal_posting_check1 CHECK ((account = 'payable_to_worker') = (worker_id IS NOT NULL)),
    ADD CONSTRAINT journal_posting_check2 CHECK ((account = 'receivable_from_mill') = (mill_id IS NOT NULL));
DROP TABLE wage_terms;
