-- Cruises: what was measured on standing trees. What that says of the tract is worked out whenever it is asked for. A wrong
-- one is taken back, and another is filed.
CREATE TABLE cruise (
    outfit_id uuid NOT NULL REFERENCES outfit,
    cruise_id uuid NOT NULL,
    job_id uuid NOT NULL,
    cruised_on date NOT NULL,
    cruiser text NOT NULL CHECK (cruiser <> ''),
    -- The method, the formula, and plot by plot the trees.
    measured jsonb NOT NULL CHECK (jsonb_typeof(measured) = 'object'),
    remarks text,
    made_at timestamptz NOT NULL,
    made_by text NOT NULL,
    PRIMARY KEY (outfit_id, cruise_id),
    FOREIGN KEY (outfit_id, job_id) REFERENCES job
);
CREATE INDEX cruise_job ON cruise (outfit_id, job_id);
CALL guard_records('cruise');

-- That a cruise does not stand, and why.
CREATE TABLE cruise_withdrawal (
    outfit_id uuid NOT NULL,
    cruise_id uuid NOT NULL,
    reason text NOT NULL CHECK (reason <> ''),
    made_at timestamptz NOT NULL,
    made_by text NOT NULL,
    -- Nothing is taken back twice.
    PRIMARY KEY (outfit_id, cruise_id),
    FOREIGN KEY (outfit_id, cruise_id) REFERENCES cruise
);
CALL guard_records('cruise_withdrawal');
