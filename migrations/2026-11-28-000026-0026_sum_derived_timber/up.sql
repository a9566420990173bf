-- What the pieces of a ticket that a contract pays for add up to by kind of timber, written down when it is derived, so
-- that a week's volumes are sums of a few figures a ticket and no stick has to be looked at again.
ALTER TABLE derivation
    -- A list of [product, species, unit or null, pieces, culls, gross, net]; volumes in millionths of the unit. None for what
    -- was derived before this was written down: there the pieces themselves are added up.
    -- It is read whole and never searched, so it is kept as it is written, which is smaller and read sooner.
    ADD COLUMN timber json CONSTRAINT derivation_timber_check CHECK (json_typeof(timber) = 'array');

-- That a correction corrects something is said once more, so that only corrections are looked through and not every ticket.
CREATE OR REPLACE VIEW standing_derivation WITH (security_invoker = true) AS
SELECT outfit_id, derivation_id, ticket_id, contract_id, terms_id, revision, derived_at, units, gross, net, culls
FROM derivation
WHERE NOT EXISTS (SELECT FROM derivation AS later
                  WHERE later.outfit_id = derivation.outfit_id AND later.ticket_id = derivation.ticket_id
                    AND later.contract_id = derivation.contract_id AND later.revision > derivation.revision)
  AND NOT EXISTS (SELECT FROM ticket AS correction
                  WHERE correction.outfit_id = derivation.outfit_id AND correction.corrects IS NOT NULL
                    AND correction.corrects = derivation.ticket_id);
