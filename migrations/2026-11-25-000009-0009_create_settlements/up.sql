-- A week's settlement: drafted as often as one likes, posted once and for good.
CREATE TABLE settlement (
    outfit_id uuid NOT NULL REFERENCES outfit,
    settlement_id uuid NOT NULL,
    week_ends_on date NOT NULL,
    -- What the draft said, and its SHA-256: only what was read can be posted.
    lines jsonb NOT NULL CHECK (jsonb_typeof(lines) = 'array'),
    fingerprint bytea NOT NULL CHECK (octet_length(fingerprint) = 32),
    drafted_at timestamptz NOT NULL,
    drafted_by text NOT NULL,
    PRIMARY KEY (outfit_id, settlement_id),
    UNIQUE (outfit_id, settlement_id, week_ends_on)
);
CREATE INDEX settlement_week ON settlement (outfit_id, week_ends_on);
CALL guard_records('settlement');

CREATE TABLE settlement_posting (
    outfit_id uuid NOT NULL,
    settlement_id uuid NOT NULL,
    week_ends_on date NOT NULL,
    -- None when a week had nothing to pay.
    journal_entry_id uuid,
    posted_at timestamptz NOT NULL,
    posted_by text NOT NULL,
    PRIMARY KEY (outfit_id, settlement_id),
    -- A week is posted once.
    UNIQUE (outfit_id, week_ends_on),
    FOREIGN KEY (outfit_id, settlement_id, week_ends_on)
        REFERENCES settlement (outfit_id, settlement_id, week_ends_on),
    FOREIGN KEY (outfit_id, journal_entry_id) REFERENCES journal_entry
);
CREATE INDEX settlement_posting_entry ON settlement_posting (outfit_id, journal_entry_id);
CALL guard_records('settlement_posting');

-- The lines of posted settlements. A line is the difference between what the books say of a week, rate and crew
-- and what had been posted for them before; added up over all settlements it is what was settled.
CREATE TABLE settlement_line (
    outfit_id uuid NOT NULL,
    settlement_id uuid NOT NULL,
    line_number integer NOT NULL CHECK (line_number > 0),
    week_ends_on date NOT NULL,
    contract_id uuid NOT NULL,
    terms_id uuid NOT NULL,
    rate_number smallint NOT NULL CHECK (rate_number > 0),
    crew_id uuid,
    share_set_id uuid,
    mill_id uuid,
    quantity bigint NOT NULL,
    pieces bigint NOT NULL,
    amount_minor bigint NOT NULL,
    -- Derivations that this line pays for the first time, and those it takes back.
    entered uuid[] NOT NULL,
    withdrawn uuid[] NOT NULL,
    PRIMARY KEY (outfit_id, settlement_id, line_number),
    CHECK (num_nonnulls(crew_id, mill_id) = 1),
    CHECK ((crew_id IS NULL) = (share_set_id IS NULL)),
    FOREIGN KEY (outfit_id, settlement_id) REFERENCES settlement_posting,
    FOREIGN KEY (outfit_id, contract_id) REFERENCES contract,
    FOREIGN KEY (outfit_id, terms_id) REFERENCES terms,
    FOREIGN KEY (outfit_id, crew_id) REFERENCES crew,
    FOREIGN KEY (outfit_id, share_set_id) REFERENCES share_set,
    FOREIGN KEY (outfit_id, mill_id) REFERENCES mill
);
CREATE INDEX settlement_line_week ON settlement_line (outfit_id, week_ends_on);
CREATE INDEX settlement_line_contract ON settlement_line (outfit_id, contract_id);
CREATE INDEX settlement_line_terms ON settlement_line (outfit_id, terms_id);
CREATE INDEX settlement_line_crew ON settlement_line (outfit_id, crew_id);
CREATE INDEX settlement_line_share_set ON settlement_line (outfit_id, share_set_id);
CREATE INDEX settlement_line_mill ON settlement_line (outfit_id, mill_id);
CALL guard_records('settlement_line');

-- How a line's amount fell to those it is paid to.
CREATE TABLE settlement_share (
    outfit_id uuid NOT NULL,
    settlement_id uuid NOT NULL,
    line_number integer NOT NULL,
    position smallint NOT NULL CHECK (position > 0),
    worker_id uuid,
    mill_id uuid,
    amount_minor bigint NOT NULL,
    PRIMARY KEY (outfit_id, settlement_id, line_number, position),
    CHECK (num_nonnulls(worker_id, mill_id) = 1),
    FOREIGN KEY (outfit_id, settlement_id, line_number) REFERENCES settlement_line,
    FOREIGN KEY (outfit_id, worker_id) REFERENCES worker,
    FOREIGN KEY (outfit_id, mill_id) REFERENCES mill
);
CREATE INDEX settlement_share_worker ON settlement_share (outfit_id, worker_id);
CREATE INDEX settlement_share_mill ON settlement_share (outfit_id, mill_id);
CALL guard_records('settlement_share');

-- At the end of the transaction the shares of every line it touched must sum to the line's amount; checked as the
-- balance of a journal entry is.
CREATE FUNCTION refuse_uneven_shares() RETURNS trigger
    LANGUAGE plpgsql SET search_path = pg_catalog, public, pg_temp AS $$
DECLARE
    outfit_before text := current_setting('skidway.outfit', true);
    difference numeric;
BEGIN
    PERFORM set_config('skidway.outfit', NEW.outfit_id::text, true);
    SELECT line.amount_minor - coalesce(sum(share.amount_minor), 0) INTO difference
    FROM settlement_line AS line
    LEFT JOIN settlement_share AS share USING (outfit_id, settlement_id, line_number)
    WHERE line.outfit_id = NEW.outfit_id AND line.settlement_id = NEW.settlement_id
      AND line.line_number = NEW.line_number
    GROUP BY line.amount_minor;
    PERFORM set_config('skidway.outfit', coalesce(outfit_before, ''), true);
    IF difference <> 0 THEN
        RAISE EXCEPTION 'line % of settlement % is shared out unevenly: % are left over',
            NEW.line_number, NEW.settlement_id, difference USING ERRCODE = 'check_violation';
    END IF;
    RETURN NULL;
END
$$;
CREATE CONSTRAINT TRIGGER shares_sum_to_line AFTER INSERT ON settlement_line
    DEFERRABLE INITIALLY DEFERRED FOR EACH ROW EXECUTE FUNCTION refuse_uneven_shares();
CREATE CONSTRAINT TRIGGER line_is_shared_out AFTER INSERT ON settlement_share
    DEFERRABLE INITIALLY DEFERRED FOR EACH ROW EXECUTE FUNCTION refuse_uneven_shares();

CREATE TABLE statement (
    outfit_id uuid NOT NULL,
    statement_id uuid NOT NULL,
    settlement_id uuid NOT NULL,
    worker_id uuid,
    mill_id uuid,
    opening_minor bigint NOT NULL,
    earned_minor bigint NOT NULL,
    closing_minor bigint NOT NULL,
    PRIMARY KEY (outfit_id, statement_id),
    UNIQUE (outfit_id, settlement_id, worker_id),
    UNIQUE (outfit_id, settlement_id, mill_id),
    CHECK (num_nonnulls(worker_id, mill_id) = 1),
    CHECK (opening_minor + earned_minor = closing_minor),
    FOREIGN KEY (outfit_id, settlement_id) REFERENCES settlement_posting,
    FOREIGN KEY (outfit_id, worker_id) REFERENCES worker,
    FOREIGN KEY (outfit_id, mill_id) REFERENCES mill
);
CREATE INDEX statement_worker ON statement (outfit_id, worker_id);
CREATE INDEX statement_mill ON statement (outfit_id, mill_id);
CALL guard_records('statement');
