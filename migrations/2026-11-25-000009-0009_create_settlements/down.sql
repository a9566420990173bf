DROP TABLE statement;
DROP TABLE settlement_share;
DROP TABLE settlement_line;
DROP FUNCTION refuse_uneven_shares();
DROP TABLE settlement_posting;
DROP TABLE settlement;
