-- What a contract's terms made of a ticket: volumes beside the sticks, and what they add up to for each rate.
CREATE TABLE derivation (
    outfit_id uuid NOT NULL,
    derivation_id uuid NOT NULL,
    ticket_id uuid NOT NULL,
    contract_id uuid NOT NULL,
    terms_id uuid NOT NULL,
    -- Filing terms for a past date derives again; the highest revision is what counts.
    revision integer NOT NULL CHECK (revision > 0),
    derived_at timestamptz NOT NULL,
    -- In the order of the ticket's pieces; volumes in millionths of the unit, NULL where there is none.
    units text[] NOT NULL,
    gross bigint[] NOT NULL,
    net bigint[] NOT NULL,
    -- Why a piece is a cull, NULL where it is none.
    culls text[] NOT NULL,
    PRIMARY KEY (outfit_id, derivation_id),
    UNIQUE (outfit_id, ticket_id, contract_id, revision),
    CHECK (cardinality(units) = cardinality(gross) AND cardinality(gross) = cardinality(net)
           AND cardinality(net) = cardinality(culls)),
    FOREIGN KEY (outfit_id, ticket_id) REFERENCES ticket,
    FOREIGN KEY (outfit_id, contract_id) REFERENCES contract,
    FOREIGN KEY (outfit_id, terms_id) REFERENCES terms
);
CREATE INDEX derivation_contract ON derivation (outfit_id, contract_id);
CREATE INDEX derivation_terms ON derivation (outfit_id, terms_id);
CALL guard_records('derivation');

CREATE TABLE accrual (
    outfit_id uuid NOT NULL,
    derivation_id uuid NOT NULL,
    -- The rate's position in the terms, from 1.
    rate_number smallint NOT NULL CHECK (rate_number > 0),
    scaled_on date NOT NULL,
    -- In millionths of the counted unit: board feet, pieces, feet, turns.
    quantity bigint NOT NULL CHECK (quantity >= 0),
    piece_numbers smallint[] NOT NULL,
    PRIMARY KEY (outfit_id, derivation_id, rate_number),
    FOREIGN KEY (outfit_id, derivation_id) REFERENCES derivation
);
CREATE INDEX accrual_scaled_on ON accrual (outfit_id, scaled_on);
CALL guard_records('accrual');

-- Pieces that no rate covers: visible, never zero.
CREATE TABLE unpriced (
    outfit_id uuid NOT NULL,
    unpriced_id uuid NOT NULL,
    ticket_id uuid NOT NULL,
    -- None where there was no contract, or none with terms for the day, to derive under.
    derivation_id uuid,
    task text NOT NULL,
    -- None where it is the whole turn.
    piece_number smallint CHECK (piece_number > 0),
    crew_id uuid,
    mill_id uuid,
    reason jsonb NOT NULL,
    PRIMARY KEY (outfit_id, unpriced_id),
    CHECK (num_nonnulls(crew_id, mill_id) = 1),
    FOREIGN KEY (outfit_id, ticket_id) REFERENCES ticket,
    FOREIGN KEY (outfit_id, derivation_id) REFERENCES derivation,
    FOREIGN KEY (outfit_id, crew_id) REFERENCES crew,
    FOREIGN KEY (outfit_id, mill_id) REFERENCES mill
);
CREATE INDEX unpriced_ticket ON unpriced (outfit_id, ticket_id);
CREATE INDEX unpriced_derivation ON unpriced (outfit_id, derivation_id);
CREATE INDEX unpriced_crew ON unpriced (outfit_id, crew_id);
CREATE INDEX unpriced_mill ON unpriced (outfit_id, mill_id);
CALL guard_records('unpriced');

-- A person's decision, with a reason, that a task on a ticket is not paid by piece rate.
CREATE TABLE set_aside (
    outfit_id uuid NOT NULL,
    set_aside_id uuid NOT NULL,
    ticket_id uuid NOT NULL,
    task text NOT NULL,
    -- None means every piece of the ticket.
    piece_number smallint CHECK (piece_number > 0),
    reason text NOT NULL CHECK (reason <> ''),
    made_at timestamptz NOT NULL,
    made_by text NOT NULL,
    PRIMARY KEY (outfit_id, set_aside_id),
    FOREIGN KEY (outfit_id, ticket_id) REFERENCES ticket
);
CREATE INDEX set_aside_ticket ON set_aside (outfit_id, ticket_id);
CALL guard_records('set_aside');

-- The derivations that count: of tickets that stand, the latest for each contract.
CREATE VIEW standing_derivation WITH (security_invoker = true) AS
SELECT derivation.*
FROM derivation
WHERE NOT EXISTS (SELECT FROM derivation AS later
                  WHERE later.outfit_id = derivation.outfit_id AND later.ticket_id = derivation.ticket_id
                    AND later.contract_id = derivation.contract_id AND later.revision > derivation.revision)
  AND NOT EXISTS (SELECT FROM ticket AS correction
                  WHERE correction.outfit_id = derivation.outfit_id
                    AND correction.corrects = derivation.ticket_id);
GRANT SELECT ON standing_derivation TO skidway_service;

-- The unpriced pieces that hold up a week: of tickets that stand, not covered since, not set aside.
CREATE VIEW open_unpriced WITH (security_invoker = true) AS
SELECT unpriced.*, ticket.scaled_on, ticket.book, ticket.number
FROM unpriced
JOIN ticket USING (outfit_id, ticket_id)
WHERE NOT EXISTS (SELECT FROM ticket AS correction
                  WHERE correction.outfit_id = unpriced.outfit_id
                    AND correction.corrects = unpriced.ticket_id)
  AND NOT EXISTS (SELECT FROM set_aside
                  WHERE set_aside.outfit_id = unpriced.outfit_id AND set_aside.ticket_id = unpriced.ticket_id
                    AND set_aside.task = unpriced.task
                    AND (set_aside.piece_number IS NULL OR set_aside.piece_number = unpriced.piece_number))
  AND CASE WHEN unpriced.derivation_id IS NULL
           THEN NOT EXISTS (SELECT FROM derivation JOIN contract USING (outfit_id, contract_id)
                            WHERE derivation.outfit_id = unpriced.outfit_id
                              AND derivation.ticket_id = unpriced.ticket_id
                              AND (contract.crew_id = unpriced.crew_id OR contract.mill_id = unpriced.mill_id))
           ELSE EXISTS (SELECT FROM standing_derivation
                        WHERE standing_derivation.outfit_id = unpriced.outfit_id
                          AND standing_derivation.derivation_id = unpriced.derivation_id)
      END;
GRANT SELECT ON open_unpriced TO skidway_service;

-- One row a stick and contract, for whoever asks in SQL.
CREATE VIEW scaled_piece WITH (security_invoker = true) AS
SELECT standing_derivation.outfit_id, ticket_id, contract_id, terms_id, derivation_id,
       stick.piece_number, stick.unit, stick.gross / 1000000.0 AS gross, stick.net / 1000000.0 AS net, stick.cull
FROM standing_derivation
CROSS JOIN LATERAL unnest(units, gross, net, culls)
    WITH ORDINALITY AS stick (unit, gross, net, cull, piece_number);
GRANT SELECT ON scaled_piece TO skidway_service;
