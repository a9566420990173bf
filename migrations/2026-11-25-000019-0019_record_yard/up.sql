-- What a yard lives with: clocks of devices, tickets that come late, sheets that never come, scalers' certificates.
ALTER TABLE ticket
    -- By the device's own clock, which nobody vouches for: written down, and nothing is computed from it.
    ADD COLUMN device_time_measured timestamptz,
    ADD COLUMN device_time_sent timestamptz,
    -- How far that clock was ahead of the service's when the ticket was accepted; below zero where it was behind.
    ADD COLUMN device_clock_ahead_seconds bigint,
    -- The settlement that had closed its week when it was accepted. None for tickets that came in time, and for those
    -- accepted before this was written down.
    ADD COLUMN late_for uuid,
    ADD CONSTRAINT ticket_device_clock_check
        CHECK ((device_time_sent IS NULL) = (device_clock_ahead_seconds IS NULL)),
    ADD FOREIGN KEY (outfit_id, late_for) REFERENCES settlement_posting;
CREATE INDEX ticket_late_for ON ticket (outfit_id, late_for) WHERE late_for IS NOT NULL;

-- Numbers of a scale book that will never come, and why. No ticket may have one: the service sees to it while nobody else
-- adds tickets.
CREATE TABLE voided_numbers (
    outfit_id uuid NOT NULL REFERENCES outfit,
    voided_numbers_id uuid NOT NULL,
    book text NOT NULL CHECK (book <> ''),
    first_number bigint NOT NULL CHECK (first_number > 0),
    last_number bigint NOT NULL,
    reason text NOT NULL CHECK (reason <> ''),
    made_at timestamptz NOT NULL,
    made_by text NOT NULL,
    PRIMARY KEY (outfit_id, voided_numbers_id),
    UNIQUE (outfit_id, book, first_number),
    CHECK (first_number <= last_number)
);
CALL guard_records('voided_numbers');

-- What a scaler may show for himself. Nothing is refused for the lack of it: licensing is local law.
CREATE TABLE scaler_certificate (
    outfit_id uuid NOT NULL REFERENCES outfit,
    scaler_certificate_id uuid NOT NULL,
    -- The name as it stands on tickets.
    scaler text NOT NULL CHECK (scaler <> ''),
    certificate text NOT NULL CHECK (certificate <> ''),
    issued_by text NOT NULL CHECK (issued_by <> ''),
    valid_from date NOT NULL,
    valid_to date NOT NULL,
    made_at timestamptz NOT NULL,
    made_by text NOT NULL,
    PRIMARY KEY (outfit_id, scaler_certificate_id),
    CHECK (valid_from <= valid_to)
);
CREATE INDEX scaler_certificate_scaler ON scaler_certificate (outfit_id, scaler, valid_from);
CALL guard_records('scaler_certificate');
