DROP VIEW piece;
DROP TABLE ticket;
