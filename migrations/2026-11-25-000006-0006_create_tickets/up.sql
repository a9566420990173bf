-- Scale tickets: the measured facts, and nothing that is derived from them.
CREATE TABLE ticket (
    outfit_id uuid NOT NULL,
    ticket_id uuid NOT NULL,
    book text NOT NULL CHECK (book <> ''),
    number bigint NOT NULL CHECK (number > 0),
    job_id uuid NOT NULL,
    landing_id uuid NOT NULL,
    scaled_on date NOT NULL,
    scaler text NOT NULL CHECK (scaler <> ''),
    -- Which crew did which task, to which pieces.
    work jsonb NOT NULL CHECK (jsonb_typeof(work) = 'array'),
    turn jsonb,
    delivered_to uuid,
    -- A ticket is immutable, so its sticks live in its row as one document, in the order they were scaled.
    pieces jsonb NOT NULL CHECK (jsonb_typeof(pieces) = 'array'),
    remarks text,
    corrects uuid,
    correction_reason text,
    -- SHA-256 of the content in canonical form, to tell a repeat from another ticket with the same number.
    fingerprint bytea NOT NULL CHECK (octet_length(fingerprint) = 32),
    accepted_at timestamptz NOT NULL,
    accepted_by text NOT NULL,
    PRIMARY KEY (outfit_id, ticket_id),
    UNIQUE (outfit_id, book, number),
    -- A ticket is corrected once; after that the correction is what there is to correct.
    UNIQUE (outfit_id, corrects),
    CHECK ((corrects IS NULL) = (correction_reason IS NULL)),
    CHECK (corrects <> ticket_id),
    CHECK (corrects IS NOT NULL OR jsonb_array_length(pieces) > 0),
    FOREIGN KEY (outfit_id, landing_id, job_id) REFERENCES landing (outfit_id, landing_id, job_id),
    FOREIGN KEY (outfit_id, delivered_to) REFERENCES mill,
    FOREIGN KEY (outfit_id, corrects) REFERENCES ticket
);
CREATE INDEX ticket_landing ON ticket (outfit_id, landing_id, job_id);
CREATE INDEX ticket_delivered_to ON ticket (outfit_id, delivered_to) WHERE delivered_to IS NOT NULL;
CREATE INDEX ticket_scaled_on ON ticket (outfit_id, scaled_on);
CALL guard_records('ticket');

-- One row a stick, for whoever asks in SQL.
CREATE VIEW piece WITH (security_invoker = true) AS
SELECT ticket.outfit_id, ticket.ticket_id, ticket.book, ticket.number, ticket.job_id, ticket.landing_id,
       ticket.scaled_on, ticket.scaler, stick.position AS piece_number,
       stick.facts ->> 'product' AS product, stick.facts ->> 'species' AS species,
       stick.facts ->> 'grade' AS grade, stick.facts AS facts,
       EXISTS (SELECT FROM ticket AS later
               WHERE later.outfit_id = ticket.outfit_id AND later.corrects = ticket.ticket_id) AS corrected
FROM ticket
CROSS JOIN LATERAL jsonb_array_elements(ticket.pieces) WITH ORDINALITY AS stick (facts, position);
GRANT SELECT ON piece TO skidway_service;
