ALTER TABLE statement
    DROP CONSTRAINT statement_foots,
    DROP COLUMN moved_minor,
    DROP COLUMN kept_back_minor,
    DROP COLUMN added_minor,
    ADD CONSTRAINT statement_check1 CHECK (opening_minor + earned_minor = closing_minor);
DROP TABLE settlement_take_off;
DROP TABLE settlement_supplement;
ALTER TABLE settlement DROP COLUMN volumes, DROP COLUMN pays;
