-- Hours of workers, and pay lines for one member's own time.
CREATE TABLE time_entry (
    outfit_id uuid NOT NULL,
    time_entry_id uuid NOT NULL,
    worker_id uuid NOT NULL,
    worked_on date NOT NULL,
    -- In millionths; none says that the entry it corrects should not have been there.
    hours bigint CHECK (hours > 0 AND hours <= 24000000),
    what_for text NOT NULL CHECK (what_for IN ('piece_work', 'rest', 'paid')),
    job_id uuid,
    crew_id uuid,
    task text,
    corrects uuid,
    correction_reason text,
    made_at timestamptz NOT NULL,
    made_by text NOT NULL,
    PRIMARY KEY (outfit_id, time_entry_id),
    -- An entry is corrected once; after that the correction is what there is to correct.
    UNIQUE (outfit_id, corrects),
    CHECK ((corrects IS NULL) = (correction_reason IS NULL)),
    CHECK (corrects <> time_entry_id),
    CHECK (corrects IS NOT NULL OR hours IS NOT NULL),
    CHECK (num_nonnulls(job_id, crew_id, task) = CASE what_for WHEN 'paid' THEN 3 ELSE 0 END),
    FOREIGN KEY (outfit_id, worker_id) REFERENCES worker,
    FOREIGN KEY (outfit_id, job_id) REFERENCES job,
    FOREIGN KEY (outfit_id, crew_id) REFERENCES crew,
    FOREIGN KEY (outfit_id, corrects) REFERENCES time_entry
);
CREATE INDEX time_entry_worker ON time_entry (outfit_id, worker_id, worked_on);
CREATE INDEX time_entry_worked_on ON time_entry (outfit_id, worked_on);
CREATE INDEX time_entry_job ON time_entry (outfit_id, job_id);
CREATE INDEX time_entry_crew ON time_entry (outfit_id, crew_id);
CALL guard_records('time_entry');

-- The hours that count: of entries that nothing corrects.
CREATE VIEW standing_time WITH (security_invoker = true) AS
SELECT time_entry.*
FROM time_entry
WHERE hours IS NOT NULL
  AND NOT EXISTS (SELECT FROM time_entry AS correction
                  WHERE correction.outfit_id = time_entry.outfit_id
                    AND correction.corrects = time_entry.time_entry_id);
GRANT SELECT ON standing_time TO skidway_service;

-- A line for time goes to one member of the crew, and no share set divides it.
ALTER TABLE settlement_line ADD COLUMN worker_id uuid;
ALTER TABLE settlement_line DROP CONSTRAINT settlement_line_check1;
ALTER TABLE settlement_line ADD CONSTRAINT settlement_line_crew_or_member
    CHECK (num_nonnulls(share_set_id, worker_id) = num_nonnulls(crew_id));
ALTER TABLE settlement_line ADD FOREIGN KEY (outfit_id, worker_id) REFERENCES worker;
CREATE INDEX settlement_line_worker ON settlement_line (outfit_id, worker_id);
