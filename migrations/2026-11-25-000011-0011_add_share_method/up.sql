-- How a crew shares: by the parts of its share set, equally, or by hours. Where it is not by parts, every part is one.
-- None on the share sets from before there was a choice: by parts.
ALTER TABLE share_set ADD COLUMN method text
    CONSTRAINT share_set_method_check CHECK (method IN ('parts', 'equally', 'by_hours'));
