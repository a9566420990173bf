-- People, crews, and how a crew divides its pay from a date on.
CREATE TABLE worker (
    outfit_id uuid NOT NULL REFERENCES outfit,
    worker_id uuid NOT NULL,
    name text NOT NULL CHECK (name <> ''),
    made_at timestamptz NOT NULL,
    made_by text NOT NULL,
    PRIMARY KEY (outfit_id, worker_id),
    UNIQUE (outfit_id, name)
);
CALL guard_records('worker');

CREATE TABLE crew (
    outfit_id uuid NOT NULL REFERENCES outfit,
    crew_id uuid NOT NULL,
    name text NOT NULL CHECK (name <> ''),
    made_at timestamptz NOT NULL,
    made_by text NOT NULL,
    PRIMARY KEY (outfit_id, crew_id),
    UNIQUE (outfit_id, name)
);
CALL guard_records('crew');

CREATE TABLE share_set (
    outfit_id uuid NOT NULL,
    share_set_id uuid NOT NULL,
    crew_id uuid NOT NULL,
    effective_from date NOT NULL,
    -- A later revision for the same date takes the place of an earlier one; both stay readable.
    revision integer NOT NULL CHECK (revision > 0),
    made_at timestamptz NOT NULL,
    made_by text NOT NULL,
    PRIMARY KEY (outfit_id, share_set_id),
    UNIQUE (outfit_id, crew_id, revision),
    FOREIGN KEY (outfit_id, crew_id) REFERENCES crew
);
CALL guard_records('share_set');

CREATE TABLE share (
    outfit_id uuid NOT NULL,
    share_set_id uuid NOT NULL,
    position smallint NOT NULL CHECK (position > 0),
    worker_id uuid NOT NULL,
    parts_millionths bigint NOT NULL CHECK (parts_millionths > 0),
    PRIMARY KEY (outfit_id, share_set_id, position),
    UNIQUE (outfit_id, share_set_id, worker_id),
    FOREIGN KEY (outfit_id, share_set_id) REFERENCES share_set,
    FOREIGN KEY (outfit_id, worker_id) REFERENCES worker
);
CREATE INDEX share_worker ON share (outfit_id, worker_id);
CALL guard_records('share');
