-- Seals: everything that was accepted up to a moment, as one signed hash (RFC 9162, section 2.1), so that whoever keeps a
-- seal can show later that nothing before it was changed, removed or slipped in.

-- The keys that an outfit's seals are signed with. The private half is sealed as the secrets of events are: what opens it
-- lies with the service, not here.
CREATE TABLE seal_key (
    outfit_id uuid NOT NULL REFERENCES outfit,
    seal_key_id uuid NOT NULL,
    public_key bytea NOT NULL CHECK (octet_length(public_key) = 32),
    sealed_seed bytea NOT NULL CHECK (octet_length(sealed_seed) > 29),
    made_at timestamptz NOT NULL,
    made_by text NOT NULL CHECK (made_by <> ''),
    PRIMARY KEY (outfit_id, seal_key_id)
);
CALL guard_records('seal_key');

CREATE TABLE seal (
    outfit_id uuid NOT NULL,
    seal_id uuid NOT NULL,
    -- How many leaves it covers, and the root of the tree over them.
    tree_size bigint NOT NULL CHECK (tree_size >= 0),
    root_hash bytea NOT NULL CHECK (octet_length(root_hash) = 32),
    -- The roots of the full trees that the tree is made of, the largest first: the next seal goes on from them.
    peaks bytea[] NOT NULL,
    -- The settlement with whose posting it was made; none where somebody asked for it.
    settlement_id uuid,
    seal_key_id uuid NOT NULL,
    signature bytea NOT NULL CHECK (octet_length(signature) = 64),
    made_at timestamptz NOT NULL,
    made_by text NOT NULL CHECK (made_by <> ''),
    PRIMARY KEY (outfit_id, seal_id),
    -- Where there is nothing new, there is no new seal.
    UNIQUE (outfit_id, tree_size),
    FOREIGN KEY (outfit_id, settlement_id) REFERENCES settlement_posting,
    FOREIGN KEY (outfit_id, seal_key_id) REFERENCES seal_key
);
CREATE INDEX seal_settlement ON seal (outfit_id, settlement_id);
CREATE INDEX seal_signed_with ON seal (outfit_id, seal_key_id);
CALL guard_records('seal');

-- The leaves of the tree in their order. What a leaf is the hash of is made again from the record, in the form that it
-- was sealed in.
CREATE TABLE seal_leaf (
    outfit_id uuid NOT NULL REFERENCES outfit,
    position bigint NOT NULL CHECK (position >= 0),
    ticket_id uuid,
    settlement_id uuid,
    form smallint NOT NULL CHECK (form > 0),
    leaf_hash bytea NOT NULL CHECK (octet_length(leaf_hash) = 32),
    PRIMARY KEY (outfit_id, position),
    UNIQUE (outfit_id, ticket_id),
    UNIQUE (outfit_id, settlement_id),
    CHECK (num_nonnulls(ticket_id, settlement_id) = 1),
    FOREIGN KEY (outfit_id, ticket_id) REFERENCES ticket,
    FOREIGN KEY (outfit_id, settlement_id) REFERENCES settlement_posting
);
CALL guard_records('seal_leaf');
