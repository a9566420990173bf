-- How a crew shares: by the parts of its share set, equally, or by hours. Where it is not by parts, every part is one.
ALTER TABLE share_set ADD COLUMN method text NOT NULL DEFAULT 'parts'
    CONSTRAINT share_set_method_check CHECK (method IN ('parts', 'equally', 'by_hours'));

-- The default was for the rows that are there; from now on the service says which.
ALTER TABLE share_set ALTER COLUMN method DROP DEFAULT;
