-- What a ticket costs the database, made less where the books lose nothing by it. Measured beside pgbench (tests/bench):
-- about a third of the server's work for a ticket went into checking that rows are there which can never go away.

-- A foreign key is held to in two ways: the row must be there when it is named, and may not go while it is named. Records
-- are never deleted or changed, so only the first can ever matter for these, and whoever adds a ticket has just read all of
-- them under the lock that keeps everybody else from filing (`Books::ground`). What the keys did beyond that was to lock
-- the same few rows of contracts, terms, landings and mills for every ticket of every writer at once.
ALTER TABLE ticket
    DROP CONSTRAINT ticket_outfit_id_landing_id_job_id_fkey,
    DROP CONSTRAINT ticket_outfit_id_delivered_to_fkey;
ALTER TABLE derivation
    DROP CONSTRAINT derivation_outfit_id_contract_id_fkey,
    DROP CONSTRAINT derivation_outfit_id_terms_id_fkey;
ALTER TABLE audit_entry DROP CONSTRAINT audit_entry_outfit_id_fkey;
-- Those of their indexes that nothing searches by.
DROP INDEX derivation_contract, derivation_terms;

-- Figures of a ticket compress well, and a row that is written once and read whole loses nothing by it. They stay in the
-- row (MAIN): a value kept elsewhere would be one more row to write and to find.
ALTER TABLE derivation
    ALTER units SET STORAGE MAIN, ALTER gross SET STORAGE MAIN, ALTER net SET STORAGE MAIN, ALTER culls SET STORAGE MAIN,
    ALTER timber SET STORAGE MAIN, SET (toast_tuple_target = 512);
-- Servers built without this way of compressing keep theirs.
DO $$
BEGIN
    ALTER TABLE ticket ALTER pieces SET COMPRESSION lz4, ALTER work SET COMPRESSION lz4;
    ALTER TABLE derivation
        ALTER units SET COMPRESSION lz4, ALTER gross SET COMPRESSION lz4, ALTER net SET COMPRESSION lz4,
        ALTER culls SET COMPRESSION lz4, ALTER timber SET COMPRESSION lz4;
EXCEPTION
    WHEN feature_not_supported THEN NULL;
END
$$;
