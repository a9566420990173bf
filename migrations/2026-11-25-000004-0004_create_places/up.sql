-- Mills, jobs and their landings.
CREATE TABLE mill (
    outfit_id uuid NOT NULL REFERENCES outfit,
    mill_id uuid NOT NULL,
    name text NOT NULL CHECK (name <> ''),
    made_at timestamptz NOT NULL,
    made_by text NOT NULL,
    PRIMARY KEY (outfit_id, mill_id),
    UNIQUE (outfit_id, name)
);
CALL guard_records('mill');

CREATE TABLE job (
    outfit_id uuid NOT NULL REFERENCES outfit,
    job_id uuid NOT NULL,
    name text NOT NULL CHECK (name <> ''),
    made_at timestamptz NOT NULL,
    made_by text NOT NULL,
    PRIMARY KEY (outfit_id, job_id),
    UNIQUE (outfit_id, name)
);
CALL guard_records('job');

CREATE TABLE landing (
    outfit_id uuid NOT NULL,
    landing_id uuid NOT NULL,
    job_id uuid NOT NULL,
    name text NOT NULL CHECK (name <> ''),
    made_at timestamptz NOT NULL,
    made_by text NOT NULL,
    PRIMARY KEY (outfit_id, landing_id),
    UNIQUE (outfit_id, job_id, name),
    -- So that a ticket's landing can be held to its job.
    UNIQUE (outfit_id, landing_id, job_id),
    FOREIGN KEY (outfit_id, job_id) REFERENCES job
);
CALL guard_records('landing');
