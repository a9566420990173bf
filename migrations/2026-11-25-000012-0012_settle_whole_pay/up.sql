-- A settlement beyond the lines of work: what is added to wages, what is kept back, and statements that show both.

-- What the draft said of each worker's pay beside the lines of work, and of the week's volumes.
ALTER TABLE settlement
    ADD COLUMN pays jsonb NOT NULL DEFAULT '[]' CHECK (jsonb_typeof(pays) = 'array'),
    ADD COLUMN volumes jsonb NOT NULL DEFAULT '[]' CHECK (jsonb_typeof(volumes) = 'array');
-- The defaults were for the rows that are there; from now on the service says what stands in every column.
ALTER TABLE settlement ALTER COLUMN pays DROP DEFAULT, ALTER COLUMN volumes DROP DEFAULT;

-- What was added to a worker's week: as a difference, so that all of it added up is what was settled.
CREATE TABLE settlement_supplement (
    outfit_id uuid NOT NULL,
    settlement_id uuid NOT NULL,
    worker_id uuid NOT NULL,
    week_ends_on date NOT NULL,
    supplement text NOT NULL
        CHECK (supplement IN ('guarantee_make_up', 'minimum_make_up', 'rest_pay', 'overtime_premium')),
    amount_minor bigint NOT NULL CHECK (amount_minor <> 0),
    PRIMARY KEY (outfit_id, settlement_id, worker_id, week_ends_on, supplement),
    FOREIGN KEY (outfit_id, settlement_id) REFERENCES settlement_posting,
    FOREIGN KEY (outfit_id, worker_id) REFERENCES worker
);
CREATE INDEX settlement_supplement_worker ON settlement_supplement (outfit_id, worker_id);
CALL guard_records('settlement_supplement');

-- What was kept back of a worker's pay; below zero where it was given back.
CREATE TABLE settlement_take_off (
    outfit_id uuid NOT NULL,
    settlement_id uuid NOT NULL,
    worker_id uuid NOT NULL,
    position smallint NOT NULL CHECK (position > 0),
    contract_id uuid,
    advance_id uuid,
    charge_id uuid,
    due_minor bigint NOT NULL,
    taken_minor bigint NOT NULL,
    PRIMARY KEY (outfit_id, settlement_id, worker_id, position),
    CHECK (num_nonnulls(contract_id, advance_id, charge_id) = 1),
    FOREIGN KEY (outfit_id, settlement_id) REFERENCES settlement_posting,
    FOREIGN KEY (outfit_id, worker_id) REFERENCES worker,
    FOREIGN KEY (outfit_id, contract_id) REFERENCES contract,
    FOREIGN KEY (outfit_id, advance_id) REFERENCES advance,
    FOREIGN KEY (outfit_id, charge_id) REFERENCES charge
);
CREATE INDEX settlement_take_off_worker ON settlement_take_off (outfit_id, worker_id);
CREATE INDEX settlement_take_off_contract ON settlement_take_off (outfit_id, contract_id);
CREATE INDEX settlement_take_off_advance ON settlement_take_off (outfit_id, advance_id);
CREATE INDEX settlement_take_off_charge ON settlement_take_off (outfit_id, charge_id);
CALL guard_records('settlement_take_off');

-- A statement foots: opening + earned + added - kept back - paid out since the last one + let go = closing.
ALTER TABLE statement
    ADD COLUMN added_minor bigint NOT NULL DEFAULT 0,
    ADD COLUMN kept_back_minor bigint NOT NULL DEFAULT 0,
    ADD COLUMN moved_minor bigint NOT NULL DEFAULT 0,
    DROP CONSTRAINT statement_check1,
    ADD CONSTRAINT statement_foots
        CHECK (opening_minor + moved_minor + earned_minor + added_minor - kept_back_minor = closing_minor);
ALTER TABLE statement
    ALTER COLUMN added_minor DROP DEFAULT,
    ALTER COLUMN kept_back_minor DROP DEFAULT,
    ALTER COLUMN moved_minor DROP DEFAULT;
