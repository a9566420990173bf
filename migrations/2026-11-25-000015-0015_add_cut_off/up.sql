-- How many hours of the outfit's clock after its last day a week's tickets are waited for.
ALTER TABLE outfit ADD COLUMN cut_off_hours smallint NOT NULL DEFAULT 0
    CONSTRAINT outfit_cut_off_hours_check CHECK (cut_off_hours BETWEEN 0 AND 168);
-- The default was for the outfits that are there; from now on the service says it.
ALTER TABLE outfit ALTER COLUMN cut_off_hours DROP DEFAULT;
