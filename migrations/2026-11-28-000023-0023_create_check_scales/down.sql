DROP VIEW standing_adjustment;
DROP TABLE volume_adjustment_reversal;
DROP TABLE volume_adjustment_quantity;
DROP TABLE volume_adjustment;
DROP TABLE check_scale;
ALTER TABLE terms DROP COLUMN check_tolerance;
