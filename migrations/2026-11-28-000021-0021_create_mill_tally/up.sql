-- What mills sawed out of the logs that were delivered to them. A wrong one is taken back, and another is filed.
CREATE TABLE mill_tally (
    outfit_id uuid NOT NULL REFERENCES outfit,
    mill_tally_id uuid NOT NULL,
    mill_id uuid NOT NULL,
    -- None where logs of all jobs were sawn together.
    job_id uuid,
    -- The days, by which tickets were scaled, whose logs are in it.
    first_day date NOT NULL,
    last_day date NOT NULL,
    -- Lumber in millionths of a board foot, line by line: one line without a species, or one for each species.
    species text[] NOT NULL,
    board_feet bigint[] NOT NULL,
    lumber_state text NOT NULL CHECK (lumber_state <> ''),
    -- Who says so.
    tallied_by text NOT NULL CHECK (tallied_by <> ''),
    remarks text,
    made_at timestamptz NOT NULL,
    made_by text NOT NULL,
    PRIMARY KEY (outfit_id, mill_tally_id),
    CHECK (first_day <= last_day),
    CHECK (cardinality(species) = cardinality(board_feet) AND cardinality(species) > 0),
    CHECK (0 < ALL (board_feet)),
    FOREIGN KEY (outfit_id, mill_id) REFERENCES mill,
    FOREIGN KEY (outfit_id, job_id) REFERENCES job
);
CREATE INDEX mill_tally_mill ON mill_tally (outfit_id, mill_id);
CREATE INDEX mill_tally_job ON mill_tally (outfit_id, job_id);
CALL guard_records('mill_tally');

-- That a mill tally does not stand, and why.
CREATE TABLE mill_tally_withdrawal (
    outfit_id uuid NOT NULL,
    mill_tally_id uuid NOT NULL,
    reason text NOT NULL CHECK (reason <> ''),
    made_at timestamptz NOT NULL,
    made_by text NOT NULL,
    -- Nothing is taken back twice.
    PRIMARY KEY (outfit_id, mill_tally_id),
    FOREIGN KEY (outfit_id, mill_tally_id) REFERENCES mill_tally
);
CALL guard_records('mill_tally_withdrawal');
