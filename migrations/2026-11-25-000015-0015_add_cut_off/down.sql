ALTER TABLE outfit DROP COLUMN cut_off_hours;
