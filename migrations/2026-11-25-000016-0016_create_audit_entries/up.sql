-- Who changed what: one entry for each accepted change, in the transaction of the change itself. Read in the order of
-- (transaction_id, audit_entry_id) below the oldest transaction that is still running, it is also the queue of events:
-- nothing slips in before what was read.
CREATE TABLE audit_entry (
    outfit_id uuid NOT NULL REFERENCES outfit,
    audit_entry_id uuid NOT NULL,
    transaction_id bigint NOT NULL,
    made_at timestamptz NOT NULL,
    made_by text NOT NULL CHECK (made_by <> ''),
    role text NOT NULL CHECK (role <> ''),
    operation text NOT NULL CHECK (operation <> ''),
    -- The record that was made or changed.
    about uuid NOT NULL,
    request_id uuid,
    PRIMARY KEY (outfit_id, audit_entry_id)
);
CREATE INDEX audit_entry_order ON audit_entry (outfit_id, transaction_id, audit_entry_id);
CALL guard_records('audit_entry');

-- What was answered to a request that carried a key: the same request sent again is answered with it.
CREATE TABLE stored_reply (
    outfit_id uuid NOT NULL,
    made_by text NOT NULL,
    operation text NOT NULL,
    idempotency_key text NOT NULL CHECK (idempotency_key <> ''),
    -- SHA-256 of the path and the body: the same key with another request is refused.
    fingerprint bytea NOT NULL CHECK (octet_length(fingerprint) = 32),
    -- None where the reply held a secret, which is shown once and kept nowhere.
    reply text,
    audit_entry_id uuid NOT NULL,
    PRIMARY KEY (outfit_id, made_by, operation, idempotency_key),
    FOREIGN KEY (outfit_id, audit_entry_id) REFERENCES audit_entry
);
CREATE INDEX stored_reply_entry ON stored_reply (outfit_id, audit_entry_id);
CALL guard_records('stored_reply');
