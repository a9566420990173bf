DROP INDEX settlement_line_worker;
ALTER TABLE settlement_line DROP CONSTRAINT settlement_line_crew_or_member;
ALTER TABLE settlement_line DROP COLUMN worker_id;
ALTER TABLE settlement_line ADD CONSTRAINT settlement_line_check1
    CHECK ((crew_id IS NULL) = (share_set_id IS NULL));
DROP VIEW standing_time;
DROP TABLE time_entry;
