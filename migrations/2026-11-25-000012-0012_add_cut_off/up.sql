-- How many hours of the outfit's clock after its last day a week's tickets are waited for.
ALTER TABLE outfit ADD COLUMN cut_off_hours smallint NOT NULL DEFAULT 0
    CONSTRAINT outfit_cut_off_hours_check CHECK (cut_off_hours BETWEEN 0 AND 168);
