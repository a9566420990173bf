ALTER TABLE share_set DROP COLUMN method;
