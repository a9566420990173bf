DROP INDEX derivation_without_timber;
ALTER TABLE derivation DROP COLUMN timber;
