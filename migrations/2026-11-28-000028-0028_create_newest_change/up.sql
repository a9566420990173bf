-- The newest id of a change over all outfits, for a service that starts: the ids that it makes are to come after all that
-- are there, also when its clock was set back in between. Nothing of any outfit can be told from it but when somebody
-- last changed something.
CREATE FUNCTION newest_change() RETURNS uuid
    LANGUAGE sql STABLE SECURITY DEFINER SET search_path = pg_catalog, public, pg_temp
BEGIN ATOMIC
    -- From one outfit to the next along the primary key, with one look at each, however many entries there are.
    WITH RECURSIVE outfits AS (
        (SELECT outfit_id FROM audit_entry ORDER BY outfit_id LIMIT 1)
        UNION ALL
        SELECT (SELECT audit_entry.outfit_id FROM audit_entry
                WHERE audit_entry.outfit_id > outfits.outfit_id ORDER BY audit_entry.outfit_id LIMIT 1)
        FROM outfits
        WHERE outfits.outfit_id IS NOT NULL
    )
    SELECT newest.audit_entry_id
    FROM outfits
    CROSS JOIN LATERAL (SELECT audit_entry.audit_entry_id FROM audit_entry
                        WHERE audit_entry.outfit_id = outfits.outfit_id
                        ORDER BY audit_entry.audit_entry_id DESC LIMIT 1) AS newest
    ORDER BY newest.audit_entry_id DESC
    LIMIT 1;
END;

GRANT CREATE ON SCHEMA public TO skidway_courier;
ALTER FUNCTION newest_change() OWNER TO skidway_courier;
REVOKE CREATE ON SCHEMA public FROM skidway_courier;
REVOKE ALL ON FUNCTION newest_change() FROM PUBLIC;
GRANT EXECUTE ON FUNCTION newest_change() TO skidway_service;
