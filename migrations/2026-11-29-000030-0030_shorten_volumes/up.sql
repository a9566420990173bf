-- What a contract made of the pieces of a ticket, with nothing said forty times over. Three derivations of a ticket of forty
-- logs were six kilobytes, a third of it the word `board_foot`, and a row stayed just below the size from which PostgreSQL
-- compresses. Now a row may leave out what follows from the rest of it:
--
-- - `units` has the one unit of all volumes where they share it, none where no piece has a volume, otherwise one for each piece;
-- - `net` has nothing where a piece's net is its gross.
--
-- A piece has a volume where it has a gross one. Rows from before say everything, and are read by the same rules.
-- The version before this one does not know them: let its instances end before those of this one take tickets in.
ALTER TABLE derivation
    DROP CONSTRAINT derivation_check,
    ADD CONSTRAINT derivation_volumes_check CHECK (
        (cardinality(units) <= 1 OR cardinality(units) = cardinality(gross))
        AND cardinality(gross) = cardinality(net) AND cardinality(net) = cardinality(culls));

-- The volumes of a derivation, a row for each piece.
CREATE FUNCTION volumes_of(units text[], gross bigint[], net bigint[], culls text[])
    RETURNS TABLE (piece_number bigint, unit text, gross bigint, net bigint, cull text)
    LANGUAGE sql IMMUTABLE PARALLEL SAFE
AS $$
    SELECT said.piece_number, CASE WHEN said.gross IS NOT NULL THEN coalesce(said.unit, $1[1]) END, said.gross,
           coalesce(said.net, said.gross), said.cull
    FROM unnest($1, $2, $3, $4) WITH ORDINALITY AS said (unit, gross, net, cull, piece_number)
$$;
GRANT EXECUTE ON FUNCTION volumes_of TO skidway_service;

CREATE OR REPLACE VIEW scaled_piece WITH (security_invoker = true) AS
SELECT standing_derivation.outfit_id, ticket_id, contract_id, terms_id, derivation_id,
       stick.piece_number, stick.unit, stick.gross / 1000000.0 AS gross, stick.net / 1000000.0 AS net, stick.cull
FROM standing_derivation
CROSS JOIN LATERAL volumes_of(units, gross, net, culls) AS stick;
