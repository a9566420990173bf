-- The guards that every later table hangs on: the service's own role, the outfit of the transaction, and the
-- refusal to change a record.

-- The role the service works as. It owns nothing, may not log in by itself, and is subject to row-level security.
-- Roles belong to the whole cluster, so another database may have made it already, perhaps at this very moment.
DO $$
BEGIN
    CREATE ROLE skidway_service NOLOGIN NOSUPERUSER NOCREATEDB NOCREATEROLE NOBYPASSRLS;
EXCEPTION
    WHEN duplicate_object OR unique_violation THEN NULL;
END
$$;

-- Whoever migrates must be able to put the role on. A superuser already can. From version 16 on, who makes a role is
-- a member of it at once, yet may not put it on before he has granted himself that.
DO $$
BEGIN
    IF NOT pg_has_role(current_user, 'skidway_service',
                       CASE WHEN current_setting('server_version_num')::integer < 160000 THEN 'MEMBER' ELSE 'SET' END)
    THEN
        EXECUTE format('GRANT skidway_service TO %I', current_user);
    END IF;
END
$$;

GRANT USAGE ON SCHEMA public TO skidway_service;

-- The outfit whose books this transaction may see. Unset means none: every policy then hides every row.
CREATE FUNCTION current_outfit() RETURNS uuid
    LANGUAGE sql STABLE PARALLEL SAFE
    RETURN nullif(current_setting('skidway.outfit', true), '')::uuid;

-- Records are added, never altered or taken away, whoever asks.
CREATE FUNCTION refuse_change() RETURNS trigger
    LANGUAGE plpgsql AS $$
BEGIN
    RAISE EXCEPTION 'records of % are never changed or deleted; add a correcting record', TG_TABLE_NAME
        USING ERRCODE = 'restrict_violation';
END
$$;

-- Puts all the guards on one table: records only, seen by their own outfit only.
CREATE PROCEDURE guard_records(records regclass)
    LANGUAGE plpgsql AS $$
BEGIN
    EXECUTE format('CREATE TRIGGER records_stand BEFORE UPDATE OR DELETE ON %s '
                   'FOR EACH ROW EXECUTE FUNCTION refuse_change()', records);
    EXECUTE format('CREATE TRIGGER records_stay BEFORE TRUNCATE ON %s '
                   'FOR EACH STATEMENT EXECUTE FUNCTION refuse_change()', records);
    EXECUTE format('ALTER TABLE %s ENABLE ROW LEVEL SECURITY', records);
    EXECUTE format('ALTER TABLE %s FORCE ROW LEVEL SECURITY', records);
    EXECUTE format('CREATE POLICY own_outfit ON %s USING (outfit_id = current_outfit()) '
                   'WITH CHECK (outfit_id = current_outfit())', records);
    EXECUTE format('GRANT SELECT, INSERT ON %s TO skidway_service', records);
END
$$;
