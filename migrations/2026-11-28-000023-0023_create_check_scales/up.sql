-- A sample scaled again by somebody else, and what is added to or taken from a contract's scale after it.

-- How far a check scale may lie from the scale it checks; none where the contract does not say.
ALTER TABLE terms ADD COLUMN check_tolerance jsonb;

CREATE TABLE check_scale (
    outfit_id uuid NOT NULL,
    check_scale_id uuid NOT NULL,
    -- Whose practice and rule both scales go by.
    contract_id uuid NOT NULL,
    -- The lot: what was scaled under the contract on these days, by this scaler where one is named.
    from_day date NOT NULL,
    to_day date NOT NULL,
    lot_scaler text CHECK (lot_scaler <> ''),
    -- Whose scale is checked; none where the sampled tickets are of several scalers.
    scaler text CHECK (scaler <> ''),
    checked_on date NOT NULL,
    checker text NOT NULL CHECK (checker <> ''),
    notice text NOT NULL CHECK (notice IN ('blind', 'unannounced', 'announced')),
    -- The sampled pieces: the ticket, the piece's number on it unless it is one too many, what was measured unless it is
    -- missing.
    pieces jsonb NOT NULL CHECK (jsonb_typeof(pieces) = 'array' AND jsonb_array_length(pieces) > 0),
    remarks text,
    made_at timestamptz NOT NULL,
    made_by text NOT NULL,
    PRIMARY KEY (outfit_id, check_scale_id),
    CHECK (from_day <= to_day),
    CHECK (checker <> scaler),
    FOREIGN KEY (outfit_id, contract_id) REFERENCES contract
);
CREATE INDEX check_scale_contract ON check_scale (outfit_id, contract_id);
CREATE INDEX check_scale_scaler ON check_scale (outfit_id, scaler, checked_on);
CALL guard_records('check_scale');

-- That a contract's scale is adjusted after a check scale. One that was not taken back stands for each check scale: the
-- service sees to it while nobody else changes the books.
CREATE TABLE volume_adjustment (
    outfit_id uuid NOT NULL,
    volume_adjustment_id uuid NOT NULL,
    check_scale_id uuid NOT NULL,
    reason text NOT NULL CHECK (reason <> ''),
    -- Why it is adjusted although the contract's tolerance does not ask for it.
    although text CHECK (although <> ''),
    made_at timestamptz NOT NULL,
    made_by text NOT NULL,
    PRIMARY KEY (outfit_id, volume_adjustment_id),
    FOREIGN KEY (outfit_id, check_scale_id) REFERENCES check_scale
);
CREATE INDEX volume_adjustment_check_scale ON volume_adjustment (outfit_id, check_scale_id);
CALL guard_records('volume_adjustment');

-- What it adds to each day of the lot under each rate; below zero where it takes away.
CREATE TABLE volume_adjustment_quantity (
    outfit_id uuid NOT NULL,
    volume_adjustment_id uuid NOT NULL,
    scaled_on date NOT NULL,
    terms_id uuid NOT NULL,
    -- The rate's position in the terms, from 1.
    rate_number smallint NOT NULL CHECK (rate_number > 0),
    -- What the lot held of it when this was filed, and the check's ratio as a fraction: quantity = held × (ratio - 1). In
    -- millionths of the counted unit.
    held bigint NOT NULL,
    ratio text NOT NULL CHECK (ratio <> ''),
    quantity bigint NOT NULL CHECK (quantity <> 0),
    PRIMARY KEY (outfit_id, volume_adjustment_id, scaled_on, terms_id, rate_number),
    FOREIGN KEY (outfit_id, volume_adjustment_id) REFERENCES volume_adjustment,
    FOREIGN KEY (outfit_id, terms_id) REFERENCES terms
);
CREATE INDEX volume_adjustment_quantity_terms ON volume_adjustment_quantity (outfit_id, terms_id);
CREATE INDEX volume_adjustment_quantity_day ON volume_adjustment_quantity (outfit_id, scaled_on);
CALL guard_records('volume_adjustment_quantity');

-- That an adjustment does not stand any more.
CREATE TABLE volume_adjustment_reversal (
    outfit_id uuid NOT NULL,
    volume_adjustment_id uuid NOT NULL,
    -- Tells whether it was taken back before or after a week was posted.
    reversal_id uuid NOT NULL,
    reason text NOT NULL CHECK (reason <> ''),
    made_at timestamptz NOT NULL,
    made_by text NOT NULL,
    PRIMARY KEY (outfit_id, volume_adjustment_id),
    FOREIGN KEY (outfit_id, volume_adjustment_id) REFERENCES volume_adjustment
);
CALL guard_records('volume_adjustment_reversal');

-- The quantities that count: of adjustments that were not taken back, beside those of tickets.
CREATE VIEW standing_adjustment WITH (security_invoker = true) AS
SELECT quantity.*, check_scale.check_scale_id, check_scale.contract_id
FROM volume_adjustment_quantity AS quantity
JOIN volume_adjustment USING (outfit_id, volume_adjustment_id)
JOIN check_scale USING (outfit_id, check_scale_id)
WHERE NOT EXISTS (SELECT FROM volume_adjustment_reversal AS reversal
                  WHERE reversal.outfit_id = quantity.outfit_id
                    AND reversal.volume_adjustment_id = quantity.volume_adjustment_id);
GRANT SELECT ON standing_adjustment TO skidway_service;
