-- What stands beside the scale in a worker's pay: wage terms, advances, charges, payments, holdback let go; and that
-- such a record does not stand.
CREATE TABLE wage_terms (
    outfit_id uuid NOT NULL REFERENCES outfit,
    wage_terms_id uuid NOT NULL,
    effective_from date NOT NULL,
    -- A later revision for the same date takes the place of an earlier one; both stay readable.
    revision integer NOT NULL CHECK (revision > 0),
    terms jsonb NOT NULL,
    filed_at timestamptz NOT NULL,
    filed_by text NOT NULL,
    PRIMARY KEY (outfit_id, wage_terms_id),
    UNIQUE (outfit_id, revision)
);
CALL guard_records('wage_terms');

-- More accounts: what is added to wages, what is kept back, and cash.
ALTER TABLE journal_posting
    ADD COLUMN detail text,
    DROP CONSTRAINT journal_posting_account_check,
    DROP CONSTRAINT journal_posting_check,
    DROP CONSTRAINT journal_posting_check1,
    DROP CONSTRAINT journal_posting_check2,
    ADD CONSTRAINT journal_posting_account_known CHECK (account IN (
        'work_expense', 'wage_expense', 'payable_to_worker', 'holdback_payable', 'advance_to_worker',
        'charges_recovered', 'receivable_from_mill', 'timber_income', 'cash')),
    ADD CONSTRAINT journal_posting_task_named CHECK ((account = 'work_expense') = (task IS NOT NULL)),
    ADD CONSTRAINT journal_posting_worker_named CHECK (
        (account IN ('payable_to_worker', 'holdback_payable', 'advance_to_worker')) = (worker_id IS NOT NULL)),
    ADD CONSTRAINT journal_posting_mill_named CHECK ((account = 'receivable_from_mill') = (mill_id IS NOT NULL)),
    ADD CONSTRAINT journal_posting_detail_named CHECK (
        (account IN ('wage_expense', 'charges_recovered')) = (detail IS NOT NULL));

-- What of a contract's pay is held back until it is released.
ALTER TABLE terms ADD COLUMN holdback jsonb;

CREATE TABLE charge (
    outfit_id uuid NOT NULL,
    charge_id uuid NOT NULL,
    worker_id uuid NOT NULL,
    dated date NOT NULL,
    kind text NOT NULL CHECK (kind IN ('board', 'lodging', 'store', 'tools', 'other')),
    says text NOT NULL CHECK (says <> ''),
    amount_minor bigint NOT NULL CHECK (amount_minor > 0),
    -- The most that is taken from one settlement: the whole amount where there is no other limit.
    most_a_week_minor bigint NOT NULL CHECK (most_a_week_minor BETWEEN 1 AND amount_minor),
    cuts_into_minimum boolean NOT NULL,
    made_at timestamptz NOT NULL,
    made_by text NOT NULL,
    PRIMARY KEY (outfit_id, charge_id),
    FOREIGN KEY (outfit_id, worker_id) REFERENCES worker
);
CREATE INDEX charge_worker ON charge (outfit_id, worker_id);
CALL guard_records('charge');

CREATE TABLE advance (
    outfit_id uuid NOT NULL,
    advance_id uuid NOT NULL,
    worker_id uuid NOT NULL,
    dated date NOT NULL,
    says text NOT NULL CHECK (says <> ''),
    amount_minor bigint NOT NULL CHECK (amount_minor > 0),
    recovery jsonb NOT NULL,
    journal_entry_id uuid NOT NULL,
    made_at timestamptz NOT NULL,
    made_by text NOT NULL,
    PRIMARY KEY (outfit_id, advance_id),
    FOREIGN KEY (outfit_id, worker_id) REFERENCES worker,
    FOREIGN KEY (outfit_id, journal_entry_id) REFERENCES journal_entry
);
CREATE INDEX advance_worker ON advance (outfit_id, worker_id);
CREATE INDEX advance_entry ON advance (outfit_id, journal_entry_id);
CALL guard_records('advance');

-- Money that changed hands: to a worker, or from a mill.
CREATE TABLE payment (
    outfit_id uuid NOT NULL,
    payment_id uuid NOT NULL,
    worker_id uuid,
    mill_id uuid,
    dated date NOT NULL,
    says text NOT NULL CHECK (says <> ''),
    amount_minor bigint NOT NULL CHECK (amount_minor > 0),
    journal_entry_id uuid NOT NULL,
    made_at timestamptz NOT NULL,
    made_by text NOT NULL,
    PRIMARY KEY (outfit_id, payment_id),
    CHECK (num_nonnulls(worker_id, mill_id) = 1),
    FOREIGN KEY (outfit_id, worker_id) REFERENCES worker,
    FOREIGN KEY (outfit_id, mill_id) REFERENCES mill,
    FOREIGN KEY (outfit_id, journal_entry_id) REFERENCES journal_entry
);
CREATE INDEX payment_worker ON payment (outfit_id, worker_id);
CREATE INDEX payment_mill ON payment (outfit_id, mill_id);
CREATE INDEX payment_entry ON payment (outfit_id, journal_entry_id);
CALL guard_records('payment');

CREATE TABLE holdback_release (
    outfit_id uuid NOT NULL,
    release_id uuid NOT NULL,
    worker_id uuid NOT NULL,
    contract_id uuid NOT NULL,
    dated date NOT NULL,
    says text NOT NULL CHECK (says <> ''),
    amount_minor bigint NOT NULL CHECK (amount_minor > 0),
    journal_entry_id uuid NOT NULL,
    made_at timestamptz NOT NULL,
    made_by text NOT NULL,
    PRIMARY KEY (outfit_id, release_id),
    FOREIGN KEY (outfit_id, worker_id) REFERENCES worker,
    FOREIGN KEY (outfit_id, contract_id) REFERENCES contract,
    FOREIGN KEY (outfit_id, journal_entry_id) REFERENCES journal_entry
);
CREATE INDEX holdback_release_worker ON holdback_release (outfit_id, worker_id);
CREATE INDEX holdback_release_contract ON holdback_release (outfit_id, contract_id);
CREATE INDEX holdback_release_entry ON holdback_release (outfit_id, journal_entry_id);
CALL guard_records('holdback_release');

-- That a record of money does not stand: it stays readable, with who took it back and why.
CREATE TABLE reversal (
    outfit_id uuid NOT NULL,
    reversal_id uuid NOT NULL,
    charge_id uuid,
    advance_id uuid,
    payment_id uuid,
    release_id uuid,
    reason text NOT NULL CHECK (reason <> ''),
    -- None for a charge, which is in the journal only as far as it was taken.
    journal_entry_id uuid,
    made_at timestamptz NOT NULL,
    made_by text NOT NULL,
    PRIMARY KEY (outfit_id, reversal_id),
    CHECK (num_nonnulls(charge_id, advance_id, payment_id, release_id) = 1),
    CHECK ((charge_id IS NULL) = (journal_entry_id IS NOT NULL)),
    -- Nothing is taken back twice.
    UNIQUE (outfit_id, charge_id),
    UNIQUE (outfit_id, advance_id),
    UNIQUE (outfit_id, payment_id),
    UNIQUE (outfit_id, release_id),
    FOREIGN KEY (outfit_id, charge_id) REFERENCES charge,
    FOREIGN KEY (outfit_id, advance_id) REFERENCES advance,
    FOREIGN KEY (outfit_id, payment_id) REFERENCES payment,
    FOREIGN KEY (outfit_id, release_id) REFERENCES holdback_release,
    FOREIGN KEY (outfit_id, journal_entry_id) REFERENCES journal_entry
);
CREATE INDEX reversal_entry ON reversal (outfit_id, journal_entry_id);
CALL guard_records('reversal');
