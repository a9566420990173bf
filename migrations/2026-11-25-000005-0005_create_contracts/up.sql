-- Agreements and what they say from a date on.
CREATE TABLE contract (
    outfit_id uuid NOT NULL,
    contract_id uuid NOT NULL,
    title text NOT NULL CHECK (title <> ''),
    job_id uuid NOT NULL,
    -- The other party: a crew whom we pay, or a mill that pays us.
    crew_id uuid,
    mill_id uuid,
    made_at timestamptz NOT NULL,
    made_by text NOT NULL,
    PRIMARY KEY (outfit_id, contract_id),
    CHECK (num_nonnulls(crew_id, mill_id) = 1),
    -- One agreement for a party on a job, so that no stick can be paid twice under two of them.
    UNIQUE (outfit_id, job_id, crew_id),
    UNIQUE (outfit_id, job_id, mill_id),
    FOREIGN KEY (outfit_id, job_id) REFERENCES job,
    FOREIGN KEY (outfit_id, crew_id) REFERENCES crew,
    FOREIGN KEY (outfit_id, mill_id) REFERENCES mill
);
CREATE INDEX contract_crew ON contract (outfit_id, crew_id);
CREATE INDEX contract_mill ON contract (outfit_id, mill_id);
CALL guard_records('contract');

CREATE TABLE terms (
    outfit_id uuid NOT NULL,
    terms_id uuid NOT NULL,
    contract_id uuid NOT NULL,
    effective_from date NOT NULL,
    -- A later revision for the same date takes the place of an earlier one; both stay readable.
    revision integer NOT NULL CHECK (revision > 0),
    practice jsonb NOT NULL,
    rates jsonb NOT NULL CHECK (jsonb_typeof(rates) = 'array'),
    filed_at timestamptz NOT NULL,
    filed_by text NOT NULL,
    PRIMARY KEY (outfit_id, terms_id),
    UNIQUE (outfit_id, contract_id, revision),
    FOREIGN KEY (outfit_id, contract_id) REFERENCES contract
);
CALL guard_records('terms');
