-- How many hours of the outfit's clock after its last day a week's tickets are waited for. None on the outfits from
-- before there was a cut-off: no hours.
ALTER TABLE outfit ADD COLUMN cut_off_hours smallint
    CONSTRAINT outfit_cut_off_hours_check CHECK (cut_off_hours BETWEEN 0 AND 168);
