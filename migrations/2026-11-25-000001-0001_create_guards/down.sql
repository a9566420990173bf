-- The role stays: other databases of the cluster may use it.
DROP PROCEDURE guard_records(regclass);
DROP FUNCTION refuse_change();
DROP FUNCTION current_outfit();
REVOKE USAGE ON SCHEMA public FROM skidway_service;
