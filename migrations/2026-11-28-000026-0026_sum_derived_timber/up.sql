-- What the pieces of a ticket that a contract pays for add up to by kind of timber, written down when it is derived, so
-- that a week's volumes are sums of a few figures a ticket and no stick has to be looked at again.
ALTER TABLE derivation
    -- A list of [product, species, unit or null, pieces, culls, gross, net]; volumes in millionths of the unit. None for what
    -- was derived before this was written down: there the pieces themselves are added up.
    ADD COLUMN timber jsonb CONSTRAINT derivation_timber_check CHECK (jsonb_typeof(timber) = 'array');
-- Finds those, and costs the others nothing.
CREATE INDEX derivation_without_timber ON derivation (outfit_id, ticket_id) WHERE timber IS NULL;
