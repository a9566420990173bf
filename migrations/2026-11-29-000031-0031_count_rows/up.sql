-- A database counts its rows a minute or so after they came. Until then it works by plans that were made when there was
-- nothing: any index is as good as any other then, and a foreign key to one ticket was checked by going through all tickets of the
-- outfit. A first import of 40,000 tickets took half a minute longer for it. So whoever takes tickets in has the rows counted
-- when the tickets have grown to more than twice what they were (`storage/taking_in.rs`).
CREATE FUNCTION count_rows() RETURNS void LANGUAGE plpgsql SECURITY DEFINER SET search_path = pg_catalog, public, pg_temp
AS $$
BEGIN
    IF EXISTS (SELECT FROM pg_class
               WHERE oid = 'ticket'::regclass
                 AND pg_relation_size(oid) > 2 * current_setting('block_size')::bigint * greatest(relpages, 50)) THEN
        -- Whoever counts one of them already is left to it.
        ANALYZE (SKIP_LOCKED) ticket, derivation, accrual, audit_entry;
    END IF;
END
$$;
REVOKE EXECUTE ON FUNCTION count_rows() FROM PUBLIC;
GRANT EXECUTE ON FUNCTION count_rows() TO skidway_service;
