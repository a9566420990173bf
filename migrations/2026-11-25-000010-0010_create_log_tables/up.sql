-- Outfits' own log rules, filed as tables. The document holds every cell; terms that name a table hold it whole as
-- well, so that nothing here is needed to work out a week again.
CREATE TABLE log_table (
    outfit_id uuid NOT NULL REFERENCES outfit,
    log_table_id uuid NOT NULL,
    title text NOT NULL CHECK (title <> ''),
    -- Counts up with each table filed under the title.
    version integer NOT NULL CHECK (version > 0),
    unit text NOT NULL CHECK (unit IN ('board_foot', 'cubic_foot', 'cubic_metre')),
    document jsonb NOT NULL CHECK (jsonb_typeof(document) = 'object'),
    -- SHA-256 of the document: the same table is not filed twice under one title.
    fingerprint bytea NOT NULL CHECK (octet_length(fingerprint) = 32),
    filed_at timestamptz NOT NULL,
    filed_by text NOT NULL,
    PRIMARY KEY (outfit_id, log_table_id),
    UNIQUE (outfit_id, title, version),
    UNIQUE (outfit_id, title, fingerprint)
);
CALL guard_records('log_table');
