-- Turns that somebody other than the scaler counted: those a crew moved, or those that came in at a mill.
CREATE TABLE turn_count (
    outfit_id uuid NOT NULL REFERENCES outfit,
    turn_count_id uuid NOT NULL,
    job_id uuid NOT NULL,
    counted_on date NOT NULL,
    crew_id uuid,
    mill_id uuid,
    turns integer NOT NULL CHECK (turns >= 0),
    -- Who stood there and counted.
    counted_by text NOT NULL CHECK (counted_by <> ''),
    -- Of the counts for one job, day and party the highest revision is what counts; the others stay readable.
    revision integer NOT NULL CHECK (revision > 0),
    made_at timestamptz NOT NULL,
    made_by text NOT NULL,
    PRIMARY KEY (outfit_id, turn_count_id),
    CHECK (num_nonnulls(crew_id, mill_id) = 1),
    UNIQUE (outfit_id, job_id, counted_on, crew_id, revision),
    UNIQUE (outfit_id, job_id, counted_on, mill_id, revision),
    FOREIGN KEY (outfit_id, job_id) REFERENCES job,
    FOREIGN KEY (outfit_id, crew_id) REFERENCES crew,
    FOREIGN KEY (outfit_id, mill_id) REFERENCES mill
);
CREATE INDEX turn_count_crew ON turn_count (outfit_id, crew_id);
CREATE INDEX turn_count_mill ON turn_count (outfit_id, mill_id);
CALL guard_records('turn_count');
