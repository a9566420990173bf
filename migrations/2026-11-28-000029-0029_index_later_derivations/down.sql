CREATE OR REPLACE VIEW standing_derivation WITH (security_invoker = true) AS
SELECT outfit_id, derivation_id, ticket_id, contract_id, terms_id, revision, derived_at, units, gross, net, culls
FROM derivation
WHERE NOT EXISTS (SELECT FROM derivation AS later
                  WHERE later.outfit_id = derivation.outfit_id AND later.ticket_id = derivation.ticket_id
                    AND later.contract_id = derivation.contract_id AND later.revision > derivation.revision)
  AND NOT EXISTS (SELECT FROM ticket AS correction
                  WHERE correction.outfit_id = derivation.outfit_id AND correction.corrects IS NOT NULL
                    AND correction.corrects = derivation.ticket_id);

DROP INDEX derivation_later;
